package audit

// A torque above its window is not cured by a lower figure: the bolt has to come out between. That an overtightened bolt
// is taken out and not merely tightened again is common practice; the vehicle maker's service information decides.

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/checks/quantity"
	"fenderside/procedures"
	"fenderside/runner"
)

// clamp is a job at one gate with two torques: the first is limited by the procedure, the second by a check.
func (d *depot) clamp(at func(h *shift)) Record {
	h := d.start(d.opening("clamp.yaml"))
	h.do(runner.Take{Instrument: "wrench", Name: "TW-1", Due: "2026-12-31"})
	h.do(runner.Answer{Step: "choose", Say: "It is out"})
	h.loosen()
	at(h)
	h.do(runner.Answer{Step: "tighten", Say: "It is firm"})
	h.do(runner.Affirm{Step: "sit"})
	h.do(runner.Finish{Step: "sit"})
	return one(d.t, h.seal(asha, nil).Dir)
}

func (h *shift) loosen() {
	h.do(runner.Affirm{Step: "loosen"})
	h.do(runner.Finish{Step: "loosen"})
}

func (h *shift) pull(reading string, values ...string) {
	for _, v := range values {
		h.do(runner.Read{Step: "tighten", Reading: reading, Value: v})
	}
}

func TestATorqueAboveItsWindowIsNotCuredByALowerFigure(t *testing.T) {
	cases := map[string]struct {
		first, second []string
		says          string
	}{
		"both at once":                      {[]string{"23 N·m"}, []string{"23 N·m"}, ""},
		"below, then inside":                {[]string{"15 N·m", "23 N·m"}, []string{"15 N·m", "23 N·m"}, ""},
		"above a limit, then inside":        {[]string{"30 N·m", "23 N·m"}, []string{"23 N·m"}, "refused 30 N·m as above its window"},
		"above a check, then inside":        {[]string{"23 N·m"}, []string{"30 N·m", "23 N·m"}, "refused 30 N·m as above its window"},
		"nearer the end than the wrench is": {[]string{"23 N·m"}, []string{"25.8 N·m", "23 N·m"}, "refused 25.8 N·m as above its window"},
		"above, then below, then inside":    {[]string{"30 N·m", "15 N·m", "23 N·m"}, []string{"23 N·m"}, "then accepted 23 N·m"},
		"a higher number of a smaller unit": {[]string{"200 lbf·in"}, []string{"23 N·m"}, ""},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			looks(t, newDepot(t).clamp(func(h *shift) {
				h.pull("pulled", c.first...)
				h.pull("second", c.second...)
			}), c.says)
		})
	}
}

func TestATorqueAboveItsWindowIsCuredByTheStepThatUndoesIt(t *testing.T) {
	looks(t, newDepot(t).clamp(func(h *shift) {
		h.pull("pulled", "30 N·m")
		h.do(runner.Correct{Correction: runner.Correction{Answer: "choose", Reason: "the bolt has to come out again"}})
		h.do(runner.Answer{Step: "choose", Say: "It is still in"})
		h.loosen()
		h.pull("pulled", "23 N·m")
		h.pull("second", "23 N·m")
	}), "")
}

func TestAWindowOfAnythingButATorqueLeavesNothingBehind(t *testing.T) {
	within := func(id string, d quantity.Dimension) procedures.Reading {
		return procedures.Reading{ID: id, Quantity: d, AtLeast: procedures.Bound{Set: true}, AtMost: procedures.Bound{Set: true}}
	}
	f := lowering{p: &procedures.Procedure{Steps: []procedures.Step{{ID: "cool", Kind: procedures.Gate,
		Readings: []procedures.Reading{within("emissivity", quantity.Number), within("pulled", quantity.Torque)}}}}}
	assert.False(t, f.isWindow(runner.ReadingTaken{Step: "cool", Reading: "emissivity"}))
	assert.True(t, f.isWindow(runner.ReadingTaken{Step: "cool", Reading: "pulled"}))
}
