// Package checks is the register of named, typed computations that a procedure
// may call at a gate: quantities in; a verdict, figures and workings out.
//
// Each check says what it takes (Inputs) and gives (Outputs), so that a
// procedure that names one is checked for type when it is loaded:
//
//	check: {touch-safe: {surface: cavity, limit: 48 °C, method: contact probe}}
//
// The arithmetic lives in one package a topic (checks/torque, checks/touch);
// this package gives each topic its name, its inputs and its plain answer.
// Everything here is pure: the same arguments give the same result, with no
// clock and no state. A long input is a stream that the caller opens.
package checks

// The rule of this file: the shapes that callers share, and nothing else.

import (
	"io"
	"time"

	"fenderside/checks/quantity"
)

// Kind says what an input holds.
type Kind string

// The kinds of input.
const (
	KindQuantity Kind = "quantity" // one quantity
	KindSeries   Kind = "series"   // readings of one quantity in order, each with its time
	KindChoice   Kind = "choice"   // one of the options
	KindText     Kind = "text"     // words, a code, bytes in hexadecimal, a date
	KindData     Kind = "data"     // a file or another stream that may be long: it is read, never held
)

// Input is one thing a check takes.
type Input struct {
	Name      string
	Kind      Kind
	Dimension quantity.Dimension // of a quantity or a series; empty in a quantity that may be of any
	Options   []string           // of a choice
	Optional  bool
	Fact      string // the dotted path at which a vehicle card holds it, where one does
	Doc       string
}

// Output is one figure a check gives. Decimals and Unit are its declared
// rounding, at which recorded values are compared. A figure without a Dimension
// is a number in a unit that package quantity does not know, such as mm² or
// 1/s, or, without a Unit too, words.
type Output struct {
	Name      string
	Dimension quantity.Dimension
	Decimals  int
	Unit      string
	Words     bool     // a statement rather than a number
	Options   []string // of a statement that is one of these, so that a check can take it as a choice
	Maybe     bool     // left out where it cannot be given
	Many      bool     // none, one or several figures, each named "Name: what it is of"; their units are their own
	Doc       string
}

// Sample is one reading of a series; After counts from any fixed start, and
// does not go back within a series.
type Sample struct {
	After time.Duration
	Value quantity.Quantity
}

// Open opens a stream; who calls it closes what it gives. It may be called
// again for a second pass.
type Open func() (io.ReadCloser, error)

// Data is a stream and the name that errors give it.
type Data struct {
	Name string
	Open Open
}

// Argument is the value of one input; the field of its kind is set.
type Argument struct {
	Quantity quantity.Quantity
	Series   []Sample
	Choice   string
	Text     string
	Data     Data
}

// Arguments are the values by input name; an optional input may be absent.
type Arguments map[string]Argument

// Verdict is the answer of a check.
type Verdict string

// The verdicts. More means that it cannot be judged yet: readings are missing.
// None is the verdict of a check that works something out and judges nothing.
const (
	Pass Verdict = "pass"
	Fail Verdict = "fail"
	More Verdict = "more"
	None Verdict = "none"
)

// Words are what a person is told of a verdict.
func (v Verdict) Words() string {
	switch v {
	case Pass:
		return "passed"
	case Fail:
		return "not passed"
	case More:
		return "cannot judge yet"
	}
	return "worked out"
}

// Figure is one computed value; Text is it at its declared rounding, with its
// unit.
type Figure struct{ Name, Text string }

// Result is what a check found. Because is one sentence for the person at the
// work; Workings are lines that a person can follow with a pencil.
type Result struct {
	Verdict  Verdict
	Because  string
	Figures  []Figure
	Workings []string
	Sources  []string
}

// Check is one named computation. Run returns an error, naming the input and
// the reason, when the arguments cannot be judged at all; a judgement against
// the work is a Result with the verdict Fail, not an error. Example is a set of
// arguments that passes, or, where Reckons, gives an answer.
type Check struct {
	Name, Title, Doc string
	Reckons          bool // judges nothing: every verdict is None, and no step can be held to it
	Inputs           []Input
	Outputs          []Output
	Sources          []string
	Example          Arguments
	Run              func(Arguments) (Result, error)
}
