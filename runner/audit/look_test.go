package audit

// Every finding that says "look here" has a case that shows it, an innocent explanation, and a neighbour just inside the
// threshold that does not show it.

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/session/sessiontest"
	"fenderside/runner/store"
)

// photo writes a file of a certain age and attaches it at the heater.
func (h *shift) photo(modified time.Time) string {
	path := filepath.Join(h.t.TempDir(), "casing.jpg")
	require.NoError(h.t, os.WriteFile(path, []byte("a picture of the casing"), 0o600))
	require.NoError(h.t, os.Chtimes(path, modified, modified))
	_, err := h.s.Attach("feel", "photo", path)
	require.NoError(h.t, err)
	return path
}

func feelWithPhoto(modified func(h *shift) time.Time) map[string]func(*shift) {
	return map[string]func(*shift){"feel": func(h *shift) {
		h.follow("60 °C", "55 °C")
		h.photo(modified(h))
	}}
}

func lookOverAt(pace time.Duration, n int) map[string]func(*shift) {
	return map[string]func(*shift){"look-over": func(h *shift) {
		for i := range 6 {
			usual := h.pace
			if i > 0 && i < n {
				h.pace = pace
			}
			h.do(runner.Affirm{Step: "look-over", Statement: i})
			h.pace = usual
		}
		h.do(runner.Finish{Step: "look-over"})
	}}
}

func switchOffAfter(refused int) map[string]func(*shift) {
	return map[string]func(*shift){"switch-off": func(h *shift) {
		h.do(runner.Take{Instrument: "meter", Name: "DM-1", Due: "2027-01-31"})
		for range refused {
			h.do(runner.Read{Step: "switch-off", Reading: "residual", Value: "12 V"})
		}
		h.switchOff()
	}}
}

func meterDue(due string) map[string]func(*shift) {
	return map[string]func(*shift){"switch-off": func(h *shift) {
		h.do(runner.Take{Instrument: "meter", Name: "DM-1", Due: due})
		h.switchOff()
	}}
}

// overdueMeter names a meter past its date, which is not taken, and then another.
func overdueMeter(due string) map[string]func(*shift) {
	return map[string]func(*shift){"switch-off": func(h *shift) {
		require.NotNil(h.t, h.try(runner.Take{Instrument: "meter", Name: "DM-0", Due: due}).Refusal)
		h.switchOff()
	}}
}

// A thermometer needs no calibration by this procedure, and may be past a date that it has.
func TestAToolThatNeedsNoCalibrationIsWordedByTheDaysPast(t *testing.T) {
	r := one(t, newDepot(t).heater(map[string]func(*shift){"feel": func(h *shift) {
		h.do(runner.Take{Instrument: "probe", Name: "TP-1", Due: "2026-03-04"})
		h.follow("60 °C", "55 °C")
	}}).Dir)
	looks(t, r, `probe "TP-1" was named 10 day(s) past its calibration date 2026-03-04`)
}

func held(times int) map[string]func(*shift) {
	return map[string]func(*shift){"switch-off": func(h *shift) {
		for range times {
			require.NotNil(h.t, h.try(runner.Finish{Step: "switch-off"}).Refusal)
		}
		h.switchOff()
	}}
}

func cooled(values ...string) map[string]func(*shift) {
	return map[string]func(*shift){"feel": func(h *shift) { h.follow(values...) }}
}

func inSwitchOn(f func(*shift)) map[string]func(*shift) {
	return map[string]func(*shift){"switch-on": func(h *shift) {
		f(h)
		if h.s.State().Current().ID == "switch-off" { // what fell is secured again
			h.switchOff()
		}
		h.switchOn()
	}}
}

// jump moves the wall clock alone, as a sleep or a hand does, and takes the job up again.
func jump(by time.Duration) func(*shift) {
	return func(h *shift) {
		h.clock.Wall = h.clock.Wall.Add(by)
		h.try(runner.Tick{})
		h.do(runner.Resume{})
	}
}

