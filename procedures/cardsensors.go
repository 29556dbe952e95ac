package procedures

// A sensor on a card stands at a position that the engine has, and a figure that takes two ends has both.

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"fenderside/checks/quantity"
)

var (
	positionPattern = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^B[1-4]S[1-4]$`) })
	threadPattern   = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^M[0-9]+(?:\.[0-9]+)?[x×][0-9]+(?:\.[0-9]+)?$`) })
)

func (l *cardLoader) sensors(t *table) {
	all, ok := l.group(t, "sensors", "sensors", nil)
	if !ok {
		return
	}
	if len(all.order) == 0 {
		l.fault(all.place, "add the sensors that are fitted", "sensors is empty")
	}
	for _, position := range all.order {
		if !positionPattern().MatchString(position) {
			l.fault(all.keyAt(position), "write bank and sensor, such as B1S1", "%s is no position of a sensor", quote(position))
			continue
		}
		if bank, _, _ := strings.Cut(position, "S"); len(l.c.Engine.Banks) > 0 && !l.c.Engine.has(bank) {
			l.fault(all.keyAt(position), "look at engine.banks", "the engine has no bank %s", bank)
		}
		if g, ok := l.table(all.vals[position], "sensor "+position, sensorFields); ok {
			l.sensor(g, "sensors."+position)
			l.c.Sensors = append(l.c.Sensors, position)
		}
	}
	slices.Sort(l.c.Sensors)
	if len(l.c.Sensors) > 0 {
		l.c.facts["sensors.fitted"] = Fact{strings.Join(l.c.Sensors, ", "), l.c.Source, all.place}
	}
	for _, position := range l.c.Sensors {
		l.c.facts["sensors."+position+".fellow"] = Fact{l.fellow(position), l.c.Source, all.place}
	}
}

// NoFellow is what the fact "fellow" of a sensor says where no other sensor can take its place.
const NoFellow = "none"

// fellow is the position of the sensor on the other bank that is the same part by every figure of the card, or NoFellow. What
// the card leaves out of a figure that tells sensors apart is not taken to agree.
func (l *cardLoader) fellow(position string) string {
	bank, place := position[:2], position[2:]
	for _, other := range l.c.Sensors {
		if other[2:] == place && other[:2] != bank && l.sameSensor("sensors."+position+".", "sensors."+other+".") {
			return other
		}
	}
	return NoFellow
}

func (l *cardLoader) sameSensor(a, b string) bool {
	for _, figure := range []string{"kind", "thread", "hex", "connector", "lead"} {
		if l.c.facts[a+figure].Text == "" {
			return false
		}
	}
	for _, figure := range sensorFields {
		if figure != "title" && figure != "reach" && l.c.facts[a+figure].Text != l.c.facts[b+figure].Text {
			return false
		}
	}
	return true
}

func (l *cardLoader) sensor(g *table, path string) {
	for _, name := range []string{"title", "kind", "connector", "reach"} {
		l.fact(g, path, name)
	}
	l.window(g, path, "torque", quantity.Torque)
	if w := l.fact(g, path, "thread"); w.Text != "" && !threadPattern().MatchString(w.Text) {
		l.fault(w.Place, "write diameter and pitch in millimetres, such as M18x1.5", "thread of %s is %s", g.what, quote(w.Text))
	}
	l.heater(g, path)
	l.measure(g, path, "hex", quantity.Length)
	l.measure(g, path, "lead", quantity.Length)
	l.choice(g, path, "coating", "coated", "bare")
	l.choice(g, path, "anti_seize", "allowed", "not allowed")
}

// heater reads the window of the heater's cold resistance; a sensor without a heater has none.
func (l *cardLoader) heater(g *table, path string) {
	l.window(g, path, "heater", quantity.Resistance)
	l.measure(g, path, "heater_at", quantity.Temperature)
}
