package session_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
	"fenderside/runner/store"
)

func TestAFinishedJobIsARecordThatOpenSSHVerifies(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Work(t, s, clock)
	assert.True(t, s.State().ReadyToSeal())
	done := sessiontest.Sign(t, s, asha)

	text, err := os.ReadFile(done.Record)
	require.NoError(t, err)
	sig, err := os.ReadFile(done.Signature)
	require.NoError(t, err)
	rosterText, err := os.ReadFile(done.Roster)
	require.NoError(t, err)
	_, err = seal.Verify(string(sig), seal.Record, text)
	require.NoError(t, err)
	open, err := st.OpenJobs()
	require.NoError(t, err)
	assert.Empty(t, open)
	ok, said := sealtest.Accepts(t, sealtest.Question{Roster: string(rosterText), Principal: asha.Name,
		Namespace: seal.Record, Signature: string(sig), Message: text})
	assert.True(t, ok, said)
}

func TestRecordsOfOneKeyAreChainedAndNumbered(t *testing.T) {
	dir, asha := t.TempDir(), sessiontest.Person("asha")
	var before string
	for n := 1; n <= 3; n++ {
		clock := sessiontest.NewClock()
		_, s := sessiontest.Start(t, dir, clock, runner.Practice, asha)
		assert.Equal(t, runner.Link{Number: n, Previous: before}, s.Job().Opening.Chain)
		assert.Equal(t, n, s.Job().Opening.Number)
		sessiontest.Work(t, s, clock)
		done := sessiontest.Sign(t, s, asha)
		text, err := os.ReadFile(done.Record)
		require.NoError(t, err)
		assert.Equal(t, runner.Link{Number: n, Previous: before}, s.State().Seal().Chain)
		before = record.Digest(text)
	}
}

func TestACrashBetweenSealingAndSigningIsSignedLaterAndGivesNoNumberTwice(t *testing.T) {
	dir, clock, asha := t.TempDir(), sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, dir, clock, runner.Practice, asha)
	sessiontest.Work(t, s, clock)
	link, err := st.Next(asha.Fingerprint)
	require.NoError(t, err)
	sessiontest.Do(t, s, runner.Seal{By: asha.Person, Chain: link}) // the program ends here: the book knows nothing of it
	require.NoError(t, s.Close())

	again, err := store.Open(dir)
	require.NoError(t, err)
	link, err = again.Next(asha.Fingerprint)
	require.NoError(t, err)
	assert.Equal(t, 2, link.Number, "a job that is opened now follows the record that was sealed")
	require.NoError(t, again.Seal(asha.Fingerprint, func(l runner.Link) (string, error) {
		assert.Equal(t, 2, l.Number)
		return strings.Repeat("0", 64), nil
	}))
	back, err := session.Resume(again, s.Job().Opening.Job, clock)
	require.NoError(t, err)
	assert.Equal(t, runner.Closed, back.State().Phase())
	sessiontest.Sign(t, back, asha)
}

func TestANameInTheLineThatVerifiesIsOneWordOfTheShell(t *testing.T) {
	f := session.Finished{By: runner.Person{Name: "$(id);@millbrook.example"}}
	assert.Contains(t, f.VerifyLine(), " -I '$(id);@millbrook.example' -n ")
}

func TestACrashBetweenSigningAndMovingIsMadeGoodWhenTheStoreIsOpened(t *testing.T) {
	dir, clock, asha := t.TempDir(), sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, dir, clock, runner.Practice, asha)
	sessiontest.Work(t, s, clock)
	done := sessiontest.Sign(t, s, asha)
	job := s.Job().Opening.Job
	require.NoError(t, os.Rename(done.Dir, st.JobDir(job))) // the program ends here: the record has its name, its folder has not moved

	again, err := store.Open(dir)
	require.NoError(t, err)
	open, err := again.OpenJobs()
	require.NoError(t, err)
	assert.Empty(t, open)
	records, err := again.Records()
	require.NoError(t, err)
	assert.Equal(t, []string{job}, records)
	assert.FileExists(t, done.Signature)
}

func TestAJobComesBackHeldAfterTheProgramEnds(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Brief(t, s)
	sessiontest.Unplug(t, s)
	sessiontest.Cool(t, s)
	require.NoError(t, s.Close())
	clock.Restart()

	back, err := session.Resume(st, s.Job().Opening.Job, clock)
	require.NoError(t, err)
	hold := back.State().Hold()
	require.NotNil(t, hold)
	assert.Equal(t, runner.ByRestart, hold.Why)
	assert.Equal(t, []string{"unplugged", "cool"}, hold.Fell)
	d, err := back.Do(runner.StartWait{Step: "wait-dark"})
	require.NoError(t, err)
	require.NotNil(t, d.Refusal)
	assert.Equal(t, runner.Interruption, d.Refusal.Reasons[0].Code)
	sessiontest.Do(t, back, runner.Resume{})
	assert.Equal(t, "wait-dark", back.State().Cursor().ID, "a resume advances nothing")
	assert.Equal(t, "pull-plug", back.State().Current().ID, "the first gate that fell is offered")
}

