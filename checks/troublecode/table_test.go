// The rule of this file: the numbers are held to the standard's ranges as read
// by rows, and again by the step from bank 1 to bank 2 of each family.

package troublecode

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ranges are the runs of codes of SAE J2012 (second-hand), one column a place:
// B1S1 B1S2 B1S3 B2S1 B2S2 B2S3; "-" where there is none.
const ranges = `
heater control     | 0030-0032 0036-0038 0042-0044 0050-0052 0056-0058 0062-0064
heater resistance  | 0053 0054 0055 0059 0060 0061
circuit            | 0130 0136 0142 0150 0156 0162
circuit low        | 0131 0137 0143 0151 0157 0163
circuit high       | 0132 0138 0144 0152 0158 0164
slow response      | 0133 0139 0145 0153 0159 0165
no activity        | 0134 0140 0146 0154 0160 0166
heater circuit     | 0135 0141 0147 0155 0161 0167
stuck lean         | 2195 2270 2274 2197 2272 2276
stuck rich         | 2196 2271 2275 2198 2273 2277
shorted to heater  | 2231 2232 2233 2234 2235 2236
positive current   | 2237-2239 - - 2240-2242 - -
reference voltage  | 2243-2246 - - 2247-2250 - -
negative current   | 2251-2253 - - 2254-2256 - -
out of range in deceleration | 2297 - - 2298 - -
exhaust sample     | 2414 - - 2415 - -
pump current trim  | 2626-2628 - - 2629-2631 - -
range or performance | 2A00 2A01 2A02 2A03 2A04 2A05
fuel trim          | 0170 0173
too lean           | 0171 0174
too rich           | 0172 0175
rear trim lean     | 2096 2098
rear trim rich     | 2097 2099
catalyst efficiency | 0420 0430
leads swapped      | 0040 0041
misfire            | 0300-0309 0310-0312`

// spread gives the numbers of a run, counting in decimal as the tables print.
func spread(t *testing.T, run string) []string {
	from, to, many := strings.Cut(run, "-")
	if !many {
		return []string{"P" + run}
	}
	var first, last int
	_, err := fmt.Sscan("1"+from+" 1"+to, &first, &last)
	require.NoError(t, err)
	var all []string
	for n := first; n <= last; n++ {
		all = append(all, fmt.Sprintf("P%04d", n-10000))
	}
	return all
}

func TestEveryRunOfTheStandardStandsInTheTableAndNothingElseDoes(t *testing.T) {
	known := map[string]bool{}
	for _, row := range strings.Split(strings.TrimSpace(ranges), "\n") {
		class, cells, _ := strings.Cut(row, "|")
		columns := strings.Fields(cells)
		for i, cell := range columns {
			if cell == "-" {
				continue
			}
			for _, text := range spread(t, cell) {
				code, err := Parse(text)
				require.NoError(t, err)
				e, ok := Find(code)
				require.True(t, ok, text)
				assert.Equal(t, strings.TrimSpace(class), string(e.Class), text)
				if len(columns) == 6 {
					assert.Equal(t, fmt.Sprintf("B%dS%d", 1+i/3, 1+i%3), e.Position(), text)
				}
				known[text] = true
			}
		}
	}
	for _, e := range All() {
		assert.True(t, known[e.Code.String()], "%s is in no row of the standard", e.Code)
	}
	assert.Len(t, All(), len(known))
}

