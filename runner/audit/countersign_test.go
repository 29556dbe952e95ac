package audit

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
	"fenderside/runner/session/sessiontest"
)

// jobDay is the day of the tests' jobs.
var jobDay = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

// with writes a roster line for one person with options.
func with(who sessiontest.Who, options string) string {
	return who.Name + " " + options + " " + string(ssh.MarshalAuthorizedKey(who.Signer.PublicKey()))
}

func revoked(t testing.TB, rosterText, path string, keys ...sessiontest.Who) Record {
	var list strings.Builder
	for _, k := range keys {
		list.Write(ssh.MarshalAuthorizedKey(k.Signer.PublicKey()))
	}
	r, err := Run(Options{Paths: []string{path}, Roster: rosterFile(t, rosterText), Revoked: rosterFile(t, list.String()), Now: auditDay})
	require.NoError(t, err)
	return r.Records[0]
}

func TestTheAuditorsRosterDecidesWhoMayClose(t *testing.T) {
	cases := map[string]struct {
		roster  string
		verdict Verdict
		says    string
	}{
		"not on it":            {sessiontest.RosterOf(bryn), Rejected, "is not on the roster"},
		"another name":         {strings.Replace(sessiontest.RosterOf(asha), asha.Name, "cerys@millbrook.example", 1), Rejected, "not as " + asha.Name},
		"another role":         {with(asha, `namespaces="stretch@fenderside"`), Rejected, "may not sign as"},
		"not yet":              {with(asha, `valid-after="20260401Z"`), Rejected, "may sign only from"},
		"past its date then":   {with(asha, `valid-before="20260301Z"`), LookHere, "closed with a key past its date"},
		"past its date since":  {with(asha, `valid-before="20260316Z"`), LookHere, "since the closing time, which is self-declared"},
		"good until next year": {with(asha, `valid-before="20270101Z"`), Sound, ""},
		"may do all":           {sessiontest.RosterOf(asha), Sound, ""},
	}
	done := newDepot(t).lamp()
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r := run(t, c.roster, done.Dir).Records[0]
			assert.Equal(t, c.verdict, r.Verdict, whats(r))
			assert.Contains(t, whats(r), c.says)
		})
	}
}

func TestASignatureThatDoesNotHoldTellsOnlyTheKeyThatItClaims(t *testing.T) {
	d := newDepot(t)
	first, second := d.lamp(), d.lamp()
	_, other := bytesOf(t, second)
	require.NoError(t, os.WriteFile(first.Signature, other, 0o600))
	report := run(t, everybody(), first.Dir)
	text := report.Text()
	assert.Contains(t, text, "\n  signature DOES NOT HOLD: it claims key "+asha.Fingerprint+" (record@fenderside)\n")
	assert.NotContains(t, text, "signed the whole record")
	assert.NotContains(t, text, "0001-01-01")
	data, err := report.JSON()
	require.NoError(t, err)
	assert.NotContains(t, string(data), "0001-01-01")
}

func TestASignatureByAKeyThatIsNotOnTheRosterIsNotToldAsAPersons(t *testing.T) {
	report := run(t, sessiontest.RosterOf(bryn), newDepot(t).lamp().Dir)
	assert.Contains(t, report.Text(), "signature holds for key "+asha.Fingerprint+", which the record calls "+asha.Name+"; not on your roster by that name: ")
	assert.NotContains(t, report.Text(), "signature holds: ")
	assert.Contains(t, report.Text(), "Next: confirm the key with the person before adding it.")
	assert.False(t, report.Records[0].Signatures[0].Known)

	rec, _ := bytesOf(t, newDepot(t).lamp())
	strange := run(t, everybody(), forged(t, rec, sessiontest.Person("cerys").Signer))
	assert.Contains(t, strange.Text(), "which neither the record nor your roster names: signed the whole record")
	assert.Contains(t, run(t, everybody(), newDepot(t).lamp().Dir).Text(), "signature holds: "+asha.Name+" signed the whole record on 2026-03-14")
}

