package figuretest

// The rule of this file: a job sheet that is being filled shows what its procedure says of each line, what the card holds, and
// what was typed.

import (
	"fmt"
	"regexp"

	"fenderside/procedures"
)

// value is what stands behind a name in a vehicle card.
var value = regexp.MustCompile(`: *([^{}\n:]+?)(?:, [a-z_]+:|[}\n])`)

// Sheet is what a job sheet may show while it is filled.
func Sheet(p *procedures.Procedure, c *procedures.Card, typed ...string) *Known {
	k := knownFrom(append(texts(p.Sheet), p.Title)...)
	k.Says(typed...)
	for i, f := range p.Sheet {
		k.Says(fmt.Sprintf("%d %s", i+1, f.Title), fmt.Sprintf("%d of %d: %s", i+1, len(p.Sheet), f.Title))
		for n, one := range f.Choices(c) {
			k.Says(fmt.Sprintf("%d %s", n+1, one))
		}
		k.Says(fmt.Sprintf("Between %s and %s", f.AtLeast.Figure, f.AtMost.Figure), fmt.Sprintf("after line %d", i+1))
	}
	if c != nil {
		for _, m := range value.FindAllStringSubmatch(string(c.Text), -1) {
			k.Says(m[1])
		}
	}
	return k
}
