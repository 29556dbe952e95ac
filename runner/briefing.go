package runner

import "fenderside/procedures"

// Brief is one item that is acknowledged before the first step.
type Brief struct {
	ID    string
	Title string
	Lines []string
}

// Limits is what the program is, and is not, said where every job starts.
var Limits = []string{
	"This program keeps the order of the steps and holds the job at its gates. It senses nothing: it knows only what you tell it.",
	"A typed confirmation is not a lockout. No safety integrity level is claimed.",
	"Where the vehicle maker's service information, local rules or your licence ask for more, or for something else, follow them.",
}

// Briefs lists what is acknowledged, one by one, before the first step of a procedure. An empty list of its words is left
// out; what the program is not is always there.
func Briefs(p *procedures.Procedure) []Brief {
	all := []Brief{
		{"limits", "What this program is not", Limits},
		{"scope", "What this procedure is for", []string{p.Scope}},
		{"excludes", "What it is not for", p.Excludes},
		{"hazards", "What can hurt you", p.Hazards},
		{"protective", "What to wear", p.Protective},
		{"tools", "Tools", p.Tools},
		{"parts", "Parts", p.Parts},
		{"duties", "Who answers for what", p.Duties},
	}
	var out []Brief
	for _, b := range all {
		if len(b.Lines) > 0 && b.Lines[0] != "" {
			out = append(out, b)
		}
	}
	return out
}
