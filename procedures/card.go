package procedures

// A vehicle card holds facts about one vehicle, each with where it comes from. It is read as strictly as a procedure.

import (
	"fmt"
	"slices"
	"strconv"

	"gopkg.in/yaml.v3"

	"fenderside/checks/quantity"
)

// Card is one vehicle card. Its file is YAML:
//
//	fenderside-card: 1                # format version
//	card: millbrook-bus-3             # id
//	title: Depot minibus 3
//	demonstration: true               # true: an invented vehicle; a job on it is practice
//	source: invented for practice     # where the facts come from, unless a fact says otherwise
//	vehicle:
//	  registration: MB 3              # required
//	  identification: FSDEMO00000000003
//	  model_year: 2016
//	  steering: left                  # the side the driver sits on: left or right
//	  traffic: right                  # the side of the road it is driven on: left or right
//	engine:
//	  arrangement: V                  # in-line, V or flat
//	  cylinders: 6
//	  mounting: crosswise             # the crankshaft lies lengthwise or crosswise
//	  cylinder_1: right               # the end where cylinder 1 stands: front or rear, crosswise left or right,
//	                                  # all as seen from the driver's seat
//	  banks:                          # B1 always; B2 too in a V or flat engine; cylinders from the end of cylinder 1
//	    B1: {side: rear, cylinders: [1, 3, 5]}    # side: left or right, crosswise front or rear
//	    B2: {side: front, cylinders: [2, 4, 6]}
//	  firing_order: [1, 2, 3, 4, 5, 6]             # a list too may be {value: [...], source: ...}
//	sensors:                          # by position: bank, then its place along the exhaust from the engine
//	  B1S1:
//	    title: Rear bank, before the catalyst
//	    kind: wideband
//	    torque_low: 40 N·m
//	    torque_high: {value: 50 N·m, source: sheet in the box of the new sensor}  # one fact with its own source
//	    thread: M18x1.5
//	    hex: 22 mm
//	    connector: six way, grey
//	    lead: 420 mm
//	    coating: coated               # coated or bare: the threads of the new sensor as it comes
//	    anti_seize: not allowed       # allowed or not allowed
//	    reach: from beneath
//	    heater_low: 8 Ω               # cold resistance of its heater, and the temperature it is stated for
//	    heater_high: 11 Ω
//	    heater_at: 20 °C
//	wheels:                           # road wheels; may be left out
//	  studs: 5                        # studs or bolts of a wheel: 4, 5 or 6
//	  torque_low: 110 N·m             # of a wheel nut or bolt
//	  torque_high: 130 N·m
//	  seat: taper                     # taper, ball or flat: the seat of the nut or bolt
//	  retorque_after: 50 km           # distance after which the nuts are tightened again
//	waits:                            # times to wait, by id
//	  airbag: 3 min
type Card struct {
	Name          string // the id given by `card:`
	Title         string
	Demonstration bool   // an invented vehicle, for practice
	Source        string // where the facts come from
	Text          []byte // the exact bytes of the file
	Digest        string // hex SHA-256 of Text
	File          string // the name it was read from, for messages

	Engine  Engine
	Sensors []string // positions, in order

	facts map[string]Fact
}

// Fact is one value of a card.
type Fact struct {
	Text   string // as written; a list is joined with ", "
	Source string // where it comes from
	Place  Place
}

// Engine is how the engine lies and how its cylinders are grouped.
type Engine struct {
	Arrangement string // in-line, V or flat
	Cylinders   int
	Mounting    string // lengthwise or crosswise
	CylinderOne string // the end where cylinder 1 stands, from the driver's seat
	Banks       []Bank
	FiringOrder []int // empty where the card does not say
}

// Bank is a row of cylinders that share an exhaust.
type Bank struct {
	Name      string // B1 or B2
	Side      string // left or right; front or rear in a crosswise engine; may be empty in line
	Cylinders []int  // in a V or flat engine, in the order in which they stand, from the end of cylinder 1
}

// Lookup returns the text of the fact at a dotted path, such as sensors.B1S1.torque_low. A list is joined with ", ".
func (c *Card) Lookup(path string) (value string, ok bool) {
	f, ok := c.facts[path]
	return f.Text, ok
}

// Fact returns the fact at a dotted path, with its source and place.
func (c *Card) Fact(path string) (Fact, bool) {
	f, ok := c.facts[path]
	return f, ok
}

// Paths lists every path that Lookup finds, in alphabetical order.
func (c *Card) Paths() []string { return sortedKeys(c.facts) }

var (
	cardFields    = []string{"fenderside-card", "card", "title", "demonstration", "source", "vehicle", "engine", "sensors", "wheels", "waits"}
	vehicleFields = []string{"registration", "identification", "model_year", "steering", "traffic"}
	engineFields  = []string{"arrangement", "cylinders", "mounting", "cylinder_1", "banks", "firing_order"}
	bankFields    = []string{"side", "cylinders"}
	sensorFields  = []string{"title", "kind", "torque_low", "torque_high", "thread", "hex", "connector", "lead", "coating",
		"anti_seize", "reach", "heater_low", "heater_high", "heater_at"}
	wheelFields = []string{"studs", "torque_low", "torque_high", "seat", "retorque_after"}
	factFields  = []string{"value", "source"}
)

