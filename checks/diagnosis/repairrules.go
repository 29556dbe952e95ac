package diagnosis

// The rule of this file: a repair is proved from what was read after it, one row
// an answer, each with its reason and its source.

// The questions about a repair.
const (
	CodesAfter Question = "codes after the drive"
	TraceAfter Question = "trace after the work against before"
	TrimsAfter Question = "fuel trims after the work"
	LeakAfter  Question = "leak at the work, engine running"
	Monitors   Question = "readiness monitors"
)

// Their answers. Improved, WithinLimits and NotImproved are what the trace
// shows; the last three are what the monitors show.
const (
	NoCode       = "none"
	SameCode     = "the same code"
	OtherCode    = "another code"
	Improved     = "improved"
	WithinLimits = "within limits"
	NotImproved  = "not improved"
	Settled      = "settled"
	Unsettled    = "not settled"
	AllComplete  = "all complete"
	WithinRule   = "some to run, within the rule"
	BeyondRule   = "more to run than the rule allows"
)

// RepairTests are the questions in the order in which the work goes.
func RepairTests() []Test {
	return []Test{
		{LeakAfter, []string{NoLeak, LeakFound}, "", false, "listen and look for a leak at the work with the engine running"},
		{CodesAfter, []string{NoCode, SameCode, OtherCode}, "", false, "clear the codes, drive as the maker says and read them again"},
		{TraceAfter, []string{Improved, WithinLimits, NotImproved}, "", false, "record the signal again as it was recorded before, and compare the two"},
		{TrimsAfter, []string{Settled, Unsettled}, "", false, "read short and long trim again once they no longer drift"},
		{Monitors, []string{AllComplete, WithinRule, BeyondRule}, "", false, "ask service 01 for PID 01 and hold the reply against the rule of the model year"},
	}
}

// RepairRules are the rows by which an answer is weighed.
func RepairRules() []Rule {
	const monitors = "the count is held to the rule of the model year; that the rest is a follow-up: common practice"
	return []Rule{
		{Question: LeakAfter, Answer: NoLeak, Worth: Proves, Source: practice,
			Because: "the sensor reads the engine's gas and not the workshop's air"},
		{Question: LeakAfter, Answer: LeakFound, Worth: Refutes, Source: practice,
			Because: "air drawn in reads as lean and brings the code back",
			Then:    "seal the leak, then prove the repair again"},
		{Question: CodesAfter, Answer: NoCode, Only: Monitors, Answered: []string{AllComplete, WithinRule}, Worth: Proves, Source: practice,
			Because: "what set the code before did not set it again"},
		{Question: CodesAfter, Answer: NoCode, Worth: Nothing, Source: practice,
			Because: "no code is no sign of health until the monitors have run"},
		{Question: CodesAfter, Answer: SameCode, Worth: Refutes, Source: practice,
			Because: "the cause is still there, so it was not what was replaced",
			Then:    "go back to the findings: what was replaced was not the cause, or not the only one"},
		{Question: CodesAfter, Answer: OtherCode, Worth: Refutes, Source: practice,
			Because: "a stored code can hold back the monitors that would show this fault",
			Then:    "cure the other code, then prove this repair again"},
		{Question: TraceAfter, Answer: Improved, Worth: Proves, Source: practice,
			Because: "the signal does what it did not do before"},
		{Question: TraceAfter, Answer: WithinLimits, Worth: Proves, Source: practice,
			Because: "the signal is that of a good sensor, whatever it was before"},
		{Question: TraceAfter, Answer: NotImproved, Worth: Refutes, Source: practice,
			Because: "the signal is as bad as it was, with another sensor in the place",
			Then:    "go back to wiring, leak, supply and mixture"},
		{Question: TrimsAfter, Answer: Settled, Worth: Proves, Source: practice,
			Because: "the controller holds the mixture with room to spare"},
		{Question: TrimsAfter, Answer: Unsettled, Worth: Refutes, Source: practice,
			Because: "the controller still works against a fault, or has not unlearnt the old one",
			Then:    "reset the learnt trims as the maker says, drive and read again; if they stay, find out what they point to"},
		{Question: Monitors, Answer: AllComplete, Worth: Proves, Source: monitors,
			Because: "the vehicle has tested itself and found nothing"},
		{Question: Monitors, Answer: WithinRule, Worth: FollowUp, Source: monitors,
			Because: "the rule lets it pass, and what has not run has found nothing and cleared nothing",
			Then:    "drive until the rest have run, and read codes and monitors again"},
		{Question: Monitors, Answer: BeyondRule, Worth: FollowUp, Source: monitors,
			Because: "the vehicle has not tested itself enough since the codes were cleared, and an inspection may send it away",
			Then:    "drive until they have run, and read codes and monitors again"},
	}
}
