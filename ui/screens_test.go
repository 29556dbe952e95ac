package ui

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/procedures/library"
	"fenderside/runner/seal"
	"fenderside/runner/session"
)

// screens brings the rig to every screen there is.
var screens = map[string]func(r *rig){
	"board-empty":    func(r *rig) {},
	"board":          func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob).key("f7", "9", "enter") },
	"vehicle":        func(r *rig) { r.key(r.starts("sensor-swap"), "enter") },
	"mode":           func(r *rig) { r.key(r.starts("sensor-swap"), "enter", "4", "enter") },
	"sheet":          func(r *rig) { r.key(r.starts("sensor-swap"), "enter", "2", "enter") },
	"sheet-source":   func(r *rig) { sheetTo(r, 11).typed("40") },
	"sheet-fault":    func(r *rig) { sheetTo(r, 11).typed("400") },
	"sheet-proposed": func(r *rig) { r.tells("millbrook-six", "P0141") },
	"sheet-unclear":  func(r *rig) { r.tells("millbrook-six", "upstream") },
	"sheet-against":  func(r *rig) { r.tells("millbrook-six", "post-cat rear bank").key("4") },
	"forecast": func(r *rig) {
		r.start("millbrook-four").to("read cool.surface", plainJob).typed("120").pass(5 * time.Minute).typed("100").pass(5 * time.Minute).typed("84")
	},
	"picture-cooling": func(r *rig) { screens0["forecast"](r); r.key("f12") },
	"picture-torque":  func(r *rig) { screens0["torque-fail"](r); r.key("f12") },
	"picture-engine": func(r *rig) {
		r.start("millbrook-four").to("finish find-sensor", plainJob).key("f12")
	},
	"position-told": func(r *rig) { r.start("millbrook-four").to("finish find-sensor", plainJob) },
	"sheet-end": func(r *rig) {
		r.key(r.starts("sensor-swap"), "enter", "2", "enter", "down", "down", "enter", "1", "enter")
	},
	"briefing":        func(r *rig) { r.start("millbrook-four") },
	"briefing-long":   func(r *rig) { r.start("millbrook-four").to("brief hazards", plainJob) },
	"statement":       func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob) },
	"instrument":      func(r *rig) { r.start("millbrook-four").to("take meter", plainJob) },
	"instrument-date": func(r *rig) { r.start("millbrook-four").to("take torque-wrench", plainJob).typed("TW-3") },
	"reading":         func(r *rig) { r.start("millbrook-four").to("read battery.residual", plainJob).key("0", ".", "3") },
	"reading-refused": func(r *rig) { r.start("millbrook-four").to("read battery.residual", plainJob).typed("7.1") },
	"not-taken":       func(r *rig) { r.start("millbrook-four").to("read battery.residual", plainJob).typed("seven") },
	"wait":            func(r *rig) { r.start("millbrook-four").to("start battery.wait-restraints", plainJob) },
	"wait-running": func(r *rig) {
		r.start("millbrook-four").to("start battery.wait-restraints", plainJob).key("enter").pass(13 * time.Second)
	},
	"question": func(r *rig) { r.start("millbrook-four").to("answer choose-reach", plainJob).key("2") },
	"choice":   func(r *rig) { r.start("millbrook-four").to("read found", plainJob) },
	"series":   func(r *rig) { r.start("millbrook-four").to("read cool.surface 1", plainJob) },
	"way":      func(r *rig) { r.start("millbrook-four").to("way note-lead", plainJob) },
	"torque":   func(r *rig) { r.start("millbrook-four").to("finish torque.read-torque", plainJob) },
	"torque-fail": func(r *rig) {
		r.start("millbrook-four").to("read torque.wrench_setting 1", with(plainJob, "torque.wrench_setting", "80"))
	},
	"evidence": func(r *rig) {
		book := with(plainJob, "note-lead", "A photo is kept with this job")
		r.start("millbrook-four").to("attach lead_photo", book).key("l", "e", "a", "d")
	},
	"saving":       func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob); r.m.work.saving = true },
	"held":         func(r *rig) { r.start("millbrook-four").to("read found", plainJob); stop(r, "3") },
	"held-step":    func(r *rig) { r.start("millbrook-four").to("read found", plainJob); stop(r, "3"); r.key("enter") },
	"stop-work":    func(r *rig) { r.start("millbrook-four").to("read found", plainJob).key("f4", "3") },
	"stopped":      func(r *rig) { r.start("millbrook-four").to("read found", plainJob).key("f4", "enter") },
	"correct-list": func(r *rig) { r.start("millbrook-four").to("read battery.residual", plainJob).key("f5") },
	"correct":      func(r *rig) { r.start("millbrook-four").to("read battery.residual", plainJob).key("f5", "1", "enter") },
	"note":         func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob).key("f6") },
	"more":         func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob).key("f7") },
	"help":         func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob).key("f1") },
	"why":          func(r *rig) { r.start("millbrook-four").to("finish torque.read-torque", plainJob).key("f2") },
	"look-round":   func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob).key("f3") },
	"escape":       func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob).key("esc") },
	"skip": func(r *rig) {
		r.start("millbrook-four").to("attach fitted_photo", plainJob).key("f7", "4", "enter")
	},
	"pause":  func(r *rig) { r.start("millbrook-four").to("read found", plainJob).key("f7", "5", "enter") },
	"paused": func(r *rig) { screens0["pause"](r); r.typed("dinner") },
	"resumed": func(r *rig) {
		r.start("millbrook-four").to("read found", plainJob)
		id, h := r.m.work.job.Opening.Job, r.m.home
		require.NoError(r.t, r.m.work.session.Close())
		r.clock.mono = 0
		r.clock.wall = r.clock.wall.Add(time.Hour)
		r.open(h, Options{Resume: id})
	},
	"hand-over": func(r *rig) {
		r.start("millbrook-four").to("affirm battery.isolate-battery", plainJob).key("f7", "6", "enter")
	},
	"handover":   func(r *rig) { screens0["hand-over"](r); r.key("1", "enter") },
	"sign-on":    func(r *rig) { screens0["handover"](r); r.to("sign-on", plainJob) },
	"sign-key":   func(r *rig) { screens0["sign-on"](r); r.key("enter") },
	"passphrase": func(r *rig) { screens0["sign-key"](r); r.typed(r.key2) },
	"sign-off":   func(r *rig) { screens0["passphrase"](r); r.typed(brynsWords) },
	"take-over":  func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob).key("f7", "7", "enter", "1") },
	"follow-up":  func(r *rig) { r.start("millbrook-four").to("affirm take-key", plainJob).key("f7", "8", "enter") },
	"close": func(r *rig) {
		r.start("millbrook-four").to("affirm battery.isolate-battery", plainJob).key("f7", "1", "0", "enter")
	},
	"closing": func(r *rig) { screens0["close"](r); r.key("1", "enter").typed("threads pulled") },
	"leave":   func(r *rig) { screens0["closing"](r); r.key("f7", "1", "1", "enter") },
	"end-left": func(r *rig) {
		screens0["leave"](r)
		r.key("1", "enter").typed("key stays with the depot until the boss is repaired")
		r.to("review", plainJob)
	},
	"end":        func(r *rig) { r.start("millbrook-four").to("review", plainJob) },
	"review":     func(r *rig) { screens0["end"](r); r.key("enter") },
	"review-end": func(r *rig) { screens0["review"](r); r.toEnd() },
	"done":       func(r *rig) { screens0["end"](r); signNow(r) },
	"done-left":  func(r *rig) { screens0["end-left"](r); signNow(r) },
	"records":    func(r *rig) { screens0["done"](r); r.key("enter") },
	"record":     func(r *rig) { screens0["records"](r); r.key(strconv.Itoa(len(library.Procedures())+2), "enter") },
	"locked": func(r *rig) {
		r.start("millbrook-four").to("affirm take-key", plainJob)
		r.m.failed(&session.Locked{Job: r.m.work.job.Opening.Job, Cause: errors.New("append a line: no space left on device")})
	},
	"locked-journal": func(r *rig) {
		r.start("millbrook-four").to("affirm take-key", plainJob)
		path := r.m.work.session.JournalPath()
		r.key("f7", "9", "enter")
		require.NoError(r.t, os.WriteFile(path, []byte("this is no journal\n"), 0o600))
		r.key("1", "enter")
	},
	"instruments":       func(r *rig) { r.start("millbrook-four").to("read battery.residual", plainJob).key("f7", "1", "enter") },
	"attachments":       func(r *rig) { r.start("millbrook-four").to("read codes", plainJob).key("f7", "2", "enter") },
	"attach":            func(r *rig) { screens0["attachments"](r); r.key("1", "enter").typed("/no/such/file") },
	"optional-readings": func(r *rig) { r.start("millbrook-four").to("answer look-over", plainJob).key("f7", "3", "enter") },
	"keep-job":          func(r *rig) { screens0["handover"](r); r.key("f7", "9", "enter") },
	"go-on":             func(r *rig) { screens0["closing"](r); r.key("f7", "1", "2", "enter") },
	"unsigned": func(r *rig) { // sealed by a program that could not sign any more
		screens0["end"](r)
		w := r.m.work
		own, err := r.m.home.Signer(w.state.Performer())
		require.NoError(r.t, err)
		_, _, err = w.session.Seal(w.state.Performer(), failing{own}, nil)
		require.Error(r.t, err)
		w.take(w.session.State(), w.session.Moment(), w.session.Lines())
	},
	"optional":   func(r *rig) { r.start("millbrook-four").to("attach fitted_photo", plainJob) },
	"fire-watch": func(r *rig) { r.start("millbrook-four").to("affirm hot.torch-away", heatedJob) },
	"fire-watch-over": func(r *rig) {
		r.start("millbrook-four").to("affirm hot.torch-away", heatedJob).pass(31 * time.Minute).key("f9")
	},
	"apprentice-witness":      func(r *rig) { r.start("millbrook-four").to("witness", plainJob) },
	"apprentice-witness-form": func(r *rig) { screens0["apprentice-witness"](r); r.key("enter", "1", "enter") },
	"apprentice-witnessed":    func(r *rig) { screens0["apprentice-witness"](r); r.witness() },
	"apprentice-sign": func(r *rig) {
		screens0["apprentice-witnessed"](r)
		r.key("enter").to("witness", plainJob).witness()
		r.key("f7", "1", "0", "enter", "1", "enter").typed("the rest is for tomorrow")
		for r.m.work.scene().want.id != "review" {
			if r.m.work.scene().want.id == "witness" {
				r.witness()
			}
			r.one(plainJob)
		}
		r.key("enter").toEnd().key(r.signs())
	},
	"apprentice-done": func(r *rig) {
		screens0["apprentice-sign"](r)
		r.key("1", "enter").typed(r.key2).typed(brynsWords)
	},
	"card-name":   func(r *rig) { r.key(r.offers("Write a card for a vehicle of your own"), "enter").key("d", "e") },
	"card-first":  func(r *rig) { r.names("depot-bus-3") },
	"card-choice": func(r *rig) { r.names("depot-bus-3").answersTo("How do the cylinders stand?").key("2") },
	"card-source": func(r *rig) { screens0["card-choice"](r); r.key("enter") },
	"card-no": func(r *rig) {
		r.names("depot-bus-3").answersTo("B1S1: tightening torque, lowest to highest").typed("45")
	},
	"card-more":     func(r *rig) { screens0["card-no"](r); r.key("f7") },
	"card-all":      func(r *rig) { r.names("depot-bus-3").answersTo("") },
	"card-read":     func(r *rig) { screens0["card-all"](r); r.key("enter") },
	"card-read-end": func(r *rig) { screens0["card-read"](r); r.toEnd() },
	"card-written":  func(r *rig) { screens0["card-read-end"](r); r.key("enter") },
	"card-vehicle":  func(r *rig) { screens0["card-more"](r); r.key("1", "enter", r.starts("sensor-swap"), "enter") },
	"two-warnings":  func(r *rig) { r.start("millbrook-four").to("affirm hot.prepare-hot-work", heatedJob) },
}

