package ui

// Every figure with a unit that the screens of a job show is traced to where it comes from.

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks/quantity"
	"fenderside/runner/record"
)

// measured finds figures with units, as the screens and the files write them.
var measured = regexp.MustCompile(`(-?\d+(?:\.\d+)?) ?(N·m|lbf·ft|lbf·in|°C|°F|mV|V|kΩ|Ω|mm|in|%|min|s|h|km)(?:\W|$)`)

// clocked are the figures that the clock tells.
var clocked = regexp.MustCompile(`in place (?:\d+ (?:s|min|h|d)\s?)+|(?s:IN PLACE: .*?--)`)

// withUnits are the figures of a text. A screen breaks its lines anywhere, so it is read as one line.
func withUnits(text string) []quantity.Quantity {
	var out []quantity.Quantity
	for _, m := range measured.FindAllString(strings.Join(strings.Fields(text), " "), -1) {
		if q, err := quantity.Parse(strings.TrimRight(m, `.,;:()[]"'|\> `)); err == nil {
			out = append(out, q)
		}
	}
	return out
}

// told says whether a figure is one of those known, in its own unit or in another, as far as its digits go.
func told(q quantity.Quantity, known []quantity.Quantity) bool {
	text := strings.Fields(q.String())[0]
	_, after, _ := strings.Cut(text, ".")
	shown, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return false
	}
	for _, k := range known {
		if k.Dimension() != q.Dimension() {
			continue
		}
		if v, err := k.In(q.Unit()); err == nil && math.Abs(math.Abs(v)-math.Abs(shown)) <= 0.5000001*math.Pow(10, -float64(len(after))) {
			return true
		}
	}
	return false
}

func TestEveryFigureOnTheScreensOfAJobComesFromTheProcedureTheCardAPersonOrACheck(t *testing.T) {
	r := newRig(t).size(120, 30).start("millbrook-four")
	job := r.m.work.job
	known := withUnits(string(job.Procedure.Text) + " " + string(job.Card.Text))
	seen, drawn, lines := map[string]bool{}, 0, 0
	for range 900 {
		if st := r.m.work.step(); st == nil && r.m.work.scene().want.id == "review" {
			break
		}
		r.one(plainJob)
		for _, l := range r.m.work.session.Lines()[lines:] {
			raw, err := record.Encode(l)
			require.NoError(t, err)
			known = append(known, withUnits(string(raw))...)
			lines++
		}
		shown := r.m.View()
		if r.m.work.step() != nil { // and its picture, where it has one
			picture := r.key("f12").m.View()
			r.key("esc")
			if !strings.Contains(picture, "no picture") {
				drawn++
				shown += " " + picture
			}
		}
		for _, q := range withUnits(clocked.ReplaceAllString(shown, "")) {
			assert.True(t, seen[q.String()] || told(q, known), "%s, at %s: from where?\n%s", q, r.m.work.scene().want.id, shown)
			seen[q.String()] = true
		}
	}
	assert.Greater(t, len(seen), 30)
	assert.Greater(t, drawn, 3)
	t.Logf("%d figures, %d pictures", len(seen), drawn)
}

func TestAFigureIsToldInEitherUnitAndOnlyToItsLastDigit(t *testing.T) {
	known := withUnits("set to 45.5 N·m; -0.02 V")
	for text, is := range map[string]bool{"45.5 N·m": true, "33.6 lbf·ft": true, "33.7 lbf·ft": false, "46 N·m": true, "44 N·m": false, "0.02 V": true, "20 mV": true, "0.2 V": false, "45.5 mm": false} {
		assert.Equal(t, is, told(withUnits(text)[0], known), text)
	}
}
