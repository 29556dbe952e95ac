package schema

// Every field of a vehicle card, with its shape and its meaning in one sentence. A fact is a value, or a value with a source
// of its own.

func fact(value object) object {
	return either(value, object{"allOf": []object{to("fact"), {"properties": object{"value": value}}}})
}

// listFact is a list, or a list with a source of its own.
func listFact() object {
	return either(texts(), object{"type": "object", "properties": object{"value": texts(), "source": text()},
		"required": []string{"value", "source"}, "additionalProperties": false})
}

func anyFact() object { return fact(text()) }

func banks() object {
	return object{"type": "object", "properties": object{"B1": to("bank"), "B2": to("bank")}, "required": []string{"B1"}, "additionalProperties": false}
}

func sensors() object {
	return object{"type": "object", "patternProperties": object{"^B[1-4]S[1-4]$": to("sensor")}, "minProperties": 1, "additionalProperties": false}
}

func waits() object {
	return object{"type": "object", "propertyNames": to("id"), "additionalProperties": anyFact()}
}

// twoBanks: a V or flat engine has two banks, each with its side.
func twoBanks() object {
	return object{
		"if": object{"properties": object{"arrangement": fact(oneOf("V", "flat"))}, "required": []string{"arrangement"}},
		"then": object{"properties": object{"banks": object{"required": []string{"B1", "B2"},
			"properties": object{"B1": required("side"), "B2": required("side")}}}},
	}
}

func cardGroups() map[string]group { return gathered(ofVehicle(), ofFittings()) }

// ofVehicle: the vehicle and its engine.
func ofVehicle() map[string]group {
	return map[string]group{
		"card": {fields: map[string]field{
			"fenderside-card": must(object{"const": 1}, "format version"),
			"card":            must(id(), "the card's id"),
			"title":           must(text(), "what the vehicle is called"),
			"demonstration":   must(flag(), "an invented vehicle: a job on it is practice"),
			"source":          must(text(), "where the facts come from, unless a fact says otherwise"),
			"vehicle":         must(to("vehicle"), "which vehicle it is"),
			"engine":          must(to("engine"), "how the engine lies and how its cylinders are grouped"),
			"sensors":         must(sensors(), "the sensors that are fitted, by position"),
			"wheels":          may(to("wheels"), "the road wheels, which share their studs and torque"),
			"waits":           may(waits(), "times to wait, by id"),
		}},
		"vehicle": {fields: map[string]field{
			"registration":   must(anyFact(), "registration or fleet number"),
			"identification": may(anyFact(), "vehicle identification number"),
			"model_year":     may(anyFact(), "model year"),
			"steering":       may(fact(oneOf("left", "right")), "the side the driver sits on"),
			"traffic":        may(fact(oneOf("left", "right")), "the side of the road it is driven on"),
		}},
		"engine": {fields: map[string]field{
			"arrangement":  must(fact(oneOf("in-line", "V", "flat")), "how the cylinders stand"),
			"cylinders":    must(anyFact(), "how many cylinders"),
			"mounting":     must(fact(oneOf("lengthwise", "crosswise")), "how the crankshaft lies"),
			"cylinder_1":   must(fact(oneOf("front", "rear", "left", "right")), "the end where cylinder 1 stands, from the driver's seat"),
			"banks":        must(banks(), "the banks; B1 holds cylinder 1"),
			"firing_order": may(listFact(), "the cylinders in their order of firing"),
		}, rules: twoBanks()},
		"bank": {fields: map[string]field{
			"side":      may(fact(oneOf("front", "rear", "left", "right")), "the side it lies on, from the driver's seat"),
			"cylinders": must(listFact(), "its cylinders"),
		}},
		"fact": {fields: map[string]field{
			"value":  must(text(), "the value"),
			"source": must(text(), "where this value comes from"),
		}},
	}
}

// ofFittings: what is fitted to it, with the figures of each.
func ofFittings() map[string]group {
	return map[string]group{
		"sensor": {
			fields: map[string]field{
				"title":       may(anyFact(), "where it is, in words"),
				"kind":        may(anyFact(), "kind of sensor"),
				"torque_low":  may(anyFact(), "least tightening torque"),
				"torque_high": may(anyFact(), "greatest tightening torque"),
				"thread":      may(anyFact(), "thread, diameter and pitch in millimetres, such as M18x1.5"),
				"hex":         may(anyFact(), "hexagon across flats"),
				"connector":   may(anyFact(), "pins and colour of the connector"),
				"lead":        may(anyFact(), "length of the lead"),
				"coating":     may(fact(oneOf("coated", "bare")), "threads of the new sensor as it comes"),
				"anti_seize":  may(fact(oneOf("allowed", "not allowed")), "whether anti-seize may be used"),
				"reach":       may(anyFact(), "from where it is reached"),
				"heater_low":  may(anyFact(), "least cold resistance of the heater"),
				"heater_high": may(anyFact(), "greatest cold resistance of the heater"),
				"heater_at":   may(anyFact(), "temperature for which the resistance is given"),
			},
			rules: object{"dependentRequired": object{"torque_low": []string{"torque_high"}, "torque_high": []string{"torque_low"},
				"heater_low": []string{"heater_high"}, "heater_high": []string{"heater_low"}}},
		},
		"wheels": {
			fields: map[string]field{
				"studs":          may(anyFact(), "studs or bolts of a wheel: 4, 5 or 6"),
				"torque_low":     may(anyFact(), "least tightening torque of a wheel nut or bolt"),
				"torque_high":    may(anyFact(), "greatest tightening torque of a wheel nut or bolt"),
				"seat":           may(fact(oneOf("taper", "ball", "flat")), "seat of the nut or bolt"),
				"retorque_after": may(anyFact(), "distance after which the nuts are tightened again"),
			},
			rules: object{"dependentRequired": object{"torque_low": []string{"torque_high"}, "torque_high": []string{"torque_low"}}},
		},
	}
}
