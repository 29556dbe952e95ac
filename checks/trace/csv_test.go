package trace_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/trace"
)

// collect reads a table into memory.
func collect(text string, m trace.Mapping, signal trace.Signal) ([]trace.Sample, error) {
	var all []trace.Sample
	for s, err := range trace.ReadCSV(strings.NewReader(text), "log.csv", m, signal) {
		if err != nil {
			return all, err
		}
		all = append(all, s)
	}
	return all, nil
}

var ab = trace.Mapping{Time: "t", Signal: "u"}

func TestAllTheseTablesHoldTheSameTwoSamples(t *testing.T) {
	want := []trace.Sample{{At: 0.5, Value: 0.125}, {At: 0.75, Value: 0.875}}
	for name, text := range map[string]string{
		"comma":                   "t (s),u (V)\n0.5,0.125\n0.75,0.875\n",
		"no last line break":      "t (s),u (V)\n0.5,0.125\n0.75,0.875",
		"semicolon, point":        "t (s);u (V)\n0.5;0.125\n0.75;0.875\n",
		"semicolon, comma":        "t (s);u (V)\n0,5;0,125\n0,75;0,875\n",
		"tab":                     "t (s)\tu (V)\n0.5\t0.125\n0.75\t0.875\n",
		"milli":                   "t (ms),u (mV)\n500,125\n750,875\n",
		"micro":                   "t (µs),u (mV)\n500000,125\n750000,875\n",
		"square brackets":         "t [ms],u [mV]\n500,125\n750,875\n",
		"byte order mark":         "\ufefft (ms),u (mV)\n500,125\n750,875\n",
		"carriage returns":        "t (ms),u (mV)\r\n500,125\r\n750,875\r\n",
		"blank lines":             "\nt (ms),u (mV)\n\n500,125\n   \n750,875\n\n",
		"quoted":                  "\"t (ms)\",\"u (mV)\"\n\"500\",\"125\"\n750,\"875\"\n",
		"row of units":            "t,u\n(ms),(mV)\n500,125\n750,875\n",
		"row of bare units":       "t,u\nms,mV\n\n500,125\n750,875\n",
		"lines above":             "some logger, version 2\nmade \"at\" noon,\nt (ms),u (mV)\n500,125\n750,875\n",
		"other columns":           "n,\"x, \"\"y\"\"\",u (mV),rpm,t (ms)\n1,\"a, \"\"b\"\"\nc\",125,800,500\n2,,875,801,750\n",
		"blanks round the cells":  "t (ms), u (mV)\n 500 , 125\n750 ,875 \n",
		"other case":              "T (MS),U (mV)\n500,125\n750,875\n",
		"exponents and signs":     "t (s),u (V)\n+5e-1,1.25E-1\n75e-2,.875\n",
		"empty cells at the end":  "t (ms),u (mV)\n500,125,,\n750,875,\n",
		"a column short":          "t (ms),u (mV),remark\n500,125,first\n750,875\n",
		"comma within semicolons": "t (ms);u (mV);x, y\n500;125;a, b\n750;875;c\n",
	} {
		got, err := collect(text, ab, trace.NarrowBandVoltage)
		require.NoError(t, err, name)
		assert.Equal(t, want, got, name)
	}
}

func TestUnitsMayStandInTheMapping(t *testing.T) {
	m := trace.Mapping{Time: "t", Signal: "u", TimeUnit: "ms", SignalUnit: "mV"}
	got, err := collect("t,u\n500,125\n", m, trace.NarrowBandVoltage)
	require.NoError(t, err)
	assert.Equal(t, []trace.Sample{{At: 0.5, Value: 0.125}}, got)
	_, err = collect("t (s),u\n500,125\n", m, trace.NarrowBandVoltage)
	require.ErrorContains(t, err, `log.csv:1:1: the table gives the unit "s" and the mapping "ms"`)
}

