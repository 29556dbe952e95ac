package ui

// How many keys the sensor swap costs beyond what has to be typed, on the screens, from the first step to the last.
//
// What is counted as a value, and not held to the bound: the characters of a typed value, and the Enter that ends it; the
// number of a choice that is recorded (a reading, an answer, a way), and the Enter that ends it. What is an item of its own:
// the affirmation of a statement, which is one key each by design, for a statement is looked at and said one by one. All
// other keys are counted: starting a time, completing a step, passing over one, looking at a hold, turning a page.

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
)

// cost is what one step took.
type cost struct {
	step                        string
	beyond                      int // keys that are neither a value nor an affirmation
	statements, values, choices int
	affirming                   int // keys that affirmed the statements
}

// recorded counts, from the journal alone, what the job holds of a step's statements and choices.
func (r *rig) recorded() (statements, choices int) {
	for _, l := range r.m.work.session.Lines() {
		for _, e := range l.Events {
			switch e := e.(type) {
			case runner.Affirmed:
				statements++
			case runner.Answered, runner.WayChosen:
				choices++
			case runner.ReadingTaken:
				st, _ := r.m.work.job.Procedure.StepByID(e.Step)
				for _, spec := range st.Readings {
					if spec.ID == e.Reading && spec.Kind == procedures.TakesChoice {
						choices++
					}
				}
			}
		}
	}
	return statements, choices
}

// counted works the job by a book and returns what each step took, in order.
func (r *rig) counted(book map[string][]string) (all []cost) {
	r.t.Helper()
	for range 900 {
		st := r.m.work.step()
		if st == nil && r.m.work.scene().want.id == "review" {
			return all
		}
		if st == nil { // the briefing, and what lies between the steps
			r.one(book)
			continue
		}
		if len(all) == 0 || all[len(all)-1].step != st.ID {
			all = append(all, cost{step: st.ID})
		}
		c := &all[len(all)-1]
		keys, typing := r.keys, r.typing
		said, chosen := r.recorded()
		r.one(book)
		saidAfter, chosenAfter := r.recorded()
		pressed := r.keys - keys - (r.typing - typing)
		if r.typing > typing {
			c.values++
		}
		switch {
		case saidAfter > said:
			require.Equal(r.t, said+1, saidAfter, "%s: one key says one statement", st.ID)
			c.statements, c.affirming = c.statements+1, c.affirming+pressed
		case chosenAfter > chosen:
			c.choices, c.beyond = c.choices+1, c.beyond+pressed-2
		default:
			c.beyond += pressed
		}
	}
	require.Fail(r.t, "the job came to no end")
	return nil
}

func TestNoStepOfTheSwapCostsMoreThanTwoKeysBeyondItsValuesAndStatements(t *testing.T) {
	for _, size := range [][2]int{{leastWidth, leastHeight}, {80, 24}, {120, 30}} {
		t.Run(fmt.Sprintf("%d by %d", size[0], size[1]), func(t *testing.T) {
			r := newRig(t).size(size[0], size[1]).start("millbrook-four")
			all := r.counted(plainJob)
			assert.Greater(t, len(all), 25, "the whole job was worked")
			most := 0
			var table strings.Builder
			for _, c := range all {
				fmt.Fprintf(&table, "%-24s %d beyond  (%d statements, %d typed, %d chosen)\n", c.step, c.beyond, c.statements, c.values, c.choices)
				assert.LessOrEqual(t, c.beyond, 2, c.step)
				assert.Equal(t, c.statements, c.affirming, "%s: a statement is one key", c.step)
				most = max(most, c.beyond)
			}
			t.Logf("keys beyond values and affirmations, at most %d a step:\n%s", most, table.String())
		})
	}
}

func TestPassingOverIsForOptionalStepsAlone(t *testing.T) {
	r := newRig(t)
	screens["statement"](r)
	r.key("f10")
	assert.Contains(t, r.m.View(), "Only an optional step can be passed over")
	assert.Zero(t, count[runner.Skipped](r, "take-key"))
	r.key("esc", "o")
	assert.Contains(t, r.m.View(), "Only an optional step can be passed over")
}
