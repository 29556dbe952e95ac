// The rule of this file: an answer that is not one sensor comes with the
// question that would make it one.

package location

import (
	"fmt"
	"slices"
	"strings"
)

// question asks what tells the sensors left apart: a missing fact first, then
// the bank, then the place along the exhaust.
func (s *search) question(left []Position) string {
	var asks []string
	add := func(text string) {
		if text != "" && !slices.Contains(asks, text+"?") {
			asks = append(asks, text+"?")
		}
	}
	banks, sensors := parts(left)
	if len(banks) > 1 {
		for _, each := range s.effects {
			for _, e := range each {
				add(e.asks)
			}
		}
		if len(asks) == 0 {
			add(s.bankQuestion(banks))
		}
	}
	if len(sensors) > 1 {
		add(sensorQuestion(sensors))
	}
	return strings.Join(asks, " ")
}

func parts(left []Position) (banks, sensors []int) {
	for _, p := range left {
		banks, sensors = append(banks, p.Bank), append(sensors, p.Sensor)
	}
	slices.Sort(banks)
	slices.Sort(sensors)
	return slices.Compact(banks), slices.Compact(sensors)
}

func (s *search) bankQuestion(banks []int) string {
	var texts []string
	for _, b := range s.facts.banks() {
		if !slices.Contains(banks, b.Number) {
			continue
		}
		text := fmt.Sprintf("bank %d", b.Number)
		switch {
		case b.Side == "front":
			text += " (towards the front of the vehicle)"
		case b.Side == "rear":
			text += " (towards the rear of the vehicle)"
		case b.Side != "":
			text += " (" + b.Side + ", as seated)"
		case b.Number == 1:
			text += " (the one with cylinder 1)"
		}
		texts = append(texts, text)
	}
	return "is it on " + strings.Join(texts, " or ")
}

func sensorQuestion(sensors []int) string {
	var texts []string
	for _, n := range sensors {
		switch n {
		case 1:
			texts = append(texts, "before the catalyst (sensor 1)")
		case 2:
			texts = append(texts, "behind the first catalyst (sensor 2)")
		default:
			texts = append(texts, fmt.Sprintf("further along (sensor %d)", n))
		}
	}
	return "is it " + strings.Join(texts, " or ")
}

// Urgency is how soon a faulty sensor wants replacing, and what the engine does
// meanwhile.
type Urgency struct {
	When      string
	Meanwhile string
	Source    string
}

// UrgencyOf is the urgency of a fault of that sensor, 1 nearest the engine.
func UrgencyOf(sensor int) Urgency {
	if sensor == 1 {
		return Urgency{
			When:      "now",
			Meanwhile: "without it the engine controller runs open loop on stored values: more fuel, worse exhaust, and in time a damaged catalyst",
			Source:    "common practice, no source",
		}
	}
	return Urgency{
		When:      "before the emissions test",
		Meanwhile: "the engine drives as before, but the catalyst is no longer watched and the warning lamp fails the test",
		Source:    "common practice, no source",
	}
}
