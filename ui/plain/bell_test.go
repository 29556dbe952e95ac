package plain

// Whoever waits has turned away: at a terminal the end of a time is heard, once.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heard works a job with these lines, and returns all that was said and rung.
func heard(t *testing.T, bell bool, lines ...string) string {
	b := newBench(t)
	o := practice(t)
	o.Home, o.Out, o.Clock, o.Bell = b.home, b, b.newClock, bell
	o.In = &script{b: b, lines: lines}
	require.NoError(t, newDesk(o).run())
	return b.dialogue()
}

func TestTheBellRingsOnceWhenAWaitIsOver(t *testing.T) {
	running := join(briefed, dead, []string{"start", "@30s", "", "@30s", ""})
	over := join(running, []string{"@2m", "", ".note still here", "meanwhile"})
	assert.Zero(t, strings.Count(heard(t, true, running...), "\a"), "the time runs")
	said := heard(t, true, over...)
	assert.Equal(t, 1, strings.Count(said, "\a"))
	assert.Contains(t, said, "\aThe wait of “Let the lamp cool and measure it” is over.", "and then it is said")
}

func TestTheBellRingsForATimeThatRunsBesideTheWork(t *testing.T) {
	for _, end := range []struct {
		lines []string
		rings int
	}{{[]string{"@1m", ""}, 0}, {[]string{"@5m", "", ""}, 1}} {
		b := newBench(t)
		o := practice(t)
		o.Home, o.Out, o.Clock, o.Bell = b.home, b, b.newClock, true
		fitted := []string{"true", "left", "witness", "1", b.keyOf("bryn"), passphrase, "1"}
		o.In = &script{b: b, lines: join(toFit(), fitted, end.lines)}
		require.NoError(t, newDesk(o).run())
		_, beside, found := strings.Cut(b.dialogue(), "Beside the work:")
		require.True(t, found, b.dialogue())
		assert.Equal(t, end.rings, strings.Count(beside, "\a"), beside)
	}
}

func TestTheBellIsWrittenIntoNoFile(t *testing.T) {
	assert.NotContains(t, heard(t, false, join(briefed, dead, cooled)...), "\a")
}
