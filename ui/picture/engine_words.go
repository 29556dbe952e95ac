package picture

// The rule of this file: the sentences say where everything in the drawing stands, and say of what is not known that it is
// not.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fenderside/checks/location"
	"fenderside/procedures"
)

const simplified = "The run of the pipes is simplified."

// FactsOf takes the facts of a vehicle card.
func FactsOf(c *procedures.Card) location.Facts {
	e := c.Engine
	f := location.Facts{Arrangement: e.Arrangement, Mounting: e.Mounting, CylinderOne: e.CylinderOne}
	f.Steering, _ = c.Lookup("vehicle.steering")
	f.Traffic, _ = c.Lookup("vehicle.traffic")
	for _, b := range e.Banks {
		number, _ := strconv.Atoi(strings.TrimPrefix(b.Name, "B"))
		f.Banks = append(f.Banks, location.Bank{Number: number, Side: b.Side, Cylinders: b.Cylinders})
	}
	for _, s := range c.Sensors {
		if p, err := location.ParsePosition(s); err == nil {
			f.Sensors = append(f.Sensors, p)
		}
	}
	return f
}

// engineWords says the engine in sentences.
func engineWords(f location.Facts, lit *location.Position) []string {
	out := []string{engineSentence(f)}
	if f.Steering != "" {
		out = append(out, "The driver sits on the "+f.Steering+".")
	}
	if undrawn(f) == "" {
		for _, r := range rowsOf(f) {
			out = append(out, rowSentence(f, r))
		}
	}
	for _, b := range f.Rows() {
		out = append(out, exhaustSentence(f, b))
	}
	if lit != nil {
		out = append(out, meant(f, *lit))
	}
	return out
}

func engineSentence(f location.Facts) string {
	name, lies := kind(f), f.Mounting
	if f.Arrangement == "" {
		name = "of an arrangement that is not known"
	}
	if lies == "" {
		lies = "in a way that is not known"
	}
	return fmt.Sprintf("Engine: %s, mounted %s, as seen from above with the front of the vehicle at the top.", name, lies)
}

// rowSentence says the cylinders of a row in the order in which they are drawn.
func rowSentence(f location.Facts, r row) string {
	along := "from front to rear"
	if f.Mounting == "crosswise" {
		along = "from left to right"
	}
	name := "Cylinders"
	if f.Arrangement != "in-line" {
		name = fmt.Sprintf("Bank %d lies %s. Its cylinders", r.banks[0].Number, towards(r.banks[0].Side))
	}
	if len(r.cylinders) == 0 {
		return name + ": their order is not known."
	}
	return fmt.Sprintf("%s %s: %s.", name, along, figures(r.cylinders))
}

// towards is where something lies, by its side of the engine.
func towards(side string) string {
	if side == "front" || side == "rear" {
		return "at the " + side
	}
	return "on the " + side
}

// exhaustSentence says what stands along the exhaust of a bank.
func exhaustSentence(f location.Facts, b location.Bank) string {
	var all []string
	for _, s := range f.Along(b.Number) {
		if s.Catalyst > 0 {
			all = append(all, "catalyst")
		} else {
			all = append(all, "sensor "+location.Position{Bank: b.Number, Sensor: s.Sensor}.String())
		}
	}
	name := fmt.Sprintf("The exhaust of bank %d", b.Number)
	if f.Arrangement == "in-line" && len(b.Cylinders) > 0 {
		name += " (cylinders " + figures(b.Cylinders) + ")"
	}
	side := ", by a side that is not known"
	if b.Side != "" {
		side = ", " + towards(b.Side)
	}
	return name + side + ", from the engine: " + strings.Join(all, ", ") + "."
}

// meant says which sensor is meant.
func meant(f location.Facts, lit location.Position) string {
	if !slices.Contains(f.Sensors, lit) {
		return fmt.Sprintf("THIS ONE: %s, which is not among the sensors of this vehicle.", lit)
	}
	return fmt.Sprintf("THIS ONE: %s: %s.", lit, f.Describe(lit))
}

func figures(all []int) string {
	var out []string
	for _, n := range all {
		out = append(out, strconv.Itoa(n))
	}
	return strings.Join(out, ", ")
}
