package writing

import (
	"regexp"
	"sync"
)

// pattern is a regular expression that is made when it is first needed: made all at once, they would slow every start of the
// program, and most starts look at no writing.
type pattern func() *regexp.Regexp

func patternOf(expression string) pattern {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}

// in says whether the pattern stands in a text.
func (p pattern) in(text string) bool { return p().MatchString(text) }
