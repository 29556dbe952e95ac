package audit

// Any change to a signed record shows, whoever makes it; and OpenSSH, asked about the signature alone, says the same.

import (
	"bytes"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner/record"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

// judgeBytes audits a record in memory.
func judgeBytes(t testing.TB, b *record.Binder, rec, sig []byte) Record {
	trusted, err := roster.Parse([]byte(everybody()))
	require.NoError(t, err)
	a := auditor{roster: trusted, now: auditDay}
	c := a.guarded(files{path: "record.jsonl", record: content{data: rec}, signature: content{data: sig},
		roster: content{err: os.ErrNotExist}}, b)
	c.judge()
	return c.Record
}

func TestNoByteOfARecordOrItsSignatureCanBeFlipped(t *testing.T) {
	rec, sig := bytesOf(t, newDepot(t).lamp())
	var b record.Binder
	require.Equal(t, Sound, judgeBytes(t, &b, rec, sig).Verdict)
	masks := []byte{0x01, 0x20, 0x80}
	flipped := 0
	for _, mask := range masks {
		for i := range rec {
			bad := bytes.Clone(rec)
			bad[i] ^= mask
			require.Equal(t, Rejected, judgeBytes(t, &b, bad, sig).Verdict, "record byte %d ^ %#x", i, mask)
			flipped++
		}
		for i := range sig {
			bad := bytes.Clone(sig)
			bad[i] ^= mask
			require.NotEqual(t, Sound, judgeBytes(t, &b, rec, bad).Verdict, "signature byte %d ^ %#x", i, mask)
			flipped++
		}
	}
	t.Logf("%d changes to %d bytes of record and %d of signature, none sound", flipped, len(rec), len(sig))
}

// The signature alone would catch all of the above; here it is left out, so that the chain and the replay must name the
// line by themselves.
func TestAChangedLineIsNamed(t *testing.T) {
	rec, sig := bytesOf(t, newDepot(t).lamp())
	lines := bytes.SplitAfter(rec, []byte{'\n'})
	lines = lines[:len(lines)-1]
	last := len(lines) - 1
	cases := map[string]struct {
		lines [][]byte
		named int
	}{
		"a line dropped":       {slices.Delete(slices.Clone(lines), 5, 6), 6},
		"the last one dropped": {slices.Clone(lines[:last]), last},
		"two lines swapped":    {swapped(lines, 5, 6), 6},
		"a line twice":         {slices.Insert(slices.Clone(lines), 5, lines[5]), 7},
		"a line added":         {slices.Insert(slices.Clone(lines), last+1, lines[last]), last + 2},
		"the first one gone":   {slices.Clone(lines[1:]), 1},
		"an empty line added":  {slices.Insert(slices.Clone(lines), 5, []byte("\n")), 6},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			var b record.Binder
			r := judgeBytes(t, &b, bytes.Join(c.lines, nil), sig)
			require.Equal(t, Rejected, r.Verdict)
			assert.Equal(t, name != "the first one gone", r.Job != "", "a report says which job it is about")
			assert.True(t, slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Line == c.named && f.Severity == Against }), "%+v", r.Findings)
			assert.True(t, slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Line == 0 && f.Severity == Against }), "the signature speaks too")
		})
	}
}

func swapped(lines [][]byte, i, j int) [][]byte {
	out := slices.Clone(lines)
	out[i], out[j] = out[j], out[i]
	return out
}

func TestASignatureMovedFromAnotherRecordFails(t *testing.T) {
	d := newDepot(t)
	recOne, sigOne := bytesOf(t, d.lamp())
	recTwo, sigTwo := bytesOf(t, d.lamp())
	var b record.Binder
	assert.Equal(t, Rejected, judgeBytes(t, &b, recOne, sigTwo).Verdict)
	assert.Equal(t, Rejected, judgeBytes(t, &b, recTwo, sigOne).Verdict)
	assert.Equal(t, Rejected, judgeBytes(t, &b, recOne, nil).Verdict)
}

// The outside oracle is `ssh-keygen -Y verify` (OpenSSH).
func TestOpenSSHAgreesAboutTheSignature(t *testing.T) {
	d := newDepot(t)
	rec, sig := bytesOf(t, d.lamp())
	_, other := bytesOf(t, d.lamp())
	stretch, err := seal.Sign(asha.Signer, seal.Stretch, rec)
	require.NoError(t, err)
	cases := map[string]struct{ rec, sig []byte }{
		"untouched":             {rec, sig},
		"record flipped":        {flip(rec, 300), sig},
		"record cut":            {rec[:len(rec)-1], sig},
		"record with a space":   {append(bytes.Clone(rec), ' '), sig},
		"signature flipped":     {rec, flip(sig, 120)},
		"signature moved":       {rec, other},
		"another purpose":       {rec, []byte(stretch)},
		"text before":           {rec, append([]byte("see this:\n"), sig...)},
		"text after":            {rec, append(bytes.Clone(sig), "see that\n"...)},
		"line ends of Windows":  {rec, bytes.ReplaceAll(sig, []byte("\n"), []byte("\r\n"))},
		"signature of nothing":  {nil, sig},
		"signature file empty":  {rec, []byte{}},
		"signature file halved": {rec, sig[:len(sig)/2]},
	}
	agreed := map[bool]int{}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			ssh, said := sealtest.Accepts(t, sealtest.Question{Roster: everybody(), Principal: asha.Name, Namespace: seal.Record,
				Signature: string(c.sig), Message: c.rec})
			var b record.Binder
			r := judgeBytes(t, &b, c.rec, c.sig)
			ours := slices.ContainsFunc(r.Signatures, func(s Signature) bool { return s.Namespace == seal.Record && s.Good })
			assert.Equal(t, ssh, ours, "%s; %+v", said, r.Findings)
			if !ssh {
				assert.Equal(t, Rejected, r.Verdict)
			}
			agreed[ssh]++
		})
	}
	if len(agreed) > 0 {
		assert.Equal(t, map[bool]int{true: 2, false: len(cases) - 2}, agreed)
	}
}

func flip(b []byte, at int) []byte {
	out := bytes.Clone(b)
	out[at] ^= 1
	return out
}
