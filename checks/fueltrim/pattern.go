// The rule of this file: a pattern names suspects and what tells them apart;
// one table holds them all, in the trade's common practice.

package fueltrim

import (
	"slices"
	"sync"
)

// Suspect is a part or fault a pattern points to.
type Suspect string

// The suspects.
const (
	AirLeak      Suspect = "air leaking in behind the air meter"
	FuelDelivery Suspect = "fuel delivery: pump, filter, pressure"
	AirMeterLow  Suspect = "air meter that reads low"
	AirMeterHigh Suspect = "air meter that reads high"
	BankLeak     Suspect = "air leaking in at this bank's intake"
	ExhaustLeak  Suspect = "exhaust leak before this bank's front sensor"
	BankInjector Suspect = "this bank's injectors"
	BankSensor   Suspect = "this bank's front sensor"
	BankBurning  Suspect = "misfire on this bank"
	FuelAtRest   Suspect = "fuel that gets in unasked: purge valve, pressure regulator, leaking injector, fuel in the oil"
	Pressure     Suspect = "fuel pressure too high"
	WrongFuel    Suspect = "fuel other than the controller expects"
	SwappedLeads Suspect = "front sensors' leads swapped between banks"
)

// apart says what would tell a suspect from the others. Common practice.
var apart = sync.OnceValue(func() map[Suspect]string {
	return map[Suspect]string{
		AirLeak:      "smoke or spray test of the intake; the trim falls back as the engine is revved",
		FuelDelivery: "fuel pressure and flow measured under load",
		AirMeterLow:  "grams per second against what displacement and speed call for; trim with the meter replaced by a known good one",
		AirMeterHigh: "grams per second against what displacement and speed call for; trim with the meter replaced by a known good one",
		BankLeak:     "smoke or spray test of this bank's manifold gasket and hoses",
		ExhaustLeak:  "smoke or pressure in the exhaust, cold; soot and ticking at the joints",
		BankInjector: "balance and leak test of this bank's injectors",
		BankSensor:   "force the mixture rich and lean and watch whether the sensor follows; compare with lambda from an exhaust analyser",
		BankBurning:  "misfire counts by cylinder; unburnt air reads lean whatever the fuel",
		FuelAtRest:   "trim with the purge hose shut; pressure held with the engine off; smell of fuel at the dipstick",
		Pressure:     "fuel pressure measured against the maker's figure",
		WrongFuel:    "a sample of the fuel: ethanol content; what was last filled",
		SwappedLeads: "trace each lead to its connector; unplug one and see which bank's trim reacts",
	}
})

// key is what a pattern is looked up by.
type key struct {
	direction Direction
	where     Where
	all       bool // every bank measured is so
}

// patterns by shape, and by whether all banks share it. Where only one end was
// measured the suspects of both ends stand side by side.
var patterns = sync.OnceValue(func() map[key][]Suspect {
	return map[key][]Suspect{
		{Lean, AtIdle, true}:    {AirLeak},
		{Lean, AtLoad, true}:    {FuelDelivery, AirMeterLow},
		{Lean, Even, true}:      {AirMeterLow, FuelDelivery, WrongFuel},
		{Lean, Unknown, true}:   {AirLeak, FuelDelivery, AirMeterLow, WrongFuel},
		{Lean, AtIdle, false}:   {BankLeak, ExhaustLeak, BankBurning, BankSensor},
		{Lean, AtLoad, false}:   {BankInjector, BankSensor, BankBurning},
		{Lean, Even, false}:     {BankSensor, ExhaustLeak, BankInjector, BankBurning},
		{Lean, Unknown, false}:  {BankSensor, BankLeak, ExhaustLeak, BankInjector, BankBurning},
		{Rich, AtIdle, true}:    {FuelAtRest},
		{Rich, AtLoad, true}:    {AirMeterHigh, Pressure},
		{Rich, Even, true}:      {Pressure, AirMeterHigh, FuelAtRest},
		{Rich, Unknown, true}:   {FuelAtRest, Pressure, AirMeterHigh},
		{Rich, AtIdle, false}:   {BankInjector, BankSensor},
		{Rich, AtLoad, false}:   {BankSensor, BankInjector},
		{Rich, Even, false}:     {BankSensor, BankInjector},
		{Rich, Unknown, false}:  {BankInjector, BankSensor},
		{Tilted, AtLoad, true}:  {AirMeterLow, FuelAtRest, FuelDelivery},
		{Tilted, AtLoad, false}: {BankSensor, BankInjector},
		{Mixed, AtLoad, true}:   {AirLeak, AirMeterHigh},
		{Mixed, AtLoad, false}:  {BankLeak, BankSensor, BankInjector},
	}
})

// Spread says which of the banks that were measured lie alike.
type Spread string

// The spreads. With one bank there is nothing to compare with, so its sensor
// may be what is wrong.
const (
	OnlyBank  Spread = "the only bank"
	EveryBank Spread = "every bank"
	SomeBanks Spread = "one bank and not the others"
)

// Suspects are what a pattern points to; none where the trims are level or the
// pattern is not known.
func Suspects(d Direction, where Where, banks Spread) []Suspect {
	found := slices.Clone(patterns()[key{d, where, banks != SomeBanks}])
	if len(found) > 0 && banks == OnlyBank {
		found = append(found, BankSensor)
		if d == Lean {
			found = append(found, ExhaustLeak)
		}
	}
	return found
}
