package prove

// A counterexample is told as a person would walk it: each step with its line and what was done there.

import (
	"cmp"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
)

// Action is what is done at one step of a path.
type Action string

const (
	Sheet     Action = "sheet"      // the job sheet is filled so
	Done      Action = "done"       // the step is completed, with the answer and choices given
	GoneBy    Action = "gone by"    // the step does not apply, has nothing to make safe, or its safeguard stands
	Skipped   Action = "skipped"    // the step may be skipped, and is
	Again     Action = "again"      // the job is held, and this gate is done, or opened where its causes let another go before it
	Lost      Action = "lost"       // safeguards are reported lost
	Held      Action = "held"       // the job is held, and this gate is offered
	Closed    Action = "closed"     // the job is closed early
	TakenBack Action = "taken back" // the job is closed early, what is due is done, and the close is taken back
	Arrived   Action = "arrived"    // the path ends here
)

// PathStep is one step of a path.
type PathStep struct {
	Step   string            `json:"step,omitempty"`
	Place  procedures.Place  `json:"place"`
	Action Action            `json:"action"`
	Answer string            `json:"answer,omitempty"`
	Chose  map[string]string `json:"chose,omitempty"` // choices made here, or on the sheet, that the path depends on
	Lost   []string          `json:"lost,omitempty"`  // what is not in place
	What   string            `json:"what"`
}

// Counterexample is one way a rule is broken.
type Counterexample struct {
	Rule    Rule             `json:"rule"`
	Step    string           `json:"step"`  // where it shows
	Place   procedures.Place `json:"place"` // what is at fault
	Missing string           `json:"missing,omitempty"`
	Where   string           `json:"where,omitempty"` // where it went, or why it never was
	What    string           `json:"what"`            // a sentence without capital or full stop
	Hint    string           `json:"hint"`
	Path    []PathStep       `json:"path"`
	Round   int              `json:"round,omitempty"` // how many steps of the path, before its last, can be gone round as often as one likes
}

func sorted(all []Counterexample) []Counterexample {
	slices.SortStableFunc(all, func(a, b Counterexample) int {
		return cmp.Or(cmp.Compare(a.Place.File, b.Place.File), cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.Place.Column, b.Place.Column),
			cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.What, b.What))
	})
	return all
}

// Faults tells the failures, and why the proof was given up, as faults of the file.
func (p Proof) Faults() procedures.Faults {
	var out procedures.Faults
	for _, c := range p.Failures {
		out = append(out, c.fault(p.File))
	}
	if p.Exceeded != "" {
		out = append(out, procedures.Fault{File: p.File, Place: procedures.Place{Line: 1, Column: 1}, What: p.Exceeded})
	}
	return out
}

// fault tells a counterexample as a fault of the file, or of the included one that it stands in.
func (c Counterexample) fault(file string) procedures.Fault {
	if c.Place.File != "" {
		file = c.Place.File
	}
	return procedures.Fault{File: file, Place: c.Place, What: c.What, Hint: c.Hint}
}

// Text writes a counterexample for a person: what is wrong, then the path to it, a step a line.
func (c Counterexample) Text(w io.Writer, file string) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n  not shown: %s\n", c.fault(file).Error(), c.Rule)
	for _, s := range c.Path {
		fmt.Fprintf(&b, "  %s  %s\n", margin(s.Place), strings.TrimSpace(plaintext.Show(s.Step)+"  "+plaintext.Show(s.What)))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Text writes the whole proof for a person.
func (p Proof) Text(w io.Writer) error {
	var b strings.Builder
	for _, c := range p.Failures {
		if err := c.Text(&b, p.File); err != nil {
			return err
		}
		b.WriteString("\n")
	}
	if p.Exceeded != "" {
		fmt.Fprintf(&b, "%s\n\n", p.Exceeded)
	}
	if len(p.Shown) > 0 {
		b.WriteString("Shown, for every order of events:\n")
	}
	for _, s := range p.Shown {
		fmt.Fprintf(&b, "  %s: %s\n", s.Rule, s.About)
	}
	fmt.Fprintf(&b, "%d steps, %d states looked at\n", p.Steps, p.States)
	p.gates(&b)
	if len(p.Doubts) > 0 {
		b.WriteString("\nLook here; these may be meant so:\n")
	}
	for _, d := range p.Doubts {
		fmt.Fprintf(&b, "  %s: %s\n", d.Place, plaintext.Show(d.What))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// margin is the place of a step, before what is said of it.
func margin(at procedures.Place) string {
	switch {
	case at.Line == 0:
		return "        "
	case at.File != "":
		return plaintext.Show(path.Base(at.File)) + fmt.Sprintf(":%d", at.Line)
	}
	return fmt.Sprintf("line %3d", at.Line)
}

// gates writes the table of gates and the steps each protects.
func (p Proof) gates(b *strings.Builder) {
	if len(p.Gates) == 0 {
		return
	}
	b.WriteString("\nWhat each gate protects:\n")
	for _, g := range p.Gates {
		fmt.Fprintf(b, "  %s  %s secures %s", margin(g.Place), plaintext.Show(g.Gate), plaintext.Show(g.Safeguard))
		if g.Lasting {
			b.WriteString(", which stays with the vehicle")
		}
		fmt.Fprintf(b, "\n            for %s\n", listed(g.Steps))
		if len(g.Resting) > 0 {
			fmt.Fprintf(b, "            and, through what rests on it, for %s\n", listed(g.Resting))
		}
	}
}

// listed is a list in words, made safe to print.
func listed(ids []string) string {
	if len(ids) == 0 {
		return "no step"
	}
	shown := make([]string, len(ids))
	for i, id := range ids {
		shown[i] = plaintext.Show(id)
	}
	return strings.Join(shown, ", ")
}
