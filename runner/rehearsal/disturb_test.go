package rehearsal_test

// What happens to a walk at random: losses, crashes, changes of person, corrections, early closes.

import (
	"maps"
	"slices"
	"time"

	"fenderside/procedures"
	"fenderside/runner"
)

// disturb lets something happen at random.
func (w *walker) disturb() {
	p := w.s.Job().Procedure
	other := w.another(w.people)
	step := p.Steps[w.pick(len(p.Steps), "step")].ID
	switch w.pick(14, "disturbance") {
	case 0:
		w.do(runner.StopWork{Safeguards: []string{p.Safeguards[w.pick(len(p.Safeguards), "safeguard")].ID}})
	case 1:
		w.do(runner.StopWork{})
	case 2: // killed and started again
		w.now.Session, w.now.Mono = w.now.Session+1, 0
		w.require(w.do(runner.Reopen{}), "reopening is refused")
	case 3: // the machine slept
		w.now.Wall = w.now.Wall.Add(time.Hour)
		w.do(runner.Tick{})
	case 4:
		w.do(runner.Pause{Reason: "a call"})
	case 5:
		w.do(runner.HandOver{To: other.Person})
	case 6:
		w.do(runner.TakeOver{By: other.Person, Reason: "gone", Signature: w.stretch(other.Person, "take-over")})
	case 7:
		w.do(runner.Close{Outcome: procedures.Abandoned, Reason: "home time"})
	case 8:
		w.do(runner.Continue{Reason: "after all"})
	case 9:
		w.pass(time.Hour)
		w.do(runner.Tick{})
	case 10:
		w.do(runner.KeepJob{Reason: "no bus"})
	case 11:
		w.do(runner.Leave{Step: step, State: "as it is"})
	case 12:
		if c := w.s.Current(); c != nil {
			w.do(runner.Read{Step: c.ID, Reading: "surface", Value: "200 °C"})
			w.do(runner.Read{Step: c.ID, Reading: "residual", Value: "9 V"})
			w.do(runner.Skip{Step: c.ID, Reason: "in a hurry"})
		}
	case 13:
		w.do(runner.Correct{Correction: w.correction(step)})
	}
}

// correction is one of any kind, to what may have been entered or not.
func (w *walker) correction(step string) runner.Correction {
	switch w.pick(4, "correction") {
	case 0:
		return runner.Correction{Answer: step, Reason: "wrong"}
	case 1:
		return runner.Correction{Statement: step, Reason: "wrong"}
	case 2:
		position := []string{"B1S1", "B1S2", "B2S1", "B2S2"}[w.pick(4, "position")]
		return runner.Correction{Sheet: "position", Value: position, Reason: "wrong"}
	}
	reading := slices.Sorted(maps.Keys(figures))[w.pick(len(figures), "figure")]
	value := []string{"37 N·m", "99 °C", "9 V", "10 %", "3"}[w.pick(5, "value")]
	return runner.Correction{Reading: reading, Value: value, Reason: "wrong"}
}
