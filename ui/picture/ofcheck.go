package picture

// The rule of this file: a picture is drawn from the very values that its check was given, by the readers of the check
// itself.

import (
	"fenderside/checks"
	"fenderside/checks/location"
	"fenderside/checks/trace"
	"fenderside/procedures"
	"fenderside/runner"
)

// Source is what a picture of a check is drawn from. Given is nil where the check has not all that it needs.
type Source struct {
	Check   string
	Given   checks.Arguments
	Verdict checks.Verdict  // empty where it has not run
	Figures []checks.Figure // what it found
	Read    string          // the position that was read back
	Card    *procedures.Card
}

// OfStep is what a step can be shown by: the first of its checks that has a picture now.
func OfStep(s runner.State, step string, now runner.Moment) (Source, bool) {
	v, ok := s.View(step, now)
	if !ok {
		return Source{}, false
	}
	for _, c := range v.Checks {
		from := Source{Check: c.Use.Name, Card: s.Job().Card}
		if given, ok := s.Given(step, c.Use.Name); ok {
			from.Given = given
		}
		if c.Ran {
			from.Verdict, from.Figures = c.Verdict, c.Figures
		}
		from.Read = readBack(v, c.Use)
		if _, ok := OfCheck(from, Form{}); ok {
			return from, true
		}
	}
	return Source{}, false
}

// readBack is the accepted reading that a check is given as the expected position.
func readBack(v runner.StepView, use procedures.CheckUse) string {
	for _, in := range use.Inputs {
		for _, r := range v.Readings {
			if in.Name == "expected" && in.Ref == r.Spec.ID && len(r.Values) > 0 {
				return r.Values[len(r.Values)-1].Text
			}
		}
	}
	return ""
}

// OfCheck draws what a check is about; ok is false where there is no picture of it, or not yet.
func OfCheck(s Source, f Form) (p Picture, ok bool) {
	switch {
	case s.Check == "sensor-position":
		return s.engine(f)
	case s.Given == nil:
		return Picture{}, false
	case s.Check == "cooling-forecast":
		m, limit := checks.CoolingOf(s.Given)
		return Cooling(m, limit, f), true
	case s.Check == "torque-applied":
		t, err := checks.Tightening(s.Given)
		return Torque(t, f), err == nil
	case s.Check == "sensor-trace":
		p, err := s.trace(f)
		return p, err == nil
	case s.Check == "trace-compare":
		p, err := s.traces(f)
		return p, err == nil
	case s.Check == "catalyst":
		p, err := s.catalyst(f)
		return p, err == nil
	}
	return Picture{}, false
}

func (s Source) recording(input string) (Recording, error) {
	r, samples, err := checks.TraceOf(s.Given, input)
	return Recording{Report: r, Samples: samples}, err
}

func (s Source) trace(f Form) (Picture, error) {
	r, err := s.recording("file")
	if err != nil {
		return Picture{}, err
	}
	return Trace(r, f)
}

func (s Source) traces(f Form) (Picture, error) {
	before, err := s.recording("before")
	if err != nil {
		return Picture{}, err
	}
	after, err := s.recording("after")
	if err != nil {
		return Picture{}, err
	}
	c, err := trace.Compare(before.Report, after.Report)
	if err != nil {
		return Picture{}, err
	}
	return Traces(before, after, c, f)
}

func (s Source) catalyst(f Form) (Picture, error) {
	front, rear, r, err := checks.CatalystOf(s.Given)
	if err != nil {
		return Picture{}, err
	}
	return Catalyst(Recording{Report: front.Report, Samples: front.Samples}, Recording{Report: rear.Report, Samples: rear.Samples}, r, f)
}

// engine draws the engine, of the card alone before the check has all that it needs. The sensor is marked once its position
// was read back, for what somebody is to find is not told beforehand; and none is where the check did not pass.
func (s Source) engine(f Form) (Picture, bool) {
	var facts location.Facts
	if s.Given != nil {
		given, _, err := checks.VehicleFacts(s.Given)
		if err != nil {
			return Picture{}, false
		}
		facts = given
		if s.Card != nil {
			facts = completed(facts, FactsOf(s.Card))
		}
	} else if s.Card != nil {
		facts = FactsOf(s.Card)
	} else {
		return Picture{}, false
	}
	lit, why := s.found()
	p := Engine(facts, lit, f)
	if lit == nil {
		p.Words = append(p.Words, why)
		p.Rows = append(p.Rows, captions(f.Width, why)...)
	}
	return p, true
}

// found is the sensor to mark, or why there is none.
func (s Source) found() (*location.Position, string) {
	if s.Verdict == checks.Fail {
		return nil, "No sensor is marked: what was told and what was read back do not agree, or do not lead to one sensor."
	}
	named := s.Read
	for _, figure := range s.Figures {
		if figure.Name == "sensor" {
			named = figure.Text
		}
	}
	p, err := location.ParsePosition(named)
	if err != nil {
		return nil, "No sensor is marked before its position has been read back."
	}
	return &p, ""
}

// completed takes from the card what the facts do not say, as long as the card says nothing else of the engine.
func completed(facts, card location.Facts) location.Facts {
	if facts.Arrangement != card.Arrangement || facts.Mounting != card.Mounting || sideOf(facts, 1) != sideOf(card, 1) {
		return facts
	}
	for i, b := range facts.Banks {
		for _, c := range card.Banks {
			if c.Number != b.Number {
				continue
			}
			if b.Side == "" {
				facts.Banks[i].Side = c.Side
			}
			if len(b.Cylinders) == 0 {
				facts.Banks[i].Cylinders = c.Cylinders
			}
		}
	}
	if facts.CylinderOne == "" {
		facts.CylinderOne = card.CylinderOne
	}
	return facts
}

func sideOf(f location.Facts, bank int) string {
	for _, b := range f.Rows() {
		if b.Number == bank {
			return b.Side
		}
	}
	return ""
}