func TestACountersignatureStandsForAnAgedKey(t *testing.T) {
	done := newDepot(t).lamp()
	aged := with(asha, `valid-before="20260316Z"`) + sessiontest.RosterOf(bryn)
	assert.Equal(t, LookHere, run(t, aged, done.Dir).Records[0].Verdict)

	path, err := Countersign(done.Dir, bryn.Person, bryn.Signer, jobDay)
	require.NoError(t, err)
	assert.Equal(t, done.Record+".countersign-1.sig", path)
	r := run(t, aged, done.Dir).Records[0]
	assert.Equal(t, Sound, r.Verdict, whats(r))
	assert.Equal(t, "countersigned the record", r.Signatures[1].Meaning)

	late := newDepot(t).lamp()
	_, err = Countersign(late.Dir, bryn.Person, bryn.Signer, jobDay.AddDate(0, 0, 4))
	require.NoError(t, err)
	assert.Equal(t, LookHere, run(t, aged, late.Dir).Records[0].Verdict, "countersigned after the key's end")
}

func TestACountersignatureStandsForAnApprentice(t *testing.T) {
	done := newDepot(t).lamp()
	apprentice := with(asha, `namespaces="stretch@fenderside"`) + sessiontest.RosterOf(bryn)
	assert.Equal(t, Rejected, run(t, apprentice, done.Dir).Records[0].Verdict)
	_, err := Countersign(done.Dir, bryn.Person, bryn.Signer, jobDay)
	require.NoError(t, err)
	looks(t, run(t, apprentice, done.Dir).Records[0], "it is countersigned by "+bryn.Name)
	both := with(asha, `namespaces="stretch@fenderside"`) + with(bryn, `namespaces="witness@fenderside"`)
	assert.Equal(t, Rejected, run(t, both, done.Dir).Records[0].Verdict, "a witness may not close jobs either")
}

func TestARevokedKeyDeservesALook(t *testing.T) {
	done := newDepot(t).heater(nil)
	looks(t, revoked(t, everybody(), done.Dir, asha), "on the revocation list")
	looks(t, revoked(t, everybody(), done.Dir, bryn), "witnessed step agree with a key on the revocation list")
	looks(t, revoked(t, everybody(), done.Dir, dilys), "")

	_, err := Countersign(done.Dir, dilys.Person, dilys.Signer, jobDay)
	require.NoError(t, err)
	looks(t, revoked(t, everybody(), done.Dir, asha), "does not say since when")
	dated := with(asha, `valid-before="20260316Z"`) + sessiontest.RosterOf(bryn, dilys)
	looks(t, revoked(t, dated, done.Dir, asha), "")
}

func TestACountersignerMayStillCloseJobs(t *testing.T) {
	done := newDepot(t).lamp()
	_, err := Countersign(done.Dir, bryn.Person, bryn.Signer, jobDay)
	require.NoError(t, err)
	aged := with(asha, `valid-before="20260316Z"`)
	assert.Equal(t, Sound, run(t, aged+with(bryn, `valid-before="20270101Z"`), done.Dir).Records[0].Verdict)

	both := run(t, aged+with(bryn, `valid-before="20260317Z"`), done.Dir).Records[0]
	assert.Equal(t, LookHere, both.Verdict, "a key past its date can state any time")
	assert.Contains(t, whats(both), "does not count")

	lost := revoked(t, aged+sessiontest.RosterOf(bryn), done.Dir, bryn)
	assert.Equal(t, LookHere, lost.Verdict)
	assert.Contains(t, whats(lost), "does not count: its key is on the revocation list")
}