func TestWideBandColumnsHaveTheirOwnUnits(t *testing.T) {
	for _, header := range []string{"u", "u (λ)", "u (lambda)", "u [-]"} {
		got, err := collect("t (s),"+header+"\n1,0.98\n", ab, trace.Lambda)
		require.NoError(t, err, header)
		assert.Equal(t, []trace.Sample{{At: 1, Value: 0.98}}, got)
	}
	got, err := collect("t (s),u (mA)\n1,-1.5\n", ab, trace.PumpCurrent)
	require.NoError(t, err)
	assert.Equal(t, []trace.Sample{{At: 1, Value: -0.0015}}, got)
	_, err = collect("t (s),u (mV)\n1,1\n", ab, trace.PumpCurrent)
	require.ErrorContains(t, err, `"mV" is not a unit of current; use A, mA, µA`)
	_, err = collect("t (s),u (mV)\n1,1\n", ab, trace.Lambda)
	require.ErrorContains(t, err, `"mV" is not a unit of number; use none`)
}

func TestTheFuelStatusIsReadInItsUsualWords(t *testing.T) {
	m := trace.Mapping{Time: "t", Signal: "u", Loop: "fuel"}
	text := "t (s),u (V),fuel\n0,0.4,\n1,0.4,OL\n2,0.4,closed loop\n3,0.4,\n4,0.4,8\n5,0.4,2\n"
	got, err := collect(text, m, trace.NarrowBandVoltage)
	require.NoError(t, err)
	var states []trace.Loop
	for _, s := range got {
		states = append(states, s.Loop)
	}
	o, c := trace.LoopOpen, trace.LoopClosed
	assert.Equal(t, []trace.Loop{o, o, c, c, o, c}, states, "an empty cell changes nothing; nothing is closed before it is said")
	_, err = collect("t (s),u (V),fuel\n0,0.4,perhaps\n", m, trace.NarrowBandVoltage)
	require.ErrorContains(t, err, `log.csv:2:7: fuel status "perhaps": unknown`)
	m.Closed = []string{"perhaps"}
	got, err = collect("t (s),u (V),fuel\n0,0.4,Perhaps\n1,0.4,no\n2,0.4,perhaps\n3,0.4,CL\n", m, trace.NarrowBandVoltage)
	require.NoError(t, err)
	assert.Equal(t, []trace.Loop{c, o, c, o}, []trace.Loop{got[0].Loop, got[1].Loop, got[2].Loop, got[3].Loop}, "words of the caller's replace the usual ones")
}

func TestTimesOfDayCarryOnPastMidnight(t *testing.T) {
	m := trace.Mapping{Time: "t", Signal: "u", TimeUnit: "hh:mm:ss"}
	text := "t;u (V)\n23:59:59,50;0.4\n00:00:00,25;0.4\n23:59:59,75;0.4\n0:00:01;0.4\n"
	got, err := collect(strings.ReplaceAll(text, "0.4", "0,4"), m, trace.NarrowBandVoltage)
	require.NoError(t, err)
	var times []float64
	for _, s := range got {
		times = append(times, s.At)
	}
	assert.Equal(t, []float64{86399.5, 86400.25, 86399.75, 86401}, times, "a row out of order across midnight stays on its day")
	got, err = collect("t (HH:MM:SS.fff),u (V)\n09:05:30.250,0.4\n", ab, trace.NarrowBandVoltage)
	require.NoError(t, err)
	assert.Equal(t, 9*3600+5*60+30.25, got[0].At)
	for _, wrong := range []string{"24:00:00", "09:60:00", "09:05:61", "09:05", "9:5:3", "09:05:-3", "-1:05:30", "09:05:30:1", "x", "::", "123:00:00"} {
		_, err := collect("t (hh:mm:ss),u (V)\n"+wrong+",0.4\n", ab, trace.NarrowBandVoltage)
		require.ErrorContains(t, err, fmt.Sprintf("log.csv:2:1: time %q is not a time of day; write it like 09:05:30.25", wrong))
	}
}

