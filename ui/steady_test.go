package ui

// The rule tested here: from one statement of a step to the next, the safeguards and how the step is done stay as they are, and
// whole lines of it are shown.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// shape is how many rows the top of a screen has, and how many of how the step is done are folded.
type shape struct{ top, folded int }

func (r *rig) shapeAt(w, h int) shape {
	r.m.width, r.m.height = w, h
	c := r.m.cast(w, h)
	r.m.width, r.m.height = 80, 24
	return shape{len(c.top), c.body.folded}
}

func TestNothingMovesFromOneStatementOfAStepToTheNext(t *testing.T) {
	for _, book := range []map[string][]string{plainJob, heatedJob} {
		r := newRig(t).start("millbrook-four")
		pairs, step, before := 0, "", map[[2]int]shape{}
		for id := ""; id != "review"; id = r.m.work.scene().want.id {
			now := map[[2]int]shape{}
			if strings.HasPrefix(id, "affirm ") {
				for _, s := range sizes {
					now[s] = r.shapeAt(s[0], s[1])
					if was, follows := before[s]; follows && r.m.work.step().ID == step {
						pairs++
						assert.Equal(t, was, now[s], "%s at %d by %d", id, s[0], s[1])
					}
				}
				step = r.m.work.step().ID
			}
			before = now
			r.one(book)
		}
		assert.Greater(t, pairs, 4*10, "statements that follow one another")
	}
}

func TestOfHowAStepIsDoneOnlyWholeLinesAreShown(t *testing.T) {
	how := block{rows: []string{"", "- Keep your hands out, and wait until", "  it is dark.", "- Then go on."}, rank: 1, shorten: "- .. the rest", folds: true}
	for room, want := range map[int][]string{
		1: {"- .. the rest"}, 2: {"- .. the rest"}, 3: {"- Keep your hands out, and wait until", "  it is dark.", "- .. the rest"}, 4: how.rows,
	} {
		assert.Equal(t, want, how.take(room), "in %d rows", room)
	}
}
