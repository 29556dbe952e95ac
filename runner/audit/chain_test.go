package audit

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/session"
)

// three makes three records of one key in one store.
func three(t testing.TB) (*depot, []session.Finished) {
	d := newDepot(t)
	var done []session.Finished
	for range 3 {
		done = append(done, d.lamp())
		d.clock.Pass(time.Hour)
	}
	return d, done
}

func whats(r Record) string {
	var all []string
	for _, f := range r.Findings {
		all = append(all, string(f.Severity)+": "+f.What)
	}
	return strings.Join(all, "\n")
}

func TestAWholeChainIsSoundAndItsHeadIsNamed(t *testing.T) {
	d, done := three(t)
	r := run(t, everybody(), d.dir)
	assert.Equal(t, 3, r.Count(Sound), "%+v", r.Records)
	require.Len(t, r.Heads, 1)
	assert.Equal(t, Head{Store: d.store.ID(), Who: asha.Name, Fingerprint: asha.Fingerprint, Number: 3, Digest: r.Records[2].Digest}, r.Heads[0])
	assert.Equal(t, 3, r.Compared)
	assert.Contains(t, r.Text(), "Head to keep: ")

	// The end of a chain can be removed unseen: that is why heads are kept, and the report says so.
	cut := run(t, everybody(), done[0].Dir, done[1].Dir)
	assert.Equal(t, 2, cut.Count(Sound))
	assert.NotEqual(t, r.Heads, cut.Heads)
	assert.Contains(t, cut.Text(), "removed from the end of a chain show only against a head kept elsewhere")
}

func TestARemovedRecordLeavesAHole(t *testing.T) {
	_, done := three(t)
	r := run(t, everybody(), done[2].Dir, done[0].Dir)
	assert.Equal(t, LookHere, r.Records[0].Verdict)
	assert.Contains(t, whats(r.Records[0]), "between number 1 and 3 of its key's chain, 1 record(s) are missing")
	assert.Contains(t, whats(r.Records[0]), "between job 1 and 3 of its store, 1 job(s) are missing")
	assert.Equal(t, Sound, r.Records[1].Verdict)
	alone := run(t, everybody(), done[2].Dir).Records[0]
	assert.Equal(t, Sound, alone.Verdict)
	assert.Contains(t, whats(alone), "begins here at number 3")
	assert.Contains(t, whats(alone), "note: its store's jobs begin here at number 3: the record(s) of 2 job(s) before it were not given")
	assert.NotContains(t, whats(r.Records[1]), "begin here")
}

func TestAJobThatIsStillOpenIsAGapOfJobsAlone(t *testing.T) {
	d := newDepot(t)
	first := d.lamp()
	open := d.start(d.opening("lamp.yaml"))
	require.NoError(t, open.s.Close())
	second := d.lamp()
	r := run(t, everybody(), first.Dir, second.Dir)
	assert.Equal(t, Sound, r.Records[0].Verdict)
	looks(t, r.Records[1], "between job 1 and 3 of its store")
}

// The second job of a store by another key is the first of its chain: only the job's number tells that one is missing.
func TestAMissingFirstJobIsNotedWhereTheChainIsWhole(t *testing.T) {
	d := newDepot(t)
	d.lamp()
	h := d.start(d.opening("lamp.yaml", bryn))
	h.switchOff()
	h.changeLamp()
	r := one(t, h.seal(bryn, nil).Dir)
	assert.Equal(t, Sound, r.Verdict)
	assert.Equal(t, "note: its store's jobs begin here at number 2: the record(s) of 1 job(s) before it were not given", whats(r))
}

func TestTwoLaptopsAndTwoKeysAreNoFork(t *testing.T) {
	one, other := newDepot(t), newDepot(t)
	other.clock.Pass(24 * time.Hour)
	paths := []string{one.lamp().Dir, other.lamp().Dir}
	one.clock.Pass(time.Hour)
	h := one.start(one.opening("lamp.yaml", bryn))
	h.switchOff()
	h.changeLamp()
	r := run(t, everybody(), append(paths, h.seal(bryn, nil).Dir)...)
	assert.Equal(t, 3, r.Count(Sound), r.Text())
	assert.Len(t, r.Heads, 3)
}

// remade writes the middle record anew, with a prettier reading, and signs it with the same key.
func remade(t *testing.T, done session.Finished) string {
	rec, _ := bytesOf(t, done)
	lines := linesOf(t, rec)
	i := at[runner.Read](t, lines, 0)
	lines[i].Do = runner.Read{Step: "switch-off", Reading: "residual", Value: "0.01 V"}
	e := lines[i].Events[0].(runner.ReadingTaken)
	e.Value = "0.01 V"
	lines[i].Events[0] = e
	return forged(t, chained(t, lines), asha.Signer)
}

func TestARecordMadeAgainDoesNotFitItsChain(t *testing.T) {
	_, done := three(t)
	again := remade(t, done[1])
	require.Equal(t, Sound, one(t, again).Verdict, "by itself nothing shows")

	wrong := run(t, everybody(), done[0].Dir, again, done[2].Dir)
	assert.Equal(t, Sound, wrong.Records[0].Verdict)
	assert.Contains(t, whats(wrong.Records[1]), "rejected: ")
	assert.Contains(t, whats(wrong.Records[1]), "was linked to other bytes")
	assert.Contains(t, whats(wrong.Records[2]), "rejected: it was linked to a record with digest")
	assert.Contains(t, wrong.Text(), "It may be innocent: the store was brought back")

	fork := run(t, everybody(), done[0].Dir, done[1].Dir, again, done[2].Dir)
	assert.Equal(t, Rejected, fork.Records[1].Verdict)
	assert.Equal(t, Rejected, fork.Records[2].Verdict)
	assert.Contains(t, whats(fork.Records[1]), "has the same number 2 in its key's chain")
	assert.Equal(t, Sound, fork.Records[3].Verdict, "the one that it was linked to is there: %s", whats(fork.Records[3]))
}

