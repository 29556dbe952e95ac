// The rule of this file: which number stands at which bank and sensor is a
// table, because the step from bank 1 to bank 2 differs from family to family
// (+20, +6, +4, +3, +2, +1) and the ranges have gaps.

package troublecode

// Source says where the numbers are from. The descriptions are our own.
const Source = "SAE J2012 / ISO 15031-6 code numbers (second-hand); wording our own; the maker's service information decides"

// Class is what kind of fault a code reports.
type Class string

// The classes.
const (
	HeaterControl    Class = "heater control"
	HeaterResistance Class = "heater resistance"
	HeaterCircuit    Class = "heater circuit"
	Circuit          Class = "circuit"
	CircuitLow       Class = "circuit low"
	CircuitHigh      Class = "circuit high"
	SlowResponse     Class = "slow response"
	NoActivity       Class = "no activity"
	StuckLean        Class = "stuck lean"
	StuckRich        Class = "stuck rich"
	ShortedToHeater  Class = "shorted to heater"
	PositiveCurrent  Class = "positive current"
	ReferenceVoltage Class = "reference voltage"
	NegativeCurrent  Class = "negative current"
	Deceleration     Class = "out of range in deceleration"
	ExhaustSample    Class = "exhaust sample"
	PumpCurrentTrim  Class = "pump current trim"
	RangePerformance Class = "range or performance"
	LeadsSwapped     Class = "leads swapped"
	TrimFault        Class = "fuel trim"
	TooLean          Class = "too lean"
	TooRich          Class = "too rich"
	RearTrimLean     Class = "rear trim lean"
	RearTrimRich     Class = "rear trim rich"
	Catalyst         Class = "catalyst efficiency"
	Misfire          Class = "misfire"
)

// OfHeater says whether codes of the class are set for a sensor's heater or its circuit.
func (c Class) OfHeater() bool {
	return c == HeaterControl || c == HeaterResistance || c == HeaterCircuit
}

// family is one fault and its code at each place: the columns are B1S1, B1S2,
// B1S3, B2S1, B2S2, B2S3, and 0 stands where no code is.
type family struct {
	class Class
	says  string
	codes [6]Code
}

