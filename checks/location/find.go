// The rule of this file: one sensor is found only when every reading that makes
// sense points to it; else the choices are given, never a guess.

package location

import (
	"fmt"
	"slices"
	"strings"
)

// Outcome says how a phrase came out.
type Outcome string

// The outcomes. Only Found names the sensor.
const (
	Found     Outcome = "found"
	Ambiguous Outcome = "ambiguous"       // more than one sensor fits
	Nowhere   Outcome = "fits no sensor"  // the words contradict each other or the vehicle
	Unread    Outcome = "words not known" // part of the phrase is not understood
)

// Choice is one sensor that the words allow.
type Choice struct {
	Position Position
	Means    string
}

// Answer is what a phrase means on a vehicle. Sensor and Urgency are set only
// where Outcome is Found; Choices only where it is Ambiguous or Unread.
type Answer struct {
	Outcome  Outcome
	Sensor   Position
	Choices  []Choice
	Question string // what would decide
	Urgency  Urgency
	Because  string
	Workings []string
	Sources  []string
}

// Sources says where the conventions are from.
var Sources = []string{
	"bank 1 holds cylinder 1, sensor 1 is nearest the engine: SAE J2012 (from memory) and makers' pages",
	"left and right as seated facing forward, near side is the kerb side: vehicle handbooks",
	"the other names: common practice, no source",
}

// most combinations of double meanings that are looked at.
const most = 256

// Find reads a phrase on a vehicle. Errors: text that is no phrase, facts that
// cannot be, too many words with two meanings.
func Find(phrase string, facts Facts) (Answer, error) {
	if err := facts.check(); err != nil {
		return Answer{}, err
	}
	words, err := read(phrase)
	if err != nil {
		return Answer{}, err
	}
	words = settled(words)
	combinations := 1
	for _, w := range words {
		if combinations *= max(1, len(w.readings)); combinations > most {
			return Answer{}, fmt.Errorf("words %q: too many words with two meanings; say bank and sensor once each", phrase)
		}
	}
	s := search{facts: facts, words: words, effects: effects(facts, words)}
	s.try(0, facts.fitted())
	return s.answer(), nil
}

// fitted lists the sensors in order, each once.
func (f Facts) fitted() []Position {
	all := slices.Clone(f.Sensors)
	slices.SortFunc(all, func(a, b Position) int { return (a.Bank-b.Bank)*10 + a.Sensor - b.Sensor })
	return slices.Compact(all)
}

// settled drops the reading "front bank" of a front beside a "front bank" said
// outright: nobody says that twice.
func settled(words []word) []word {
	said := map[meaning]bool{}
	for _, w := range words {
		if len(w.readings) == 1 && w.readings[0].sort == byEnd {
			said[w.readings[0]] = true
		}
	}
	for i, w := range words {
		if len(w.readings) > 1 {
			words[i].readings = slices.DeleteFunc(slices.Clone(w.readings), func(m meaning) bool { return said[m] })
		}
	}
	return words
}

// effects works out each reading of each word. A reading by the ends of the
// engine is left out where the banks do not lie front and rear and the word has
// another.
func effects(f Facts, words []word) [][]effect {
	all := make([][]effect, len(words))
	for i, w := range words {
		for _, m := range w.readings {
			if m.sort == byEnd && len(w.readings) > 1 && !f.frontAndRear() {
				continue
			}
			all[i] = append(all[i], f.effect(m))
		}
	}
	return all
}

// frontAndRear reports whether the banks may lie front and rear.
func (f Facts) frontAndRear() bool {
	_, known := f.onSide("front")
	return len(f.banks()) > 1 && slices.Contains(f.ends(false), "front") && (known || !f.sidesKnown())
}

// search gathers the sensors of every combination of readings.
type search struct {
	facts   Facts
	words   []word
	effects [][]effect
	found   []Position
}

func (s *search) try(i int, left []Position) {
	if i == len(s.effects) {
		s.found = append(s.found, left...)
		return
	}
	if len(s.effects[i]) == 0 { // a word not read chooses nothing
		s.try(i+1, left)
	}
	for _, e := range s.effects[i] {
		var kept []Position
		for _, p := range left {
			if e.fits(p) {
				kept = append(kept, p)
			}
		}
		if len(kept) > 0 {
			s.try(i+1, kept)
		}
	}
}

func (s *search) answer() Answer {
	a := Answer{Workings: s.lines(), Sources: slices.Clone(Sources)}
	left := slices.DeleteFunc(s.facts.fitted(), func(p Position) bool { return !slices.Contains(s.found, p) })
	unread := s.unread()
	switch {
	case len(left) == 0:
		a.Outcome, a.Because = Nowhere, "no fitted sensor fits all the words; fitted are "+list(s.facts.fitted())
		a.Question = "which of the words is wrong, or whose vehicle is this card"
	case len(unread) > 0:
		a.Outcome, a.Because = Unread, fmt.Sprintf("not understood: %s; the rest leaves %s", strings.Join(unread, ", "), list(left))
		a.Question = "what do the words that were not understood say? " + s.question(left)
	case len(left) > 1:
		a.Outcome, a.Because = Ambiguous, "the words fit "+list(left)
		a.Question = s.question(left)
	default:
		a.Outcome, a.Sensor, a.Urgency = Found, left[0], UrgencyOf(left[0].Sensor)
		a.Because = fmt.Sprintf("%s: %s", left[0], s.facts.describe(left[0]))
	}
	if a.Outcome == Ambiguous || a.Outcome == Unread {
		for _, p := range left {
			a.Choices = append(a.Choices, Choice{p, s.facts.describe(p)})
		}
	}
	a.Workings = append(a.Workings, "remaining: "+list(left))
	return a
}

func (s *search) unread() []string {
	var all []string
	for _, w := range s.words {
		if len(w.readings) > 0 {
			continue
		}
		text := fmt.Sprintf("%q", w.text)
		if meant := resembling(w.text); meant != "" {
			text += fmt.Sprintf(" (did you mean %q?)", meant)
		}
		all = append(all, text)
	}
	return all
}

// lines says what each word means here.
func (s *search) lines() []string {
	lines := []string{"fitted: " + list(s.facts.fitted())}
	for i, w := range s.words {
		var texts []string
		for _, e := range s.effects[i] {
			if e.line != "" {
				texts = append(texts, e.line)
			}
		}
		switch {
		case len(w.readings) == 0:
			lines = append(lines, fmt.Sprintf("%q: not understood", w.text))
		case len(texts) > 1:
			lines = append(lines, fmt.Sprintf("%q has %d meanings: %s", w.text, len(texts), strings.Join(texts, "; or ")))
		case len(texts) == 1:
			lines = append(lines, fmt.Sprintf("%q: %s", w.text, texts[0]))
		}
	}
	return lines
}

func list(all []Position) string {
	var texts []string
	for _, p := range all {
		texts = append(texts, p.String())
	}
	if len(texts) == 0 {
		return "none"
	}
	return strings.Join(texts, ", ")
}