func TestWhatDeservesALook(t *testing.T) {
	cases := map[string]struct {
		at   map[string]func(*shift)
		says string // empty: nothing deserves a look
	}{
		"six confirmations under a second apart":    {lookOverAt(900*time.Millisecond, 6), "6 entries in a row are less than 1s apart"},
		"five confirmations under a second apart":   {lookOverAt(900*time.Millisecond, 5), "5 entries in a row"},
		"four confirmations under a second apart":   {lookOverAt(900*time.Millisecond, 4), ""},
		"six confirmations a second apart":          {lookOverAt(time.Second, 6), ""},
		"three refused values before the accepted":  {switchOffAfter(3), "accepted after 3 refused values"},
		"two refused values before the accepted":    {switchOffAfter(2), ""},
		"a step held back five times":               {held(5), "held back 5 times"},
		"a step held back four times":               {held(4), ""},
		"a meter due in six days":                   {meterDue("2026-03-19"), "was due on 2026-03-19, 5 day(s) later"},
		"a meter due on the day":                    {meterDue("2026-03-14"), "was due on 2026-03-14, 0 day(s) later"},
		"a meter that is overdue is refused":        {overdueMeter("2026-03-01"), `meter "DM-0" was refused, 13 day(s) past its calibration date 2026-03-01`},
		"a meter overdue since yesterday":           {overdueMeter("2026-03-13"), `meter "DM-0" was refused, 1 day(s) past its calibration date 2026-03-13`},
		"a meter due in a fortnight":                {meterDue("2026-03-28"), ""},
		"a meter due in ten years":                  {meterDue("2036-03-28"), "unusually far off"},
		"a casing that cools in ten seconds":        {cooled("400 °C", "30 °C"), "quicker than metal cools in air"},
		"a casing that cools in a minute":           {cooled("400 °C", "260 °C"), ""},
		"a small fall":                              {cooled("35 °C", "26 °C"), ""},
		"a photo from after its attaching":          {feelWithPhoto(func(h *shift) time.Time { return h.clock.Wall.Add(newAfter + time.Minute) }), "after it was attached"},
		"a photo from just now":                     {feelWithPhoto(func(h *shift) time.Time { return h.clock.Wall.Add(time.Minute) }), ""},
		"a photo from last week":                    {feelWithPhoto(func(h *shift) time.Time { return h.clock.Wall.AddDate(0, 0, -7) }), "long before the job was opened"},
		"a photo from this morning":                 {feelWithPhoto(func(h *shift) time.Time { return h.clock.Wall.Add(-3 * time.Hour) }), ""},
		"the machine slept":                         {inSwitchOn(jump(20 * time.Minute)), "ran ahead of the program's own time 1 time(s), by up to 20 min"},
		"the clock set back in one session":         {inSwitchOn(jump(-20 * time.Minute)), "the wall clock went back 1 time(s), by up to 20 min"},
		"the clock set back between sessions":       {inSwitchOn(func(h *shift) { h.resume(-time.Hour) }), "the wall clock went back 1 time(s)"},
		"the program ended and taken up again":      {inSwitchOn(func(h *shift) { h.resume(time.Hour) }), ""},
		"a follow-up that is due later":             {map[string]func(*shift){"seal": func(h *shift) { h.do(runner.FollowUp{What: "look again", Due: "2026-06-01"}) }}, ""},
		"a follow-up that was due before the audit": {map[string]func(*shift){"seal": func(h *shift) { h.do(runner.FollowUp{What: "look again", Due: "2026-03-16"}) }}, "follow-up was due on 2026-03-16"},
		"a gate reading corrected":                  {inSwitchOn(correctGate), `corrected from "0.02 V" to "0.2 V": slip`},
		"a torn line cut off":                       {inSwitchOn(tear), "a torn last line of 9 bytes was cut off"},
		"a job closed in the future":                {map[string]func(*shift){"seal": func(h *shift) { h.clock.Pass(8 * 24 * time.Hour) }}, "still to come"},
		"a job closed while the audit's clock lags": {map[string]func(*shift){"seal": func(h *shift) { h.clock.Pass(auditDay.Sub(h.clock.Wall)) }}, ""},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r := one(t, newDepot(t).heater(c.at).Dir)
			looks(t, r, c.says)
		})
	}
}

// looks holds a record to one thing that deserves a look, with an innocent explanation and a next step, or to none.
func looks(t *testing.T, r Record, says string) {
	t.Helper()
	if says == "" {
		assert.Equal(t, Sound, r.Verdict, "%+v", r.Findings)
		return
	}
	require.Equal(t, LookHere, r.Verdict, "%+v", r.Findings)
	found := 0
	for _, f := range r.Findings {
		if f.Severity == Look {
			found++
			assert.Contains(t, f.What, says)
			assert.NotEmpty(t, f.Innocent)
			assert.NotEmpty(t, f.Next)
		}
	}
	assert.Equal(t, 1, found, "%+v", r.Findings)
}

func correctGate(h *shift) {
	h.do(runner.Correct{Correction: runner.Correction{Reading: "residual", Value: "0.2 V", Reason: "slip"}})
}

// tear leaves nine bytes of a line that was never acknowledged, as a power failure does.
func tear(h *shift) {
	path := h.s.JournalPath()
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	require.NoError(h.t, err)
	_, err = file.WriteString(`{"seq":99`)
	require.NoError(h.t, err)
	require.NoError(h.t, file.Close())
	h.resume(time.Minute)
}

func TestAStretchThatNobodySignedIsPointedOut(t *testing.T) {
	d := newDepot(t)
	h := d.start(d.opening("lamp.yaml"))
	h.switchOff()
	h.clock.Pass(time.Minute)
	_, err := h.s.TakeOver(bryn.Person, "went home", bryn.Signer)
	require.NoError(t, err)
	h.do(runner.Resume{})
	h.switchOff()
	h.changeLamp()
	r := one(t, h.seal(bryn, nil).Dir)
	looks(t, r, "nobody signed the stretch of "+asha.Name)
	assert.Equal(t, "took the job over", r.Signatures[0].Meaning)
	assert.Equal(t, bryn.Person, r.Performer)
}

