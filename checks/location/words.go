// The rule of this file: one table holds the trade's names, and a name with two
// meanings has both.

package location

import "sync"

// sort is what a meaning chooses by.
type sort int

const (
	byBank     sort = iota // number is the bank
	bySensor               // number is the sensor
	byCylinder             // number is a cylinder of the bank
	behind                 // any sensor behind the first catalyst
	last                   // the sensor furthest from the engine
	bySide                 // side is left or right
	byEnd                  // side is front or rear, of a crosswise engine's banks
	byDriver               // side is driver or passenger
	byKerb                 // side is near or off
	byLandmark             // side is firewall or radiator
	byPosition             // number is the bank, sensor the sensor
	nothing                // names the thing without choosing
)

// meaning is one reading of a word.
type meaning struct {
	sort   sort
	number int
	side   string
	sensor int
}

var (
	first       = meaning{sort: bySensor, number: 1}
	after       = meaning{sort: behind}
	leftSide    = meaning{sort: bySide, side: "left"}
	rightSide   = meaning{sort: bySide, side: "right"}
	frontBank   = meaning{sort: byEnd, side: "front"}
	rearBank    = meaning{sort: byEnd, side: "rear"}
	driver      = meaning{sort: byDriver, side: "driver"}
	passenger   = meaning{sort: byDriver, side: "passenger"}
	firewall    = meaning{sort: byLandmark, side: "firewall"}
	radiator    = meaning{sort: byLandmark, side: "radiator"}
	nearSide    = meaning{sort: byKerb, side: "near"}
	offSide     = meaning{sort: byKerb, side: "off"}
	noChoice    = meaning{sort: nothing}
	vocabulary  = sync.OnceValue(names)
	longestName = 4 // words
)

// names lists the names by meaning; the names of one meaning stand on one line
// group. Names are common practice of the trade; no source fixes them. Little
// words (the, of, a) are dropped before the table is looked at.
func names() map[string][]meaning {
	table := map[string][]meaning{}
	add := func(readings []meaning, all ...string) {
		for _, name := range all {
			table[name] = readings
		}
	}
	add([]meaning{first}, "upstream", "up stream", "pre cat", "before cat", "ahead cat", "in front cat", "engine side cat", "manifold", "exhaust manifold",
		"header", "headers", "nearest engine", "closest engine", "closest to engine", "nearest to engine", "next to engine", "first sensor", "primary",
		"control sensor", "regulating", "pre catalyst")
	add([]meaning{after}, "downstream", "down stream", "post cat", "after cat", "behind cat", "past cat", "cat monitor", "monitor sensor", "monitoring",
		"diagnostic sensor", "secondary")
	add([]meaning{{sort: bySensor, number: 2}}, "between cat", "second sensor", "after first cat", "behind first cat")
	add([]meaning{{sort: bySensor, number: 3}}, "after second cat", "behind second cat", "third sensor")
	add([]meaning{{sort: bySensor, number: 4}}, "fourth sensor")
	add([]meaning{first, {sort: bySensor, number: 2}}, "before second cat", "ahead second cat")
	add([]meaning{{sort: last}}, "last", "furthest from engine", "farthest from engine", "rearmost", "hindmost")
	add([]meaning{leftSide}, "left", "lh", "lhs", "l h", "left hand", "lefthand", "left bank")
	add([]meaning{rightSide}, "right", "rh", "rhs", "r h", "right hand", "righthand", "right bank")
	add([]meaning{driver}, "driver", "drivers", "driver s", "driving side")
	add([]meaning{passenger}, "passenger", "passengers", "passenger s", "pass side")
	add([]meaning{nearSide}, "near side", "nearside", "n s", "ns", "kerb", "kerbside", "curb", "curbside", "kerb side", "pavement side")
	add([]meaning{offSide}, "off side", "offside", "o s", "os", "road side", "roadside", "traffic side")
	add([]meaning{frontBank}, "front bank", "front row", "front car", "front vehicle", "front engine", "front head")
	add([]meaning{radiator}, "radiator", "grille", "front bumper")
	add([]meaning{rearBank}, "rear bank", "back bank", "rear row", "rear engine", "back engine", "rear head")
	add([]meaning{firewall}, "firewall", "bulkhead", "scuttle")
	add([]meaning{first, frontBank}, "front", "fore", "forward")
	add([]meaning{after, rearBank}, "rear", "back", "aft")
	add([]meaning{noChoice}, "sensor", "sensors", "oxygen", "o2", "o", "lambda", "probe", "sonde", "exhaust", "heated", "ho2s", "o2s", "hego", "uego", "gas",
		"air", "fuel", "ratio", "af", "afr", "a f", "wideband", "wide", "band", "narrow", "narrowband", "switching", "zirconia", "side", "hand", "cat",
		"engine", "in", "on", "at", "by", "near", "next", "to", "from", "nearest", "closest", "towards", "toward", "one", "unit", "pipe", "downpipe", "bank", "with")
	add([]meaning{noChoice}, "code", "codes", "dtc", "dtcs", "fault", "trouble", "pending", "stored", "confirmed", "permanent", "history",
		"heater", "circuit", "control", "voltage", "low voltage", "high voltage", "response", "slow response", "signal", "malfunction", "performance",
		"stuck lean", "stuck rich")
	return table
}

// dropped are little words that carry no meaning here.
var dropped = sync.OnceValue(func() map[string]bool {
	return map[string]bool{"the": true, "a": true, "an": true, "of": true, "my": true, "this": true, "that": true, "is": true, "its": true, "and": true, "please": true}
})

// same are spellings of one word.
var same = sync.OnceValue(func() map[string][]string {
	return map[string][]string{
		"catalyst": {"cat"}, "catalysts": {"cat"}, "catalytic": {"cat"}, "converter": {"cat"}, "cats": {"cat"}, "kat": {"cat"},
		"precat": {"pre", "cat"}, "precatalyst": {"pre", "cat"}, "postcat": {"post", "cat"}, "postcatalyst": {"post", "cat"},
		"curbside": {"kerbside"}, "cylinders": {"cylinder"}, "cyl": {"cylinder"}, "lambdasonde": {"lambda"}, "no": {"number"}, "nr": {"number"},
		"1st": {"first"}, "2nd": {"second"}, "3rd": {"third"}, "4th": {"fourth"},
	}
})

// numbers are number words.
var numbers = sync.OnceValue(func() map[string]int {
	return map[string]int{"one": 1, "two": 2, "three": 3, "four": 4, "first": 1, "second": 2, "third": 3, "fourth": 4}
})
