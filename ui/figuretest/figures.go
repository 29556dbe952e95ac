// Package figuretest traces the figures that a screen shows to where they come from, for tests.
//
// The rule kept here: a figure is known by the words around it. A word with a digit in it is traced where a source has the
// same word among the same words, as far as its row on the screen and the source both go; so a figure that stands somewhere
// else, in another sentence, is no source for it.
package figuretest

import (
	"regexp"
	"slices"
	"strings"
)

// Figure is a word with a digit in it, among the words of its row.
type Figure struct {
	row []string
	at  int
}

// String is the figure between the words beside it.
func (f Figure) String() string {
	return strings.Join(f.row[max(0, f.at-2):min(len(f.row), f.at+3)], " ")
}

// In is all of its row.
func (f Figure) In() string { return strings.Join(f.row, " ") }

func (f Figure) word() string { return f.row[f.at] }

var (
	digit   = regexp.MustCompile(`\d`)
	columns = regexp.MustCompile(` {2,}| ?\| | \|$`)

	// What a screen says of itself: the names of keys, the numbers of the lines of a list, which are keys too, and how many of
	// its rows are shown. And fingerprints.
	itself = regexp.MustCompile(`\bF\d{1,2}\b|\b1-9\b|(?m:^(?:> | {2})(?:\[.\] )?[ \d]\d {2})|` +
		`(?:Press |figure )\d if it is so|Press \d, then Enter|(?m:^\d (?:it is so|signs it))|press the figure \d\b|The figure \d signs it|` +
		`\(\d+ to .*?(?:\)|\.\.)|\.\. \d+ rows more (?:above|below)|\bSHA-256\b|SHA256:\S+`)
	// The ends of the scales of a drawing, which stand for no value, and what is drawn between them.
	scales = regexp.MustCompile(`(?m: -?[\d.]+(?: C| mV| mA)?\|)|(?m: 0 (?:min|s) {2,}[\d.]+ (?:min|s)\s*$)`)
	// A row that hangs under what was told at a time, which goes on there.
	hung  = regexp.MustCompile(`(?m)^(\d\d:\d\d:\d\d .*?) *\n {9}(\S)`)
	drawn = regexp.MustCompile(`\|[^\w\s]*|[-+]*\+[-+]+|-{3,}|={3,}`)
)

// Of are the figures of a screen. Its rows are parted where columns and cells are: at two spaces and more, and at bars.
func Of(screen string) []Figure {
	var out []Figure
	for before := ""; before != screen; {
		before, screen = screen, hung.ReplaceAllString(screen, "$1 $2")
	}
	for _, none := range []*regexp.Regexp{itself, scales, drawn} {
		screen = none.ReplaceAllString(screen, "  ")
	}
	rows := strings.Split(screen, "\n")
	for i, row := range rows {
		runs := columns.Split(strings.TrimSpace(row), -1)
		for _, run := range runs {
			all := words(run)
			if n := len(all); n > 1 && len(runs) == 1 && i+1 < len(rows) && bare.MatchString(all[n-1]) {
				next := words(columns.Split(strings.TrimSpace(rows[i+1]), 2)[0])
				if len(next) == 0 {
					next = []string{".."} // or on the next page
				}
				out = append(out, inRow(append(all, next...))[:len(inRow(all))]...) // what it counts stands in the next row
				continue
			}
			out = append(out, inRow(all)...)
		}
	}
	return out
}

func inRow(all []string) []Figure {
	var out []Figure
	for i, w := range all {
		if digit.MatchString(w) {
			out = append(out, Figure{all, i})
		}
	}
	return out
}

// drawable writes units as a drawing does, which has the letters of ASCII alone.
var drawable = strings.NewReplacer("N·m", "N m", "°C", "C")

// words are the words of a text without the marks around them. A word that was cut keeps its dots.
func words(text string) []string {
	var out []string
	for _, w := range strings.Fields(drawable.Replace(text)) {
		bare := strings.Trim(w, ".,;:?!()[]{}<>\"'“”‘’-_")
		if strings.HasSuffix(strings.TrimRight(w, ":"), "..") {
			bare += ".."
		}
		if strings.HasPrefix(w, "-") && digit.MatchString(w) {
			bare = "-" + bare
		}
		if bare != "" {
			out = append(out, bare)
		}
	}
	return out
}

// Tampered are the same figures with another last digit.
func (f Figure) Tampered() []Figure {
	word := f.word()
	at := strings.LastIndexAny(word, "0123456789")
	var out []Figure
	for d := byte('0'); d <= '9'; d++ {
		if word[at] != d {
			row := slices.Clone(f.row)
			row[f.at] = word[:at] + string(d) + word[at+1:]
			out = append(out, Figure{row, f.at})
		}
	}
	return out
}
