package ui

// The rule of this file: what a check makes of the lines above stands beside a line of the sheet, with how it came to it. Enter takes
// it where nothing stands in the line yet; it is the person's entry then, and without that key nothing is filled in.

import (
	"fenderside/procedures"
	"fenderside/ui/reading"
)

// propose asks the checks that propose values what they make of the sheet as it stands.
func (s *sheet) propose() {
	s.proposed = map[string]procedures.Proposed{}
	for _, f := range s.p.Sheet {
		if made, ok := s.p.Propose(f, s.card, s.values); ok {
			s.proposed[f.ID] = made
		}
	}
}

// offer is what Enter takes into the line at hand; empty where it takes nothing.
func (s *sheet) offer() string {
	if s.at == len(s.p.Sheet) || !s.missing[s.p.Sheet[s.at].ID] {
		return ""
	}
	return s.proposed[s.p.Sheet[s.at].ID].Value
}

// take enters what is offered.
func (s *sheet) take() {
	if offer := s.offer(); offer != "" {
		s.typed[s.at] = typedLine(offer)
		s.resolve()
	}
}

// proposal is what is told of the line at hand, and how the check came to it.
func (s *sheet) proposal(w int) []block {
	f := s.p.Sheet[s.at]
	made, ok := s.proposed[f.ID]
	if !ok {
		return nil
	}
	told := []string{sentence(reading.Proposal(f, made, s.values[f.ID].Value))}
	if s.offer() != "" {
		told[0] += " Enter takes it; another can be given."
	}
	return []block{{rows: wrapped(told, "", w)}, {rows: wrapped(made.Workings, "  ", w), rank: 1, shorten: "  .."}}
}

// against is the note on a line in which something else stands than what the lines above lead to; empty where there is none.
func (s *sheet) against(f procedures.Field) string {
	made, stands := s.proposed[f.ID], s.values[f.ID].Value
	if !made.Differs(f, stands) {
		return ""
	}
	return sentence(reading.Proposal(f, made, stands))
}
