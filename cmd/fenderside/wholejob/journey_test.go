//go:build unix

package wholejob

// A journey is one job from its start to the stranger who verifies its record. It is worked in a terminal, a home and a folder
// of its own.

import (
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
)

type journey struct {
	name      string
	procedure string
	vehicle   string // a demonstration card, taken as somebody's own
	position  string
	window    size
	book      book
	follow    []string // what is written down as still due
	leave     *leaving // the job is closed early by hand
	ends      procedures.Outcome
}

// leaving is a close by hand when a step is reached.
type leaving struct {
	at  string
	as  procedures.Outcome
	why string
}

// signed is a signed record, replayed.
type signed struct{ *journal }

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
	if j.window == (size{}) {
		j.window = usual
	}
	h := j.begins(t)
	h.work(func(l look) bool {
		step := l.state.Current()
		if j.leave == nil || step == nil || step.ID != j.leave.at || l.shows("Enter turns the page") {
			return false
		}
		h.closeEarly(l, j.leave.as, j.leave.why)
		j.leave = nil
		return true
	})
	require.Nil(t, j.leave, "the job was to be left on the way")
	return h.verified(j.ends)
}

// begins starts the program and opens the job.
func (j journey) begins(t *testing.T) *hand {
	folder := t.TempDir()
	h := &hand{
		t:        t,
		terminal: newTerminal(t, j.window, "FENDERSIDE_HOME="+folder, "TERM=xterm-256color", "HOME="+folder, "USER=asha"),
		journal:  &journal{t: t, folder: folder},
		tried:    map[string]bool{}, last: time.Now(),
	}
	saved := savedLogs(t, j.position)
	h.book = answers.with(book{"trace": {saved.before}, "trace_before": {saved.before}, "trace_after": {dropped(saved.after)}}, j.book)
	for _, what := range j.follow {
		h.followUps = append(h.followUps, [2]string{what, inMonths(1)})
	}
	h.run(program, "start", j.procedure, "--vehicle", ownCard(t, j.vehicle))
	code := heaterCodes[j.position]
	h.fillSheet(j.procedure, map[string]string{
		"position": j.position, "told": code, "code_before": code, "mileage": "96 400 km", "trace_time": "time", "trace_column": j.position,
	})
	return h
}

// heaterCodes are the codes for the heater circuit of each sensor (SAE J2012, from memory).
var heaterCodes = map[string]string{"B1S1": "P0135", "B1S2": "P0141", "B1S3": "P0147", "B2S1": "P0155", "B2S2": "P0161", "B2S3": "P0167"}

var (
	verifyLine = regexp.MustCompile(`ssh-keygen -Y verify .*?< record\.jsonl`)
	toBoard    = "Enter goes back to the board"
)

// verified holds the record to OpenSSH, by the very line that the done screen shows, and to the audit.
func (h *hand) verified(ends procedures.Outcome) signed {
	found, err := filepath.Glob(filepath.Join(h.folder, "*", "records", "*"))
	require.NoError(h.t, err)
	require.Len(h.t, found, 1)
	verify := exec.Command("sh", "-c", h.lineShown())
	verify.Dir = found[0]
	out, err := verify.CombinedOutput()
	require.NoError(h.t, err, string(out))
	assert.Contains(h.t, string(out), "Good")

	h.backToTheBoard()

	out, err = audit(found[0])
	h.t.Logf("%s", out)
	require.NoError(h.t, err, "the audit accepts the record")
	assert.Regexp(h.t, `(?m)^sound, live work: `, string(out))
	assert.Contains(h.t, string(out), "  "+string(ends)+", closed by asha")

	s := signed{&journal{t: h.t, folder: found[0], path: filepath.Join(found[0], "record.jsonl")}}
	require.True(h.t, s.grow())
	assert.Equal(h.t, ends, s.state().Outcome())
	return s
}

// lineShown is the line that verifies the record, from the pages of the done screen.
func (h *hand) lineShown() string {
	for range 10 {
		screen := h.settled()
		shown := h.size.flat(screen)
		if line := verifyLine.FindString(shown); line != "" {
			return line
		}
		require.NotContains(h.t, shown, toBoard, "the last page was shown, and no line that verifies")
		h.keys(screen, beat, "Enter")
	}
	require.Fail(h.t, "no line that verifies", h.screen())
	return ""
}

// backToTheBoard leaves the done screen by the way it names.
func (h *hand) backToTheBoard() {
	h.until("the board, on which no job is open", func() bool {
		screen := h.settled()
		if strings.Contains(screen, "What is to be done?") {
			return !strings.Contains(screen, "OPEN JOBS")
		}
		h.keys(screen, beat, "Enter")
		return false
	})
}

// audit judges a record against the roster beside it.
func audit(folder string) ([]byte, error) {
	return exec.Command(program, "audit", folder, "--roster", filepath.Join(folder, "roster")).CombinedOutput()
}

// state is how the job ended.
func (s signed) state() runner.State { return s.replay.State }

// passed holds the record to gates and steps that were done.
func (s signed) passed(steps ...string) {
	s.t.Helper()
	for _, step := range steps {
		assert.Positive(s.t, s.finished(step), "%s was done", step)
	}
}

// untouched holds the record to steps that were never done.
func (s signed) untouched(steps ...string) {
	s.t.Helper()
	for _, step := range steps {
		_, known := s.replay.Job.Procedure.StepByID(step)
		assert.True(s.t, known, "%s is a step", step)
		assert.Zero(s.t, s.finished(step), "%s was never done", step)
	}
}
