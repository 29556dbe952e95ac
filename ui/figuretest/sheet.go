package figuretest

// The rule of this file: a job sheet that is being filled shows what its procedure says of each line, what the card holds, and
// what was typed.

import (
	"fmt"
	"regexp"
	"strings"

	"fenderside/procedures"
)

// value is what stands behind a name in a vehicle card.
var value = regexp.MustCompile(`: *([^{}\n:]+?)(?:, [a-z_]+:|[}\n])`)

// Sheet is what a job sheet may show while it is filled.
func Sheet(p *procedures.Procedure, c *procedures.Card, typed ...string) *Known {
	k := knownFrom(append(texts(p.Sheet), p.Title)...)
	k.Says(typed...)
	for i, f := range p.Sheet {
		title := f.Title
		if f.Optional {
			title += " (may be left out)"
		}
		k.Says(fmt.Sprintf("%d %s", i+1, f.Title), fmt.Sprintf("%d of %d: %s", i+1, len(p.Sheet), title))
		for n, one := range f.Choices(c) {
			k.Says(fmt.Sprintf("%d %s", n+1, one))
		}
		k.Says(fmt.Sprintf("Between %s and %s", f.AtLeast.Figure, f.AtMost.Figure), fmt.Sprintf("after line %d", i+1))
		k.Says(numbers(f, c)...)
	}
	if c != nil {
		for _, m := range value.FindAllStringSubmatch(string(c.Text), -1) {
			k.Says(m[1])
		}
	}
	return k
}

// numbers are those that a card holds for a line without a unit, with the words beside them.
func numbers(f procedures.Field, c *procedures.Card) []string {
	if c == nil || f.Card == "" {
		return nil
	}
	key := f.Card[strings.LastIndex(f.Card, ".")+1:]
	var out []string
	for _, m := range regexp.MustCompile(`\b`+key+`: (\d+)\b`).FindAllStringSubmatch(string(c.Text), -1) {
		out = append(out, f.Title+": "+m[1], "Now "+m[1]+", from the card")
	}
	return out
}