func TestABadTableIsRefusedByFileLineAndColumn(t *testing.T) {
	long := strings.Repeat("x", 70_000)
	for _, c := range []struct{ text, want string }{
		{"", "log.csv:1:1: the file is empty"},
		{"\n\n", "log.csv:1:1: no row with columns"},
		{"\xff\xfet\x00,\x00u", "log.csv:1:1: not UTF-8 text (UTF-16"},
		{"t,\x00u", "log.csv:1:1: not UTF-8 text"},
		{"t (s),v (V)\n1,2\n", `log.csv:1:1: no column "u"; this row has "t (s)", "v (V)"`},
		{"t (s),u (V),u (mV)\n", `log.csv:1:13: a second column named "u"`},
		{"t,u (V)\n1,2\n", `log.csv:1:1: no unit of time; write it behind the name, as in "name (s)"`},
		{"t (s),u\n1,2\n", `log.csv:1:7: no unit of voltage; write it behind the name, as in "name (mV)"`},
		{"t (s),u (rpm)\n1,2\n", `log.csv:1:7: "rpm" is not a unit of voltage; use V, mV, kV`},
		{"t (V),u (V)\n1,2\n", `log.csv:1:1: "V" is not a unit of time`},
		{"t (s),u (V)\n1,2\n2,x\n", `log.csv:3:3: signal "x" is not a number; write it like -12.5`},
		{"t (s),u (V)\n1,2\n2,NaN\n", `log.csv:3:3: signal "NaN" is not a number`},
		{"t (s),u (V)\n1,0x1p-2\n", `log.csv:2:3: signal "0x1p-2" is not a number`},
		{"t (s),u (V)\n1,1e999\n", `log.csv:2:3: signal "1e999" is not a number`},
		{"t (s),u (V)\n1,1_0\n", `log.csv:2:3: signal "1_0" is not a number`},
		{"t (s),u (V)\n,2\n", "log.csv:2:1: no time"},
		{"t (s),u (V)\nnoon,\n", `log.csv:2:1: time "noon" is not a number`},
		{"t (s),u (V)\n0,1,0,45\n", "log.csv:2:5: 4 fields where the header has 2; a decimal comma needs a semicolon"},
		{"t (s)\tu (V)\n0,1\t0,45\n", `log.csv:2:1: "0,1" has a decimal comma; that needs a semicolon`},
		{"t (s),u (V)\n\"0,1\",0.45\n", `log.csv:2:1: "0,1" has a decimal comma`},
		{"t (s);u (V)\n0,1;0,4\n0,2;0.4\n", "log.csv:3:5: \"0.4\" has a decimal '.' where rows above have ','"},
		{"t (s),u (V)\n1\n", "log.csv:2:2: the row ends after field 1, and field 2 is needed; it may be cut off"},
		{"t (s),u (V)\n1,2\n\"1,2\n3,4\n", "log.csv:3:1: a quote that is never closed"},
		{"t (s),u (V)\n1,2\"3\"\n", "log.csv:2:4: a quote inside a field"},
		{"t (s),u (V)\n1,\"2\"3\n", "log.csv:2:6: text behind a closing quote"},
		{"t (s),u (V),ö\n1,2,\"a\nb\"\n3,4,\"ä\nö\",6\n", "log.csv:5:4: 4 fields where the header has 3"},
		{"t (s),u (V)\n1," + long + "\n", "log.csv:2:1: a row of more than 65536 bytes"},
		{strings.Repeat("\n", 45) + "t (s),u (V)\n", "log.csv:1:1: no row with columns"},
		{"t (s),t\n1,2\n", `log.csv:1:7: a second column named "t"`},
	} {
		_, err := collect(c.text, ab, trace.NarrowBandVoltage)
		if c.text == "t (s),t\n1,2\n" {
			_, err = collect(c.text, trace.Mapping{Time: "t", Signal: "t"}, trace.NarrowBandVoltage)
		}
		require.ErrorContains(t, err, c.want, "%.60q", c.text)
	}
}

