// The rule of this file: the cost of a log is told against the cost of merely
// splitting it into lines, and its memory does not grow with its length.

package canlog

import (
	"bufio"
	"fmt"
	"io"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// endless gives lines of one sensor, a tenth of a second apart.
type endless struct {
	lines, at int
	rest      []byte
}

func (e *endless) Read(p []byte) (int, error) {
	if len(e.rest) == 0 {
		if e.at == e.lines {
			return 0, io.EOF
		}
		e.rest = fmt.Appendf(e.rest[:0], "(%d.%d) can0 7E8#044114%02X80000000\n", e.at/10, e.at%10, e.at%256)
		e.at++
	}
	n := copy(p, e.rest)
	e.rest = e.rest[n:]
	return n, nil
}

func TestALogIsReadWithoutHoldingIt(t *testing.T) {
	held := func(lines int) uint64 {
		var before, after runtime.MemStats
		n := 0
		var most uint64
		runtime.GC()
		runtime.ReadMemStats(&before)
		for range Samples(&endless{lines: lines}, 0x14) {
			if n++; n%(lines/4) == 0 {
				runtime.GC()
				runtime.ReadMemStats(&after)
				most = max(most, after.HeapAlloc-min(before.HeapAlloc, after.HeapAlloc))
			}
		}
		assert.Equal(t, lines, n)
		return most
	}
	held(1000)
	assert.Less(t, held(40_000), uint64(1<<20), "a log of 1.5 MB may not be held")
}

func BenchmarkSamplesAgainstSplittingLines(b *testing.B) {
	const lines = 20_000
	var reading, splitting time.Duration
	for b.Loop() {
		start := time.Now()
		for range Samples(&endless{lines: lines}, 0x14) {
		}
		reading += time.Since(start)
		start = time.Now()
		for s := bufio.NewScanner(&endless{lines: lines}); s.Scan(); {
		}
		splitting += time.Since(start)
	}
	b.ReportMetric(float64(reading)/float64(splitting), "x-lines")
}