var sensors = []family{
	{HeaterControl, "heater control circuit does not follow its command", [6]Code{0x0030, 0x0036, 0x0042, 0x0050, 0x0056, 0x0062}},
	{HeaterControl, "heater control circuit too low", [6]Code{0x0031, 0x0037, 0x0043, 0x0051, 0x0057, 0x0063}},
	{HeaterControl, "heater control circuit too high", [6]Code{0x0032, 0x0038, 0x0044, 0x0052, 0x0058, 0x0064}},
	{HeaterResistance, "heater resistance not as expected", [6]Code{0x0053, 0x0054, 0x0055, 0x0059, 0x0060, 0x0061}},
	{Circuit, "sensor circuit at fault", [6]Code{0x0130, 0x0136, 0x0142, 0x0150, 0x0156, 0x0162}},
	{CircuitLow, "sensor voltage stays too low", [6]Code{0x0131, 0x0137, 0x0143, 0x0151, 0x0157, 0x0163}},
	{CircuitHigh, "sensor voltage stays too high", [6]Code{0x0132, 0x0138, 0x0144, 0x0152, 0x0158, 0x0164}},
	{SlowResponse, "sensor answers changes of mixture too slowly", [6]Code{0x0133, 0x0139, 0x0145, 0x0153, 0x0159, 0x0165}},
	{NoActivity, "sensor signal does not move", [6]Code{0x0134, 0x0140, 0x0146, 0x0154, 0x0160, 0x0166}},
	{HeaterCircuit, "heater does not bring the sensor to temperature, or its circuit is at fault", [6]Code{0x0135, 0x0141, 0x0147, 0x0155, 0x0161, 0x0167}},
	{StuckLean, "signal stuck on or leaning to lean", [6]Code{0x2195, 0x2270, 0x2274, 0x2197, 0x2272, 0x2276}},
	{StuckRich, "signal stuck on or leaning to rich", [6]Code{0x2196, 0x2271, 0x2275, 0x2198, 0x2273, 0x2277}},
	{ShortedToHeater, "signal circuit touches the heater circuit", [6]Code{0x2231, 0x2232, 0x2233, 0x2234, 0x2235, 0x2236}},
	{PositiveCurrent, "positive current circuit open or at fault", [6]Code{0: 0x2237, 3: 0x2240}},
	{PositiveCurrent, "positive current circuit too low", [6]Code{0: 0x2238, 3: 0x2241}},
	{PositiveCurrent, "positive current circuit too high", [6]Code{0: 0x2239, 3: 0x2242}},
	{ReferenceVoltage, "reference voltage circuit open or at fault", [6]Code{0: 0x2243, 3: 0x2247}},
	{ReferenceVoltage, "reference voltage not as expected", [6]Code{0: 0x2244, 3: 0x2248}},
	{ReferenceVoltage, "reference voltage too low", [6]Code{0: 0x2245, 3: 0x2249}},
	{ReferenceVoltage, "reference voltage too high", [6]Code{0: 0x2246, 3: 0x2250}},
	{NegativeCurrent, "negative current circuit open or at fault", [6]Code{0: 0x2251, 3: 0x2254}},
	{NegativeCurrent, "negative current circuit too low", [6]Code{0: 0x2252, 3: 0x2255}},
	{NegativeCurrent, "negative current circuit too high", [6]Code{0: 0x2253, 3: 0x2256}},
	{Deceleration, "signal out of range while the fuel is cut on overrun", [6]Code{0: 0x2297, 3: 0x2298}},
	{ExhaustSample, "signal reads as outside air, not as exhaust", [6]Code{0: 0x2414, 3: 0x2415}},
	{PumpCurrentTrim, "pump current trim circuit open or at fault", [6]Code{0: 0x2626, 3: 0x2629}},
	{PumpCurrentTrim, "pump current trim circuit too low", [6]Code{0: 0x2627, 3: 0x2630}},
	{PumpCurrentTrim, "pump current trim circuit too high", [6]Code{0: 0x2628, 3: 0x2631}},
	{RangePerformance, "signal within its range but not believable", [6]Code{0x2A00, 0x2A01, 0x2A02, 0x2A03, 0x2A04, 0x2A05}},
}

// pair is a fault of a whole bank: its code for bank 1 and for bank 2.
type pair struct {
	class Class
	says  string
	codes [2]Code
}

var banks = []pair{
	{TrimFault, "fuel trim at fault", [2]Code{0x0170, 0x0173}},
	{TooLean, "too lean: trim adds more fuel than it may", [2]Code{0x0171, 0x0174}},
	{TooRich, "too rich: trim takes away more fuel than it may", [2]Code{0x0172, 0x0175}},
	{RearTrimLean, "too lean by the sensor after the catalyst", [2]Code{0x2096, 0x2098}},
	{RearTrimRich, "too rich by the sensor after the catalyst", [2]Code{0x2097, 0x2099}},
	{Catalyst, "catalyst stores too little oxygen", [2]Code{0x0420, 0x0430}},
}

// The misfire codes count cylinders in decimal: P0310 is cylinder 10, and
// P030A is no code of this family.
const (
	misfireAny    Code = 0x0300
	lastCylinder       = 12
	swappedFronts Code = 0x0040
	swappedRears  Code = 0x0041
)

// gap is a run of codes inside the ranges above that is about something else.
type gap struct {
	from, to Code
	about    string
}

// What the gaps are about is from memory; that they are not oxygen sensors is
// read.
var gaps = []gap{
	{0x0033, 0x0035, "the bypass valve of a turbocharger or supercharger"},
	{0x0039, 0x0039, "the bypass valve of a turbocharger or supercharger"},
	{0x0045, 0x0049, "the boost control of a turbocharger or supercharger"},
	{0x0148, 0x0149, "fuel delivery and its timing"},
	{0x0168, 0x0169, "the fuel itself, its temperature or make-up"},
}