func TestOneProcessHoldsAJob(t *testing.T) {
	st, s := sessiontest.Start(t, t.TempDir(), sessiontest.NewClock(), runner.Live, sessiontest.Person("asha"))
	_, err := session.Resume(st, s.Job().Opening.Job, sessiontest.NewClock())
	assert.ErrorIs(t, err, journal.ErrInUse)
}

func TestAMissingJobIsSaidPlainly(t *testing.T) {
	st, _ := sessiontest.Start(t, t.TempDir(), sessiontest.NewClock(), runner.Live, sessiontest.Person("asha"))
	_, err := session.Resume(st, "no-such-job", sessiontest.NewClock())
	require.Error(t, err)
	assert.Contains(t, err.Error(), "fenderside jobs")
}

func TestEvidenceIsBoundByDigestAndKept(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Brief(t, s)
	_, err := s.Attach("pull-plug", "plug-photo", filepath.Join(t.TempDir(), "missing.jpg"))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "check the path")

	photo := filepath.Join(t.TempDir(), "plug.jpg")
	require.NoError(t, os.WriteFile(photo, []byte("abc"), 0o600))
	d, err := s.Attach("pull-plug", "plug-photo", photo)
	require.NoError(t, err)
	require.Nil(t, d.Refusal)
	// SHA-256 of "abc" is the example of FIPS 180-4.
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	view, _ := s.State().View("pull-plug", s.Moment())
	assert.Equal(t, abc, view.Evidence[0].File.SHA256)
	kept, err := os.ReadFile(filepath.Join(st.JobDir(s.Job().Opening.Job), store.EvidenceDir, abc[:16]+".jpg"))
	require.NoError(t, err)
	assert.Equal(t, "abc", string(kept))
}

func TestTimeIsWrittenAtThePrecisionThatIsDecidedFrom(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Brief(t, s)
	sessiontest.Unplug(t, s)
	sessiontest.Cool(t, s)
	clock.Pass(999*time.Microsecond + 7)
	sessiontest.Do(t, s, runner.StartWait{Step: "wait-dark"})
	clock.Pass(time.Minute - 7)
	d, err := s.Do(runner.Finish{Step: "wait-dark"})
	require.NoError(t, err)
	require.NoError(t, s.Close())
	_, err = session.Resume(st, s.Job().Opening.Job, clock)
	require.NoError(t, err, "a replay decides as the job did: %v", d.Refusal)
}

func TestWhatCannotBeMadeSafeStandsOnATagToPrint(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	_, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Brief(t, s)
	sessiontest.Unplug(t, s)
	sessiontest.Do(t, s, runner.Close{Outcome: "abandoned", Reason: "glass welded in"})
	d, _, err := s.Seal(asha.Person, asha.Signer, nil)
	require.NoError(t, err)
	require.NotNil(t, d.Refusal, "the plug is still out")
	assert.Equal(t, runner.MakeSafeDue, d.Refusal.Reasons[0].Code)
	sessiontest.Do(t, s, runner.Leave{Step: "plug-in", State: "unplugged, the plug is taped to the door"})
	done := sessiontest.Sign(t, s, asha)
	tag, err := os.ReadFile(done.Tag)
	require.NoError(t, err)
	assert.Contains(t, string(tag), "DO NOT START")
	assert.Contains(t, string(tag), "taped to the door")
}

func TestTextThatIsNotUTF8DoesNotLockTheJob(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	for _, c := range []runner.Command{
		runner.Note{Text: "a\x9bb"}, runner.Acknowledge{Item: "\xff"}, runner.Close{Outcome: "abandoned", Reason: "\xc3("},
		runner.Take{Instrument: "meter", Name: "DM\x80", Due: "2027-01-31"}, runner.StopWork{Safeguards: []string{"\xfe"}, Note: "\xf0"},
	} {
		_, err := s.Do(c)
		require.NoError(t, err)
	}
	require.NoError(t, s.Close())
	back, err := session.Resume(st, s.Job().Opening.Job, clock)
	require.NoError(t, err)
	require.NoError(t, back.Close())
}

func TestAMakeSafeStepTakenBackInAnEarlyCloseIsAskedAgainAndMovesTheWorkNowhere(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	_, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Brief(t, s)
	sessiontest.Unplug(t, s)
	sessiontest.Do(t, s, runner.Close{Outcome: "abandoned", Reason: "glass welded in"})
	sessiontest.Do(t, s, runner.Affirm{Step: "plug-in", Statement: 0})
	sessiontest.Do(t, s, runner.Finish{Step: "plug-in"})
	sessiontest.Do(t, s, runner.Correct{Correction: runner.Correction{Statement: "plug-in", Reason: "the door was open"}})
	assert.Equal(t, runner.Closing, s.State().Phase())
	assert.Equal(t, "let-cool", s.State().Cursor().ID)
}
