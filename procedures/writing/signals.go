package writing

// A warning has four parts that each say their own thing, its word follows what can happen, and it holds no action but how to
// keep from harm. What is worn against a hazard is named before the job begins.

import (
	"slices"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"

	"fenderside/procedures"
)

// warning reads one warning of a step.
func (r *reading) warning(w *yaml.Node) {
	r.warnings = append(r.warnings, w)
	hazard, consequence, avoid := get(w, "hazard"), get(w, "consequence"), get(w, "avoid")
	if hazard == nil || consequence == nil || avoid == nil {
		return
	}
	for _, part := range []*yaml.Node{hazard, consequence} {
		if orders(part.Value) {
			r.warn(part, sourceNoAction, "say what it is or does; put the work into how, and what keeps from harm into avoid",
				"%s of a warning asks for an action", quote(part.Value))
		}
	}
	for _, pair := range [][2]*yaml.Node{{hazard, consequence}, {hazard, avoid}, {consequence, avoid}} {
		if slices.Equal(words(pair[0].Value), words(pair[1].Value)) {
			r.warn(pair[1], sourceParts, "say in each part its own thing", "the warning says %s twice", quote(pair[1].Value))
		}
	}
	if !acts(avoid.Value) && !slices.Contains(append(negatives, "do"), first(avoid.Value)) {
		r.warn(avoid, sourceParts, "begin with what to do, such as Wear, Keep, Stand", "avoid does not say what to do: %s", quote(avoid.Value))
	}
	r.severity(get(w, "word"), consequence)
}

// orders says whether a hazard or a consequence tells somebody to do something. Only words that are hardly ever the beginning
// of a noun count.
func orders(text string) bool {
	for _, s := range sentences(text) {
		for _, c := range clauses(s) {
			if ordering()[first(c)] {
				return true
			}
		}
	}
	return bidding.in(text)
}

var ordering = sync.OnceValue(func() map[string]bool {
	return set(`allow avoid be beware check confirm connect disconnect do don't ensure install keep let lower make never
		loosen place put raise remove stay take tighten turn unplug verify wear`)
})

var (
	bidding = patternOf(`(?i)\b(?:must|should|shall|do not|don't|make sure|be sure|never|always)\b`)
	fatal   = patternOf(`(?i)\b(?:death|deadly|dead|fatal\w*|die[sd]?|kill\w*|electrocut\w*)\b`)
	serious = patternOf(`(?i)\b(?:crush\w*|sever\w*|amputat\w*|blind\w*|explosion|fire|suffocat\w*|unconscious\w*|paralys\w*|shock|drown\w*)\b`)
	hurt    = patternOf(`(?i)\b(?:burn\w*|scald\w*|cut|cuts|bruise\w*|injur\w*|wound\w*|broken (?:bone|finger|knuckle)s?|pinch\w*)\b`)
)

// severity holds the signal word to the consequence: DANGER and WARNING are for death or serious injury, CAUTION for less,
// NOTICE for what hurts nobody.
func (r *reading) severity(word, consequence *yaml.Node) {
	if word == nil {
		return
	}
	text := consequence.Value
	switch procedures.SignalWord(word.Value) {
	case procedures.DangerWord:
		if !fatal.in(text) && !serious.in(text) {
			r.warn(word, sourceWord, "take WARNING or CAUTION, or name what it does to a person", "DANGER, but its consequence names no death or serious injury")
		}
	case procedures.Caution:
		if fatal.in(text) {
			r.warn(word, sourceWord, "take WARNING or DANGER", "CAUTION, but its consequence names death")
		}
	case procedures.Notice:
		if fatal.in(text) || serious.in(text) || hurt.in(text) {
			r.warn(word, sourceWord, "take CAUTION, WARNING or DANGER", "NOTICE, but its consequence names an injury")
		}
	}
}

// dangers are few: two, or one in ten of the steps, whichever is more.
func (r *reading) dangers() {
	left := max(2, r.count/10)
	for _, w := range r.warnings {
		word := get(w, "word")
		if word == nil || word.Value != string(procedures.DangerWord) {
			continue
		}
		if left--; left < 0 {
			r.warn(word, sourceFew, "keep DANGER for what kills most surely, and take WARNING here", "one DANGER more than two, and than one in ten steps")
		}
	}
}

// wornAgainst is what a consequence does to the body, and what is worn against it.
var wornAgainst = []struct {
	harm, worn   *pattern
	what, source string
}{
	{patternOf(`(?i)\b(?:eyes?|blind\w*)\b`), patternOf(`(?i)\b(?:eyes?|goggles|visor|face shield|spectacles|glasses)\b`),
		"eyes", sourceProtect + "; eyes and face, 1910.133"},
	{patternOf(`(?i)\b(?:cut (?:hand|finger)s?|burn\w*|scald\w*)\b`), patternOf(`(?i)\b(?:\w*gloves?|gauntlets?|clothing|sleeves|apron)\b`),
		"skin or hands", sourceProtect + "; hands, 1910.138"},
	{patternOf(`(?i)\b(?:deaf\w*|hearing)\b`), patternOf(`(?i)\b(?:ears?|hearing|earplugs|muffs)\b`),
		"hearing", sourceProtect + "; hearing, 1910.95"},
	{patternOf(`(?i)\b(?:foot|feet|toes?)\b`), patternOf(`(?i)\b(?:shoes|boots|foot\w*|toe\w*)\b`),
		"feet", sourceProtect + "; feet, 1910.136"},
}

// equipment holds what the steps warn of to what the briefing names to wear.
func (r *reading) equipment() {
	hazards, protective := get(r.root, "hazards"), get(r.root, "protective")
	if hazards != nil && protective == nil {
		r.warn(hazards, sourceProtect, "add protective: what is worn, and against what", "hazards are named, and no protective equipment")
		return
	}
	var worn []string
	for _, p := range entries(protective) {
		worn = append(worn, p.Value)
	}
	for _, body := range wornAgainst {
		for _, w := range r.warnings {
			consequence := get(w, "consequence")
			if consequence != nil && body.harm.in(consequence.Value) && !body.worn.in(strings.Join(worn, "\n")) {
				r.warn(consequence, body.source, "name under protective what is worn against it", "this warning is about %s, and protective names nothing for them", body.what)
				break
			}
		}
	}
}