func TestWhatIsLeftInAStateIsPointedOut(t *testing.T) {
	d := newDepot(t)
	h := d.start(d.opening("lamp.yaml"))
	h.switchOff()
	h.do(runner.Close{Outcome: "abandoned", Reason: "the holder is broken"})
	h.do(runner.Leave{Step: "switch-on", State: "the fuse is out, tag on the wheel"})
	r := one(t, h.seal(asha, nil).Dir)
	looks(t, r, "left in this state (step switch-on): the fuse is out")
	assert.EqualValues(t, "abandoned", r.Outcome)
}

func TestEvidenceBesideTheRecordIsComparedWithIt(t *testing.T) {
	attached := feelWithPhoto(func(h *shift) time.Time { return h.clock.Wall })
	copyOf := func(dir string) string {
		all, err := filepath.Glob(filepath.Join(dir, store.EvidenceDir, "*.jpg"))
		require.NoError(t, err)
		require.Len(t, all, 1)
		return all[0]
	}
	kept := newDepot(t).heater(attached)
	looks(t, one(t, kept.Dir), "")

	require.NoError(t, os.WriteFile(copyOf(kept.Dir), []byte("another picture"), 0o600))
	r := one(t, kept.Dir)
	looks(t, r, `the copy of "casing.jpg" is not the file that was attached`)
	assert.Positive(t, r.Findings[0].Line)

	require.NoError(t, os.Remove(copyOf(kept.Dir)))
	r = one(t, kept.Dir)
	looks(t, r, "")
	assert.Contains(t, r.Findings[0].What, `no copy of "casing.jpg"`)
}

func TestTheRosterBesideTheRecordIsComparedWithIt(t *testing.T) {
	done := newDepot(t).lamp()
	require.NoError(t, os.WriteFile(done.Roster, []byte(sessiontest.RosterOf(asha)), 0o600))
	looks(t, one(t, done.Dir), "is not the roster that the job was opened with")
}

// heaterAs is a heater job in another mode.
func (d *depot) heaterAs(mode runner.Mode, end func(*shift)) string {
	o := d.opening("heater.yaml")
	o.Mode, o.Terminal = mode, false
	h := d.start(o)
	h.switchOff()
	h.follow("60 °C", "55 °C", "51 °C", "48 °C")
	h.do(runner.Finish{Step: "feel"})
	h.lookOver()
	require.Nil(d.t, h.witness(bryn).Refusal)
	h.do(runner.Finish{Step: "agree"})
	h.switchOn()
	end(h)
	return h.seal(asha, nil).Dir
}

func TestARehearsalsPaceIsItsScripts(t *testing.T) {
	for mode, says := range map[runner.Mode]string{runner.Rehearsal: "", runner.Practice: "6 entries in a row"} {
		d := newDepot(t)
		d.pace = 100 * time.Millisecond
		looks(t, one(t, d.heaterAs(mode, func(*shift) {})), says)
	}
}

func TestNobodyOwesTheFollowUpOfAPractice(t *testing.T) {
	due := func(h *shift) { h.do(runner.FollowUp{What: "look again", Due: "2026-03-16"}) }
	looks(t, one(t, newDepot(t).heaterAs(runner.Practice, due)), "")
}

// Temperatures of two sessions are not one cooling: how long it was between them is not known.
func TestCoolingIsNotReckonedAcrossARestart(t *testing.T) {
	r := one(t, newDepot(t).heater(map[string]func(*shift){"feel": func(h *shift) {
		h.clock.Pass(time.Hour)
		h.follow("400 °C")
		h.resume(time.Hour)
		h.switchOff()
		h.follow("30 °C")
	}}).Dir)
	looks(t, r, "")
}

// Such a digest would name a file outside the evidence folder.
func TestADigestThatLeadsElsewhereIsRejected(t *testing.T) {
	rec, _ := bytesOf(t, newDepot(t).heater(feelWithPhoto(func(h *shift) time.Time { return h.clock.Wall })))
	lines := linesOf(t, rec)
	i := at[runner.Attach](t, lines, 0)
	c := lines[i].Do.(runner.Attach)
	c.File.SHA256 = strings.Repeat("../", 21) + "x"
	lines[i].Do, lines[i].Events[0] = c, runner.Attached(c)
	r := one(t, forged(t, chained(t, lines), asha.Signer))
	assert.Equal(t, Rejected, r.Verdict, "%+v", r.Findings)
}

// What a record says reaches a screen only so that it is seen.
func TestUntrustedTextIsShown(t *testing.T) {
	done := newDepot(t).lamp()
	dir := filepath.Join(t.TempDir(), "evil\x1b[2J")
	require.NoError(t, os.Rename(done.Dir, dir))
	text := run(t, everybody(), dir).Text()
	assert.NotContains(t, text, "\x1b")
	assert.Contains(t, text, `evil\`)
	for _, line := range strings.Split(text, "\n") {
		assert.NotContains(t, line, "\t")
	}
}