// rigFor is the rig of a screen: those of a worker who may not close a job need one.
func rigFor(t testing.TB, name string) *rig {
	if strings.HasPrefix(name, "apprentice") {
		return newRigAs(t, []string{seal.Stretch})
	}
	return newRig(t)
}

// screens0 is screens, for those that go on from another.
var screens0 map[string]func(r *rig)

func init() { screens0 = screens }

// heatedJob is a seized sensor that is heated.
var heatedJob = with(with(with(with(with(plainJob, "break-loose", "It does not turn"), "try-again", "Still seized and to be heated"),
	"turn-while-hot", "It turned out"), "hot.fire_watcher", bryn), "heated_for", "90")

func with(book map[string][]string, id, answer string) map[string][]string {
	out := map[string][]string{}
	for k, v := range book {
		out[k] = v
	}
	out[id] = []string{answer}
	return out
}

// stop reports one line of the stop-work page and clears it.
func stop(r *rig, number string) {
	r.key("f4", number, "enter", "1", "enter")
}

// tells opens the sheet of the whole job, types what was told, and goes on to the line that it leads to.
func (r *rig) tells(card, told string) *rig {
	p, ok := library.Procedure("oxygen-sensor")
	require.True(r.t, ok)
	c, ok := library.Card(card)
	require.True(r.t, ok)
	r.m.prepare(Start{Procedure: p, Card: c})
	return r.key("down", "down").typed(told)
}