func TestAMappingThatNamesTooLittleIsRefused(t *testing.T) {
	_, err := collect("t (s),u (V)\n", trace.Mapping{Time: "t"}, trace.NarrowBandVoltage)
	require.ErrorContains(t, err, `mapping: time column "t", signal column "": both must be named`)
	_, err = collect("t (s),u (V)\n", trace.Mapping{Time: "t", Signal: "u", Separator: '|'}, trace.NarrowBandVoltage)
	require.ErrorContains(t, err, "separator '|'")
	_, err = collect("t (s),u (V)\n", trace.Mapping{Time: "t", Signal: "T"}, trace.NarrowBandVoltage)
	require.ErrorContains(t, err, "log.csv:1:1: time and signal are mapped to one column")
}

func analyseText(text string) (trace.Report, error) {
	return trace.AnalyseCSV(strings.NewReader(text), "log.csv", ab, narrow)
}

func TestAFileTooShortIsRefusedPlainly(t *testing.T) {
	for text, want := range map[string]string{
		"t (s),u (V)\n":              "log.csv: no readings of the signal",
		"t (s),u (V)\n1,\n2,\n":      "log.csv: no readings of the signal",
		"t (s),u (V)\n1,0.4\n":       "log.csv: too short: every reading (1) is at one time",
		"t (s),u (V)\n1,0.4\n1,.5\n": "log.csv: too short: every reading (2) is at one time",
	} {
		_, err := analyseText(text)
		require.ErrorContains(t, err, want)
	}
}

func TestAnImpossibleReadingIsRefusedByItsPlace(t *testing.T) {
	_, err := analyseText("t (s),u (V)\n0,0.4\n1,450\n")
	require.ErrorContains(t, err, "log.csv:3:3: signal 450000 mV: no sensor gives that; check its unit")
	_, err = analyseText("t (s),u (V)\n0,0.4\n1e15,0.4\n")
	require.ErrorContains(t, err, "log.csv:3:1: time 1e+15 s: not a time")
}

func TestRowsWithoutAReadingAreCounted(t *testing.T) {
	r, err := analyseText("t (s),u (V)\n0,0.4\n1,\n,\n2,0.5\n2,0.7\n3,0.5\n")
	require.NoError(t, err)
	assert.Equal(t, 2, r.Missing)
	assert.Equal(t, 1, r.Repeated)
	assert.Equal(t, 4, r.Samples)
	// By hand, the two readings at 2 s taken as their mean: (0.5 × 2 + 0.55 × 1)/3.
	assert.InDelta(t, (0.5*2+0.55)/3, r.Mean, 1e-12)
	assert.Contains(t, strings.Join(r.Workings, "\n"), "2 rows without a reading, 0 readings out of order put right, 1 at a repeated time")
}

func TestQuotingIsThatOfTheStandardReader(t *testing.T) {
	// Oracle: the CSV writer and reader of the Go standard library (RFC 4180).
	rapid.Check(t, func(t *rapid.T) {
		separator := rapid.SampledFrom([]rune{',', ';', '\t'}).Draw(t, "separator")
		remark := rapid.StringOf(rapid.SampledFrom([]rune("ab \",;\t\n\r.ö")))
		var table bytes.Buffer
		w := csv.NewWriter(&table)
		w.Comma = separator
		require.NoError(t, w.Write([]string{"remark", "t (s)", "u (V)", "more"}))
		rows := rapid.IntRange(1, 5).Draw(t, "rows")
		for i := range rows {
			require.NoError(t, w.Write([]string{remark.Draw(t, "remark"), fmt.Sprint(i), fmt.Sprint(0.25 * float64(i)), remark.Draw(t, "more")}))
		}
		w.Flush()
		got, err := collect(table.String(), ab, trace.NarrowBandVoltage)
		require.NoError(t, err)
		require.Len(t, got, rows)
		for i, s := range got {
			assert.Equal(t, trace.Sample{At: float64(i), Value: 0.25 * float64(i)}, s)
		}
	})
}
