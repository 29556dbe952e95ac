//go:build unix

package wholejob

// A signed record is held to OpenSSH, by the very line that the done screen shows, to the audit, and to what was done in it.

import (
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
)

// signed is a signed record, replayed.
type signed struct {
	*journal
	screens []string // the pages of the done screen, as words
	judged  string   // what the audit says
}

var verifyLine = regexp.MustCompile(`ssh-keygen -Y verify .*?< record\.jsonl`)

// verified is the record of the job that was just signed, once OpenSSH and the audit have judged it.
func (h *hand) verified(ends procedures.Outcome, verdict string) signed {
	found, err := filepath.Glob(filepath.Join(h.folder, "*", "records", "*"))
	require.NoError(h.t, err)
	require.Len(h.t, found, 1)
	s := signed{journal: &journal{t: h.t, folder: found[0], path: filepath.Join(found[0], "record.jsonl")}, screens: h.leaveDone()}
	require.True(h.t, s.grow())
	assert.Equal(h.t, ends, s.state().Outcome())

	verify := exec.Command("sh", "-c", s.lineShown())
	verify.Dir = s.folder
	out, err := verify.CombinedOutput()
	require.NoError(h.t, err, string(out))
	assert.Contains(h.t, string(out), "Good")

	s.judged, err = audit(s.folder)
	h.t.Log(s.judged)
	assert.Equal(h.t, verdict == "sound", err == nil, "the exit status of the audit: %v", err)
	assert.Contains(h.t, s.judged, verdict+", live work: ")
	assert.Contains(h.t, s.judged, "  "+string(ends)+", closed by asha")
	return s
}

// leaveDone reads the done screen to its end and goes back to the board.
func (h *hand) leaveDone() (pages []string) {
	h.Until("the done screen", func() bool { return strings.Contains(h.Screen(), "SIGNED by") })
	for range 20 {
		screen := h.Settled()
		pages = append(pages, h.flat(screen))
		h.keys(screen, beat, "Enter")
		if strings.Contains(pages[len(pages)-1], "Enter goes back to the board") {
			break
		}
	}
	h.Until("the board, on which no job is open", func() bool {
		screen := h.Settled()
		return strings.Contains(screen, "What is to be done?") && !strings.Contains(screen, "OPEN JOBS")
	})
	return pages
}

// lineShown is the line that verifies the record.
func (s signed) lineShown() string {
	for _, page := range s.screens {
		if line := verifyLine.FindString(page); line != "" {
			return line
		}
	}
	require.Fail(s.t, "no page shows a line that verifies", strings.Join(s.screens, "\n"))
	return ""
}

// audit judges a record against the roster beside it.
func audit(folder string) (string, error) {
	out, err := exec.Command(program, "audit", folder, "--roster", filepath.Join(folder, "roster")).CombinedOutput()
	return string(out), err
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
