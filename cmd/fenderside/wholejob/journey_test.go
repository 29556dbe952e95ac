//go:build unix

package wholejob

// A journey is one job from its start to the stranger who verifies its record. It is worked in a terminal, a home and a folder
// of its own.

import (
	"os/exec"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/ui/terminaltest"
)

type journey struct {
	name      string
	procedure string
	vehicle   string // a demonstration card, taken as somebody's own
	position  string
	window    terminaltest.Size
	book      book
	follow    []string          // what is written down as still due
	leave     *leaving          // the job is closed early by hand
	left      map[string]string // steps that cannot make safe any more, each with the state it leaves
	ends      procedures.Outcome
}

// leaving is a close by hand when a step is reached.
type leaving struct {
	at  string
	as  procedures.Outcome
	why string
}

// inParallel lets a journey of minutes wait beside the others.
func inParallel(t *testing.T) {
	if testing.Short() {
		t.Skip("takes minutes: it works at a person's pace")
	}
	t.Parallel()
}

// goes works the journey and holds its record to OpenSSH and to the audit.
func (j journey) goes(t *testing.T) signed {
	if _, err := exec.LookPath("ssh-keygen"); err != nil {
		t.Skip("needs ssh-keygen")
	}
	if j.window == (terminaltest.Size{}) {
		j.window = terminaltest.Usual
	}
	h := j.begins(t)
	h.work(func(l look) bool { return j.leaves(h, l) })
	require.Nil(t, j.leave, "the job was to be left on the way")
	if len(j.left) > 0 {
		return h.verified(j.ends, "look here")
	}
	return h.verified(j.ends, "sound")
}

// leaves closes the job early, or writes down what is left, where the journey says so. It reports whether it did.
func (j *journey) leaves(h *hand, l look) bool {
	step := l.state.Current()
	if step == nil || l.shows("Enter turns the page") {
		return false
	}
	if j.leave != nil && j.leave.at == step.ID {
		h.closeEarly(l, j.leave.as, j.leave.why)
		j.leave = nil
		return true
	}
	if l.state.Phase() != runner.Closing {
		return false
	}
	for _, due := range l.state.Due() { // the step at hand, or the one that is held for it
		state, left := j.left[due.ID]
		_, again := j.left[step.ID]
		if left && (due.ID == step.ID || again) {
			h.leaveAs(l, due, state)
			return true
		}
	}
	return false
}

// begins starts the program and opens the job.
func (j journey) begins(t *testing.T) *hand {
	folder := t.TempDir()
	h := &hand{
		t:        t,
		Terminal: terminaltest.New(t, j.window, "FENDERSIDE_HOME="+folder, "TERM=xterm-256color", "HOME="+folder, "USER=asha"),
		journal:  &journal{t: t, folder: folder},
		tried:    map[string]bool{}, last: time.Now(),
	}
	saved := savedLogs(t, j.position)
	h.book = answers.with(book{"trace": {saved.before}, "trace_before": {saved.before}, "trace_after": {dropped(saved.after)}}, j.book)
	for _, what := range j.follow {
		h.followUps = append(h.followUps, [2]string{what, inMonths(1)})
	}
	h.Run(program, "start", j.procedure, "--vehicle", ownCard(t, j.vehicle))
	code := heaterCodes[j.position]
	h.fillSheet(j.procedure, j.vehicle, map[string]string{
		"position": j.position, "told": code, "code_before": code, "mileage": "96 400 km", "trace_time": "time", "trace_column": j.position,
	})
	return h
}

// heaterCodes are the codes for the heater circuit of each sensor (SAE J2012, from memory).
var heaterCodes = map[string]string{"B1S1": "P0135", "B1S2": "P0141", "B1S3": "P0147", "B2S1": "P0155", "B2S2": "P0161", "B2S3": "P0167"}
