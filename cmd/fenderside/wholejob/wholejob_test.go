//go:build unix

package wholejob

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
)

// trouble-free answers for sensor 1 of bank 1 on the test's own vehicle, reached from beneath.
var answers = map[string][]string{
	"codes": {"P0135 stored"}, "freeze_frame": {"P0135, load 18 %"}, "readiness": {"oxygen sensor heater"},
	"battery.proof_before": {"12.4 V"}, "battery.residual": {"-0.02 V"}, "battery.proof_after": {"12.4 V"}, "meter": {"DM-1"}, "thermometer": {"TH-2"}, "torque-wrench": {"TW-3"},
	"choose-reach": {"from beneath"}, "support.support-vehicle": {"On stands rated for the load"}, "support.supports": {"4"},
	"cool.place": {"boss and pipe"}, "cool.method": {"contact probe"}, "cool.surface": {"39.5 °C", "38.0 °C"}, "cool.ambient": {"20 °C"},
	"found": {"B1S1"}, "bank_told_by": {"maker's drawing"}, "look-over-wiring": {"Dry and whole along the length I can see"},
	"new_part_number": {"MM-4411"}, "new_kind": {"wide-band zirconia"}, "new_thread": {"M18×1.5"}, "new_hex": {"22 mm"}, "new_lead": {"360 mm"},
	"note-lead": {"It is written down"}, "lead_route": {"up behind the shield, clip at the dipstick"}, "unplug": {"Both halves whole"},
	"break-loose": {"It turns"}, "unscrew": {"It is out"}, "tip": {"clean grey or tan"}, "old_thread": {"M18×1.5"},
	"clean-threads": {"By fingers to the bottom of the thread"}, "dressing": {"the maker's coating alone"}, "threads_seen": {"coated"},
	"start-by-hand": {"To its seat"}, "torque.drive": {"on an adapter that stands out"}, "torque.pull-wrench": {"It clicked once on a steady pull"}, "torque.wrench_length": {"300 mm"}, "torque.adapter_length": {"30 mm"},
	"torque.adapter_angle": {"0°"}, "torque.wrench_accuracy": {"4 %"}, "torque.wrench_setting": {"45.5 N·m"}, "torque.wrench_reading": {"45.5 N·m"}, "first-start": {"It idles without smoke"}, "check-leaks": {"None heard or seen"},
	"codes_after": {"none"}, "readiness_after": {"catalyst, oxygen sensor heater"}, "left_boss": {"new sensor torqued and plugged in"},
	"key_keeper": {"asha"}, "marked": {"no tag and fit to drive"},
}

// ownCard writes the card of a vehicle that is no demonstration, with the shortest waits that the procedure allows.
func ownCard(t *testing.T) string {
	shipped, ok := library.Card("millbrook-four")
	require.True(t, ok)
	text := strings.Replace(string(shipped.Text), "demonstration: true", "demonstration: false", 1)
	for id, wait := range map[string]string{"airbag": "10 s", "sample": "5 s"} {
		line := regexp.MustCompile(`(?m)^(\s+` + id + `:).*$`)
		require.True(t, line.MatchString(text), id)
		text = line.ReplaceAllString(text, "${1} "+wait)
	}
	_, err := procedures.ParseCard("own.yaml", []byte(text))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "own.yaml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func build(t *testing.T) string {
	program := filepath.Join(t.TempDir(), "fenderside")
	out, err := exec.Command("go", "build", "-o", program, "fenderside/cmd/fenderside").CombinedOutput()
	require.NoError(t, err, string(out))
	return program
}

func TestTheWholeSwapLiveInATerminalKilledTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes minutes: it works at a person's pace")
	}
	if _, err := exec.LookPath("ssh-keygen"); err != nil {
		t.Skip("needs ssh-keygen")
	}
	program, folder := build(t), t.TempDir()
	term := newTerminal(t, "FENDERSIDE_HOME="+folder, "TERM=xterm-256color", "HOME="+folder, "USER=asha")
	h := &hand{terminal: term, folder: folder, book: answers, tried: map[string]bool{}, last: time.Now()}
	term.run(program, "start", "sensor-swap", "--vehicle", ownCard(t))
	h.fillSheet()

	kills := map[string]bool{"compare-part": true, "route-lead": true}
	for range 900 {
		replay, _ := h.journal()
		if replay == nil {
			break // it has moved to the records
		}
		if step := replay.State.Current(); step != nil && kills[step.ID] {
			delete(kills, step.ID)
			term.kill()
			term.run(program, "resume")
			h.until("the job is back, and held", func() bool {
				r, _ := h.journal()
				return r.State.Hold() != nil && strings.Contains(h.screen(), "F4 STOP WORK")
			})
			continue
		}
		h.everyKey(replay.State)
		if replay, _ = h.journal(); replay != nil {
			h.once(replay)
		}
	}
	assert.Empty(t, kills)
	assert.Greater(t, len(h.tried), 12, "the gates of the swap were tried")
	t.Logf("every key tried at %d gates", len(h.tried))
	h.verified(program, folder)
}

// asked is the head of a screen that asks something: the part that changes only with what is asked. Of
// a page that is turned it is the whole.
func asked(screen string) string {
	if strings.Contains(screen, "Enter next page") {
		return screen
	}
	lines := strings.Split(screen, "\n")
	return flat(strings.Join(lines[:min(5, len(lines))], " "))
}

// fillSheet chooses the sensor and takes the rest from the card.
func (h *hand) fillSheet() {
	for range 60 {
		screen := h.settled()
		if h.length() > 0 {
			return
		}
		if strings.Contains(flat(screen), "Sensor to replace Bank 1 has cylinder 1") {
			h.press(h.numberOf(screen, "B1S1"))
		}
		at := asked(screen)
		h.steady()
		h.press("Enter")
		h.until("the sheet moves on from "+at, func() bool { return h.length() > 0 || asked(h.screen()) != at })
	}
	require.Fail(h.t, "the job did not open", h.screen())
}

// verified holds the record to OpenSSH, by the very line that the screen shows, and to the audit.
func (h *hand) verified(program, folder string) {
	h.until("the done screen", func() bool {
		return strings.Contains(h.screen(), "ssh-keygen -Y verify") || strings.Contains(flat(h.screen()), "Record:")
	})
	done := h.screen()
	found, err := filepath.Glob(filepath.Join(folder, "*", "records", "*"))
	require.NoError(h.t, err)
	require.Len(h.t, found, 1)
	person := regexp.MustCompile(`-I (\S+)`).FindStringSubmatch(flat(done))
	require.NotNil(h.t, person, done)
	verify := exec.Command("sh", "-c", "ssh-keygen -Y verify -f roster -I "+person[1]+" -n record@fenderside -s record.jsonl.sig < record.jsonl")
	verify.Dir = found[0]
	out, err := verify.CombinedOutput()
	require.NoError(h.t, err, string(out))
	assert.Contains(h.t, string(out), "Good")

	audit := exec.Command(program, "audit", found[0], "--roster", filepath.Join(found[0], "roster"))
	out, err = audit.CombinedOutput()
	h.t.Logf("%s", out)
	require.NoError(h.t, err, "the audit accepts the record")
	assert.Contains(h.t, string(out), "sound")
	assert.Contains(h.t, string(out), "live work")
}
