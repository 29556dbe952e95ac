package newcard

// What is asked, in order. What was answered decides what is asked further on: a V engine has a second bank, a crosswise one
// has its ends left and right, and each sensor that is fitted has questions of its own.

import (
	"fmt"
	"slices"
	"strings"
)

// question is one question with where its answer goes.
type question struct {
	Question
	id      string
	paths   []string // fields of the card: one, the two ends of a range, or none
	list    bool     // several values with commas between
	sourced bool     // it is asked where the answer stands
	standIn string   // what the reader is given until the question is answered
}

func needed(path, title, hint, standIn string) question {
	return question{Question: Question{Title: title, Hint: hint, Needed: true}, id: path, paths: []string{path}, sourced: true, standIn: standIn}
}

func may(path, title, hint string) question {
	q := needed(path, title, hint, "")
	q.Needed = false
	return q
}

func (q question) of(options ...string) question {
	q.Choose = options
	return q
}

// plan is every question that the answers so far lead to.
func (d *Draft) plan() []question {
	title := needed("title", "What is the vehicle called?", "As people here know it, such as Depot minibus 3.", "x")
	source := needed("source", "Which document do the figures come from?", "The service information of this very vehicle: title and edition. A figure from elsewhere says so by itself.", "x")
	title.sourced, source.sourced = false, false
	left := []string{"left", "right"}
	all := []question{title, source,
		needed("vehicle.registration", "Registration or fleet number", "", "x"),
		may("vehicle.identification", "Vehicle identification number", ""),
		may("vehicle.model_year", "Model year", "Such as 2016."),
		may("vehicle.steering", "Side the driver sits on", "").of(left...),
		may("vehicle.traffic", "Side of the road it is driven on", "").of(left...),
	}
	all = append(all, d.engine()...)
	all = append(all, d.sensors()...)
	all = append(all, wheels()...)
	return append(all, d.waits()...)
}

// wheels asks for what the road wheels of the vehicle share.
func wheels() []question {
	return []question{
		may("wheels.studs", "How many studs or bolts hold a road wheel?", "").of("4", "5", "6"),
		ends("wheels.torque", "Road wheels: tightening torque, lowest to highest", "With units, such as 110 N·m to 130 N·m; one figure where there is one."),
		may("wheels.seat", "Seat of the wheel nuts or bolts", "").of("taper", "ball", "flat"),
		may("wheels.retorque_after", "Distance after which the wheels are tightened again", "Such as 50 km."),
	}
}

// waits asks for the times that procedures take from a card, each once.
func (d *Draft) waits() (all []question) {
	for _, f := range d.taken {
		id, ok := strings.CutPrefix(f.Card, "waits.")
		asked := slices.ContainsFunc(all, func(q question) bool { return q.id == f.Card })
		if ok && !asked && !strings.ContainsAny(id, ".{") {
			all = append(all, may(f.Card, "Time to wait: "+f.Title, "A time with its unit, such as 3 min."))
		}
	}
	return all
}

// words are the texts that procedures can take from a sensor's field: of others, their sheet asks again.
func (d *Draft) words(field string) string {
	var all []string
	for _, f := range d.taken {
		for _, one := range f.Choose {
			if strings.HasSuffix(f.Card, "}."+field) && !slices.Contains(all, one) {
				all = append(all, one)
			}
		}
	}
	if len(all) == 0 {
		return ""
	}
	return "Procedures here know: " + strings.Join(all, ", ") + "."
}

// engine asks how the engine lies and how its cylinders are grouped.
func (d *Draft) engine() []question {
	ends, sides := []string{"front", "rear"}, []string{"left", "right"}
	if d.text("engine.mounting") == "crosswise" {
		ends, sides = sides, ends
	}
	cylinders := "1"
	if d.twoSides() {
		cylinders = "2"
	}
	all := []question{
		needed("engine.arrangement", "How do the cylinders stand?", "", "in-line").of("in-line", "V", "flat"),
		needed("engine.cylinders", "How many cylinders?", "", cylinders),
		needed("engine.mounting", "How does the crankshaft lie?", "", "lengthwise").of("lengthwise", "crosswise"),
		needed("engine.cylinder_1", "At which end does cylinder 1 stand, as seen from the driver's seat?", "", ends[0]).of(ends...),
	}
	if !d.twoSides() {
		all = append(all, question{id: "banks", standIn: "one", Question: Question{Title: "How many banks does the maker count?", Needed: true,
			Hint: "An in-line engine has one, or two where its exhaust is split.", Choose: []string{"one", "two"}}})
	}
	all = append(all, d.bank("B1", sides, 0)...)
	if d.twoSides() || d.text("banks") == "two" {
		all = append(all, d.bank("B2", sides, 1)...)
	}
	firing := may("engine.firing_order", "Firing order", "The cylinders with commas between, such as 1, 3, 4, 2.")
	firing.list = true
	return append(all, firing)
}

