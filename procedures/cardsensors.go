package procedures

// A sensor on a card stands at a position that the engine has, and a figure that takes two ends has both.

import (
	"regexp"
	"slices"
	"strings"

	"fenderside/checks/quantity"
)

var (
	positionPattern = regexp.MustCompile(`^B[1-4]S[1-4]$`)
	threadPattern   = regexp.MustCompile(`^M[0-9]+(?:\.[0-9]+)?[x×][0-9]+(?:\.[0-9]+)?$`)
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
		if !positionPattern.MatchString(position) {
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
}

func (l *cardLoader) sensor(g *table, path string) {
	for _, name := range []string{"title", "kind", "connector", "reach"} {
		l.fact(g, path, name)
	}
	low, okLow := l.measure(g, path, "torque_low", quantity.Torque)
	high, okHigh := l.measure(g, path, "torque_high", quantity.Torque)
	if less, err := high.Less(low); okLow && okHigh && err == nil && less {
		l.fault(g.at("torque_high"), "write the lower torque as torque_low", "torque_high of %s is less than torque_low", g.what)
	}
	if g.has("torque_low") != g.has("torque_high") {
		l.fault(g.place, "write both", "%s has only one of torque_low and torque_high", g.what)
	}
	if w := l.fact(g, path, "thread"); w.Text != "" && !threadPattern.MatchString(w.Text) {
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
	low, okLow := l.measure(g, path, "heater_low", quantity.Resistance)
	high, okHigh := l.measure(g, path, "heater_high", quantity.Resistance)
	l.measure(g, path, "heater_at", quantity.Temperature)
	if less, err := high.Less(low); okLow && okHigh && err == nil && less {
		l.fault(g.at("heater_high"), "write the lower resistance as heater_low", "heater_high of %s is less than heater_low", g.what)
	}
	if g.has("heater_low") != g.has("heater_high") {
		l.fault(g.place, "write both", "%s has only one of heater_low and heater_high", g.what)
	}
}
