package trace_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks/trace"
)

func TestTimesOutOfOrderAreSortedWithinTheWindow(t *testing.T) {
	var table, shaken strings.Builder
	table.WriteString("t (ms),u (mV)\n")
	shaken.WriteString("t (ms),u (mV)\n")
	for i := range 6 * trace.Window {
		fmt.Fprintf(&table, "%d,%d\n", i, i%900)
		j := i/trace.Window*trace.Window + trace.Window - 1 - i%trace.Window // each 64 in reverse
		fmt.Fprintf(&shaken, "%d,%d\n", j, j%900)
	}
	want, err := analyseText(table.String())
	require.NoError(t, err)
	got, err := analyseText(shaken.String())
	require.NoError(t, err)
	assert.Equal(t, want.Mean, got.Mean)
	assert.Equal(t, want.Rise, got.Rise)
	assert.Zero(t, want.Sorted)
	assert.Positive(t, got.Sorted)
}

func TestATimeBeyondTheWindowIsRefusedByItsLine(t *testing.T) {
	var table strings.Builder
	table.WriteString("u (mV),t (s)\n")
	for i := range trace.Window + 1 {
		fmt.Fprintf(&table, "450,%d\n", i+10)
	}
	_, err := analyseText(table.String() + "450,9.5\n")
	require.ErrorContains(t, err, "log.csv:67:5: time 9.5 s: more than 64 samples back (the newest is 74 s)")
	late := (*trace.Late)(nil)
	require.ErrorAs(t, err, &late)
	_, err = analyseText(strings.Replace(table.String(), "450,74\n", "450,9.5\n", 1))
	require.NoError(t, err, "one place less is within the window")
}

func TestAReaderThatFailsIsReported(t *testing.T) {
	broken := errors.New("the stick was pulled out")
	from := io.MultiReader(strings.NewReader("t (s),u (V)\n1,0.4\n"), iotest.ErrReader(broken))
	_, err := trace.AnalyseCSV(from, "log.csv", ab, narrow)
	require.ErrorIs(t, err, broken)
	require.ErrorContains(t, err, "read log.csv after line 2")
	_, err = trace.AnalyseCSV(iotest.ErrReader(broken), "log.csv", ab, narrow)
	require.ErrorIs(t, err, broken)
}

func TestAReadPieceByPieceIsTheSame(t *testing.T) {
	table := string(sweep(3000))
	want, err := trace.AnalyseCSV(strings.NewReader(table), "log.csv", sweepMapping, narrow)
	require.NoError(t, err)
	for _, slow := range []func(io.Reader) io.Reader{iotest.OneByteReader, iotest.HalfReader, iotest.DataErrReader} {
		got, err := trace.AnalyseCSV(slow(strings.NewReader(table)), "log.csv", sweepMapping, narrow)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
}

// endless makes rows as they are read, so that the table itself takes no room.
type endless struct {
	left, made int
	rest       []byte
	peak       *uint64
}

func (e *endless) Read(into []byte) (int, error) {
	if len(e.rest) == 0 {
		if e.left == 0 {
			return 0, io.EOF
		}
		if e.made%50_000 == 0 {
			e.weigh()
		}
		e.rest = fmt.Appendf(e.rest[:0], "%d,%d\n", e.made*10, 100+e.made*37%800)
		if e.made == 0 {
			e.rest = append([]byte("t (ms),u (mV)\n"), e.rest...)
		}
		e.made++
		e.left--
	}
	n := copy(into, e.rest)
	e.rest = e.rest[n:]
	return n, nil
}

func (e *endless) weigh() {
	runtime.GC()
	var now runtime.MemStats
	runtime.ReadMemStats(&now)
	*e.peak = max(*e.peak, now.HeapAlloc)
}

func TestMemoryDoesNotGrowWithTheFile(t *testing.T) {
	peak := func(rows int) uint64 {
		var most uint64
		r, err := trace.AnalyseCSV(&endless{left: rows, peak: &most}, "log.csv", ab, narrow)
		require.NoError(t, err)
		require.Equal(t, rows, r.Samples)
		return most
	}
	long := 1_000_000
	if testing.Short() {
		long = 400_000
	}
	few, many := peak(100_000), peak(long)
	assert.Less(t, many, few+512<<10, "%d bytes in use at most for 100,000 samples, %d for %d", few, many, long)
}

func FuzzCSVNeverPanicsAndNamesThePlace(f *testing.F) {
	f.Add([]byte("t (ms),u (mV)\n500,125\n750,875\n"))
	f.Add([]byte("t (s);u (V)\n0,5;0,125\n0,4;0,9\n"))
	f.Add([]byte("\ufefft,u\n(ms),(mV)\n\"1\",\"2\"\"\"\n"))
	f.Add([]byte("t (hh:mm:ss),u (mV)\n23:59:59.5,125\n00:00:00,875\n"))
	f.Add([]byte("t (s),u (V),\"\n\",x\n1,2,\"\n\n\"\n"))
	f.Fuzz(func(t *testing.T, table []byte) {
		r, err := trace.AnalyseCSV(bytes.NewReader(table), "log.csv", ab, narrow)
		if err != nil {
			require.True(t, strings.HasPrefix(err.Error(), "log.csv:"), "%v", err)
			return
		}
		require.GreaterOrEqual(t, r.Maximum, r.Minimum)
		require.InDelta(t, r.Span, r.Observed+r.GapTime+r.OpenTime, 1e-6*max(1, r.Span))
		require.NotEmpty(t, r.Verdict)
		require.NotEmpty(t, r.Because)
	})
}