func (d *Draft) twoSides() bool {
	return slices.Contains([]string{"V", "flat"}, d.text("engine.arrangement"))
}

// bank asks for the side and the cylinders of one bank.
func (d *Draft) bank(name string, sides []string, n int) []question {
	path := "engine.banks." + name + "."
	side := needed(path+"side", fmt.Sprintf("On which side does bank %s lie, as seen from the driver's seat?", name[1:]),
		"Bank 1 is the one with cylinder 1. In an in-line engine it is the side of the exhaust.", sides[n])
	if n == 1 && d.text("engine.banks.B1.side") == sides[1] {
		side.standIn = sides[0]
	}
	if !d.twoSides() {
		side.Needed, side.standIn = false, ""
	}
	cylinders := needed(path+"cylinders", fmt.Sprintf("Which cylinders stand in bank %s?", name[1:]), "Their numbers with commas between, such as 1, 3, 5.", d.rest(n))
	cylinders.list = true
	return []question{side.of(sides...), cylinders}
}

// rest is the cylinders that no bank has yet: with a second bank still to come, the first stands in with cylinder 1 alone.
func (d *Draft) rest(n int) string {
	count := 1
	if d.twoSides() {
		count = 2
	}
	if text := d.text("engine.cylinders"); text != "" {
		if _, err := fmt.Sscan(text, &count); err != nil {
			return "1"
		}
	}
	two := d.twoSides() || d.text("banks") == "two"
	if n == 0 && two {
		return "1"
	}
	taken := split(d.text("engine.banks.B1.cylinders"))
	if n == 1 && len(taken) == 0 {
		taken = []string{"1"}
	}
	var left []string
	for c := 1; c <= min(count, 16); c++ {
		if one := fmt.Sprint(c); n == 0 || !slices.Contains(taken, one) {
			left = append(left, one)
		}
	}
	return strings.Join(left, ", ")
}

// split takes a list apart at its commas.
func split(text string) (all []string) {
	for part := range strings.SplitSeq(text, ",") {
		if part = strings.TrimSpace(part); part != "" {
			all = append(all, part)
		}
	}
	return all
}

// sensors asks which sensors are fitted, and then about each.
func (d *Draft) sensors() []question {
	fitted := needed("fitted", "Which oxygen sensors are fitted?", "As the document of the card says: bank, and place from the engine, with commas between, such as B1S1, B1S2.", "B1S1")
	fitted.paths, fitted.list, fitted.sourced = nil, true, false
	all := []question{fitted}
	for _, at := range split(d.text("fitted")) {
		all = append(all, d.sensor(at)...)
	}
	return all
}

func (d *Draft) sensor(at string) []question {
	path := "sensors." + at + "."
	title := may(path+"title", at+": where is it, in words?", "Such as: behind the catalyst, under the floor.")
	title.sourced = false
	all := []question{title,
		may(path+"kind", at+": kind of sensor", d.words("kind")),
		ends(path+"torque", at+": tightening torque, lowest to highest", "With units, such as 40 N·m to 50 N·m; one figure where there is one."),
		may(path+"thread", at+": thread", "Diameter and pitch, such as M18x1.5."),
		may(path+"hex", at+": hexagon across flats", "Such as 22 mm."),
		may(path+"connector", at+": connector", "Pins and colour."),
		may(path+"lead", at+": length of the lead", "Such as 420 mm."),
		may(path+"coating", at+": threads of the new sensor as it comes", "").of("coated", "bare"),
		may(path+"anti_seize", at+": anti-seize on its threads", "").of("allowed", "not allowed"),
		may(path+"reach", at+": from where is it reached?", ""),
		ends(path+"heater", at+": cold resistance of its heater, lowest to highest", "With units, such as 8 Ω to 11 Ω."),
	}
	if d.text(path+"heater") != "" {
		all = append(all, may(path+"heater_at", at+": temperature that the resistance is stated for", "Such as 20 °C."))
	}
	return all
}

// ends is a question whose answer has a lower and a higher end; a single figure is both.
func ends(path, title, hint string) question {
	q := may(path, title, hint)
	q.paths = []string{path + "_low", path + "_high"}
	return q
}
