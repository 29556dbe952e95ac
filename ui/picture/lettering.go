package picture

// The rule of this file: the one action of a step is read from where the hands are. Letters are drawn five rows high, all of
// them capitals, for those differ most at a distance; a text with a character that has no shape is not drawn.

import (
	"strings"
	"unicode"

	"github.com/charmbracelet/x/ansi"
)

// lettersHigh are capitals and signs of five rows.
var lettersHigh = map[rune][5]string{
	'A': {" ## ", "#  #", "####", "#  #", "#  #"}, 'B': {"### ", "#  #", "### ", "#  #", "### "},
	'C': {" ###", "#   ", "#   ", "#   ", " ###"}, 'D': {"### ", "#  #", "#  #", "#  #", "### "},
	'E': {"####", "#   ", "### ", "#   ", "####"}, 'F': {"####", "#   ", "### ", "#   ", "#   "},
	'G': {" ###", "#   ", "# ##", "#  #", " ###"}, 'H': {"#  #", "#  #", "####", "#  #", "#  #"},
	'I': {"###", " # ", " # ", " # ", "###"}, 'J': {"  ##", "   #", "   #", "#  #", " ## "},
	'K': {"#  #", "# # ", "##  ", "# # ", "#  #"}, 'L': {"#   ", "#   ", "#   ", "#   ", "####"},
	'M': {"#   #", "## ##", "# # #", "#   #", "#   #"}, 'N': {"#   #", "##  #", "# # #", "#  ##", "#   #"},
	'O': {" ## ", "#  #", "#  #", "#  #", " ## "}, 'P': {"### ", "#  #", "### ", "#   ", "#   "},
	'Q': {" ## ", "#  #", "#  #", "# ##", " ###"}, 'R': {"### ", "#  #", "### ", "# # ", "#  #"},
	'S': {" ###", "#   ", " ## ", "   #", "### "}, 'T': {"#####", "  #  ", "  #  ", "  #  ", "  #  "},
	'U': {"#  #", "#  #", "#  #", "#  #", " ## "}, 'V': {"#   #", "#   #", " # # ", " # # ", "  #  "},
	'W': {"#   #", "#   #", "# # #", "## ##", "#   #"}, 'X': {"#   #", " # # ", "  #  ", " # # ", "#   #"},
	'Y': {"#   #", " # # ", "  #  ", "  #  ", "  #  "}, 'Z': {"#####", "   # ", "  #  ", " #   ", "#####"},
	'\'': {"#", "#", " ", " ", " "}, ',': {"  ", "  ", "  ", " #", "# "}, '.': {" ", " ", " ", " ", "#"},
	'-': {"   ", "   ", "###", "   ", "   "}, ';': {"  ", " #", "  ", " #", "# "}, '"': {"# #", "# #", "   ", "   ", "   "},
	'(': {" #", "# ", "# ", "# ", " #"}, ')': {"# ", " #", " #", " #", "# "}, '/': {"    #", "   # ", "  #  ", " #   ", "#    "},
	'?': {"### ", "   #", " ## ", "    ", " #  "},
}

// shape is how a character is drawn, or false.
func shape(r rune) ([5]string, bool) {
	r = unicode.ToUpper(r)
	if high, ok := lettersHigh[r]; ok {
		return high, true
	}
	high, ok := figuresHigh()[r]
	return high, ok
}

// Lettering draws a text in large letters, broken between words. There are no rows where it cannot be drawn.
func Lettering(text string, f Form) Picture {
	p := Picture{Title: text, Words: []string{text}}
	var line [5]string
	end := func() {
		if len(p.Rows) > 0 {
			p.Rows = append(p.Rows, "")
		}
		for _, row := range line {
			p.Rows = append(p.Rows, strings.TrimRight(row, " "))
		}
		line = [5]string{}
	}
	for _, word := range strings.Fields(text) {
		drawn, ok := lettered(word)
		if !ok || ansi.StringWidth(drawn[0]) > f.Width {
			p.Rows = nil
			return p
		}
		const space = 3
		if line[0] != "" && len(line[0])+space+len(drawn[0]) > f.Width {
			end()
		}
		for i := range line {
			if line[i] != "" {
				line[i] += strings.Repeat(" ", space)
			}
			line[i] += drawn[i]
		}
	}
	end()
	return p
}

// lettered is one word, a column between its letters.
func lettered(word string) (rows [5]string, ok bool) {
	for i, r := range word {
		high, known := shape(r)
		if !known {
			return rows, false
		}
		for k := range rows {
			if i > 0 {
				rows[k] += " "
			}
			rows[k] += high[k]
		}
	}
	return rows, true
}
