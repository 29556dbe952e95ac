package prove

import (
	"fmt"

	"fenderside/procedures"
)

// Rule names what a proof shows, and what a counterexample breaks.
type Rule string

const (
	// Secured: the main line passes the gate of what a step needs before the step, on every path, and nothing on the way
	// from the gate to the step takes it away on purpose. A hold is for what fell, not for what was never secured. A gate
	// that no path of the main line passes is secured where it is needed, and is not held to this.
	Secured Rule = "secured before it is needed"
	// Holds: a job held at a step comes out of the hold: no gates need one another in a circle or undo one another for
	// ever, every gate can be completed beside the main line, and no step undoes what it needs while it is done.
	Holds Rule = "every hold can be left"
	// Safe: what is secured or begun is made safe before every close, the steps that make safe come to an end in their
	// order, and nothing that should not last stands after a complete job.
	Safe Rule = "made safe before every close"
	// Pins: pinned work is done before what needs it: it starts by a cause, and no step needs at rest what it starts itself.
	Pins Rule = "pinned work is done before what needs it"
	// Ends: every step can be reached and reaches an end, and one path ends complete.
	Ends Rule = "every step is reached and reaches an end"
	// Values: what a limit, a comparison, a check, a wait or a condition uses has been recorded on every path to it.
	Values Rule = "recorded before it is used"
	// Repeats: no circle of the main line is without a bound, and a bound never leaves a step without a way on.
	Repeats Rule = "repeats are bounded and leave a way on"
	// Protects: every safeguard that does not stay with the vehicle is needed by some step.
	Protects Rule = "every safeguard protects a step"
	// Agree: what is stated twice is stated alike: what a step needs, by the dangers that it faces; what a safeguard lapses on and
	// a pinned step starts on, by what brings their dangers back; what a step causes, by the dangers that it brings on.
	Agree Rule = "dangers are stated alike on both sides"
)

var rules = []struct {
	rule  Rule
	check func(*prover)
}{
	{Ends, (*prover).ends},
	{Holds, (*prover).holds},
	{Secured, (*prover).secured},
	{Pins, (*prover).pins},
	{Safe, (*prover).safe},
	{Values, (*prover).values},
	{Repeats, (*prover).repeats},
	{Protects, (*prover).protects},
	{Agree, (*prover).agree},
}

// Limits bound the work of a proof. The zero value stands for the limits that fit any procedure that loads.
type Limits struct {
	States int // states looked at, over all rules; 0 is DefaultStates

	// Told is called as each rule begins and now and then while it is looked at, with the states so far; nil tells nobody. It
	// bears on nothing that is shown.
	Told func(rule Rule, states int)
}

// toldEvery is how many states are looked at between two calls of Told.
const toldEvery = 10_000

// DefaultStates is how many states a proof looks at before it gives up.
const DefaultStates = 5_000_000

// Proof is what was shown of a procedure, or why it was not.
type Proof struct {
	Procedure string           `json:"procedure"`
	File      string           `json:"file"`
	Steps     int              `json:"steps"`
	States    int              `json:"states"`
	Shown     []Claim          `json:"shown"`
	Gates     []GateRow        `json:"gates"`
	Failures  []Counterexample `json:"failures,omitempty"`
	Doubts    []Doubt          `json:"doubts,omitempty"`
	Exceeded  string           `json:"exceeded,omitempty"` // why the proof was given up; empty where it was not
}

// Claim is one rule that holds everywhere, with how much it was held against.
type Claim struct {
	Rule  Rule   `json:"rule"`
	About string `json:"about"` // what it was held against, in words
}

// GateRow is one line of the table of gates and what they protect.
type GateRow struct {
	Safeguard string           `json:"safeguard"`
	Gate      string           `json:"gate"`
	Place     procedures.Place `json:"place"`
	Lasting   bool             `json:"lasting,omitempty"`
	Steps     []string         `json:"steps"`             // that need it
	Resting   []string         `json:"resting,omitempty"` // that need what rests on it
	Released  []string         `json:"released,omitempty"`
}

// Doubt is something that may be a mistake and cannot be shown to be one. It fails nothing.
type Doubt struct {
	Step  string           `json:"step"`
	Place procedures.Place `json:"place"`
	What  string           `json:"what"`
}

// Proved says whether the procedure may be worked by: every rule was shown.
func (p Proof) Proved() bool { return len(p.Failures) == 0 && p.Exceeded == "" }

// LimitError says that a proof was given up: the procedure has more states than the limit.
type LimitError struct {
	Rule  Rule
	Limit int // states
	Why   string
}

func (e LimitError) Error() string {
	return fmt.Sprintf("prove %q: %s: gave up after %d states: take the procedure apart, or let fewer choices decide", string(e.Rule), e.Why, e.Limit)
}

// Procedure proves a procedure. The result is the same each time. It never changes the procedure.
func Procedure(p *procedures.Procedure, limits Limits) (proof Proof) {
	if limits.States <= 0 {
		limits.States = DefaultStates
	}
	proof = Proof{Procedure: p.Name, File: p.File, Steps: len(p.Steps)}
	x := &prover{model: newModel(p), limit: limits.States, tell: limits.Told, proof: &proof, told: map[fault]bool{}}
	if x.tell == nil {
		x.tell = func(Rule, int) {}
	}
	defer func() {
		proof.States = x.spent
		if r := recover(); r != nil {
			over, ok := r.(LimitError)
			if !ok {
				panic(r)
			}
			proof.Exceeded = over.Error()
		}
		proof.Failures = sorted(proof.Failures)
	}()
	proof.Gates = x.table()
	for _, r := range rules {
		x.rule, x.about = r.rule, ""
		x.tell(x.rule, x.spent)
		before := len(proof.Failures)
		r.check(x)
		if len(proof.Failures) == before {
			proof.Shown = append(proof.Shown, Claim{Rule: r.rule, About: x.about})
		}
	}
	x.doubts()
	return proof
}

// prover is a proof under way.
type prover struct {
	*model
	proof *Proof
	rule  Rule
	about string
	limit int
	spent int
	tell  func(Rule, int)
	told  map[fault]bool

	closing *unending // what was tried of closes; nil before it was asked for

	doms      *dominators
	dueWithIt []set  // for each make-safe step, those that a close can come to because it is done there
	spare     seen   // room that a walk is done with
	bounds    []bool // for each step, whether being led to it can mean coming to one with a bound
}

// fault is what makes two counterexamples the same one.
type fault struct {
	rule  Rule
	place procedures.Place
	what  string
}

// spend counts states, and gives the proof up where they are too many.
func (x *prover) spend(n int, why func() string) {
	if (x.spent+n)/toldEvery > x.spent/toldEvery {
		x.tell(x.rule, x.spent+n)
	}
	x.spent += n
	if x.spent > x.limit {
		panic(LimitError{Rule: x.rule, Limit: x.limit, Why: why()})
	}
}

// fail tells a counterexample, once for each rule and place.
func (x *prover) fail(c Counterexample) {
	c.Rule = x.rule
	key := fault{c.Rule, c.Place, c.Missing}
	if !x.told[key] {
		x.told[key] = true
		x.proof.Failures = append(x.proof.Failures, c)
	}
}
