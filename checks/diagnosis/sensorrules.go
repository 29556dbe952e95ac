package diagnosis

// The rule of this file: one row an answer, each with its reason and its source;
// an outside cause is never worth anything for the sensor.

// The questions about a suspected sensor.
const (
	Wiring Question = "wiring and connector"
	Leak   Question = "exhaust ahead of the sensor"
	Supply Question = "supply and ground at the connector"
	Heater Question = "heater circuit"
	Rich   Question = "response to a forced rich mixture"
	Lean   Question = "response to a forced lean mixture"
	Trims  Question = "fuel trims"
	Trace  Question = "trace of the signal"
	Swap   Question = "sensor tried in another place"
	Coded  Question = "trouble codes"
)

// Their answers.
const (
	Sound      = "sound"
	Damaged    = "damaged"
	OilSoaked  = "oil-soaked"
	NoLeak     = "none"
	LeakFound  = "found"
	Good       = "both there"
	Bad        = "missing or weak"
	Passed     = "pass"
	Failed     = "fail"
	Followed   = "followed"
	Slow       = "slow"
	NotAtAll   = "not followed"
	TrimsLevel = "within limits"
	TrimsAmong = "the sensor is one of the suspects"
	TrimsOther = "points to other causes"
	Healthy    = "healthy"
	Suspect    = "suspect"
	CannotTell = "cannot tell"
	Moved      = "moved with the sensor"
	Stayed     = "stayed"
	Neither    = "not shown"
	OfHeater   = "one names its heater"
	OfOthers   = "none names its heater"
)

// SensorTests are the questions in the order in which the work goes: what is
// cheap and outside comes first. Common practice.
func SensorTests() []Test {
	return []Test{
		{Wiring, []string{Sound, Damaged, OilSoaked}, "", true, "follow the lead and the loom; open the connector and look for oil, water, green metal and bent pins"},
		{Leak, []string{NoLeak, LeakFound}, "", true, "smoke or light pressure in the cold exhaust; look for soot, listen for ticking at the joints ahead of the sensor"},
		{Supply, []string{Good, Bad}, "", true, "measure supply and ground at the vehicle's half of the connector, under load"},
		{Heater, []string{Passed, Failed, CannotTell}, "heater", false, "measure the element between its two heater pins, cold, and hold it against the maker's figure"},
		{Rich, []string{Followed, Slow, NotAtAll}, "forced mixture", false, "force the mixture rich with fuel gas at the intake, engine warm, and watch the signal"},
		{Lean, []string{Followed, Slow, NotAtAll}, "forced mixture", false, "force the mixture lean with a vacuum hose opened, engine warm, and watch the signal"},
		{Trims, []string{TrimsLevel, TrimsAmong, TrimsOther}, "", false, "read short and long trim at idle, at raised speed and under load, every bank"},
		{Trace, []string{Healthy, Suspect, CannotTell}, "trace", false, "record the signal in closed loop, engine warm, and judge its trace"},
		{Swap, []string{Moved, Stayed, Neither}, "swap", false, "where the maker gives two places the same sensor: change them over, clear the codes and see where the code returns"},
		{Coded, []string{OfHeater, OfOthers}, "controller's own test", false, "read the codes that are stored and pending, and write them down"},
	}
}

// SensorRules are the rows by which a finding is weighed.
func SensorRules() []Rule {
	var all []Rule
	for _, part := range [][]Rule{outsideRules(), heaterRules(), forcedRules(Rich, Lean), forcedRules(Lean, Rich), signalRules(), codeRules()} {
		all = append(all, part...)
	}
	return all
}

func outsideRules() []Rule {
	return []Rule{
		{Question: Wiring, Answer: Sound, Worth: Clears, Source: practice,
			Because: "a sound circuit carries what the sensor says"},
		{Question: Wiring, Answer: Damaged, Worth: Outside, Source: practice,
			Because: "a bare or broken wire sets the same codes as a dead sensor, and outlives a new one",
			Then:    "the wiring and the connector: repair them, clear the code and prove it again"},
		{Question: Wiring, Answer: OilSoaked, Worth: Outside, Source: practice,
			Because: "oil creeps along the wires into the connector, where it parts the contacts and fouls the sensor's reference air",
			Then:    "the oil leak that feeds the loom: cure it, clean the connector and prove it again"},
		{Question: Leak, Answer: NoLeak, Worth: Clears, Source: practice,
			Because: "what reaches the sensor is what the engine burnt"},
		{Question: Leak, Answer: LeakFound, Worth: Outside, Source: "the cell answers to the oxygen that reaches it (Nernst), wherever that came from; that a leak comes first: " + practice,
			Because: "air drawn in ahead of the sensor reads as lean, and a good sensor tells just that",
			Then:    "the leak ahead of the sensor: seal it, clear the code and prove it again"},
		{Question: Supply, Answer: Good, Worth: Clears, Source: practice,
			Because: "heater and signal have what they need from the vehicle"},
		{Question: Supply, Answer: Bad, Worth: Outside, Source: practice,
			Because: "without supply or ground a good sensor stays cold and its signal floats",
			Then:    "fuse, relay, supply wire and ground of the connector: put them right and prove it again"},
	}
}

