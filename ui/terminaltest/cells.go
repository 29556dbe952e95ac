package terminaltest

// The rule of this file: what a program set for a character is read off the terminal, never off the program. tmux writes it
// as the control function SGR (ECMA-48, and for 256 and all colours ITU-T T.416; from memory). What is not known here is an
// error, so that nothing is overlooked.

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Cell is one character on the screen and what its program set for it.
type Cell struct {
	Text          rune
	Ink, Ground   Colour
	Bold, Reverse bool
}

// Colour is none, a number of a palette, or #rrggbb.
type Colour string

// parse reads rows of text with SGR in it. What was set holds on into the next row.
func parse(capture string) ([][]Cell, error) {
	var rows [][]Cell
	var set Cell
	for row := range strings.Lines(capture) {
		cells := []Cell{}
		for rest := strings.TrimSuffix(row, "\n"); rest != ""; {
			if after, found := strings.CutPrefix(rest, "\x1b["); found {
				codes, left, ended := strings.Cut(after, "m")
				if !ended {
					return nil, fmt.Errorf("read the cells of %q: a control function that is no SGR", row)
				}
				if err := set.take(strings.Split(codes, ";")); err != nil {
					return nil, fmt.Errorf("read the cells of %q: %w", row, err)
				}
				rest = left
				continue
			}
			c, n := utf8.DecodeRuneInString(rest)
			set.Text, rest = c, rest[n:]
			cells = append(cells, set)
		}
		rows = append(rows, cells)
	}
	return rows, nil
}

// take changes what is set by the codes of one control function.
func (c *Cell) take(codes []string) error {
	for len(codes) > 0 {
		n, err := strconv.Atoi("0" + codes[0]) // no code is the code 0
		if err != nil {
			return fmt.Errorf("the code %q of SGR is no number", codes[0])
		}
		used := 1
		switch {
		case n == 0:
			*c = Cell{}
		case n == 1:
			c.Bold = true
		case n == 7:
			c.Reverse = true
		case n == 22:
			c.Bold = false
		case n == 27:
			c.Reverse = false
		case n == 39:
			c.Ink = ""
		case n == 49:
			c.Ground = ""
		case n >= 30 && n <= 37:
			c.Ink = numbered(n - 30)
		case n >= 40 && n <= 47:
			c.Ground = numbered(n - 40)
		case n >= 90 && n <= 97:
			c.Ink = numbered(n - 90 + 8)
		case n >= 100 && n <= 107:
			c.Ground = numbered(n - 100 + 8)
		case n == 38:
			c.Ink, used, err = chosen(codes)
		case n == 48:
			c.Ground, used, err = chosen(codes)
		default:
			err = fmt.Errorf("the code %d of SGR is not known here", n)
		}
		if err != nil {
			return err
		}
		codes = codes[used:]
	}
	return nil
}

func numbered(n int) Colour { return Colour(strconv.Itoa(n)) }

// chosen reads a colour out of 256 or out of all, and how many codes it takes.
func chosen(codes []string) (Colour, int, error) {
	var parts [3]uint8
	switch {
	case len(codes) >= 3 && codes[1] == "5":
		return Colour(codes[2]), 3, nil
	case len(codes) >= 5 && codes[1] == "2":
		for i := range parts {
			n, err := strconv.ParseUint(codes[2+i], 10, 8)
			if err != nil {
				return "", 0, fmt.Errorf("the colour %v: %w", codes, err)
			}
			parts[i] = uint8(n)
		}
		return Colour(fmt.Sprintf("#%02x%02x%02x", parts[0], parts[1], parts[2])), 5, nil
	}
	return "", 0, fmt.Errorf("the colour %v is written in a way not known here", codes)
}
