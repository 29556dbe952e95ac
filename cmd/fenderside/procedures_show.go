package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fenderside/procedures"
	"fenderside/runner"
)

func proceduresShow(w *world) *cobra.Command {
	var source, flat bool
	c := &cobra.Command{
		Use: "show NAME|FILE", Short: "Show what a procedure asks for", Args: exactlyOne("a procedure by its name or its file (see: fenderside procedures list)"),
		Long: `Show a procedure: what is read before it starts, the job sheet, the safeguards with what fells them, and the steps in
order with what each needs. With --source the file itself is shown, to begin one of your own from; with --flat it is shown
as one file that includes no other.

Exit status: 0 shown; 1 the file has a fault; 2 bad usage, or no procedure of that name; 3 could not read or write.`,
		RunE:              action(func(args []string) error { return showProcedure(w, args[0], source, flat) }),
		ValidArgsFunction: inTurn(procedureNames(w)),
	}
	c.Flags().BoolVar(&source, "source", false, "show the procedure's own text")
	c.Flags().BoolVar(&flat, "flat", false, "show its text with those of the procedures it includes put in their places")
	c.MarkFlagsMutuallyExclusive("source", "flat")
	return c
}

func showProcedure(w *world, name string, source, flat bool) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	p, err := h.Procedure(name)
	if err != nil {
		return err
	}
	if source || flat {
		return sayText(w, p, flat)
	}
	w.say("%s, revision %d: %s", p.Name, p.Revision, p.Title)
	w.say("sha256 %s", p.Digest)
	for _, part := range p.Included {
		w.say("includes %s, revision %d, sha256 %s", part.Name, part.Revision, part.Digest)
	}
	for _, b := range runner.Briefs(p) {
		sayList(w, b.Title, b.Lines)
	}
	sayList(w, "Sources", p.Sources)
	saySheet(w, p)
	saySafeguards(w, p)
	sayDangers(w, p)
	saySteps(w, p)
	return nil
}

// sayText says a procedure's own text, or its text with what it includes in it.
func sayText(w *world, p *procedures.Procedure, flat bool) error {
	text := p.Text
	if flat {
		var err error
		if text, err = p.Flat(); err != nil {
			return err
		}
	}
	for _, line := range strings.Split(strings.TrimSuffix(string(text), "\n"), "\n") {
		w.say("%s", line)
	}
	return nil
}

func sayList(w *world, title string, lines []string) {
	if len(lines) == 0 {
		return
	}
	w.say("")
	w.say("%s", title)
	for _, l := range lines {
		w.say("  - %s", l)
	}
}

func saySheet(w *world, p *procedures.Procedure) {
	var lines []string
	for _, f := range p.Sheet {
		kind := string(f.Kind)
		switch f.Kind {
		case procedures.TakesChoice:
			kind = "one of " + strings.Join(f.Choose, ", ")
		case procedures.TakesQuantity:
			kind = f.Unit
		}
		line := f.ID + ": " + f.Title + " (" + kind + ")"
		if f.Card != "" {
			line += ", from the card: " + f.Card
		}
		if f.Optional {
			line += ", optional"
		}
		lines = append(lines, line)
	}
	sayList(w, "Job sheet", lines)
}

func saySafeguards(w *world, p *procedures.Procedure) {
	var lines []string
	for _, g := range p.Safeguards {
		line := g.ID + ": " + g.Title
		falls := append([]string(nil), g.LapseOn...)
		if g.After > 0 {
			falls = append(falls, fmt.Sprintf("after %g min", g.After.Minutes()))
		}
		if len(falls) > 0 {
			line += "; falls on " + strings.Join(falls, ", ") + ", because " + g.Because
		}
		lines = append(lines, line)
	}
	sayList(w, "Safeguards", lines)
}

func sayDangers(w *world, p *procedures.Procedure) {
	var lines []string
	for _, d := range p.Dangers {
		line := d.ID + ": " + d.Title
		if len(d.KeptOff) > 0 {
			line += "; kept off by " + strings.Join(needed(p, d.KeptOff), ", ")
		}
		comes := append([]string(nil), d.ComesWith...)
		if d.After > 0 {
			comes = append(comes, fmt.Sprintf("after %g min", d.After.Minutes()))
		}
		if len(comes) > 0 {
			line += "; comes with " + strings.Join(comes, ", ")
		}
		lines = append(lines, line)
	}
	sayList(w, "Dangers", lines)
}

// needed lists what needs name.
func needed(p *procedures.Procedure, needs []procedures.Need) []string {
	var out []string
	for _, n := range needs {
		if n.Safeguard >= 0 {
			out = append(out, p.Safeguards[n.Safeguard].ID)
		} else {
			out = append(out, p.Steps[n.Pin].ID)
		}
	}
	return out
}

func saySteps(w *world, p *procedures.Procedure) {
	var lines []string
	for i := range p.Steps {
		st := &p.Steps[i]
		line := string(st.Kind) + " " + st.ID + ": " + st.Title
		if len(st.Needs) > 0 {
			line += "; needs " + strings.Join(needed(p, st.Needs), ", ")
		}
		if st.Secures >= 0 {
			line += "; secures " + p.Safeguards[st.Secures].ID
		}
		for _, g := range st.Releases {
			line += "; releases " + p.Safeguards[g].ID
		}
		lines = append(lines, line)
	}
	sayList(w, "Steps", lines)
	sayList(w, "Made safe at every close", p.MakeSafe)
}
