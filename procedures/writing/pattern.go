package writing

import (
	"regexp"
	"sync"
)

// pattern is a regular expression that is made when it is first needed: made all at once, they would slow every start of the
// program, and most starts look at no writing.
type pattern struct {
	expression string
	once       sync.Once
	made       *regexp.Regexp
}

func patternOf(expression string) *pattern { return &pattern{expression: expression} }

func (p *pattern) regexp() *regexp.Regexp {
	p.once.Do(func() { p.made = regexp.MustCompile(p.expression) })
	return p.made
}

// in says whether the pattern stands in a text.
func (p *pattern) in(text string) bool { return p.regexp().MatchString(text) }
