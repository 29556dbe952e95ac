package picture_test

// A plot is read back by its own axis, and held to what the check works out.

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/cooling"
	"fenderside/checks/torque"
	"fenderside/ui/picture"
)

const zero = 273.15

func cooled(ambient float64, every time.Duration, celsius ...float64) cooling.Measurement {
	kelvin := ambient + zero
	m := cooling.Measurement{Ambient: &kelvin}
	for i, c := range celsius {
		m.Readings = append(m.Readings, cooling.Reading{After: time.Duration(i) * every, Kelvin: c + zero})
	}
	return m
}

// plot is a curve's drawing with its axes read off its labels.
type plot struct {
	rows      []string
	left, end int // first and last column of the plot
	base      int // the row of the level axis
	top, low  float64
	minutes   float64
}

var (
	degrees = regexp.MustCompile(`^ *(-?\d+) C`)
	lastMin = regexp.MustCompile(`(\d+) min$`)
)

func plotOf(t *testing.T, rows []string) plot {
	p := plot{rows: rows, left: strings.Index(rows[0], "|") + 1}
	for y, row := range rows {
		if m := degrees.FindStringSubmatch(row); m != nil {
			v, _ := strconv.ParseFloat(m[1], 64)
			if y == 0 {
				p.top = v
			}
			p.low = v
		}
		if strings.HasPrefix(strings.TrimLeft(row, " "), "+--") {
			p.base, p.end = y, len(row)-1
			m := lastMin.FindStringSubmatch(rows[y+1])
			require.NotNil(t, m)
			p.minutes, _ = strconv.ParseFloat(m[1], 64)
		}
	}
	return p
}

func (p plot) minute(x int) float64 {
	return p.minutes * float64(x-p.left) / float64(p.end-p.left)
}
func (p plot) celsius(y int) float64 {
	return p.top - (p.top-p.low)*float64(y)/float64(p.base-1)
}
func (p plot) cell() (minutes, celsius float64) {
	return p.minutes / float64(p.end-p.left), (p.top - p.low) / float64(p.base-1)
}

func TestACoolingCurveShowsReadingsAndForecastWhereTheyAre(t *testing.T) {
	for _, w := range []int{60, 100, 200} {
		for _, h := range []int{0, 5, 20} {
			m := cooled(18, 5*time.Minute, 120, 100, 84)
			f, err := m.Forecast(43 + zero)
			require.NoError(t, err)
			drawn := picture.Cooling(m, 43+zero, picture.Form{Width: w, Height: h})
			p := plotOf(t, drawn.Rows)
			dx, dy := p.cell()
			for _, r := range m.Readings {
				found := false
				for y := range p.base {
					for x := p.left; x < len(drawn.Rows[y]); x++ {
						near := drawn.Rows[y][x] == 'o'
						near = near && abs64(p.minute(x)-r.After.Minutes()) <= dx/2+1e-9 && abs64(p.celsius(y)-r.Kelvin+zero) <= dy/2+1e-9
						found = found || near
					}
				}
				assert.True(t, found, "reading at %s in\n%s", r.After, strings.Join(drawn.Rows, "\n"))
			}
			y, row := limitRow(drawn.Rows)
			assert.InDelta(t, 43, p.celsius(y), dy/2+1e-9)
			assert.InDelta(t, f.After/60, p.minute(strings.IndexByte(row, 'X')), dx/2+1e-9)
			if x := strings.IndexByte(row, '<'); x >= 0 {
				assert.InDelta(t, f.Between.Low/60, p.minute(x), dx/2+1e-9)
			}
			if x := strings.IndexByte(row, '>'); x >= 0 {
				assert.InDelta(t, f.Between.High/60, p.minute(x), dx/2+1e-9)
			}
			assert.Contains(t, strings.Join(drawn.Rows, " "), "expected 22.3 min after the last reading (21.1 to 23.6 at 95 %)")
		}
	}
}

func limitRow(rows []string) (int, string) {
	for y, row := range rows {
		if strings.Contains(row, "limit|") {
			return y, row
		}
	}
	return -1, ""
}

func abs64(v float64) float64 { return max(v, -v) }

