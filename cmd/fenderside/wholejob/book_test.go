//go:build unix

package wholejob

// A book holds what a person answers, by the id of a reading, a question, a way, an instrument or a file. An id may be written
// without the parts of the procedure that it stands in: "cool.surface" answers "swap.cool.surface" too, and the longest one that
// is there goes first. "{kind}" is what the job sheet says of the kind: such answers are read off the vehicle, not made up.

import (
	"maps"
	"regexp"
	"strings"

	"fenderside/runner"
)

type book map[string][]string

// with is the book with other answers in place of some.
func (b book) with(others ...book) book {
	all := maps.Clone(b)
	for _, o := range others {
		maps.Copy(all, o)
	}
	return all
}

// of is what the book has for an id.
func (b book) of(id string) []string {
	for {
		if answers, ok := b[id]; ok {
			return answers
		}
		_, rest, more := strings.Cut(id, ".")
		if !more {
			return nil
		}
		id = rest
	}
}

var blank = regexp.MustCompile(`\{\w+\}`)

// filled is an answer with what the job sheet says in its blanks.
func filled(answer string, sheet []runner.Entry) string {
	return blank.ReplaceAllStringFunc(answer, func(b string) string {
		id := strings.Trim(b, "{}")
		for _, e := range sheet {
			if e.ID == id || strings.HasSuffix(e.ID, "."+id) {
				return e.Value
			}
		}
		return b
	})
}

// answers are those of a job without trouble: the heater of the sensor is broken, and a new sensor mends it.
var answers = book{
	"meter": {"DM-1"}, "thermometer": {"TH-2"}, "torque-wrench": {"TW-3"},

	// the vehicle made safe to work on
	"support-vehicle": {"stands"}, "supports": {"4"},
	"place": {"boss and pipe"}, "method": {"contact probe"}, "ambient": {"20 °C"}, "surface": {"39.5 °C", "38.0 °C"},
	"proof_before": {"12.4 V"}, "residual": {"-0.02 V"}, "proof_after": {"12.4 V"},
	"start-engine": {"It idles and is warm"},

	// the fault
	"codes": {"{told} stored"}, "freeze_frame": {"{told}, load 18 %"}, "readiness": {"oxygen sensor heater"},
	"found": {"{position}"}, "wiring": {"sound"}, "element_shows": {"over its range"}, "heater_found": {"fail"}, "supply": {"both there"}, "supply_voltage": {"12.4 V"},
	"leak": {"none"}, "trims": {"within limits"}, "trims_where": {"much the same throughout"},
	"trace_shows": {"cannot tell"}, "rich": {"not followed"}, "lean": {"not followed"},
	"swap_side": {"not tested"}, "weigh-findings": {"This sensor"}, "agreed": {"asha"}, "part_wanted": {"MM-4411"},

	// the swap
	"bank_told_by": {"maker's drawing"}, "look-over-wiring": {"Dry and whole along the length I can see"},
	"new_part_number": {"MM-4411"}, "new_kind": {"{kind}"}, "new_thread": {"{thread}"}, "new_hex": {"{hex}"}, "new_lead": {"{lead}"},
	"note-lead": {"words"}, "lead_route": {"up behind the shield, clip at the dipstick"}, "unplug": {"Both halves whole"},
	"break-loose": {"It turns"}, "unscrew": {"It is out"}, "tip": {"clean grey or tan"}, "old_thread": {"{thread}"},
	"clean-threads": {"By fingers to the bottom of the thread"}, "dressing": {"the maker's coating alone"}, "threads_seen": {"{coating}"},
	"start-by-hand": {"To its seat"}, "torque.drive": {"straight on the drive"}, "wrench_accuracy": {"4 %"},
	"pull-wrench": {"It clicked once on a steady pull"}, "first-start": {"It idles without smoke"}, "check-leaks": {"None heard or seen"},
	"codes_after": {"none"}, "readiness_after": {"catalyst, oxygen sensor heater"}, "left_boss": {"new sensor torqued and plugged in"},
	"marked": {"no tag and fit to drive"}, "key_keeper": {"asha"}, "told_keeper": {"what was found, and what to see to first"},

	// the proof of the repair
	"codes_cleared": {"none"}, "trace_against": {"improved"}, "trace_seen": {"improved"}, "trim": {"3 %"}, "drive": {"The maker's pattern was driven"},
	"repair.codes": {"none"}, "codes_words": {"none"}, "monitors": {"41 01 00 07 E5 00"}, "weigh-repair": {"Proved"},
	"told_owner": {"nothing"}, "result_place": {"the depot's book"},
}

