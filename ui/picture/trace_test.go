package picture_test

import (
	"iter"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/trace"
	"fenderside/ui/picture"
)

func seqOf(samples []trace.Sample) iter.Seq2[trace.Sample, error] {
	return func(yield func(trace.Sample, error) bool) {
		for _, s := range samples {
			if !yield(s, nil) {
				return
			}
		}
	}
}

func recorded(t require.TestingT, gap float64, samples []trace.Sample) picture.Recording {
	r, err := trace.Analyse(seqOf(samples), trace.Setup{Signal: trace.NarrowBandVoltage, Limits: trace.NarrowBand(), Gap: gap})
	require.NoError(t, err)
	return picture.Recording{Report: r, Samples: seqOf(samples)}
}

// steady is a signal of one level, a hundred samples a second.
func steady(n int, level float64) []trace.Sample {
	all := make([]trace.Sample, n)
	for i := range all {
		all[i] = trace.Sample{At: float64(i) / 100, Value: level}
	}
	return all
}

// cells is the plot alone, row by row, without its threshold: the plot's columns begin behind the axis.
func cells(rows []string) []string {
	var out []string
	for _, row := range rows {
		_, plot, found := strings.Cut(row, "|")
		if !found || strings.HasPrefix(strings.TrimLeft(row, " "), "+") {
			break
		}
		out = append(out, strings.ReplaceAll(plot, "-", " "))
	}
	return out
}

func TestADipOfOneSampleIsDrawnHoweverLongTheTrace(t *testing.T) {
	for _, n := range []int{500, 20000, 100000} {
		for _, at := range []int{3, n / 3, n - 2} {
			samples := steady(n, 0.7)
			samples[at].Value = 0.05
			p, err := picture.Trace(recorded(t, 1, samples), picture.Form{Width: 80})
			require.NoError(t, err)
			plot := cells(p.Rows)
			low := strings.TrimRight(plot[len(plot)-1]+plot[len(plot)-2], " ")
			require.NotEmpty(t, low, "the dip at %d of %d reaches the foot", at, n)
			column := len(strings.TrimRight(plot[len(plot)-2], " ")) - 1
			if column < 0 {
				column = len(strings.TrimRight(plot[len(plot)-1], " ")) - 1
			}
			assert.InDelta(t, float64(at)/float64(n-1)*68, float64(column), 1)
		}
	}
}

func TestEveryColumnReachesFromItsLeastToItsGreatestValue(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(200, 1500).Draw(r, "n")
		values := rapid.SliceOfN(rapid.Float64Range(0, 1), n, n).Draw(r, "values")
		samples := steady(n, 0)
		for i := range samples {
			samples[i].Value = values[i]
		}
		p, err := picture.Trace(recorded(r, 1, samples), picture.Form{Width: 60, Height: 11})
		require.NoError(r, err)
		plot := cells(p.Rows)
		require.Len(r, plot, 11) // 0 to 1000 mV: a row every 100 mV
		const columns = 49
		least, most := make([]int, columns), make([]int, columns)
		for x := range columns {
			least[x], most[x] = math.MaxInt, -1
		}
		for i, v := range values {
			atX, atY := float64(i)/float64(n-1)*(columns-1), v*10
			if onEdge(atX) || onEdge(atY) {
				continue // the last binary digit would decide
			}
			x, y := int(math.Round(atX)), int(math.Round(atY))
			least[x], most[x] = min(least[x], y), max(most[x], y)
		}
		for x := range columns {
			for y := range 11 {
				row := plot[10-y]
				filled := x < len(row) && row[x] != ' '
				if y >= least[x] && y <= most[x] {
					require.True(r, filled, "column %d, row %d", x, y)
				}
			}
		}
	})
}

// onEdge says whether a place lies on the edge between two cells.
func onEdge(v float64) bool { return math.Abs(v-math.Floor(v)-0.5) < 1e-6 }

func TestAGapIsLeftBlank(t *testing.T) {
	samples := steady(3000, 0.7)
	samples = append(samples[:1000:1000], samples[2000:]...)
	p, err := picture.Trace(recorded(t, 1, samples), picture.Form{Width: 80})
	require.NoError(t, err)
	seen := []byte(strings.Repeat(" ", 69))
	for _, row := range cells(p.Rows) {
		for x := range row {
			if row[x] != ' ' {
				seen[x] = '#'
			}
		}
	}
	assert.Regexp(t, `^#{22,24} {21,24}#{22,24}$`, string(seen))
	assert.Contains(t, strings.Join(p.Words, " "), "gaps of 10.01 s in all")
	open := steady(3000, 0.7)
	for i := 1000; i < 2000; i++ {
		open[i].Loop = trace.LoopOpen
	}
	q, err := picture.Trace(recorded(t, 1, open), picture.Form{Width: 80})
	require.NoError(t, err)
	assert.Equal(t, cells(p.Rows), cells(q.Rows), "what was not judged is as blank as what is not there")
}

func TestARiseAndAFallAreMarkedWhereTheyPassTheThreshold(t *testing.T) {
	samples := steady(3000, 0.1)
	for i := 1000; i < 2000; i++ {
		samples[i].Value = 0.8
	}
	p, err := picture.Trace(recorded(t, 1, samples), picture.Form{Width: 80})
	require.NoError(t, err)
	for _, row := range cells(p.Rows)[3:6] {
		assert.InDelta(t, 23, strings.Index(row, "/"), 1)
		assert.InDelta(t, 45, strings.Index(row, `\`), 1)
	}
	assert.Equal(t, 1, strings.Count(p.Rows[5], "/"), p.Rows[5])
}

func TestTheVerdictStandsBesideThePlotOrBelowIt(t *testing.T) {
	for w, beside := range map[int]bool{60: false, 99: false, 100: true, 200: true} {
		p, err := picture.Trace(recorded(t, 1, steady(3000, 0.7)), picture.Form{Width: w})
		require.NoError(t, err)
		assert.Equal(t, beside, strings.Contains(strings.Join(p.Rows[:9], "\n"), "SUSPECT: "))
		assert.Contains(t, strings.Join(p.Rows, "\n"), "SUSPECT: ")
	}
}

func TestBeforeAndAfterStandOnTheSameAxes(t *testing.T) {
	before, after := recorded(t, 1, steady(3000, 0.7)), recorded(t, 1, steady(1500, 1.24))
	c, err := trace.Compare(before.Report, after.Report)
	require.NoError(t, err)
	p, err := picture.Traces(before, after, c, picture.Form{Width: 80})
	require.NoError(t, err)
	var ends, tops []string
	for i, row := range p.Rows {
		if strings.HasSuffix(row, " s") {
			ends = append(ends, row)
		}
		if row == "BEFORE" || row == "AFTER" {
			tops = append(tops, strings.TrimRight(p.Rows[i+1][:10], " "))
		}
	}
	require.Len(t, ends, 2)
	assert.Equal(t, ends[0], ends[1])
	assert.Equal(t, []string{"   1300 mV", "   1300 mV"}, tops)
	assert.Less(t, strings.Index(strings.Join(p.Rows, "\n"), "BEFORE"), strings.Index(strings.Join(p.Rows, "\n"), "AFTER"))
}