// cardLoader is a card while it is read.
type cardLoader struct {
	*reader
	c *Card
}

// ParseCard reads one vehicle card. The error is Faults, as for Parse.
func ParseCard(file string, text []byte) (*Card, error) {
	l := &cardLoader{reader: newReader(file), c: &Card{
		Text: append([]byte(nil), text...), Digest: digest(text), File: file, facts: map[string]Fact{}}}
	if root, ok := l.document(text); ok {
		if t, ok := l.table(root, "the card", cardFields); ok {
			l.sections(t)
		}
	}
	if err := l.err(); err != nil {
		return nil, err
	}
	return l.c, nil
}

func (l *cardLoader) sections(t *table) {
	t.require("fenderside-card", "card", "title", "demonstration", "source", "vehicle", "engine", "sensors")
	if v := t.whole("fenderside-card", 1); t.has("fenderside-card") && v != formatVersion && !l.spoilt[t.vals["fenderside-card"]] {
		l.fault(t.at("fenderside-card"), fmt.Sprintf("this program reads format %d", formatVersion), "the card has format %d", v)
	}
	c := l.c
	c.Name, c.Title, c.Source = t.id("card").Text, t.text("title"), t.text("source")
	c.Demonstration = t.flag("demonstration")
	for name, text := range map[string]string{"card": c.Name, "title": c.Title, "source": c.Source} {
		if text != "" {
			c.facts[name] = Fact{text, c.Source, t.at(name)}
		}
	}
	l.vehicle(t)
	l.engine(t)
	l.sensors(t)
	l.wheels(t)
	l.waits(t)
}

// group reads a field whose value is a group of fields.
func (l *cardLoader) group(t *table, name, what string, known []string) (*table, bool) {
	if !t.has(name) {
		return nil, false
	}
	return l.table(t.vals[name], what, known)
}

// fact reads one fact, a single value or {value, source}, and keeps it under its path.
func (l *cardLoader) fact(g *table, path, name string) word {
	if !g.has(name) {
		return word{}
	}
	n, source := g.vals[name], l.c.Source
	what := name + " of " + g.what
	if n.Kind == yaml.MappingNode {
		t, ok := l.table(n, what, factFields)
		if !ok {
			return word{}
		}
		t.require(factFields...)
		source = t.text("source")
		if n = t.vals["value"]; n == nil {
			return word{}
		}
	}
	w := word{l.scalar(n, what), placeOf(n)}
	if w.Text != "" {
		l.c.facts[path+"."+name] = Fact{w.Text, source, w.Place}
	}
	return w
}

// choice reads a fact that is one of the options.
func (l *cardLoader) choice(g *table, path, name string, options ...string) string {
	w := l.fact(g, path, name)
	if w.Text == "" || slices.Contains(options, w.Text) {
		return w.Text
	}
	l.fault(w.Place, didYouMean(w.Text, options), "%s of %s is %s", name, g.what, quote(w.Text))
	return ""
}

func (l *cardLoader) number(g *table, path, name string, least, most int) int {
	w := l.fact(g, path, name)
	if w.Text == "" {
		return 0
	}
	i, err := strconv.Atoi(w.Text)
	if err != nil || i < least || i > most || strconv.Itoa(i) != w.Text {
		l.fault(w.Place, fmt.Sprintf("write a whole number from %d to %d", least, most), "%s of %s is %s", name, g.what, quote(w.Text))
		return 0
	}
	return i
}

// measure reads a fact that is a quantity above zero.
func (l *cardLoader) measure(g *table, path, name string, d quantity.Dimension) (quantity.Quantity, bool) {
	w := l.fact(g, path, name)
	if w.Text == "" {
		return quantity.Quantity{}, false
	}
	q, ok := l.quantity(w, d)
	if ok && q.Base() <= 0 {
		l.fault(w.Place, "look it up again", "%s of %s is %s", name, g.what, quote(w.Text))
		return q, false
	}
	return q, ok
}

func (l *cardLoader) vehicle(t *table) {
	g, ok := l.group(t, "vehicle", "the vehicle", vehicleFields)
	if !ok {
		return
	}
	g.require("registration")
	l.fact(g, "vehicle", "registration")
	l.fact(g, "vehicle", "identification")
	l.number(g, "vehicle", "model_year", 1900, 2200)
	l.choice(g, "vehicle", "steering", "left", "right")
	l.choice(g, "vehicle", "traffic", "left", "right")
}

func (l *cardLoader) waits(t *table) {
	g, ok := l.group(t, "waits", "waits", nil)
	if !ok {
		return
	}
	for _, name := range g.order {
		l.form(word{name, g.keyAt(name)})
		l.measure(g, "waits", name, quantity.Time)
	}
}