func heaterRules() []Rule {
	return []Rule{
		{Question: Heater, Answer: Passed, Worth: Nothing, Source: practice,
			Because: "a heater that works says nothing of the cell beside it"},
		{Question: Heater, Answer: Failed, Only: Supply, Answered: []string{Good}, Worth: For, Source: practice,
			Because: "the vehicle's half of the circuit is good, so the fault lies in the sensor's"},
		{Question: Heater, Answer: Failed, Worth: Nothing, Source: practice,
			Because: "until supply and ground are measured good, the fault may lie in the vehicle's half",
			Then:    "measure supply and ground at the connector first"},
		{Question: Heater, Answer: CannotTell, Worth: Nothing, Source: practice,
			Because: "what was measured is in order, and nothing says what the maker asks of it",
			Then:    "hold the element against the maker's figure"},
	}
}

// forcedRules weigh the response one way; a sensor can fail one way alone, so
// what it does the other way does not clear it.
func forcedRules(way, other Question) []Rule {
	return []Rule{
		{Question: way, Answer: Followed, Only: other, Answered: []string{Slow, NotAtAll}, Worth: Nothing, Source: "SAE J2012 has codes of its own for a sensor that is slow one way (from memory)",
			Because: "it follows this way and not the other, and a sensor can fail one way alone"},
		{Question: way, Answer: Followed, Only: Coded, Answered: []string{OfHeater}, Worth: Nothing, Source: practice,
			Because: besideHeater},
		{Question: way, Answer: Followed, Worth: Against, Source: practice,
			Because: "the signal goes where the mixture is forced",
			Then:    "force the mixture again, with the connector moved by hand"},
		{Question: way, Answer: Slow, Worth: For, Source: practice,
			Because: "the mixture changed at once and the signal did not",
			Then:    "force the mixture again, engine and sensor fully warm"},
		{Question: way, Answer: NotAtAll, Worth: For, Source: practice,
			Because: "the mixture changed and the signal did not",
			Then:    "force the mixture again, and prove with a second instrument that it changed"},
	}
}

func signalRules() []Rule {
	return []Rule{
		{Question: Trims, Answer: TrimsLevel, Worth: Nothing, Source: practice,
			Because: "the controller holds what the sensor tells it, right or wrong, so level trims clear nothing"},
		{Question: Trims, Answer: TrimsAmong, Worth: Nothing, Source: practice,
			Because: "the pattern fits the sensor and other causes as well, and tells none of them apart"},
		{Question: Trims, Answer: TrimsOther, Worth: Outside, Source: practice,
			Because: "the pattern is that of causes other than this sensor, which a new sensor would report as the old one does",
			Then:    "what the fuel trims point to"},
		{Question: Trace, Answer: Healthy, Only: Coded, Answered: []string{OfHeater}, Worth: Nothing, Source: practice,
			Because: besideHeater},
		{Question: Trace, Answer: Healthy, Worth: Against, Source: practice,
			Because: "the signal switches or moves as a good one does",
			Then:    "record the signal again, over the condition in which the code was set"},
		{Question: Trace, Answer: Suspect, Worth: For, Source: practice,
			Because: "the signal is not that of a good sensor",
			Then:    "record the signal again in closed loop"},
		{Question: Trace, Answer: CannotTell, Worth: Nothing, Source: practice,
			Because: "the trace is too short, too coarse or not in closed loop",
			Then:    "record the signal again in closed loop, longer and closer"},
		{Question: Swap, Answer: Moved, Worth: For, Source: practice,
			Because: "the fault went with the sensor, while wiring, exhaust and controller stayed",
			Then:    "look once more where the code stands"},
		{Question: Swap, Answer: Stayed, Worth: Outside, Source: practice,
			Because: "another sensor in this place shows the same fault",
			Then:    "the wiring, the exhaust and the controller's input of this place"},
		{Question: Swap, Answer: Neither, Worth: Nothing, Source: practice,
			Because: "the fault did not show itself after the change, in either place",
			Then:    "drive the condition in which the code was set, with the sensors still changed over"},
	}
}

// besideHeater is why a good signal does not speak for a sensor whose heater a code names.
const besideHeater = "the code is about the heater, and a cell that hot exhaust keeps warm signals well beside a dead one"

// codeRules weigh what the controller found by itself. A code is what is to be proved; that of a heater is a measurement as well, for
// the controller watches the current of that heater, and it is worth something beside the meter's alone.
func codeRules() []Rule {
	return []Rule{
		{Question: Coded, Answer: OfHeater, Only: Heater, Answered: []string{Failed}, Worth: For, Source: practice,
			Because: "the controller finds the heater at fault by its current, and the meter by its resistance"},
		{Question: Coded, Answer: OfHeater, Worth: Nothing, Source: practice,
			Because: "a code names what is to be proved, and a blown fuse sets this one too"},
		{Question: Coded, Answer: OfOthers, Worth: Nothing, Source: practice,
			Because: "a code names what is to be proved"},
	}
}
