package plain

// The rule kept here: what a check makes of the lines above is said before a line of the sheet is asked for, with how it came to it.
// It is entered by whoever presses Enter on it, and by nobody else.

import (
	"fenderside/procedures"
	"fenderside/ui/reading"
)

// proposed is what is proposed for a field as the sheet stands.
func (sh *sheet) proposed(f procedures.Field) procedures.Proposed {
	values, _, _ := procedures.Resolve(sh.p, sh.card, sh.typed)
	made, _ := sh.p.Propose(f, sh.card, values)
	return made
}

// proposal is what is said of it before the field is asked for.
func (sh *sheet) proposal(f procedures.Field) []string {
	made := sh.proposed(f)
	if made.Because == "" {
		return nil
	}
	v, _, _ := sh.value(f.ID)
	out := []string{reading.Proposal(f, made, v.Value)}
	for _, line := range made.Workings {
		out = append(out, "Working: "+line)
	}
	if made.Value != "" {
		out = append(out, "To take "+made.Value+", press Enter.")
	}
	return out
}

// sayAgainst says where something else stands in a line than what the lines above lead to.
func (d *desk) sayAgainst(sh *sheet, f procedures.Field) {
	made := sh.proposed(f)
	if v, ok, _ := sh.value(f.ID); ok && made.Differs(f, v.Value) {
		d.say("%s.", reading.Proposal(f, made, v.Value))
	}
}
