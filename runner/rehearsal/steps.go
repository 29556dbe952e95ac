package rehearsal

// What an item says about a step: its entries, in the order in which they are made.

import (
	"path/filepath"
	"strconv"
	"time"

	"gopkg.in/yaml.v3"
)

// entries is what one item enters at one step. The fields are made in this order.
type entries struct {
	step     string
	advance  time.Duration
	wait     time.Duration
	way      string
	all      bool  // affirm every statement that applies
	affirm   []int // or these, counted from 0
	take     []taken
	spacing  time.Duration
	evidence []made
	witness  string
	answer   string
	skip     string
	hold     bool
}

// taken is the values of one reading.
type taken struct {
	reading string
	values  []string
}

// made is a made-up file with its text, or a file beside the script.
type made struct{ item, text, file string }

func (g *group) stepAct(step string) act {
	g.alone("answer", "skip", "hold")
	for _, name := range g.order {
		if actions()[name] != nil && name != "advance" {
			g.fault(g.vals[name], "begin a new item with -", "%s does not belong to a step", quote(name))
		}
	}
	e := entries{step: step, advance: g.span("advance"), wait: g.span("wait"), way: g.text("way"), spacing: g.span("spacing"),
		witness: g.text("witness"), answer: g.text("answer"), skip: g.text("skip"), hold: g.yes("hold")}
	g.readAffirm(&e)
	g.readTake(&e)
	g.readEvidence(&e)
	return func(j *Journey) error { return j.step(e) }
}

// readEvidence takes the text of a made-up file, or {file: PATH} for one beside the script.
func (g *group) readEvidence(e *entries) {
	if !g.has("evidence") {
		return
	}
	in := g.group(g.vals["evidence"], "evidence", nil)
	if in == nil {
		return
	}
	for _, id := range in.order {
		if in.vals[id].Kind != yaml.MappingNode {
			e.evidence = append(e.evidence, made{item: id, text: in.text(id)})
			continue
		}
		f := in.inner(id, "file")
		f.require("file")
		path := f.text("file")
		if path != "" && !filepath.IsLocal(filepath.FromSlash(path)) {
			g.fault(f.vals["file"], "put it into the folder of the script", "%s leads out of the folder of the script", quote(path))
		}
		e.evidence = append(e.evidence, made{item: id, file: path})
	}
}

// readAffirm takes all, or a list of numbers counted from 1.
func (g *group) readAffirm(e *entries) {
	for _, text := range g.texts("affirm") {
		n, err := strconv.Atoi(text)
		switch {
		case text == "all":
			e.all = true
		case err != nil || n < 1:
			g.fault(g.vals["affirm"], "write all, or the numbers of statements from 1 on", "%s is no statement", quote(text))
		default:
			e.affirm = append(e.affirm, n-1)
		}
	}
}

func (g *group) readTake(e *entries) {
	if !g.has("take") {
		return
	}
	if in := g.group(g.vals["take"], "take", nil); in != nil {
		for _, id := range in.order {
			e.take = append(e.take, taken{id, in.texts(id)})
		}
	}
}
