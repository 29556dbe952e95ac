package procedures

// The wheels on a card share one pattern of studs and one torque; a window of figures has both its ends, the lower one first.

import "fenderside/checks/quantity"

func (l *cardLoader) wheels(t *table) {
	g, ok := l.group(t, "wheels", "wheels", wheelFields)
	if !ok {
		return
	}
	l.choice(g, "wheels", "studs", "4", "5", "6")
	l.window(g, "wheels", "torque", quantity.Torque)
	l.choice(g, "wheels", "seat", "taper", "ball", "flat")
	l.measure(g, "wheels", "retorque_after", quantity.Length)
}

// window reads the two ends of a range, NAME_low and NAME_high: both or neither.
func (l *cardLoader) window(g *table, path, name string, d quantity.Dimension) {
	least, most := name+"_low", name+"_high"
	low, okLow := l.measure(g, path, least, d)
	high, okHigh := l.measure(g, path, most, d)
	if less, err := high.Less(low); okLow && okHigh && err == nil && less {
		l.fault(g.at(most), "write the lower "+string(d)+" as "+least, "%s of %s is less than %s", most, g.what, least)
	}
	if g.has(least) != g.has(most) {
		l.fault(g.place, "write both", "%s has only one of %s and %s", g.what, least, most)
	}
}