func TestTheStepFromBank1ToBank2DiffersByFamily(t *testing.T) {
	// Differences of the printed numbers; a second way to the table.
	for from, step := range map[string]int{
		"P0030": 20, "P0036": 20, "P0042": 20, "P0053": 6, "P0054": 6, "P0055": 6, "P0130": 20, "P0141": 20, "P0147": 20,
		"P2195": 2, "P2270": 2, "P2274": 2, "P2231": 3, "P2233": 3, "P2237": 3, "P2243": 4, "P2251": 3, "P2297": 1,
		"P2414": 1, "P2626": 3, "P2A00": 3, "P0170": 3, "P0171": 3, "P0172": 3, "P2096": 2, "P2097": 2, "P0420": 10,
	} {
		code, err := Parse(from)
		require.NoError(t, err)
		e, ok := Find(code)
		require.True(t, ok, from)
		other, ok := e.Elsewhere(2, e.Sensor)
		require.True(t, ok, from)
		var a, b int
		_, err = fmt.Sscanf(from[1:]+" "+other.Code.String()[1:], "%x %x", &a, &b)
		require.NoError(t, err)
		decimal := (b/256*100 + b%256/16*10 + b%16) - (a/256*100 + a%256/16*10 + a%16)
		assert.Equal(t, step, decimal, from)
		back, ok := other.Elsewhere(1, e.Sensor)
		require.True(t, ok)
		assert.Equal(t, e.Code, back.Code)
	}
}

func TestTheGapsAreNotOxygenSensors(t *testing.T) {
	for _, run := range []string{"0033-0035", "0039", "0045-0049", "0148-0149", "0168-0169"} {
		for _, text := range spread(t, run) {
			code, err := Parse(text)
			require.NoError(t, err)
			_, found := Find(code)
			assert.False(t, found, text)
			about, gap := Gap(code)
			assert.True(t, gap, text)
			assert.Contains(t, Explain(code), "not an oxygen sensor")
			assert.Contains(t, Explain(code), about)
		}
	}
	for _, e := range All() {
		_, gap := Gap(e.Code)
		assert.False(t, gap, e.Code.String())
	}
}

func TestMisfireCylindersCountInDecimal(t *testing.T) {
	for text, cylinder := range map[string]int{"P0301": 1, "P0309": 9, "P0310": 10, "P0312": 12, "P0300": 0} {
		code, err := Parse(text)
		require.NoError(t, err)
		e, ok := Find(code)
		require.True(t, ok)
		assert.Equal(t, cylinder, e.Cylinder, text)
	}
	for _, text := range []string{"P030A", "P030C", "P0313"} {
		code, err := Parse(text)
		require.NoError(t, err)
		_, ok := Find(code)
		assert.False(t, ok, text)
	}
}

func TestSwappedLeadsNameASensorAndNoBank(t *testing.T) {
	for code, sensor := range map[Code]int{0x0040: 1, 0x0041: 2} {
		e, ok := Find(code)
		require.True(t, ok)
		assert.Equal(t, []int{0, sensor}, []int{e.Bank, e.Sensor})
		_, ok = e.Elsewhere(1, sensor)
		assert.False(t, ok)
	}
}

func TestEveryEntryIsAdvisedAndDescribedAlone(t *testing.T) {
	seen := map[string]Code{}
	for _, e := range All() {
		assert.NotEmpty(t, e.Advice.First, e.Code)
		assert.NotEmpty(t, e.Advice.Why, e.Code)
		assert.NotEmpty(t, e.Source, e.Code)
		assert.Zero(t, seen[e.Description], "%s and %s say the same", e.Code, seen[e.Description])
		seen[e.Description] = e.Code
	}
	for class := range advice() {
		used := false
		for _, e := range All() {
			used = used || e.Class == class
		}
		assert.True(t, used, class)
	}
}

func TestCallersCannotChangeTheTable(t *testing.T) {
	All()[0].Advice.First[0] = "mangled"
	e, _ := Find(All()[0].Code)
	e.Advice.First[0] = "mangled"
	assert.NotEqual(t, Suspect("mangled"), All()[0].Advice.First[0])
}

func TestEveryCodeExplains(t *testing.T) {
	for n := range 0x10000 {
		assert.NotEmpty(t, Explain(Code(n)))
	}
	assert.Contains(t, Explain(0x1135), "vehicle's maker defined")
	assert.Contains(t, Explain(0x0), "padding")
	assert.Contains(t, Explain(0x0196), "outside this trade")
	assert.Equal(t, "P0155: oxygen sensor, bank 2 sensor 1: heater does not bring the sensor to temperature, or its circuit is at fault", Explain(0x0155))
}
