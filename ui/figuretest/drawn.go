package figuretest

// The rule of this file: a drawing may round what its check recorded, or give it in another unit; it shows nothing else.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"fenderside/checks/quantity"
	"fenderside/procedures"
	"fenderside/runner"
)

// pictured are the checks that are drawn as a plot or a bar.
var pictured = []string{"cooling-forecast", "torque-applied", "sensor-trace", "trace-compare", "catalyst"}

// drawnFrom adds what the drawing of the step may show.
func (s *Sources) drawnFrom(sc Screen, k *Known) {
	at := slices.IndexFunc(sc.Step.Checks, func(c procedures.CheckUse) bool { return slices.Contains(pictured, c.Name) })
	if at < 0 {
		return
	}
	for _, in := range sc.Step.Checks[at].Inputs {
		if in.Literal.Quantity.Valid() {
			k.measures = append(k.measures, in.Literal.Quantity)
		}
	}
	for _, e := range sc.State.Sheet() {
		if s.refer[sc.Step.ID][e.ID] {
			k.measures = append(k.measures, quantities(e.Value)...)
		}
	}
	first := map[string]runner.Moment{}
	for _, t := range s.told {
		if t.step != sc.Step.ID {
			continue
		}
		for _, text := range t.texts {
			k.measures = append(k.measures, quantities(text)...)
		}
		switch e := t.event.(type) {
		case runner.ReadingTaken:
			if _, ok := first[e.Reading]; !ok {
				first[e.Reading] = t.at
			}
			k.Says(fmt.Sprintf("at minute %.1f", (t.at.Mono - first[e.Reading].Mono).Minutes()))
		case runner.Computed:
			k.Says(crossings(e)...)
		}
	}
}

var counts = regexp.MustCompile(`(\d+) (crossings|rises|falls)|([\d.]+) (?:a second|before|after)`)

// crossings are how often a signal crossed its threshold, rose and fell, as a check recorded it.
func crossings(c runner.Computed) []string {
	var out []string
	for _, line := range c.Workings {
		for _, m := range counts.FindAllStringSubmatch(line, -1) {
			out = append(out, m[1]+" times", "the median of "+m[1], m[3]+" times a second")
		}
	}
	return out
}

var measure = regexp.MustCompile(`-?\d+(?:\.\d+)? (?:N·m|°C|mV|V|mA|s|ms|min)(?:\W|$)`)

// quantities are the figures with units of a text.
func quantities(text string) []quantity.Quantity {
	var out []quantity.Quantity
	for _, m := range measure.FindAllString(text, -1) {
		if q, err := quantity.Parse(strings.TrimRight(m, " .,;:()]")); err == nil {
			out = append(out, q)
		}
	}
	return out
}

// rounded says whether a figure is one of those measured, in its own unit or in another, as far as its digits go. A torque may be
// drawn without its unit, which stands above the drawing. A whole number of seconds or minutes is one that a clock tells, and
// none of these.
func (k *Known) rounded(f Figure) bool {
	word, after := f.word(), ""
	if f.at+1 < len(f.row) {
		after = f.row[f.at+1]
	}
	if unit, ok := map[string]string{"N": "N·m", "C": "°C", "limit": "°C"}[after]; ok {
		after = unit
	}
	parted := strings.Contains(word, ".")
	if q, err := quantity.Parse(word + " " + after); err == nil && after != "" {
		return (parted || q.Dimension() != quantity.Time) && sameAs(q, word, k.measures)
	}
	q, err := quantity.Parse(word + " N·m")
	return err == nil && parted && sameAs(q, word, k.measures)
}

func sameAs(q quantity.Quantity, word string, known []quantity.Quantity) bool {
	_, decimals, _ := strings.Cut(word, ".")
	shown, err := strconv.ParseFloat(word, 64)
	return err == nil && slices.ContainsFunc(known, func(k quantity.Quantity) bool {
		v, err := k.In(q.Unit())
		return err == nil && math.Abs(math.Abs(v)-math.Abs(shown)) <= 0.5000001*math.Pow(10, -float64(len(decimals)))
	})
}

// card is what the drawing of an engine says of a vehicle card.
func card(c *procedures.Card) []string {
	if c == nil {
		return nil
	}
	out := texts(c)
	n := 0
	for _, b := range c.Engine.Banks {
		n += len(b.Cylinders)
		for _, one := range b.Cylinders {
			out = append(out, strconv.Itoa(one))
		}
		row, number := strings.Trim(fmt.Sprint(b.Cylinders), "[]"), strings.TrimPrefix(b.Name, "B")
		back := slices.Clone(b.Cylinders)
		slices.Reverse(back)
		out = append(out, row, strings.Trim(fmt.Sprint(back), "[]"), "BANK "+number, "The exhaust of bank "+number,
			"Bank "+number+" lies on the "+b.Side, "Bank "+number+" lies at the "+b.Side, "bank "+number+" ("+b.Side+")")
	}
	return append(out, fmt.Sprintf("%s %d", c.Engine.Arrangement, n), fmt.Sprintf("%s%d", c.Engine.Arrangement, n))
}
