package runner

import (
	"fmt"
	"slices"

	"fenderside/procedures"
	"fenderside/runner/roster"
)

// Semantics is the version of the rules this package keeps. It is bound into every record, and a change to what Decide
// or Evolve answer for any input raises it.
const Semantics = 4

// RecordFormat is the version of the record's lines.
const RecordFormat = 1

// Mode says whether a job is work on a real vehicle. Only live work can pass for live work: the mode is in every line.
type Mode string

const (
	Live      Mode = "live"
	Practice  Mode = "practice"
	Rehearsal Mode = "rehearsal"
)

// Opening is the first line of a journal: everything the job rests on, word for word.
type Opening struct {
	Fenderside int        `json:"fenderside"` // RecordFormat
	Semantics  int        `json:"semantics"`
	Program    string     `json:"program"` // version of the program
	Job        string     `json:"job"`
	Store      string     `json:"store"`  // random id of the laptop's store
	Number     int        `json:"number"` // of the job in that store, in order of opening
	Mode       Mode       `json:"mode"`
	Terminal   bool       `json:"terminal"` // standard input was a terminal
	Procedure  Document   `json:"procedure"`
	Included   []Document `json:"included,omitempty"` // the procedures that it includes
	Card       Document   `json:"card,omitzero"`
	Roster     Document   `json:"roster"`
	Sheet      []Entry    `json:"sheet"`
	Performer  Person     `json:"performer"`
	Chain      Link       `json:"chain"`           // the performer's next place in the chain of their key's records, as known now
	After      string     `json:"after,omitempty"` // the locked job that this one follows, if any
}

// Document is a text the job rests on, with its digest.
type Document struct {
	Name     string `json:"name"`
	Revision int    `json:"revision,omitempty"`
	Digest   string `json:"digest"` // hex SHA-256 of Text
	Text     string `json:"text"`
}

// Documents are a procedure and those it includes, as an opening binds them.
func Documents(p *procedures.Procedure) (whole Document, included []Document) {
	for _, part := range p.Included {
		included = append(included, Document{Name: part.Name, Revision: part.Revision, Digest: part.Digest, Text: string(part.Text)})
	}
	return Document{Name: p.Name, Revision: p.Revision, Digest: p.Digest, Text: string(p.Text)}, included
}

// sameText says whether the opening binds the very texts that p was read from.
func (o Opening) sameText(p *procedures.Procedure) bool {
	return o.Procedure.is(p.Name, p.Revision, p.Digest) && slices.EqualFunc(o.Included, p.Included, func(d Document, part procedures.Part) bool {
		return d.is(part.Name, part.Revision, part.Digest)
	})
}

func (d Document) is(name string, revision int, digest string) bool {
	return d.Name == name && d.Revision == revision && d.Digest == digest
}

// Entry is one line of the job sheet. From is procedures.FromCard or procedures.FromTyping; Source says where the figure
// comes from, in the words of the card or of the person who typed it.
type Entry struct {
	ID     string `json:"id"`
	Value  string `json:"value"`
	From   string `json:"from"`
	Source string `json:"source,omitempty"`
}

// Job is what an opening binds, read. It never changes while the job runs.
type Job struct {
	Opening   Opening
	Procedure *procedures.Procedure
	Card      *procedures.Card // nil where there is none
	Roster    roster.Roster
	Files     Files // set by whoever keeps the files, before the first command; nil gives none

	choices map[string]choicePlace
	reads   map[string]readingPlace
	proofs  map[string]proofPlace
	undone  []bool  // for each safeguard, whether a make-safe step releases it
	main    int     // steps on the main line
	briefs  []Brief // of the procedure
}

// choicePlace says where the choice under an id is made.
type choicePlace struct {
	field   bool
	step    int
	reading int // -1: the step's own way or answer
}

type readingPlace struct{ step, reading int }

// proofPlace says where a piece of evidence is asked for.
type proofPlace struct{ step, evidence int }

// Bind joins an opening with what its documents say. The caller parses the documents, so that a document met often is
// parsed once; Bind holds each to its digest and refuses a sheet that the procedure would not take.
func Bind(o Opening, p *procedures.Procedure, card *procedures.Card, r roster.Roster) (*Job, error) {
	if err := bound(o, p, card, r); err != nil {
		return nil, err
	}
	j := &Job{Opening: o, Procedure: p, Card: card, Roster: r, main: p.MainLine(), briefs: Briefs(p)}
	j.index()
	if err := j.checkSheet(); err != nil {
		return nil, err
	}
	return j, nil
}

