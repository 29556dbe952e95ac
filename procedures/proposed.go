package procedures

// What a check makes of the sheet so far stands beside a field until a person enters a value there, and after that for as long as
// the two differ. Nothing is ever filled in by it.

import (
	"errors"
	"strings"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

// Proposed is what the check of a sheet field made of the fields before it.
type Proposed struct {
	Value    string   // what it proposes; empty where it proposes nothing
	Because  string   // what it found, or why nothing is proposed and what would make it clear
	Workings []string // how it came to that, line by line
}

// Propose asks the check that proposes the value of f what it makes of a sheet with these values, such as Resolve gives. Ok is
// false where the field names none, or where what the check goes by is not filled in yet.
func (p *Procedure) Propose(f Field, card *Card, values map[string]SheetValue) (Proposed, bool) {
	if f.Propose == nil {
		return Proposed{}, false
	}
	args, ok := p.proposedFrom(f.Propose.By, values)
	if !ok {
		return Proposed{}, false
	}
	r, err := f.Propose.By.Check.Run(args)
	if err != nil {
		return Proposed{Because: err.Error()}, true
	}
	out := Proposed{Because: r.Because, Workings: r.Workings}
	if r.Verdict == checks.Fail || r.Verdict == checks.More {
		return out, true
	}
	for _, figure := range r.Figures {
		if figure.Name == f.Propose.Output {
			out.Value = figure.Text
		}
	}
	if fault := p.refused(f, card, values, out.Value); fault != nil {
		out.Because += "; but " + fault.What + ": " + fault.Hint
		out.Value = ""
	}
	return out, true
}

// proposedFrom gathers what the check of a proposal is given. Something of the sheet must be filled in of it, and everything
// that the sheet does not let be left out.
func (p *Procedure) proposedFrom(use CheckUse, values map[string]SheetValue) (checks.Arguments, bool) {
	args, filled := checks.Arguments{}, false
	for _, in := range use.Inputs {
		spec, _ := use.Check.Input(in.Name)
		if in.Ref == "" {
			args[in.Name] = in.Literal
			continue
		}
		if v, ok := values[in.Ref]; ok {
			if args[in.Name], ok = spec.Take(v.Value); !ok {
				return nil, false
			}
			filled = true
			continue
		}
		if f, ok := p.FieldByID(in.Ref); !spec.Optional || ok && !f.Optional {
			return nil, false
		}
	}
	return args, filled
}

// refused says why a field does not take a value that is proposed, or nil.
func (p *Procedure) refused(f Field, card *Card, values map[string]SheetValue, proposed string) *SheetFault {
	typed := map[string]string{f.ID: proposed}
	for id, v := range values {
		if id != f.ID {
			typed[id] = v.Value
		}
	}
	_, _, faults := Resolve(p, card, typed)
	for _, err := range faults {
		var fault SheetFault
		if errors.As(err, &fault) && fault.Field == f.ID && proposed != "" {
			return &fault
		}
	}
	return nil
}

// Said is the value that is proposed, with why. A reason that begins with it says it itself.
func (p Proposed) Said() string {
	if strings.HasPrefix(p.Because, p.Value+":") {
		return p.Because
	}
	return p.Value + " (" + p.Because + ")"
}

// Differs says whether what stands in the field is another value than the one proposed.
func (p Proposed) Differs(f Field, stands string) bool {
	return p.Value != "" && stands != "" && !Same(f.Kind, f.Quantity, stands, p.Value)
}

// Same says whether two values of a kind are one: quantities by what they amount to, the rest letter by letter.
func Same(kind FieldKind, d quantity.Dimension, a, b string) bool {
	if kind != TakesQuantity {
		return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b))
	}
	x, errX := quantity.ParseAs(a, d)
	y, errY := quantity.ParseAs(b, d)
	order, err := x.Compare(y)
	return errors.Join(errX, errY, err) == nil && order == 0
}