// Whoever puts a bad countersignature beside a record can neither spoil nor save it.
func TestABadCountersignatureDoesNotCount(t *testing.T) {
	edit := func(old, new string) func(string) string {
		return func(s string) string { return strings.Replace(s, old, new, 1) }
	}
	resigned := func(who sessiontest.Who, f func(string) string) func(t *testing.T, path string) {
		return func(t *testing.T, path string) {
			text, err := os.ReadFile(strings.TrimSuffix(path, signatureEnding))
			require.NoError(t, err)
			changed := f(string(text))
			require.NoError(t, os.WriteFile(strings.TrimSuffix(path, signatureEnding), []byte(changed), 0o600))
			sig, err := seal.Sign(who.Signer, seal.Record, []byte(changed))
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(path, []byte(sig), 0o600))
		}
	}
	cases := map[string]func(t *testing.T, path string){
		"another key's":      resigned(dilys, func(s string) string { return s }),
		"another record's":   resigned(bryn, edit("record ", "record 0")),
		"another job's":      resigned(bryn, edit("-0001", "-0002")),
		"the closer's own":   resigned(asha, func(s string) string { return edit(bryn.Name, asha.Name)(edit(bryn.Fingerprint, asha.Fingerprint)(s)) }),
		"before the closing": resigned(bryn, edit("2026-03-14", "2026-03-13")),
		"a name not its own": resigned(bryn, edit(bryn.Name, dilys.Name)),
		"a word left out":    resigned(bryn, edit("\nby ", "\n")),
		"one more line":      resigned(bryn, func(s string) string { return s + "and more\n" }),
		"statement gone": func(t *testing.T, path string) {
			require.NoError(t, os.Remove(strings.TrimSuffix(path, signatureEnding)))
		},
		"signature emptied":   func(t *testing.T, path string) { require.NoError(t, os.WriteFile(path, nil, 0o600)) },
		"statement retouched": func(t *testing.T, path string) { retouch(t, strings.TrimSuffix(path, signatureEnding)) },
	}
	aged := with(asha, `valid-before="20260316Z"`) + sessiontest.RosterOf(bryn, dilys)
	for name, spoil := range cases {
		t.Run(name, func(t *testing.T) {
			done := newDepot(t).lamp()
			path, err := Countersign(done.Dir, bryn.Person, bryn.Signer, jobDay)
			require.NoError(t, err)
			require.Equal(t, Sound, run(t, aged, done.Dir).Records[0].Verdict)
			spoil(t, path)
			looks(t, run(t, everybody(), done.Dir).Records[0], "does not count")
			assert.Contains(t, whats(run(t, aged, done.Dir).Records[0]), "its key has passed its date")
		})
	}
}

func retouch(t *testing.T, path string) {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), "12:00:00", "12:00:01", 1)), 0o600))
}

func TestWhatIsNotCountersigned(t *testing.T) {
	done := newDepot(t).lamp()
	_, err := Countersign(done.Dir, asha.Person, asha.Signer, jobDay)
	assert.ErrorContains(t, err, "somebody else countersigns")
	_, err = Countersign(done.Dir, bryn.Person, dilys.Signer, jobDay)
	assert.ErrorContains(t, err, "is not that of "+bryn.Name)
	_, err = Countersign(filepath.Dir(done.Dir), bryn.Person, bryn.Signer, jobDay)
	assert.ErrorContains(t, err, "name the folder of a signed record")
	require.NoError(t, os.WriteFile(done.Record, []byte("{}\n"), 0o600))
	_, err = Countersign(done.Dir, bryn.Person, bryn.Signer, jobDay)
	assert.ErrorContains(t, err, "its own signature does not hold")
}

// The outside oracle is `ssh-keygen -Y verify` (OpenSSH).
func TestOpenSSHVerifiesACountersignature(t *testing.T) {
	done := newDepot(t).lamp()
	for n := 1; n <= 2; n++ {
		path, err := Countersign(done.Dir, bryn.Person, bryn.Signer, jobDay)
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf("%s.countersign-%d.sig", done.Record, n), path)
		statement, err := os.ReadFile(strings.TrimSuffix(path, signatureEnding))
		require.NoError(t, err)
		sig, err := os.ReadFile(path)
		require.NoError(t, err)
		ok, said := sealtest.Accepts(t, sealtest.Question{Roster: everybody(), Principal: bryn.Name, Namespace: seal.Record,
			Signature: string(sig), Message: statement})
		assert.True(t, ok, said)
	}
}
