package rehearsal

// What an item of a script says, read into what it does. Each action stands here once, with its fields.

import (
	"slices"
	"sync"
	"time"

	"fenderside/procedures"
	"fenderside/runner"
)

// act is what an item does to a journey.
type act func(*Journey) error

var stepFields = []string{"step", "advance", "wait", "way", "affirm", "take", "spacing", "evidence", "witness", "answer", "skip", "hold"}

// actions are the items that are no steps, by name. They are set by init, for one of them holds another, and made when a
// script is read.
var actions func() map[string]func(g *group, name string) act

func init() { actions = sync.OnceValue(makeActions) }

func makeActions() map[string]func(*group, string) act {
	return map[string]func(*group, string) act{
		"advance":        timeAct((*Journey).advance),
		"sleep":          timeAct((*Journey).sleep),
		"at":             atAct,
		"kill":           killAct,
		"note":           textAct(func(t string) runner.Command { return runner.Note{Text: t} }),
		"instrument":     instrumentAct,
		"stop-work":      stopAct,
		"clear":          yesAct(runner.Clear{}),
		"pause":          pauseAct,
		"resume":         yesAct(runner.Resume{}),
		"hand-over":      handOverAct,
		"sign-on":        signerAct((*Journey).signOn),
		"sign-off":       signerAct((*Journey).signOff),
		"keep-job":       textAct(func(t string) runner.Command { return runner.KeepJob{Reason: t} }),
		"take-over":      takeOverAct,
		"correct":        correctAct,
		"close":          closeAct,
		"continue":       textAct(func(t string) runner.Command { return runner.Continue{Reason: t} }),
		"leave":          leaveAct,
		"follow-up":      followUpAct,
		"expect refused": refusedAct,
		"sign":           signerAct((*Journey).sign),
	}
}

// itemFields is every field that an item may have.
func itemFields() []string {
	var out []string
	for name := range actions() {
		out = append(out, name)
	}
	slices.Sort(out)
	for _, name := range stepFields {
		if actions()[name] == nil {
			out = append(out, name)
		}
	}
	return out
}

// does is the act that gives one command.
func does(c runner.Command) act { return func(j *Journey) error { return j.do(c) } }

func textAct(command func(string) runner.Command) func(*group, string) act {
	return func(g *group, name string) act { return does(command(g.text(name))) }
}

func yesAct(c runner.Command) func(*group, string) act {
	return func(g *group, name string) act {
		g.yes(name)
		return does(c)
	}
}

func timeAct(move func(*Journey, time.Duration) error) func(*group, string) act {
	return func(g *group, name string) act {
		d := g.span(name)
		return func(j *Journey) error { return move(j, d) }
	}
}

func atAct(g *group, name string) act {
	t := g.instant(name)
	return func(j *Journey) error { return j.until(t) }
}

// killAct takes true, or how long the program is not running.
func killAct(g *group, name string) act {
	var off time.Duration
	if n := g.vals[name]; n.Value != "true" || n.Tag != "!!bool" {
		off = g.span(name)
	}
	return func(j *Journey) error { return j.kill(off) }
}

// signerAct takes true for whoever is due to sign, or a name.
func signerAct(sign func(j *Journey, name string) error) func(*group, string) act {
	return func(g *group, field string) act {
		name := ""
		if n := g.vals[field]; n.Value != "true" || n.Tag != "!!bool" {
			name = g.text(field)
		}
		return func(j *Journey) error { return sign(j, name) }
	}
}

// inner is the group of an action's own fields; where there is none its fault is told and it has no fields.
func (g *group) inner(name string, known ...string) *group {
	in := g.group(g.vals[name], name, known)
	if in == nil {
		in = &group{reader: g.reader, node: g.vals[name], what: name}
	}
	return in
}

func instrumentAct(g *group, name string) act {
	in := g.inner(name, "id", "name", "due")
	in.require("id", "name")
	return does(runner.Take{Instrument: in.text("id"), Name: in.text("name"), Due: in.text("due")})
}

// stopAct takes safeguards, or true for every one that stands.
func stopAct(g *group, name string) act {
	if n := g.vals[name]; n.Value == "true" && n.Tag == "!!bool" {
		return does(runner.StopWork{})
	}
	in := g.inner(name, "safeguard", "note")
	in.require("safeguard")
	return does(runner.StopWork{Safeguards: in.texts("safeguard"), Note: in.text("note")})
}

// pauseAct takes the reason of a pause that the performer signs, or a group that says it is not signed.
func pauseAct(g *group, name string) act {
	if g.vals[name].Content == nil {
		reason := g.text(name)
		return func(j *Journey) error { return j.pause(reason) }
	}
	in := g.inner(name, "reason", "unsigned")
	in.require("reason", "unsigned")
	in.yes("unsigned")
	return does(runner.Pause{Reason: in.text("reason")})
}

func handOverAct(g *group, name string) act {
	to := g.text(name)
	return func(j *Journey) error {
		p, err := j.person(to)
		if err != nil {
			return err
		}
		return j.do(runner.HandOver{To: p.Person})
	}
}

func takeOverAct(g *group, name string) act {
	in := g.inner(name, "by", "reason")
	in.require("by", "reason")
	by, reason := in.text("by"), in.text("reason")
	return func(j *Journey) error { return j.takeOver(by, reason) }
}

// correctAct counts values of a series and statements from 1.
func correctAct(g *group, name string) act {
	in := g.inner(name, "reading", "answer", "statement", "sheet", "number", "value", "reason")
	in.require("reason")
	in.alone("reading", "answer", "statement", "sheet")
	return does(runner.Correct{Correction: runner.Correction{Reading: in.text("reading"), Answer: in.text("answer"),
		Statement: in.text("statement"), Sheet: in.text("sheet"), Index: in.whole("number", 1) - 1,
		Value: in.text("value"), Reason: in.text("reason")}})
}

func closeAct(g *group, name string) act {
	in := g.inner(name, "outcome", "reason")
	in.require("outcome", "reason")
	return does(runner.Close{Outcome: procedures.Outcome(in.text("outcome")), Reason: in.text("reason")})
}

func leaveAct(g *group, name string) act {
	in := g.inner(name, "step", "state")
	in.require("step", "state")
	return does(runner.Leave{Step: in.text("step"), State: in.text("state")})
}

func followUpAct(g *group, name string) act {
	in := g.inner(name, "what", "due")
	in.require("what", "due")
	return does(runner.FollowUp{What: in.text("what"), Due: in.text("due")})
}

// refusedAct reads the item inside, whose first command must be refused, with the reason's code where one is given.
func refusedAct(g *group, name string) act {
	outer := g.vals[name]
	node, code := *outer, ""
	node.Content = nil
	for i := 0; i+1 < len(outer.Content); i += 2 {
		if outer.Content[i].Value == "reason" {
			code = g.scalar(outer.Content[i+1], "reason of "+name)
			continue
		}
		node.Content = append(node.Content, outer.Content[i], outer.Content[i+1])
	}
	inside, what := g.item(&node)
	if what == name {
		g.fault(outer, "take one out", "an expected refusal stands inside another")
	}
	return func(j *Journey) error { return j.refused(inside, runner.Code(code)) }
}
