package plain

// The small procedure of testdata, worked from the first question to the signed record.

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
)

var update = flag.Bool("update", false, "write the golden dialogues anew")

var scrubs = []struct{ find, put string }{
	{`[0-9a-f]{8}-\d{4}`, "0123abcd-0001"},
	{`SHA256:[A-Za-z0-9+/]{43}`, "SHA256:AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"},
	{`(?s)The record:\n.*?\nAnybody`, "The record:\nPATH\nAnybody"},
	{`(?s)> /[^\n]*-key\n`, "> KEYFILE\n"},
	{`(?s)Passphrase for\s.*?:\n`, "Passphrase for KEYFILE:\n"},
	{`[0-9a-f]{64}`, strings.Repeat("0", 64)},
}

// golden compares a dialogue, its random parts scrubbed, with the file of that name.
func golden(t *testing.T, name, text string) {
	t.Helper()
	for _, s := range scrubs {
		text = regexp.MustCompile(s.find).ReplaceAllString(text, s.put)
	}
	path := filepath.Join("testdata", name+".golden")
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), text)
}

// toFit are the answers from the first step to the fitting of the lamp.
func toFit() []string {
	return join(briefed, dead, cooled, looked, []string{".skip no cloth here", "done"})
}

func (b *bench) wholeJob() []string {
	return join(toFit(), []string{"true", "left", "witness", "1", b.keyOf("bryn"), passphrase, "1",
		"", "@5m", ".pinned", "itself", "lamp", ".follow look at the cover again", "2031-04-01", "sign complete"})
}

func TestWholeJobEndsInARecordThatReplaysAndVerifies(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), b.wholeJob()...))
	golden(t, "whole-job", b.dialogue())
	r := b.replayed()
	assert.Equal(t, procedures.Complete, r.State.Outcome())
	assert.Equal(t, runner.Practice, r.Job.Opening.Mode)
	assert.Equal(t, "leaflet page 2", r.Job.Opening.Sheet[1].Source)
	require.Len(t, r.State.FollowUps(), 1)
}

// The outside check: OpenSSH itself verifies the record, with the command as it was printed, taken by a shell.
func TestThePrintedCommandVerifiesTheRecord(t *testing.T) {
	for _, tool := range []string{"sh", "ssh-keygen"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip("needs " + tool)
		}
	}
	b := newBench(t)
	require.NoError(t, b.run(practice(t), b.wholeJob()...))
	_, after, found := strings.Cut(b.dialogue(), "In its folder, run:\n")
	require.True(t, found)
	command, _, _ := strings.Cut(after, "\nTo follow")
	verify := func() error {
		cmd := exec.Command("sh", "-c", command)
		cmd.Dir = b.record()
		out, err := cmd.CombinedOutput()
		t.Logf("%s", out)
		return err
	}
	require.NoError(t, verify())
	path := filepath.Join(b.record(), "record.jsonl")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	data[len(data)/2] ^= 1
	require.NoError(t, os.WriteFile(path, data, 0o600))
	require.Error(t, verify(), "a changed record must not verify")
}

func TestReferredJobSaysHowTheVehicleIsLeft(t *testing.T) {
	b := newBench(t)
	err := b.run(practice(t), join(briefed, dead, []string{
		".close referred the wall socket is loose", ".sign", ".left", "1", "unplugged, plug in the drawer", ".review all", "sign complete", "sign referred"})...)
	require.NoError(t, err)
	golden(t, "referred", b.dialogue())
	r := b.replayed()
	assert.Equal(t, procedures.Referred, r.State.Outcome())
	assert.Equal(t, []runner.Left{{Step: "plug-back", State: "unplugged, plug in the drawer"}}, r.State.Left())
	assert.Contains(t, b.dialogue(), "DO NOT START")
}

func TestAnEarlyCloseCanBeWithdrawn(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), join(briefed, []string{".close", "2", "no time", ".continue there is time after all", "pocket"})...))
	assert.Contains(t, b.dialogue(), "Closing withdrawn: there is time after all.")
	assert.Contains(t, b.dialogue(), "Affirmed.")
}
