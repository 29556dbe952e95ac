package rehearsal

// The head of a script: what the job is opened with.

import (
	"slices"
	"time"

	"gopkg.in/yaml.v3"

	"fenderside/procedures"
	"fenderside/runner/seal"
)

// FormatVersion is the version of scripts that this program reads.
const FormatVersion = 1

var (
	scriptFields     = []string{"fenderside-script", "title", "procedure", "card", "sheet", "begin", "pace", "people", "instruments", "acknowledge", "do"}
	personFields     = []string{"name", "roles"}
	instrumentFields = []string{"name", "due"}
)

// Script is a rehearsal script as read from its text. It is never changed after that.
type Script struct {
	Title     string
	Procedure string
	Card      string // empty where the job sheet is filled by the script alone
	Begin     time.Time
	Pace      time.Duration // how far the clock moves before every command
	People    []string      // names on the roster; the first one begins the work
	Items     []Item

	file        string
	places      map[string]procedures.Place // of the head's fields
	sheet       map[string]string
	roles       map[string][]string // each person's, as roster namespaces
	instruments []instrument
}

// Item is one line of what a script does.
type Item struct {
	Place procedures.Place
	Step  string // the step it does, where it does one
	act   act
}

type instrument struct {
	place         procedures.Place
	id, name, due string
}

// Parse reads a script. Its error is procedures.Faults: every fault at once, each with its place. The file's name is used
// in messages alone.
func Parse(file string, text []byte) (*Script, error) {
	root, err := procedures.Tree(file, text)
	if err != nil {
		return nil, err
	}
	r := &reader{file: file}
	s := &Script{file: file, places: map[string]procedures.Place{}, sheet: map[string]string{}, roles: map[string][]string{}}
	if g := r.group(root, "the script", scriptFields); g != nil {
		s.read(g)
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	return s, nil
}

func (s *Script) read(g *group) {
	g.require("fenderside-script", "title", "procedure", "begin", "people", "acknowledge", "do")
	if v := g.whole("fenderside-script", 1); v != FormatVersion {
		g.fault(g.vals["fenderside-script"], "this program reads format 1", "the script has format %d", v)
	}
	for name, n := range g.vals {
		s.places[name] = procedures.PlaceOf(n)
	}
	s.Title, s.Procedure, s.Card = g.text("title"), g.text("procedure"), g.text("card")
	s.Begin, s.Pace = g.instant("begin"), g.span("pace")
	if what := g.text("acknowledge"); what != "" && what != "all" {
		g.fault(g.vals["acknowledge"], "write acknowledge: all", "what stands before the first step is acknowledged as a whole here")
	}
	s.readSheet(g)
	s.readPeople(g)
	s.readInstruments(g)
	s.readItems(g)
}

func (s *Script) readSheet(g *group) {
	if !g.has("sheet") {
		return
	}
	if t := g.group(g.vals["sheet"], "the sheet", nil); t != nil {
		for _, id := range t.order {
			s.sheet[id] = t.text(id)
		}
	}
}

func (s *Script) readPeople(g *group) {
	for _, n := range g.list("people") {
		p := g.group(n, "a person", personFields)
		if p == nil {
			continue
		}
		p.require("name", "roles")
		name := p.text("name")
		if slices.Contains(s.People, name) {
			g.fault(n, "keep one of the two", "%s stands among the people twice", quote(name))
			continue
		}
		s.People = append(s.People, name)
		s.roles[name] = p.rolesOf()
	}
}

// rolesOf is the namespaces of a person's roles.
func (g *group) rolesOf() []string {
	known := seal.Namespaces()
	all := g.texts("roles")
	if len(all) == 1 && all[0] == "all" {
		return known
	}
	for _, role := range all {
		if !slices.Contains(known, role) {
			g.fault(g.vals["roles"], "write all, or of these: "+known[0]+", "+known[1]+", "+known[2], "%s is no role", quote(role))
		}
	}
	return all
}

func (s *Script) readInstruments(g *group) {
	if !g.has("instruments") {
		return
	}
	t := g.group(g.vals["instruments"], "instruments", nil)
	if t == nil {
		return
	}
	for _, id := range t.order {
		if in := g.group(t.vals[id], "instrument "+quote(id), instrumentFields); in != nil {
			in.require("name")
			s.instruments = append(s.instruments, instrument{procedures.PlaceOf(t.vals[id]), id, in.text("name"), in.text("due")})
		}
	}
}

// readItems reads what the script does. Signing comes last, and once: a rehearsal ends in a signed record.
func (s *Script) readItems(g *group) {
	list := g.list("do")
	signed := false
	for _, n := range list {
		if signed {
			g.fault(n, "put it before sign", "this stands after the record was signed")
			return
		}
		item, name := g.item(n)
		signed = name == "sign"
		s.Items = append(s.Items, item)
	}
	if len(list) > 0 && !signed {
		g.fault(list[len(list)-1], "add - sign: true", "the script does not end with the signing of the record")
	}
}

// item reads one item and returns it with the name of what it does.
func (r *reader) item(n *yaml.Node) (Item, string) {
	item := Item{Place: procedures.PlaceOf(n)}
	g := r.group(n, "an item", itemFields())
	if g == nil {
		return item, ""
	}
	if g.has("step") {
		item.Step = g.text("step")
		item.act = g.stepAct(item.Step)
		return item, "step"
	}
	name := ""
	for _, field := range g.order {
		if actions()[field] == nil {
			r.fault(g.vals[field], "write - {step: ID, "+field+": ...}", "%s belongs to a step and stands without one", quote(field))
			continue
		}
		if name != "" {
			r.fault(g.vals[field], "begin a new item with -", "an item does one thing, and both %s and %s stand here", quote(name), quote(field))
			continue
		}
		name = field
		item.act = actions()[field](g, field)
	}
	if len(n.Content) == 0 {
		r.fault(n, listed(itemFields()), "an item is empty")
	}
	return item, name
}
