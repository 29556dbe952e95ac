// The rule of this file: no answer is stronger than the readings; it says what
// they point to, and what was not measured.

package fueltrim

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Outcome says how far the readings go.
type Outcome string

// The outcomes. None of them is a proof.
const (
	WithinLimits Outcome = "within limits"
	PointsTo     Outcome = "points to"
	MoreNeeded   Outcome = "more readings needed" // off, but measured at one end only
)

// Finding is one pattern and what it points to.
type Finding struct {
	Banks    []int
	Shape    Shape // of the first of Banks
	Suspects []Suspect
	Apart    []string // what would tell the suspects apart, in their order
	Because  string
}

// Assessment is what the trims say.
type Assessment struct {
	Outcome  Outcome
	Because  string
	Findings []Finding
	Figures  []Figure
	Shapes   []Shape
	Notes    []string // what limits the answer
	Limits   Limits
	Workings []string
}

// mostReadings keeps a log from being pasted in whole.
const mostReadings = 10000

// Assess sorts the readings by bank and condition and says what their pattern
// points to. Errors name a reading or limit that cannot be; none in closed loop
// is an error too.
func Assess(readings []Reading, limits Limits) (Assessment, error) {
	if err := limits.check(); err != nil {
		return Assessment{}, err
	}
	if len(readings) == 0 || len(readings) > mostReadings {
		return Assessment{}, fmt.Errorf("fuel trims: %d readings given; give 1 to %d, at idle, at raised speed and under load", len(readings), mostReadings)
	}
	for i, r := range readings {
		if err := r.check(i); err != nil {
			return Assessment{}, err
		}
	}
	a := Assessment{Limits: limits, Figures: limits.figures(readings)}
	if len(a.Figures) == 0 {
		return Assessment{}, fmt.Errorf("fuel trims: no reading in closed loop; warm the engine up and read again")
	}
	for _, bank := range banksOf(a.Figures) {
		a.Shapes = append(a.Shapes, limits.shape(bank, a.Figures))
	}
	a.find()
	a.note(readings)
	a.conclude()
	a.lines(readings)
	return a, nil
}

// find groups the banks that share a shape and looks their pattern up.
func (a *Assessment) find() {
	var off []Shape
	for _, s := range a.Shapes {
		if s.Direction != Level {
			off = append(off, s)
		}
	}
	for len(off) > 0 {
		first := off[0]
		var banks []int
		off = slices.DeleteFunc(off, func(s Shape) bool {
			alike := s.Direction == first.Direction && s.Where == first.Where
			if alike {
				banks = append(banks, s.Bank)
			}
			return alike
		})
		a.Findings = append(a.Findings, a.finding(first, banks))
	}
}

func (a *Assessment) finding(s Shape, banks []int) Finding {
	f := Finding{Banks: banks, Shape: s, Suspects: Suspects(s.Direction, s.Where, spread(len(banks), len(a.Shapes)))}
	if a.crossed() {
		f.Suspects = append(f.Suspects, SwappedLeads)
	}
	var names []string
	for _, suspect := range f.Suspects {
		f.Apart = append(f.Apart, fmt.Sprintf("%s: %s", suspect, apart()[suspect]))
		names = append(names, string(suspect))
	}
	f.Because = fmt.Sprintf("%s %s, %s (worst %s): points to %s", bankText(banks), s.Direction, s.Where, percent(s.Worst), strings.Join(names, "; or "))
	return f
}

func spread(alike, measured int) Spread {
	switch {
	case measured == 1:
		return OnlyBank
	case alike == measured:
		return EveryBank
	}
	return SomeBanks
}

// OfBank is the shape of one bank and which banks share it. Ok is false where the bank was not measured at idle, at raised
// speed or under load.
func (a *Assessment) OfBank(bank int) (s Shape, alike Spread, ok bool) {
	told := slices.ContainsFunc(a.Figures, func(f Figure) bool { return f.Bank == bank && f.Condition != Between })
	i := slices.IndexFunc(a.Shapes, func(s Shape) bool { return s.Bank == bank })
	if i < 0 || !told {
		return Shape{}, "", false
	}
	s = a.Shapes[i]
	n := 0
	for _, other := range a.Shapes {
		if other.Direction == s.Direction && other.Where == s.Where {
			n++
		}
	}
	return s, spread(n, len(a.Shapes)), true
}

