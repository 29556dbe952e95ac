// Package diagnosis weighs what was found at the vehicle: whether an oxygen
// sensor is at fault, and whether a repair is proved.
//
// Each answer is looked up in a table of rules; each row says what the answer
// is worth, why, and where that is from. What was not looked at is worth
// nothing, and an outside cause beats everything that is said of the sensor:
//
//	wiring and connector: sound            clears the way
//	trace of the signal: suspect           for the sensor
//	exhaust ahead of the sensor: found     outside: the verdict is look elsewhere
//
// Nothing here imports a sibling: what trims or monitors mean is decided where
// they are read, and comes here as an answer.
package diagnosis

// The rule of this file: an answer is worth what the first row for it says, and
// an answer without a row is no answer.

import (
	"fmt"
	"slices"
	"strings"
)

// Question is one thing that is looked at or tried.
type Question string

// NotTested is the answer to a question that nobody looked into.
const NotTested = "not tested"

// Worth is what an answer counts for.
type Worth string

// The worths. A table uses those that fit its verdict.
const (
	For      Worth = "for the sensor"
	Against  Worth = "against the sensor"
	Outside  Worth = "a cause outside the sensor"
	Clears   Worth = "clears the way"
	Nothing  Worth = "neither for nor against"
	Proves   Worth = "for the repair"
	Refutes  Worth = "against the repair"
	FollowUp Worth = "still to follow up"
	Open     Worth = "open"
)

// practice is the source of a rule that the trade hands on and no paper was
// read for.
const practice = "common practice"

// Rule is one row of a table. Where Only is set, the row holds only if that
// question was answered so; of the rows for one answer the first that holds
// counts.
type Rule struct {
	Question Question
	Answer   string
	Only     Question
	Answered []string
	Worth    Worth
	Because  string
	Source   string
	Then     string // what to do about it: where to look, or what to repeat
}

// Test is one question with its answers, in the order in which the work goes.
type Test struct {
	Question Question
	Answers  []string // besides NotTested
	Rests    string   // findings that rest on the same evidence count once
	First    bool     // an outside cause, looked for before the sensor is blamed
	How      string   // what to do where it was not tested
}

// Found is what was answered; a question that is missing was not tested.
type Found map[Question]string

// answer is what was found for a question.
func (f Found) answer(q Question) string {
	if a := f[q]; a != "" {
		return a
	}
	return NotTested
}

// check refuses a question or an answer that is not in the list of tests.
func (f Found) check(tests []Test) error {
	for q, a := range f {
		i := slices.IndexFunc(tests, func(t Test) bool { return t.Question == q })
		if i < 0 {
			return fmt.Errorf("diagnosis: no question %q; ask %s", q, questions(tests))
		}
		if a != "" && a != NotTested && !slices.Contains(tests[i].Answers, a) {
			return fmt.Errorf("diagnosis: %s: %q is no answer; give %s or %s", q, a, strings.Join(tests[i].Answers, ", "), NotTested)
		}
	}
	return nil
}

func questions(tests []Test) string {
	var all []string
	for _, t := range tests {
		all = append(all, string(t.Question))
	}
	return strings.Join(all, ", ")
}

// weigh finds the row that counts for a question. What was not tested is open.
func (f Found) weigh(q Question, rules []Rule) (Rule, bool) {
	given := f.answer(q)
	for _, r := range rules {
		if r.Question == q && r.Answer == given && (r.Only == "" || slices.Contains(r.Answered, f.answer(r.Only))) {
			return r, true
		}
	}
	return Rule{}, false
}

// line is one line of the workings.
func (r Rule) line() string {
	return fmt.Sprintf("%s, %s: %s; %s (%s)", r.Question, r.Answer, r.Worth, r.Because, r.Source)
}

// untested is the line of a question that nobody looked into.
func (t Test) untested() string {
	return fmt.Sprintf("%s: %s, so it counts for nothing", t.Question, NotTested)
}
