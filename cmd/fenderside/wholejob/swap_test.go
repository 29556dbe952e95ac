//go:build unix

package wholejob

// The swap by somebody who tries every key at every gate, and whose laptop dies twice.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/procedures"
	"fenderside/ui/terminaltest"
)

func TestTheWholeSwapLiveInATerminalKilledTwice(t *testing.T) {
	inParallel(t)
	h := journey{procedure: "sensor-swap", vehicle: "millbrook-four", position: "B1S1", window: terminaltest.Usual,
		book: fromBeneath.with(onAdapter, set("45.5 N·m"))}.begins(t)
	kills := map[string]bool{"compare-part": true, "route-lead": true}
	h.work(func(l look) bool {
		if step := l.state.Current(); step != nil && kills[step.ID] {
			delete(kills, step.ID)
			h.diesAndComesBack()
			return true
		}
		return h.everyKey(l)
	})
	assert.Empty(t, kills)
	assert.Greater(t, len(h.tried), 12, "the gates of the swap were tried")
	t.Logf("every key tried at %d gates", len(h.tried))
	h.verified(procedures.Complete, "sound")
}

// diesAndComesBack kills the program and takes the job up again: it is held.
func (h *hand) diesAndComesBack() {
	h.Kill()
	h.Run(program, "resume")
	h.Until("the job is back, and held", func() bool {
		return h.grow() && h.replay.State.Hold() != nil && strings.Contains(h.Screen(), "F4 STOP WORK")
	})
}
