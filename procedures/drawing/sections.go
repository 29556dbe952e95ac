package drawing

// What stands under the line: the pinned work, the holds, the ends.

import (
	"fmt"
	"strings"

	"fenderside/procedures"
)

// beside draws the pinned work.
func (g *graph) beside(pg *page) {
	if g.main == len(g.p.Steps) {
		return
	}
	pg.head("PINNED WORK, which runs beside the line")
	for i := g.main; i < len(g.p.Steps); i++ {
		st := &g.p.Steps[i]
		pg.item(g.name(i) + ": " + st.Title)
		for _, c := range st.Pin.On {
			pg.put("      ", "      ", "starts on "+c+", caused by "+g.numbers(g.causing(c)))
		}
		text := "runs at least " + bound(st.Pin.AtLeast)
		if st.Pin.Remind > 0 {
			text += fmt.Sprintf(", reminds every %g min", st.Pin.Remind.Minutes())
		}
		pg.put("      ", "      ", text)
		text = "must be over before every close"
		if len(g.blocks[i]) > 0 {
			text = "must be over before " + g.numbers(g.blocks[i]) + " and before every close"
		}
		pg.put("      ", "      ", text)
	}
}

// causing lists the steps with a cause.
func (g *graph) causing(cause string) (steps []int) {
	for i := range g.p.Steps {
		for _, c := range g.p.Steps[i].Causes {
			if c == cause {
				steps = append(steps, i)
			}
		}
	}
	return steps
}

// holds lists, for each safeguard, its gate, whom it serves, and what takes it away.
func (g *graph) holds(pg *page) {
	if len(g.p.Safeguards) == 0 {
		return
	}
	pg.head("HOLDS, by safeguard")
	for i, s := range g.p.Safeguards {
		pg.item(fmt.Sprintf("%s: gate %s", s.ID, g.name(s.Gate)))
		served := "serves no step; every close asks for it"
		if len(g.serves[i]) > 0 {
			served = "holds here before " + g.numbers(g.serves[i])
		} else if !s.Lasting {
			served = "no step needs it"
		}
		for _, text := range append([]string{served}, g.goes(i)...) {
			pg.put("      ", "      ", text)
		}
	}
}

// goes words how a safeguard ends.
func (g *graph) goes(i int) []string {
	s := g.p.Safeguards[i]
	var out []string
	falls := append([]string(nil), s.LapseOn...)
	if s.After > 0 {
		falls = append(falls, fmt.Sprintf("after %g min", s.After.Minutes()))
	}
	if len(falls) > 0 {
		out = append(out, "falls on "+strings.Join(falls, ", "))
	}
	if len(s.Rests) > 0 {
		out = append(out, "falls with "+g.safeguards(s.Rests)+", on which it rests")
	}
	for _, n := range g.p.Steps[s.Gate].Needs {
		if n.Safeguard >= 0 && len(n.When) > 0 && !s.Lasting {
			out = append(out, fmt.Sprintf("falls with %s where %s as its gate is done", g.p.Safeguards[n.Safeguard].ID, condition(n.When)))
		}
	}
	var released []int
	for k := range g.p.Steps {
		for _, r := range g.p.Steps[k].Releases {
			if r == i {
				released = append(released, k)
			}
		}
	}
	switch {
	case len(released) > 0:
		out = append(out, "released by "+g.numbers(released))
	case s.Lasting:
		out = append(out, "stays with the vehicle")
	}
	return out
}

// close draws the ends and what every close goes through.
func (g *graph) close(pg *page) {
	pg.head("ENDS")
	for _, end := range []procedures.Outcome{procedures.Complete, procedures.Referred, procedures.Abandoned} {
		from := map[int]bool{}
		var steps []int
		for _, a := range g.ends[end] {
			if !from[a.from] {
				from[a.from], steps = true, append(steps, a.from)
			}
		}
		switch {
		case len(steps) > 0 && end == procedures.Complete:
			pg.item(string(end) + ": after " + g.numbers(steps))
		case len(steps) > 0:
			pg.item(string(end) + ": after " + g.numbers(steps) + ", and by closing early at any moment")
		case end != procedures.Complete:
			pg.item(string(end) + ": by closing early at any moment")
		}
	}
	if len(g.p.MakeSafe) == 0 {
		return
	}
	pg.head("MADE SAFE AT EVERY CLOSE, in this order, where it is due")
	for _, id := range g.p.MakeSafe {
		if st, ok := g.p.StepByID(id); ok {
			pg.item(g.name(st.Index) + ": " + st.Title)
		}
	}
}