// sheetTo fills the sheet without a card up to a field.
func sheetTo(r *rig, field int) *rig {
	r.key(r.starts("sensor-swap"), "enter", "4", "enter", "2", "enter")
	for range field {
		r.key("down")
	}
	return r
}

// signNow reads the record to its end and signs it.
func signNow(r *rig) {
	r.key("enter").toEnd().key(r.signs())
	require.NotNil(r.t, r.m.work.finished, r.m.message)
}

// toEnd turns the pages of a text to its last one.
func (r *rig) toEnd() *rig {
	for range 200 {
		if !strings.Contains(r.m.View(), "Enter next page") {
			return r
		}
		r.key("enter")
	}
	require.Fail(r.t, "the text has no end")
	return r
}

func TestEveryScreenLooksAsItDid(t *testing.T) {
	for name, reach := range screens {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := rigFor(t, name)
			reach(r)
			r.golden(name)
			r.traced()
			r.fits(name)
			r.wander(name, 60)
		})
	}
}

func TestEveryGoldenScreenHasItsTest(t *testing.T) {
	files, err := filepath.Glob("testdata/*.golden")
	require.NoError(t, err)
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".golden")
		picture, looks := strings.CutSuffix(name, "-looks")
		if looks && slices.Contains(pictured, picture) {
			continue
		}
		if _, ok := screens[name]; !ok && name != "colour" && name != "picture-colour" && name != "too-small" {
			t.Errorf("no test draws %s", f)
		}
	}
}

