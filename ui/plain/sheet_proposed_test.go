package plain

// In lines, what a check makes of the lines above is said with how it came to it, and Enter takes it.

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
)

// tells fills the sheet of the whole job on the six-cylinder demonstration card and opens the job; it returns what was said, with
// its rows joined, and the entry for the sensor.
func tells(t *testing.T, lines ...string) (said, position string) {
	t.Helper()
	b := newBench(t)
	p, ok := library.Procedure("oxygen-sensor")
	require.True(t, ok)
	card, ok := library.Card("millbrook-six")
	require.True(t, ok)
	lines = join([]string{""}, lines, []string{"", "", "", "open", ".quit"})
	_ = b.run(Options{Start: &Start{Procedure: p, Card: card}}, lines...)
	for _, e := range b.opening().Sheet {
		if e.ID == "position" {
			position = e.Value
		}
	}
	return strings.ReplaceAll(b.dialogue(), "\n  ", " "), position
}

// opening is the first line of the one open job.
func (b *bench) opening() runner.Opening {
	st, err := b.home.Store()
	require.NoError(b.t, err)
	data, err := os.ReadFile(filepath.Join(st.JobDir(b.only()), "journal.jsonl"))
	require.NoError(b.t, err)
	lines, err := journal.Read(data)
	require.NoError(b.t, err)
	l, err := record.Decode(lines[0])
	require.NoError(b.t, err)
	r, err := record.Start(&record.Binder{}, l)
	require.NoError(b.t, err)
	return r.Job.Opening
}

func TestEnterTakesWhatIsProposedInLines(t *testing.T) {
	said, position := tells(t, "P0141", "") // SAE J2012 (read at second hand): heater circuit, bank 1 sensor 2
	assert.Contains(t, said, "Proposed: B1S2: bank 1 (rear), behind the catalyst\n")
	assert.Contains(t, said, "Working: P0141: oxygen sensor, bank 1 sensor 2: heater does not bring the sensor to temperature")
	assert.Contains(t, said, "To take B1S2, press Enter.\n")
	assert.Equal(t, "B1S2", position)
	assert.NotContains(t, said, "NOTE: ")
}

func TestAnotherOneThanIsProposedIsNotedInLinesAndTaken(t *testing.T) {
	said, position := tells(t, "post-cat rear bank", "B2S2")
	assert.Equal(t, "B2S2", position)
	note := "NOTE: B2S2 stands here, and the lines above lead to B1S2: bank 1 (rear), behind the catalyst; find out which is right.\n"
	assert.Equal(t, 2, strings.Count(said, note), "as it is entered, and as the sheet is read back")
}

func TestWordsThatNameNoSensorProposeNothingInLines(t *testing.T) {
	said, position := tells(t, "upstream", "", "1")
	assert.Contains(t, said, "Nothing is proposed: ambiguous: the words fit B1S1, B2S1; is it on bank 1 (towards the rear of the vehicle) or bank 2")
	assert.Contains(t, said, "A value is needed.")
	assert.NotContains(t, said, "press Enter.\n1: B1S1")
	assert.Equal(t, "B1S1", position)
}