func TestAForgedRecordSpoilsNoHonestOne(t *testing.T) {
	_, done := three(t)
	again := remade(t, done[1])
	_, sig := bytesOf(t, done[1])
	require.NoError(t, os.WriteFile(again+signatureEnding, sig, 0o600)) // made without the key
	r := run(t, everybody(), done[0].Dir, done[1].Dir, again, done[2].Dir)
	assert.Equal(t, 3, r.Count(Sound), r.Text())
	assert.Equal(t, Rejected, r.Records[2].Verdict)
	assert.Equal(t, 3, r.Heads[0].Number)
}

func TestACopyIsNoFork(t *testing.T) {
	_, done := three(t)
	rec, _ := bytesOf(t, done[1])
	copied := forged(t, rec, asha.Signer)
	r := run(t, everybody(), done[0].Dir, done[1].Dir, copied, done[2].Dir)
	assert.Equal(t, 4, r.Count(Sound), r.Text())
	assert.Contains(t, whats(r.Records[2]), "it is a copy of")
}

func TestOnePersonInTwoJobsAtOnceIsPointedOut(t *testing.T) {
	pair := func(apart time.Duration, people ...string) Report {
		a, b := newDepot(t), newDepot(t)
		b.clock.Wall = b.clock.Wall.Add(apart)
		first := a.heater(nil)
		h := b.start(b.opening("lamp.yaml"))
		if len(people) > 0 {
			h = b.start(b.opening("lamp.yaml", dilys))
		}
		h.clock.Pass(4 * time.Minute)
		h.switchOff()
		h.changeLamp()
		by := asha
		if len(people) > 0 {
			by = dilys
		}
		return run(t, everybody(), first.Dir, h.seal(by, nil).Dir)
	}
	r := pair(0)
	for _, rec := range r.Records {
		looks(t, rec, "was at work in ")
	}
	assert.Equal(t, 1, r.Compared)
	assert.Equal(t, 2, pair(time.Hour).Count(Sound), "one after the other")
	assert.Equal(t, 2, pair(0, "dilys").Count(Sound), "two people")
}

func TestTwinJobsArePointedOut(t *testing.T) {
	pair := func(second ...string) Report {
		d := newDepot(t)
		first := d.heater(nil)
		d.clock.Pass(time.Hour)
		return run(t, everybody(), first.Dir, d.heater(cooled(second...)).Dir)
	}
	r := pair("60 °C", "55 °C", "51 °C", "48 °C")
	for _, rec := range r.Records {
		looks(t, rec, "all 5 measured values are the same")
	}
	assert.Equal(t, 2, pair("60 °C", "55 °C", "51 °C", "47 °C").Count(Sound))
	lamps := func() Report {
		d := newDepot(t)
		first := d.lamp()
		d.clock.Pass(time.Hour)
		return run(t, everybody(), first.Dir, d.lamp().Dir)
	}
	assert.Equal(t, 2, lamps().Count(Sound), "one value alike is nothing")
}

func TestTwinsAndTwoJobsAreOfRealPeopleAndLiveWork(t *testing.T) {
	for _, mode := range []runner.Mode{runner.Rehearsal, runner.Practice} {
		a, b := newDepot(t), newDepot(t)
		if mode == runner.Practice {
			b.clock.Pass(24 * time.Hour) // practice has twins; nobody is in two at once
		}
		r := run(t, everybody(), a.heaterAs(mode, func(*shift) {}), b.heaterAs(mode, func(*shift) {}))
		assert.Equal(t, 2, r.Count(Sound), r.Text())
	}
}

// A second record under a job's number, by another key, does not show in any key's chain.
func TestOneJobHasOneRecord(t *testing.T) {
	done := newDepot(t).lamp()
	rec, _ := bytesOf(t, done)
	lines := linesOf(t, rec)
	lines[0].Open.Performer = bryn.Person
	for i := range lines {
		lines[i].By = bryn.Name
	}
	last := &lines[len(lines)-1]
	s := last.Do.(runner.Seal)
	s.By = bryn.Person
	last.Do, last.Events = s, []runner.Event{runner.Sealed{Outcome: "complete", By: s.By, Chain: s.Chain}}
	other := forged(t, chained(t, lines), bryn.Signer)
	require.Equal(t, Sound, one(t, other).Verdict)
	r := run(t, everybody(), done.Dir, other)
	assert.Equal(t, 2, r.Count(Rejected))
	assert.Contains(t, whats(r.Records[0]), "has the same job number 1 in the same store")
}

func TestARecordThatLooksLikeAFolderOrAPipeIsNoRecord(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "record.jsonl"), 0o700))
	_, err := Run(Options{Paths: []string{dir}, Roster: rosterFile(t, everybody())})
	require.ErrorContains(t, err, "no record.jsonl")
}