// Where a sensor stands.
var (
	fromAbove   = book{"choose-reach": {"from above"}}
	fromBeneath = book{"choose-reach": {"from beneath"}}
	onLift      = book{"support-vehicle": {"lift"}}

	frontSignal = book{"signal": {"lambda"}}
	rearSignal  = book{"signal": {"narrow-band rear"}}
)

// How a new sensor is put in.
var (
	bareThreads = book{"dressing": {"compound on the threads alone"}}
	onAdapter   = book{
		"torque.drive": {"on an adapter that stands out"}, "wrench_length": {"300 mm"}, "adapter_length": {"30 mm"}, "adapter_angle": {"0°"},
	}
)

// set is a torque wrench set to a figure, pulled and read again.
func set(figure string) book { return book{"wrench_setting": {figure}, "wrench_reading": {figure}} }

// What the engines of the vehicles answer with.
var (
	oneBank  = book{"trims_banks": {"the only bank"}, "trim_readings": {"B1 750 20% +1% +3%; B1 2500 25% +1% +2%"}}
	twoBanks = book{"trims_banks": {"every bank"}, "trim_readings": {"B1 750 20% +1% +3%; B1 2500 25% +1% +2%; B2 750 20% 0% +2%; B2 2500 25% +1% +2%"}}
)

// changedOver are the answers of a change of two sensors over between the banks, and back.
var changedOver = book{
	"other_method": {"contact probe"}, "other_ambient": {"20 °C"}, "other_surface": {"38.5 °C", "37.5 °C"},
	"found_fellow": {"{fellow}"}, "part_here": {"MM-6120"}, "part_there": {"MM-6120"}, "kind_here": {"{kind}"}, "kind_there": {"{kind}"},
	"compare-both": {"They are alike in every figure"}, "leads_kept": {"photos with this job"}, "unplug-both": {"All four halves whole"},
	"break-here": {"It turns"}, "break-there": {"It turns"}, "take-both-out": {"Both are out and whole"},
	"clean-both": {"By fingers to the bottom of both threads"}, "start-both": {"Both to their seats"}, "set-wrench": {"straight on the drive"},
	"drive": {"straight on the drive"}, "wrench_setting": {"42 N·m"}, "clicked_here": {"42 N·m"}, "clicked_there": {"42 N·m"},
	"sit": {"changed over", "each in its own place"}, "left_worse": {"old sensor in and plugged in"}, "check-joints": {"None heard or seen at either"},
	"codes_now": {"P0161 pending, P0141 not"}, "swap_side": {"moved with the sensor"}, "how-now": {"Each back to its own place now"},
}

// shownBySides are findings that stay open until the two sensors have changed places; then the fault goes with one of them.
var shownBySides = changedOver.with(book{
	"element_shows": {"a resistance"}, "element": {"9.2 Ω"}, "rich": {"slow"}, "lean": {"not followed"},
	"weigh-findings": {"Not shown, and more is to be tested"}, "more-tests": {"The two sensors change places between the banks"},
	"weigh-sides": {"This sensor"}, "repair.drive": answers["drive"],
})

// monitorToRun is a repair that is proved by what was read, while one monitor waits for more driving.
var monitorToRun = book{
	"drive": {"Part of it, and the rest is a follow-up"}, "monitors": {"41 01 00 07 E5 20"},
	"weigh-repair": {"Proved with a follow-up"}, "told_owner": {"one monitor is still to run"},
}

// provedNot are findings after which nothing is shown: whatever was tested speaks for a good sensor.
var provedNot = book{
	"element_shows": {"a resistance"}, "element": {"3.1 Ω"}, "heater_found": {"pass"}, "rich": {"followed"}, "lean": {"followed"},
	"weigh-findings": {"Look elsewhere, or not shown and left at that"},
}

// How a vehicle is left without a new sensor.
var (
	untouched = book{"left_boss": {"old sensor in and plugged in"}, "marked": {"no tag and fit to drive"}}
	loose     = book{"left_boss": {"nothing or a loose sensor"}, "marked": {"tagged not to be started"}}
)
