package prove

// Conditions on choices. A choice is followed as one of the values that conditions name, any other value, or not made.

import (
	"slices"

	"fenderside/procedures"
)

// choice is one choice that a condition names.
type choice struct {
	id     string
	step   int // that makes it, or -1 for the sheet
	way    bool
	answer bool
	maybe  bool     // it may be left unmade though its step is done
	values []string // those that conditions name, then one other where there is one
}

// truth is whether a condition holds.
type truth int8

const (
	no truth = iota
	maybe
	yes
)

// frame is the choices that one walk follows. A value of the frame is a number in mixed radix; digit 0 is not made.
type frame struct {
	m      *model
	track  []int // indexes of choices
	radix  []int
	digit  map[int]int // choice index to place in track
	values int         // how many numbers there are
	met    [][]truth   // for each condition of the model and each number, 1 + whether it holds, or 0 before it was asked
}

// mostMet is for how many numbers it is kept whether a condition holds.
const mostMet = 1 << 10

// truth says whether a condition of the model holds under v, by its index there.
func (f *frame) truth(c int32, v int) truth {
	if c == 0 {
		return yes
	}
	if f.values > mostMet {
		return f.holds(f.m.conds[c], v)
	}
	if f.met == nil {
		f.met = make([][]truth, len(f.m.conds))
	}
	if f.met[c] == nil {
		f.met[c] = make([]truth, f.values)
	}
	if f.met[c][v] == 0 {
		f.met[c][v] = 1 + f.holds(f.m.conds[c], v)
	}
	return f.met[c][v] - 1
}

// newFrame follows the choices that the conditions name, and as many of the others as the room allows.
func (m *model) newFrame(need []procedures.Condition, room int) *frame {
	f := &frame{m: m, digit: map[int]int{}, values: 1}
	for _, c := range need {
		for _, clause := range c {
			if i, ok := m.choiceAt[clause.Choice]; ok {
				f.follow(i)
			}
		}
	}
	for i := range m.choices {
		if _, in := f.digit[i]; !in && f.values*(len(m.choices[i].values)+1) <= room {
			f.follow(i)
		}
	}
	return f
}

func (f *frame) follow(i int) {
	if _, in := f.digit[i]; in {
		return
	}
	f.digit[i] = len(f.track)
	f.track = append(f.track, i)
	f.radix = append(f.radix, f.values)
	f.values *= len(f.m.choices[i].values) + 1
	if f.values > mostValues {
		panic(LimitError{Limit: mostValues, Why: "too many choices decide together"})
	}
}

// mostValues is how many combinations of choices one walk follows at most.
const mostValues = 1 << 16

// get is the value of a followed choice, or "".
func (f *frame) get(v, place int) string {
	c := f.m.choices[f.track[place]]
	d := v / f.radix[place] % (len(c.values) + 1)
	if d == 0 {
		return ""
	}
	return c.values[d-1]
}

// set changes one followed choice to its d-th value.
func (f *frame) set(v, place, d int) int {
	size := len(f.m.choices[f.track[place]].values) + 1
	return v + (d-v/f.radix[place]%size)*f.radix[place]
}

// holds says whether a condition holds under v.
func (f *frame) holds(c procedures.Condition, v int) truth {
	out := yes
	for _, clause := range c {
		i, ok := f.m.choiceAt[clause.Choice]
		if !ok {
			return no
		}
		place, in := f.digit[i]
		switch {
		case !in:
			out = min(out, maybe)
		case !slices.Contains(clause.In, f.get(v, place)):
			return no
		}
	}
	return out
}

// starts lists the values that the job sheet can begin with.
func (f *frame) starts() []int {
	out := []int{0}
	for place, i := range f.track {
		if f.m.choices[i].step >= 0 {
			continue
		}
		var next []int
		for _, v := range out {
			for d := range f.m.choices[i].values {
				next = append(next, f.set(v, place, d+1))
			}
		}
		out = next
	}
	return out
}

// made lists the values after a step is done with an answer; "" where it asks nothing.
func (f *frame) made(step int, answer string, v int) []int {
	out := []int{v}
	for _, i := range f.m.chosenAt[step] {
		place, in := f.digit[i]
		if !in {
			continue
		}
		c := &f.m.choices[i]
		var next []int
		for _, v := range out {
			if c.answer {
				next = append(next, f.set(v, place, c.digitOf(answer)))
				continue
			}
			if c.maybe {
				next = append(next, v)
			}
			for d := range c.values {
				next = append(next, f.set(v, place, d+1))
			}
		}
		out = next
	}
	return out
}

// digitOf is the place of a value among those that are told apart: itself, or the one that stands for every other.
func (c *choice) digitOf(value string) int {
	if d := slices.Index(c.values, value); d >= 0 {
		return d + 1
	}
	return len(c.values)
}

// changed tells which followed choices differ between two values.
func (f *frame) changed(from, to int) map[string]string {
	var out map[string]string
	for place, i := range f.track {
		if a, b := f.get(from, place), f.get(to, place); a != b && b != "" {
			if out == nil {
				out = map[string]string{}
			}
			out[f.m.choices[i].id] = b
		}
	}
	return out
}

// chosen is a value of the frame as choices by their index.
func (f *frame) chosen(v int) map[int]string {
	out := map[int]string{}
	for place, i := range f.track {
		out[i] = f.get(v, place)
	}
	return out
}

// of is a value of another frame, which follows all that this one does, as one of this frame.
func (f *frame) of(other *frame, v int) (out int) {
	for place, i := range f.track {
		d := v / other.radix[other.digit[i]] % (len(f.m.choices[i].values) + 1)
		out += d * f.radix[place]
	}
	return out
}

// matches says whether choices are as they are wanted.
func (f *frame) matches(v int, want map[int]string) bool {
	for i, value := range want {
		if place, in := f.digit[i]; !in || f.get(v, place) != value {
			return false
		}
	}
	return true
}

// implies says whether a condition cannot hold without another.
func implies(a, b procedures.Condition) bool {
	for _, want := range b {
		if !slices.ContainsFunc(a, func(have procedures.Clause) bool {
			return have.Choice == want.Choice && !slices.ContainsFunc(have.In, func(v string) bool { return !slices.Contains(want.In, v) })
		}) {
			return false
		}
	}
	return true
}

func both(a, b procedures.Condition) procedures.Condition {
	return append(slices.Clone(a), b...)
}
