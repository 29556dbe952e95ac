package writing

// An action begins with its verb, says what to do rather than what to leave, and puts a condition before it:
// IF this is so, THEN do that.

import (
	"slices"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"
)

// line reads one line of a step's how.
func (r *reading) line(n *yaml.Node) {
	if r.hidden(n) {
		return
	}
	for _, s := range sentences(n.Value) {
		r.action(n, s)
	}
}

var (
	conditional = patternOf(`^(?:IF|WHEN) .+, THEN (.+)$`)
	condition   = patternOf(`(?i)^(?:if|when|whenever|unless|in case|should)\b`)
	trailing    = patternOf(`\b(?:if|unless|in case)\b`)
	passive     = patternOf(`\b(?:must|should|shall|(?:is|are|has|have|needs?) to)(?: not)? be\b`)
)

// action reads a sentence that asks for something to be done.
func (r *reading) action(n *yaml.Node, sentence string) {
	if m := conditional.regexp().FindStringSubmatch(sentence); m != nil {
		r.verb(n, m[1], true)
		return
	}
	const hint = `write it as IF the condition holds, THEN the action`
	switch {
	case condition.in(sentence):
		r.warn(n, sourceCondition, hint, "%s is a condition without IF or WHEN before a THEN", quote(sentence))
	case strings.Contains(sentence, " THEN "):
		r.warn(n, sourceCondition, hint, "%s has a THEN without a condition before it", quote(sentence))
	case trailing.in(sentence):
		r.warn(n, sourceCondition, hint, "%s puts its condition after the action, where it is read too late", quote(sentence))
	default:
		r.verb(n, sentence, false)
	}
}

// negatives begin what says only what to leave.
var negatives = []string{"don't", "never", "avoid", "refrain"}

// verb reads the action alone. After THEN a prohibition may be all there is to say.
func (r *reading) verb(n *yaml.Node, action string, afterThen bool) {
	main := clauses(action)[0]
	w := words(main)
	negative := len(w) > 1 && w[0] == "do" && w[1] == "not" || slices.Contains(negatives, first(main))
	switch {
	case negative && !afterThen:
		r.warn(n, sourceAction, "write what to do; what to keep from belongs under avoid of a warning", "%s says what not to do", quote(main))
	case negative, acts(main):
	case passive.in(main):
		r.warn(n, sourceAction, "say it to the person: begin with the verb", "%s says what is to be done, not who does it", quote(main))
	default:
		r.warn(n, sourceAction, "begin with what to do, such as Measure, Set, Take; this rule knows some hundred verbs, and yours may not be among them",
			"%s does not begin with a verb that is known here", quote(main))
	}
}

// acts says whether a text begins with a verb, perhaps after a word that says how.
func acts(text string) bool {
	w := words(text)
	for len(w) > 0 && (manner()[w[0]] || strings.HasSuffix(w[0], "ly") && !verbs()[w[0]]) {
		w = w[1:]
	}
	return len(w) > 0 && (verbs()[w[0]] || strings.Contains(w[0], "-") && verbs()[w[0][strings.LastIndex(w[0], "-")+1:]])
}

var shouted = patternOf(`\b(?:DANGER|WARNING|CAUTION|NOTICE)\b|^(?i:danger|warning|caution|notice|attention|beware)\b[:!]?`)

// hidden warns of a warning that stands inside an action or a reason.
func (r *reading) hidden(n *yaml.Node) bool {
	if !shouted.in(n.Value) {
		return false
	}
	r.warn(n, sourceBefore, "write it under warning, which is shown before the step", "%s is a warning among the actions, where it comes too late", quote(n.Value))
	return true
}

// agreeing are the answers that say nothing of the work.
var agreeing = sync.OnceValue(func() map[string]bool {
	return map[string]bool{"ok": true, "okay": true, "yes": true, "y": true, "done": true, "fine": true, "good": true,
		"all good": true, "confirmed": true, "checked": true, "understood": true, "correct": true, "ready": true, "true": true}
})

// answers reads the answers to a step's question, and the choices of its readings.
func (r *reading) answers(step *yaml.Node) {
	for _, a := range entries(get(get(step, "ask"), "answers")) {
		r.answer(get(a, "say"))
	}
	asked := append([]*yaml.Node{step}, entries(get(step, "either"))...)
	for _, group := range asked {
		for _, reading := range entries(get(group, "readings")) {
			for _, choice := range entries(get(reading, "choose")) {
				r.answer(choice)
			}
		}
	}
}

func (r *reading) answer(n *yaml.Node) {
	if n != nil && agreeing()[strings.Join(words(n.Value), " ")] {
		r.warn(n, sourceAnswer, "write the state that is seen, such as: dry and whole", "the answer %s says nothing of what is seen", quote(n.Value))
	}
}
