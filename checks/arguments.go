// The rule of this file: an adapter reads its arguments through these, so that
// what was left out is never taken for a zero.

package checks

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"fenderside/checks/quantity"
)

// base is the value of an input in the base unit of its dimension, or the
// default where it was left out.
func (a Arguments) base(name string, otherwise float64) float64 {
	if arg, given := a[name]; given {
		return arg.Quantity.Base()
	}
	return otherwise
}

// has says whether an input was given.
func (a Arguments) has(name string) bool { _, given := a[name]; return given }

// whole is an input that counts, between two ends.
func (a Arguments) whole(name string, least, most int) (int, error) {
	v := a[name].Quantity.Base()
	if v != math.Trunc(v) || v < float64(least) || v > float64(most) {
		return 0, fmt.Errorf("%s %q: give a whole number from %d to %d", name, a[name].Quantity, least, most)
	}
	return int(v), nil
}

// Take is a text that was recorded, as the input takes it; false where it cannot. A series and a file are no text.
func (in Input) Take(text string) (Argument, bool) {
	switch in.Kind {
	case KindChoice:
		return Argument{Choice: text}, true
	case KindText:
		return Argument{Text: text}, true
	case KindSeries, KindData:
		return Argument{}, false
	}
	q, err := quantity.Parse(text)
	if in.Dimension != "" {
		q, err = quantity.ParseAs(text, in.Dimension)
	}
	return Argument{Quantity: q}, err == nil
}

// text is an argument of text, and pick one of a choice.
func text(s string) Argument { return Argument{Text: s} }
func pick(s string) Argument { return Argument{Choice: s} }

// held is a stream over a text that is already in memory.
func held(name, content string) Argument {
	return Argument{Data: Data{Name: name, Open: func() (io.ReadCloser, error) {
		return io.NopCloser(strings.NewReader(content)), nil
	}}}
}

// needs, choices and the like make inputs shorter to write.
func needs(name string, d quantity.Dimension, doc string) Input {
	return Input{Name: name, Kind: KindQuantity, Dimension: d, Doc: doc}
}
func takes(name string, d quantity.Dimension, doc string) Input {
	return Input{Name: name, Kind: KindQuantity, Dimension: d, Optional: true, Doc: doc}
}

// one is an argument of one quantity written in this package.
func one(text string) Argument { return Argument{Quantity: quantity.MustParse(text)} }

// timed is a series of texts, each with its minute.
func timed(pairs ...any) Argument {
	var all []Sample
	for i := 0; i+1 < len(pairs); i += 2 {
		all = append(all, Sample{After: time.Duration(pairs[i+1].(int)) * time.Minute, Value: quantity.MustParse(pairs[i].(string))})
	}
	return Argument{Series: all}
}