func bound(o Opening, p *procedures.Procedure, card *procedures.Card, r roster.Roster) error {
	switch {
	case o.Fenderside != RecordFormat:
		return fmt.Errorf("record format %d is not %d: read this record with the program that wrote it (%q)", o.Fenderside, RecordFormat, o.Program)
	case o.Semantics != Semantics:
		return fmt.Errorf("engine rules of version %d are not those of version %d: replay this record with the program that wrote it (%q)", o.Semantics, Semantics, o.Program)
	case o.Mode != Live && o.Mode != Practice && o.Mode != Rehearsal:
		return fmt.Errorf("mode %q is none of live, practice, rehearsal", o.Mode)
	case !o.sameText(p):
		return fmt.Errorf("procedure %q revision %d is not the text that the job was opened with", o.Procedure.Name, o.Procedure.Revision)
	case card != nil && card.Digest != o.Card.Digest, card == nil && o.Card.Digest != "":
		return fmt.Errorf("vehicle card %q is not the text that the job was opened with", o.Card.Name)
	case r.Digest() != o.Roster.Digest:
		return fmt.Errorf("roster is not the text that the job was opened with")
	case o.Mode == Live && !o.Terminal:
		return fmt.Errorf("live work needs a terminal on standard input: start a practice job instead")
	case o.Mode == Live && card != nil && card.Demonstration:
		return fmt.Errorf("card %q is a demonstration: it makes a practice job, never a live one", card.Name)
	}
	if _, ok := r.Find(o.Performer.Fingerprint); !ok {
		return fmt.Errorf("key %s of %q is not on the roster: add it with `fenderside roster add`", o.Performer.Fingerprint, o.Performer.Name)
	}
	return nil
}

// index finds each choice and reading by its id, and what rests on what.
func (j *Job) index() {
	j.choices = map[string]choicePlace{}
	j.reads = map[string]readingPlace{}
	j.proofs = map[string]proofPlace{}
	for _, f := range j.Procedure.Sheet {
		if f.Kind == procedures.TakesChoice {
			j.choices[f.ID] = choicePlace{field: true}
		}
	}
	for i, st := range j.Procedure.Steps {
		if len(st.Ways) > 0 || st.Ask != nil {
			j.choices[st.ID] = choicePlace{step: i, reading: -1}
		}
		for k, r := range st.Readings {
			j.reads[r.ID] = readingPlace{i, k}
			if r.Kind == procedures.TakesChoice {
				j.choices[r.ID] = choicePlace{step: i, reading: k}
			}
		}
		for k, ev := range st.Evidence {
			j.proofs[ev.ID] = proofPlace{i, k}
		}
	}
	j.undone = make([]bool, len(j.Procedure.Safeguards))
	for _, id := range j.Procedure.MakeSafe {
		if st, ok := j.Procedure.StepByID(id); ok {
			for _, g := range st.Releases {
				j.undone[g] = true
			}
		}
	}
}

// checkSheet holds the sheet of the opening to the procedure and the card.
func (j *Job) checkSheet() error {
	typed := map[string]string{}
	for _, e := range j.Opening.Sheet {
		if e.From != procedures.FromCard {
			typed[e.ID] = e.Value
		}
	}
	values, missing, faults := procedures.Resolve(j.Procedure, j.Card, typed)
	if len(faults) > 0 {
		return fmt.Errorf("job sheet: %w", faults[0])
	}
	if len(missing) > 0 {
		return fmt.Errorf("job sheet: %q is missing: fill in %q", missing[0].ID, missing[0].Title)
	}
	for _, e := range j.Opening.Sheet {
		if v, ok := values[e.ID]; !ok || v.Value != e.Value {
			return fmt.Errorf("job sheet: %q is %q, but the card and the sheet give %q", e.ID, e.Value, v.Value)
		}
	}
	return nil
}

// step returns the index of a step.
func (j *Job) step(id string) (int, bool) {
	st, ok := j.Procedure.StepByID(id)
	if !ok {
		return 0, false
	}
	return st.Index, true
}
