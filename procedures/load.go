package procedures

// A procedure is read in four passes over one tree: its bytes and its form, its sections, its references (every name
// is known by then), and the rules that make it safe to walk. Each pass adds its faults; none stops the next.

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"

	"gopkg.in/yaml.v3"
)

// loader is a procedure while it is read.
type loader struct {
	*reader
	p     *Procedure
	steps []*Step // as p.Steps will be
	marks []*marks
	names map[string]*named // sheet fields, readings, evidence and steps share one set of ids

	order int      // how many ids have been defined so far
	later []func() // what can be settled only once every id is known
	lost  bool     // a step or a target could not be read, so the order of steps is not known

	makeSafe []word
	lapsed   [][]word // for each safeguard, what it says it lapses on
	outside  []string // causes that the steps of an including procedure may bring about
	known    effects
}

// marks are the places of a step's fields that rules speak of.
type marks struct {
	id, secures, optional, then Place
	secured                     string // the safeguard it says it secures
	releases, causes, due       []word
	brings, starts              []word
	unread                      bool // some of what it asks for could not be read
}

// Parse reads one procedure that includes no other. The error is Faults: every fault of the file at once, sorted by place.
// The file's name is used in messages only.
func Parse(file string, text []byte) (*Procedure, error) {
	return ParseWith(file, text, func(string) (string, []byte, error) { return "", nil, errors.New("no procedure can be included here") })
}

// ParseWith reads one procedure and those it includes, which the shelf gives. The faults of all of them are told at once.
func ParseWith(file string, text []byte, shelf Shelf) (*Procedure, error) {
	l := &loader{reader: newReader(file), names: map[string]*named{}}
	l.p = &Procedure{Text: append([]byte(nil), text...), Digest: digest(text), File: file}
	root, ok := l.document(text)
	if !ok {
		return nil, l.err()
	}
	if !l.include(root, shelf) {
		return nil, l.err() // without what it includes, names that lead nowhere say nothing
	}
	l.sections(root)
	for _, settle := range l.later {
		if len(l.faults) > MaxFaults {
			l.fault(placeOf(root), "mend these first", "there are more than %d faults; the rest is not looked at", MaxFaults)
			return nil, l.err()
		}
		settle()
	}
	l.settleMakeSafe()
	if len(l.faults) == 0 {
		l.unite()
	}
	l.index()
	l.rules()
	if err := l.err(); err != nil {
		return nil, err
	}
	return l.p, nil
}

// Flat returns the procedure as one file that includes nothing and says the same. Places in it are its own.
func (p *Procedure) Flat() ([]byte, error) {
	r := newReader(p.File)
	root, ok := r.document(p.Text)
	if ok {
		x := &expander{reader: r, shelf: p.shelf}
		x.expand(root)
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	r.within = false
	r.stamp(root)
	return yaml.Marshal(root)
}

// shelf gives the texts of the procedures that p includes, as they were when it was read.
func (p *Procedure) shelf(name string) (string, []byte, error) {
	for _, part := range p.Included {
		if part.Name == name {
			return part.File, part.Text, nil
		}
	}
	return "", nil, errors.New("it was not included when the procedure was read")
}

// include puts the steps of included procedures in their places, or returns false where one could not be read.
func (l *loader) include(root *yaml.Node, shelf Shelf) bool {
	x := &expander{reader: l.reader, shelf: shelf}
	if id := fieldOf(root, "procedure"); id != nil {
		x.chain = []string{id.Value}
	}
	whole := x.expand(root)
	l.p.Included = x.parts
	return whole
}

// digest is the hex SHA-256 of a text.
func digest(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

func (l *loader) sections(root *yaml.Node) {
	t, ok := l.table(root, "the procedure", procedureFields)
	if !ok {
		return
	}
	l.header(t)
	l.instruments(t)
	l.sheet(t)
	l.safeguards(t)
	l.dangers(t)
	l.mainLine(t)
	l.pinned(t)
	l.makeSafe = t.ids("make safe")
	for _, w := range t.ids("outside causes") {
		l.outside = append(l.outside, w.Text)
	}
}

// settle keeps a function for when every id is known.
func (l *loader) settle(f func()) { l.later = append(l.later, f) }

// index copies the steps into the procedure and fills what is found by id.
func (l *loader) index() {
	p := l.p
	p.stepIndex, p.safeguardIndex, p.fieldIndex = map[string]int{}, map[string]int{}, map[string]int{}
	for i, s := range l.steps {
		p.Steps = append(p.Steps, *s)
		p.stepIndex[s.ID] = i
	}
	for i, s := range p.Safeguards {
		p.safeguardIndex[s.ID] = i
	}
	for i, f := range p.Sheet {
		p.fieldIndex[f.ID] = i
	}
}