func TestColoursAreThoseOfTheSignalWords(t *testing.T) {
	r := newRig(t)
	screens["two-warnings"](r)
	render := lipgloss.NewRenderer(os.Stdout)
	render.SetColorProfile(termenv.TrueColor)
	render.SetHasDarkBackground(true)
	r.m.look = themeOf(render, true)
	same(t, "colour", r.view())
	require.Contains(t, r.view(), "\x1b[1;38;2;0;0;0;48;2;255;13", "WARNING is black on orange (ANSI Z535.1, from memory)")
}

func TestTheLineOnTheDoneScreenVerifiesTheRecord(t *testing.T) {
	sh, err := exec.LookPath("sh")
	if _, no := exec.LookPath("ssh-keygen"); err != nil || no != nil {
		t.Skip("needs ssh-keygen and a shell")
	}
	for _, name := range []string{"done", "done-left", "apprentice-done"} {
		r := rigFor(t, name)
		screens[name](r)
		r.size(120, 40)
		screen := strings.Join(strings.Fields(r.m.View()), " ")
		from := strings.Index(screen, "ssh-keygen -Y verify")
		to := strings.Index(screen, "< record.jsonl") + len("< record.jsonl")
		require.Positive(t, from, "the screen shows the command")
		cmd := exec.Command(sh, "-c", screen[from:to])
		cmd.Dir = r.m.work.finished.Dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "OpenSSH verifies with the very line that is shown: %s", out)
		require.Contains(t, string(out), "Good")
	}
}

func TestLeavingSaysHowTheJobIsTakenUpAgain(t *testing.T) {
	for _, end := range []error{nil, tea.ErrProgramKilled, tea.ErrInterrupted} {
		r := newRig(t)
		screens["statement"](r)
		var out strings.Builder
		r.m.opt.Out = &out
		id := r.m.work.job.Opening.Job
		require.NoError(t, r.m.left(end))
		require.Contains(t, out.String(), "fenderside resume "+id)
	}
	r := newRig(t)
	screens["statement"](r)
	var out strings.Builder
	r.m.opt.Out = &out
	err := r.m.left(fmt.Errorf("%w: %w", tea.ErrProgramKilled, tea.ErrProgramPanic))
	require.ErrorIs(t, err, tea.ErrProgramPanic)
	require.Contains(t, out.String(), "journal.jsonl")
}

// failing is a key that cannot sign.
type failing struct{ ssh.Signer }

func (failing) Sign(io.Reader, []byte) (*ssh.Signature, error) {
	return nil, errors.New("the key is gone")
}

func (failing) SignWithAlgorithm(io.Reader, []byte, string) (*ssh.Signature, error) {
	return nil, errors.New("the key is gone")
}

func TestAWindowTooSmallSaysSo(t *testing.T) {
	r := newRig(t)
	screens["statement"](r)
	var all string
	for _, size := range [][2]int{{59, 18}, {60, 17}, {20, 5}, {10, 1}} {
		r.size(size[0], size[1])
		all += fmt.Sprintf("== %d by %d\n%s\n", size[0], size[1], r.view())
	}
	same(t, "too-small", all)
}

func TestASealedJobIsSignedLater(t *testing.T) {
	r := newRig(t)
	screens["unsigned"](r)
	r.key("enter")
	require.NotNil(t, r.m.work.finished, r.m.message)
}

// signs is the figure that signs the record of the job in hand.
func (r *rig) signs() string { return figureFor("sign", 0, r.m.work.job.Opening.Number, 0) }
