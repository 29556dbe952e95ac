// The rule of this file: a code names a circuit, not a part. What a class
// points at first is common practice of the trade; the maker's test plan goes
// before it.

package troublecode

// Suspect is a thing to look at.
type Suspect string

// The suspects.
const (
	Wiring    Suspect = "wiring"
	Heater    Suspect = "heater"
	Sensor    Suspect = "sensor"
	Leak      Suspect = "exhaust or intake leak"
	Mixture   Suspect = "mixture"
	Ignition  Suspect = "ignition"
	Converter Suspect = "catalyst"
)

// Advice is what a class points at, first things first, and why.
type Advice struct {
	First []Suspect
	Why   string
}

// advice is made with the entries, once.
func advice() map[Class]Advice {
	return map[Class]Advice{
		HeaterControl:    {[]Suspect{Wiring, Heater, Sensor}, "Look at the fuse, the supply and the plug, then measure the heater's resistance cold before a sensor is bought."},
		HeaterResistance: {[]Suspect{Heater, Wiring, Sensor}, "Measure the heater's resistance cold at the sensor and again at the far end of its lead; only the first is the heater alone."},
		HeaterCircuit:    {[]Suspect{Heater, Wiring, Sensor}, "A blown fuse or a burnt plug stops a good heater; measure supply and resistance first."},
		Circuit:          {[]Suspect{Wiring, Sensor, Heater}, "Follow the lead for melted or rubbed places and look for water in the plug before the sensor is blamed."},
		CircuitLow:       {[]Suspect{Wiring, Leak, Mixture, Sensor}, "A short to ground, air leaking in before the sensor and a truly lean engine all read low."},
		CircuitHigh:      {[]Suspect{Wiring, Mixture, Sensor}, "A short to a supply or to the heater, a truly rich engine and a fouled sensor all read high."},
		SlowResponse:     {[]Suspect{Sensor, Leak, Wiring}, "An aged or poisoned sensor is slow; so is a good one that breathes through a leak. Find what poisoned it, or the new one follows."},
		NoActivity:       {[]Suspect{Wiring, Heater, Sensor}, "A cold sensor is silent: see that it is heated and plugged in before its signal is judged."},
		StuckLean:        {[]Suspect{Leak, Mixture, Wiring, Sensor}, "Leaks before the sensor and low fuel pressure are lean in truth; enrich the mixture and see whether the signal follows."},
		StuckRich:        {[]Suspect{Mixture, Wiring, Sensor}, "High fuel pressure, a leaking injector or fuel in the oil is rich in truth; lean the mixture and see whether the signal follows."},
		ShortedToHeater:  {[]Suspect{Wiring, Sensor}, "Two wires of one lead touch: melted insulation at the exhaust, a wet plug, or inside the sensor."},
		PositiveCurrent:  {[]Suspect{Wiring, Sensor}, "Measure the lead for breaks and shorts with both ends unplugged, by the maker's plan."},
		ReferenceVoltage: {[]Suspect{Wiring, Sensor}, "Measure the lead for breaks and shorts with both ends unplugged, by the maker's plan."},
		NegativeCurrent:  {[]Suspect{Wiring, Sensor}, "Measure the lead for breaks and shorts with both ends unplugged, by the maker's plan."},
		Deceleration:     {[]Suspect{Sensor, Leak, Mixture}, "With the fuel cut the sensor must see air: a lagging sensor, or a fuel leak into the cylinders, keeps it from that."},
		ExhaustSample:    {[]Suspect{Leak, Sensor, Wiring}, "The sensor sees air: it is loose or not in the pipe, or the exhaust leaks before it."},
		PumpCurrentTrim:  {[]Suspect{Wiring, Sensor}, "The trim resistor sits in the sensor's plug: a wrong or wet plug shows first; never cut or swap the plug."},
		RangePerformance: {[]Suspect{Leak, Sensor, Mixture}, "The signal can be, but does not fit the engine's state: look for leaks, then compare with the other sensors."},
		LeadsSwapped:     {[]Suspect{Wiring}, "Someone plugged each bank's lead into the other: follow both by hand from the sensor to the loom."},
		TrimFault:        {[]Suspect{Mixture, Leak, Sensor}, "Look at the trims over idle and load before any sensor."},
		TooLean:          {[]Suspect{Leak, Mixture, Sensor}, "An intake leak shows at idle, low fuel delivery under load, an air meter at both; a sensor reading falsely lean comes last."},
		TooRich:          {[]Suspect{Mixture, Sensor}, "High fuel pressure, leaking injectors, a purge valve stuck open, the air meter; a sensor reading falsely rich comes last."},
		RearTrimLean:     {[]Suspect{Leak, Sensor, Mixture}, "A leak between the sensors, or a front sensor that has drifted, moves what the rear one sees."},
		RearTrimRich:     {[]Suspect{Sensor, Mixture}, "A front sensor that has drifted leaves the mixture rich and only the rear one tells."},
		Catalyst:         {[]Suspect{Leak, Sensor, Converter}, "See that nothing leaks and that both sensors can be believed before a converter is condemned; find what harmed it."},
		Misfire:          {[]Suspect{Ignition, Mixture, Leak}, "Unburnt air makes every oxygen sensor read lean: mend the misfire before a sensor is judged."},
	}
}
