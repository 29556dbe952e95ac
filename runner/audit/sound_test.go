package audit

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/rehearsal"
)

func TestAnHonestRecordIsSound(t *testing.T) {
	d := newDepot(t)
	lamp := one(t, d.lamp().Dir)
	assert.Equal(t, Sound, lamp.Verdict, "%+v", lamp.Findings)
	assert.False(t, lamp.Practice)
	assert.Equal(t, "sound, live work", lamp.VerdictLine())
	assert.Equal(t, asha.Person, lamp.By)

	heater := one(t, d.heater(nil).Record)
	assert.Equal(t, Sound, heater.Verdict, "%+v", heater.Findings)
	require.Len(t, heater.Signatures, 2)
	assert.Equal(t, "witnessed step agree", heater.Signatures[0].Meaning)
	assert.Equal(t, bryn.Name, heater.Signatures[0].Who)
}

func TestPracticeNeverReadsAsLiveWork(t *testing.T) {
	for _, mode := range []runner.Mode{runner.Practice, runner.Rehearsal} {
		d := newDepot(t)
		o := d.opening("lamp.yaml")
		o.Mode, o.Terminal = mode, false
		h := d.start(o)
		h.switchOff()
		h.changeLamp()
		report := run(t, everybody(), h.seal(asha, nil).Dir)
		assert.Equal(t, Sound, report.Records[0].Verdict)
		assert.True(t, report.Records[0].Practice)
		assert.Contains(t, report.Text(), "sound, "+string(mode)+" only: ")
		assert.NotContains(t, report.Text(), "live work")
		data, err := report.JSON()
		require.NoError(t, err)
		var back struct{ Records []map[string]any }
		require.NoError(t, json.Unmarshal(data, &back))
		assert.Equal(t, true, back.Records[0]["practice"])
		assert.Equal(t, string(mode), back.Records[0]["mode"])
	}
}

func TestEveryShippedRehearsalIsSound(t *testing.T) {
	for _, s := range library.Scripts() {
		t.Run(s.Name, func(t *testing.T) {
			dir := t.TempDir()
			done, err := rehearsal.Sample(dir, s.Name)
			require.NoError(t, err)
			r, err := Run(Options{Paths: []string{done.Dir}, Roster: filepath.Join(dir, "roster"), Now: auditDay.AddDate(1, 0, 0)})
			require.NoError(t, err)
			for _, f := range r.Records[0].Findings {
				assert.NotEqual(t, Against, f.Severity, "%+v", f)
				t.Logf("line %d: %s: %s", f.Line, f.Severity, f.What)
			}
			assert.True(t, r.Records[0].Practice)
		})
	}
}

func TestOneBadRecordStopsNoOther(t *testing.T) {
	d := newDepot(t)
	var bad string
	for i := range 8 {
		done := d.lamp()
		if i == 3 {
			bad = done.Record
		}
	}
	require.NoError(t, os.WriteFile(bad, []byte("{}\n"), 0o600))
	for _, workers := range []int{1, 2, 5} {
		r, err := Run(Options{Paths: []string{d.dir}, Roster: rosterFile(t, everybody()), Now: auditDay, Workers: workers})
		require.NoError(t, err)
		require.Len(t, r.Records, 8)
		for i, rec := range r.Records {
			if i == 3 {
				assert.Equal(t, Rejected, rec.Verdict)
			} else if i == 4 {
				assert.Equal(t, LookHere, rec.Verdict, "the hole that record 4 leaves")
			} else {
				assert.Equal(t, Sound, rec.Verdict, "%d: %+v", i, rec.Findings)
			}
		}
		assert.True(t, strings.Contains(r.Text(), "8 record(s): 6 sound, 1 to look at, 1 rejected"))
		assert.Equal(t, 1, ExitStatus(r, nil))
	}
}

func TestTroubleWithTheQuestionIsAnErrorAndNoVerdict(t *testing.T) {
	d := newDepot(t)
	done := d.lamp()
	trusted := rosterFile(t, everybody())
	cases := map[string]struct {
		o      Options
		status int
		says   string
	}{
		"no path":            {Options{Roster: trusted}, 2, "no record is named"},
		"no roster":          {Options{Paths: []string{done.Dir}}, 2, "no roster is named"},
		"roster missing":     {Options{Paths: []string{done.Dir}, Roster: trusted + "x"}, 3, "read the roster"},
		"roster bad":         {Options{Paths: []string{done.Dir}, Roster: done.Record}, 3, "record.jsonl:1:"},
		"path missing":       {Options{Paths: []string{done.Dir + "x"}, Roster: trusted}, 3, "check the path"},
		"no record there":    {Options{Paths: []string{t.TempDir()}, Roster: trusted}, 3, "no record.jsonl"},
		"revocation missing": {Options{Paths: []string{done.Dir}, Roster: trusted, Revoked: trusted + "x"}, 3, "read the revocation list"},
		"revocation bad":     {Options{Paths: []string{done.Dir}, Roster: trusted, Revoked: done.Record}, 3, "does not load"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r, err := Run(c.o)
			require.ErrorContains(t, err, c.says)
			assert.Equal(t, c.status, ExitStatus(r, err))
		})
	}
	assert.Equal(t, 0, ExitStatus(run(t, everybody(), done.Dir), nil))
}

func TestTheExitStatusSaysWhetherAllIsSound(t *testing.T) {
	for verdict, status := range map[Verdict]int{Sound: 0, LookHere: 1, Rejected: 1} {
		assert.Equal(t, status, ExitStatus(Report{Records: []Record{{Verdict: Sound}, {Verdict: verdict}}}, nil), verdict)
	}
}

func TestAFaultOfTheAuditIsAFinding(t *testing.T) {
	rec, _ := bytesOf(t, newDepot(t).lamp())
	c := auditor{}.guarded(files{path: "record.jsonl", record: content{data: rec}}, nil) // no binder: the replay must fail
	c.judge()
	assert.Equal(t, Rejected, c.Verdict)
	assert.Contains(t, whats(c.Record), "this program failed on the record")
}

func TestARecordGivenTwiceIsOneRecord(t *testing.T) {
	done := newDepot(t).lamp()
	r := run(t, everybody(), done.Dir, done.Record, filepath.Dir(done.Dir))
	assert.Len(t, r.Records, 1)
}
