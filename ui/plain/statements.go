package plain

// The rule kept here: one statement is affirmed at a time, and no reply that is always the same affirms a gate's.

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"fenderside/procedures"
	"fenderside/runner"
)

// wayWant asks which of a step's alternatives is taken.
func (d *desk) wayWant(v runner.StepView) (want, bool) {
	if _, ok := wanted(v, runner.WayMissing); !ok {
		return want{}, false
	}
	var says []string
	for _, w := range v.Step.Ways {
		says = append(says, w.Say)
	}
	prompt := append([]string{"Which way is it done?"}, listed(says)...)
	return want{prompt: append(prompt, "Type your answer."), take: func(line string) error {
		i, ok := numbered(line, says)
		if !ok {
			return d.notListed(line)
		}
		return d.do(runner.Choose{Step: v.Step.ID, Way: v.Step.Ways[i].ID})
	}}, true
}

func (d *desk) notListed(line string) error {
	if line != "" {
		d.say("“%s” is not in the list.", line)
	}
	return nil
}

// statementWant asks for the first statement that is not affirmed.
func (d *desk) statementWant(v runner.StepView) (want, bool) {
	for i, s := range v.Statements {
		if s.Affirmed {
			continue
		}
		key, how := replyTo(v.Step, s.Text)
		prompt := []string{fmt.Sprintf("Statement %d of %d: %s.", i+1, len(v.Statements), strings.TrimRight(s.Text, ".")), how}
		return want{prompt: append(prompt, d.latest(v)...), take: func(line string) error {
			if line == "" {
				return nil
			}
			if !sameWords(line, key) {
				d.say("Nothing was affirmed. Look, make it true, then answer. If it cannot be made true: .stop, .note or .close.")
				return nil
			}
			return d.do(runner.Affirm{Step: v.Step.ID, Statement: s.Index})
		}}, true
	}
	return want{}, false
}

// replyTo is what affirms a statement, and how the prompt asks for it.
func replyTo(st *procedures.Step, text string) (reply, how string) {
	if st.Kind == procedures.Do {
		return "true", "If it is true, type: true"
	}
	words := plainWords(text)
	n := len(words)
	switch {
	case n == 0:
		return text, "If you see that it is true, type the statement."
	case n > 1 && slices.Contains(routine, words[n-1]):
		return words[n-2] + " " + words[n-1], "If you see that it is true, type the last two words of the statement."
	}
	return words[n-1], "If you see that it is true, type the last word of the statement."
}

// routine are replies that are given without reading.
var routine = []string{"yes", "y", "ok", "okay", "true", "done", "no", "1"}

// plainWords is a text as words in small letters, without the marks around them.
func plainWords(text string) []string {
	var out []string
	for _, w := range strings.Fields(strings.ToLower(text)) {
		w = strings.TrimFunc(w, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
		if w != "" {
			out = append(out, w)
		}
	}
	return out
}

func sameWords(a, b string) bool {
	return a == b || len(plainWords(a)) > 0 && slices.Equal(plainWords(a), plainWords(b))
}

// answerWant asks a step's question, which completes it.
func (d *desk) answerWant(v runner.StepView) (want, bool) {
	if _, ok := wanted(v, runner.AnswerMissing); !ok {
		return want{}, false
	}
	var says []string
	for _, a := range v.Step.Ask.Answers {
		says = append(says, a.Say)
	}
	prompt := append([]string{"Question: " + v.Step.Ask.Question}, listed(says)...)
	return want{prompt: append(prompt, "Type your answer."), take: func(line string) error {
		i, ok := numbered(line, says)
		if !ok {
			return d.notListed(line)
		}
		d.told = "" // the answer may lead back to this very step
		return d.do(runner.Answer{Step: v.Step.ID, Say: says[i]})
	}}, true
}