func TestTheUprightAxisOfACoolingCurveStaysAsReadingsComeIn(t *testing.T) {
	all := []float64{312, 240, 190, 150, 121, 96, 80}
	var tops, lows []float64
	for n := 1; n <= len(all); n++ {
		p := plotOf(t, picture.Cooling(cooled(20, 5*time.Minute, all[:n]...), 43+zero, picture.Form{Width: 80}).Rows)
		tops, lows = append(tops, p.top), append(lows, p.low)
	}
	for i := range tops {
		assert.Equal(t, tops[0], tops[i])
		assert.Equal(t, lows[0], lows[i])
	}
}

func TestReadingsThatTellNothingAreDrawnWithoutACurve(t *testing.T) {
	for _, m := range []cooling.Measurement{cooled(20, time.Minute, 90), cooled(20, time.Minute, 90, 95, 99)} {
		p := picture.Cooling(m, 43+zero, picture.Form{Width: 60})
		_, row := limitRow(p.Rows)
		assert.NotContains(t, row, "X")
		assert.Empty(t, p.Marks)
		assert.Contains(t, strings.Join(p.Rows, " "), "No forecast (")
		assert.Equal(t, len(m.Readings), strings.Count(strings.Join(p.Rows[:9], "\n"), "o"))
	}
	p := picture.Cooling(cooled(20, time.Minute), 43+zero, picture.Form{Width: 60})
	assert.Contains(t, p.Rows[0], "There are no readings yet.")
}

func tightened(reading, low, high, accuracy float64) torque.Tightening {
	return torque.Tightening{Reading: reading, Window: torque.Window{Low: low, High: high}, Accuracy: accuracy}
}

// strip is the bar of a torque window, its pointer, and the columns of its limits.
func strip(t *testing.T, rows []string) (bar string, pointer, low, high int) {
	require.Greater(t, len(rows), 4)
	return rows[2], strings.IndexAny(rows[3], "^<>"), strings.Index(rows[1], "|"), strings.LastIndex(rows[1], "|")
}

func TestTheTorquePointerStandsOnTheZoneOfTheReading(t *testing.T) {
	signs := map[byte]torque.Zone{'=': torque.Accept, '/': torque.ConditionalAccept, ':': torque.ConditionalReject, '.': torque.Reject}
	rapid.Check(t, func(r *rapid.T) {
		low := rapid.Float64Range(5, 60).Draw(r, "low")
		high := low * rapid.Float64Range(1.02, 2).Draw(r, "high over low")
		tight := tightened(rapid.Float64Range(0, 150).Draw(r, "reading"), low, high, rapid.Float64Range(0.01, 0.06).Draw(r, "accuracy"))
		j, err := tight.Judge()
		require.NoError(r, err)
		p := picture.Torque(tight, picture.Form{Width: rapid.IntRange(40, 200).Draw(r, "width")})
		bar, at, from, to := strip(t, p.Rows)
		zone := signs[bar[at]]
		switch {
		case j.TooNarrow:
			require.NotContains(r, bar, "=")
			require.Contains(r, p.Rows[4], "window too narrow")
		default:
			require.Equal(r, j.Zone, zone)
			require.Contains(r, p.Rows[4], string(j.Zone))
		}
		// The limits stand a quarter from each end, unless the bar would begin below nothing.
		cell := (high + (high-low)/2 - max(0, low-(high-low)/2)) / float64(len(bar)-1)
		for x := range len(bar) {
			v := max(0, low-(high-low)/2) + cell*float64(x)
			inside := bar[x] == '=' || bar[x] == '/'
			if x != at && abs64(v-low) > cell && abs64(v-high) > cell {
				require.Equal(r, v > low && v < high, inside, "column %d of %q", x, bar)
			}
			if bar[x] == '=' && x != at {
				require.True(r, v >= j.Guarded.Low-cell && v <= j.Guarded.High+cell)
			}
		}
		require.InDelta(r, low, max(0, low-(high-low)/2)+cell*float64(from), cell)
		require.InDelta(r, high, max(0, low-(high-low)/2)+cell*float64(to), cell)
	})
}

func TestATorqueOffTheBarSaysSo(t *testing.T) {
	for reading, mark := range map[float64]string{10: "<", 90: ">"} {
		p := picture.Torque(tightened(reading, 40, 60, 0.04), picture.Form{Width: 60})
		assert.Equal(t, mark, strings.TrimSpace(p.Rows[3]))
		assert.Contains(t, p.Rows[4], "reject, off the bar")
	}
}
