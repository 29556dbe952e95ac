package procedures

// A job sheet is filled from the vehicle card and from what a person types, in one place: the screen that fills it,
// the engine that opens the job and the audit that reads the record all hold it to the same rules.

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"fenderside/checks/quantity"
	"fenderside/procedures/plaintext"
)

// SheetValue is the value of one sheet field.
type SheetValue struct {
	Value  string
	From   string // FromCard or FromTyping
	Source string // of a value from a card: where the card has it from
}

// Where a sheet value comes from.
const (
	FromCard   = "card"
	FromTyping = "typed"
)

// SheetFault is one value that does not fit its field.
type SheetFault struct {
	Field string // the id
	What  string
	Hint  string
}

// Error names the field, what is wrong and what to do.
func (f SheetFault) Error() string {
	s := fmt.Sprintf("sheet field %s: %s", quote(f.Field), f.What)
	if f.Hint != "" {
		s += " (" + f.Hint + ")"
	}
	return s
}

// MaxTyped is how many characters one sheet value may have.
const MaxTyped = 200

// DateForm is how dates are written: the calendar date of ISO 8601.
const DateForm = time.DateOnly

// Resolve fills the sheet of p: each field from typed where it is not blank there, else from the card (which may be
// nil). It returns the values that fit, by field id; the fields that are required and have no value, in the order of
// the sheet; and a SheetFault for each value that does not fit. The sheet is good when missing and faults are empty.
func Resolve(p *Procedure, card *Card, typed map[string]string) (values map[string]SheetValue, missing []Field, faults []error) {
	s := &sheet{p: p, card: card, typed: typed, values: map[string]SheetValue{}, figures: map[string]quantity.Quantity{}}
	for _, f := range p.Sheet {
		v, ok := s.given(f)
		if !ok {
			if !f.Optional {
				missing = append(missing, f)
			}
			continue
		}
		if fault := s.fits(f, v.Value); fault != nil {
			if v.From == FromCard {
				fault.What += ", from the card"
			}
			faults = append(faults, *fault)
			continue
		}
		s.values[f.ID] = v
	}
	return s.values, missing, append(faults, s.strangers()...)
}

// sheet is a job sheet while it is filled.
type sheet struct {
	p       *Procedure
	card    *Card
	typed   map[string]string
	values  map[string]SheetValue
	figures map[string]quantity.Quantity
}

// given returns the value given for a field, before it is looked at.
func (s *sheet) given(f Field) (SheetValue, bool) {
	if v := strings.TrimSpace(s.typed[f.ID]); v != "" {
		return SheetValue{Value: v, From: FromTyping}, true
	}
	if s.card == nil || f.Card == "" {
		return SheetValue{}, false
	}
	path, ok := slots(f.Card, func(id string) string { return slotValue(s.values[id].Value) })
	if !ok {
		return SheetValue{}, false
	}
	fact, ok := s.card.Fact(path)
	return SheetValue{Value: fact.Text, From: FromCard, Source: fact.Source}, ok
}

var slotWord = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[A-Za-z0-9_-]+$`) })

// slotValue is a value that may stand in a path: one word of it, never several.
func slotValue(v string) string {
	if !slotWord().MatchString(v) {
		return ""
	}
	return v
}

// fits says what is wrong with a value, or nil.
func (s *sheet) fits(f Field, v string) *SheetFault {
	fault := func(hint, what string, args ...any) *SheetFault {
		return &SheetFault{Field: f.ID, What: fmt.Sprintf(what, args...), Hint: hint}
	}
	if err := plaintext.Check(v); err != nil {
		return fault("type it again", "%s: %v", quote(v), err)
	}
	if n := len([]rune(v)); n > MaxTyped {
		return fault(fmt.Sprintf("at most %d", MaxTyped), "%d characters are too many", n)
	}
	switch f.Kind {
	case TakesChoice:
		choices := f.Choices(s.card)
		switch {
		case !slices.Contains(f.Choose, v):
			return fault("choose one of: "+strings.Join(choices, ", "), "%s is no choice", quote(v))
		case !slices.Contains(choices, v):
			return fault("choose one of: "+strings.Join(choices, ", "), "the card of this vehicle has no %s", quote(v))
		}
	case TakesDate:
		if _, err := time.Parse(DateForm, v); err != nil {
			return fault("write year-month-day, such as 2031-04-30", "%s is no date", quote(v))
		}
	case TakesQuantity:
		return s.fitsQuantity(f, v, fault)
	}
	return nil
}

// Choices are what a field that chooses takes on a vehicle: what it names, and of that only what the card lists, where the
// field is among such a list and the card has it. The card may be nil.
func (f Field) Choices(card *Card) []string {
	if card == nil || f.Among == "" {
		return f.Choose
	}
	listed, ok := card.Fact(f.Among)
	if !ok {
		return f.Choose
	}
	has := strings.Split(listed.Text, ", ")
	return slices.DeleteFunc(slices.Clone(f.Choose), func(c string) bool { return !slices.Contains(has, c) })
}

func (s *sheet) fitsQuantity(f Field, v string, fault func(hint, what string, args ...any) *SheetFault) *SheetFault {
	q, err := quantity.ParseAs(v, f.Quantity)
	if err != nil {
		return fault("write "+unitsOf(f.Quantity), "%s: %s", quote(v), reason(err))
	}
	if low, ok := s.limit(f.AtLeast); ok {
		if less, err := q.Less(low); err != nil || less {
			return fault("at least "+low.String(), "%s is too little", quote(v))
		}
	}
	if high, ok := s.limit(f.AtMost); ok {
		if less, err := high.Less(q); err != nil || less {
			return fault("at most "+high.String(), "%s is too much", quote(v))
		}
	}
	s.figures[f.ID] = q
	return nil
}

// limit returns the figure of a bound; false where there is none, or where the field that holds it has no good value,
// which is then told of that field.
func (s *sheet) limit(b Bound) (quantity.Quantity, bool) {
	if b.Ref != "" {
		q, ok := s.figures[b.Ref]
		return q, ok
	}
	return b.Figure, b.Set
}

// strangers tells what was typed for fields that the sheet does not have.
func (s *sheet) strangers() []error {
	var faults []error
	var known []string
	for _, f := range s.p.Sheet {
		known = append(known, f.ID)
	}
	for _, id := range sortedKeys(s.typed) {
		if !slices.Contains(known, id) {
			faults = append(faults, SheetFault{Field: id, What: "the sheet has no such field", Hint: didYouMean(id, known)})
		}
	}
	return faults
}