// crossed reports one bank lean and another rich.
func (a *Assessment) crossed() bool {
	has := func(d Direction) bool {
		return slices.ContainsFunc(a.Shapes, func(s Shape) bool { return s.Direction == d })
	}
	return has(Lean) && has(Rich)
}

// note says what limits the answer.
func (a *Assessment) note(readings []Reading) {
	l := a.Limits
	open, opposed, stopped := 0, 0, 0
	for _, r := range readings {
		switch {
		case r.OpenLoop:
			open++
			continue
		case l.beyond(r.Short)*l.beyond(r.Long) < 0:
			opposed++
		}
		if math.Abs(r.Long) >= l.Stop.Value-hair {
			stopped++
		}
	}
	add := func(n int, text string) {
		if n > 0 {
			a.Notes = append(a.Notes, fmt.Sprintf("%d of %d readings %s", n, len(readings), text))
		}
	}
	add(open, "in open loop: left out, for the trims do nothing there")
	add(opposed, "with short and long trim far apart and opposite: something changed lately, or the long trim has not settled; drive on and read again")
	add(stopped, "with the long trim at or past "+plusMinus(l.Stop.Value)+", where many controllers stop: the true error may be larger")
	a.missing()
}

// missing names the conditions in which no reading was taken, bank by bank.
func (a *Assessment) missing() {
	for _, s := range a.Shapes {
		for _, c := range []Condition{Idle, Raised, Loaded} {
			if !slices.ContainsFunc(a.Figures, func(f Figure) bool { return f.Bank == s.Bank && f.Condition == c }) {
				a.Notes = append(a.Notes, fmt.Sprintf("not measured: bank %d, %s", s.Bank, c))
			}
		}
	}
}

func (a *Assessment) conclude() {
	if len(a.Findings) == 0 {
		a.Outcome = WithinLimits
		a.Because = fmt.Sprintf("every trim measured lies within %s; that shows no fault in these conditions and says nothing of others", plusMinus(a.Limits.Trim.Value))
		if !slices.ContainsFunc(a.Figures, func(f Figure) bool { return f.Condition != Between }) {
			a.Outcome, a.Because = MoreNeeded, "no reading at idle, at raised speed or under load: take some there"
		}
		return
	}
	a.Outcome = PointsTo
	var texts []string
	for _, f := range a.Findings {
		texts = append(texts, f.Because)
		if f.Shape.Where == Unknown {
			a.Outcome = MoreNeeded
		}
	}
	a.Because = strings.Join(texts, ". ") + ". Trims alone prove none of these"
	if a.Outcome == MoreNeeded {
		a.Because += "; measure at idle and at raised speed or under load to tell them apart"
	}
}

func (a *Assessment) lines(readings []Reading) {
	for i, r := range readings {
		if i == 20 {
			a.Workings = append(a.Workings, fmt.Sprintf("and %d more readings", len(readings)-i))
			break
		}
		state := string(a.Limits.condition(r))
		if r.OpenLoop {
			state = "open loop, left out"
		}
		a.Workings = append(a.Workings, fmt.Sprintf("bank %d, %.0f 1/min, load %.0f %%: short %s + long %s = %s (%s)",
			r.Bank, r.Speed, r.Load*100, percent(r.Short), percent(r.Long), percent(r.Total()), state))
	}
	for _, f := range a.Figures {
		a.Workings = append(a.Workings, fmt.Sprintf("bank %d, %s: mean of %d = %s, limit %s", f.Bank, f.Condition, f.Count, percent(f.Total), plusMinus(a.Limits.Trim.Value)))
	}
	for _, s := range a.Shapes {
		a.Workings = append(a.Workings, fmt.Sprintf("bank %d: %s, %s", s.Bank, s.Direction, s.Where))
	}
}

func bankText(banks []int) string {
	if len(banks) == 1 {
		return fmt.Sprintf("bank %d", banks[0])
	}
	return "banks " + strings.Trim(strings.ReplaceAll(fmt.Sprint(banks), " ", " and "), "[]")
}
