package rehearsal

// A journey is a script on its way: the job it opened, its clock, its people. Everything it does goes through the session.

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/session"
	"fenderside/runner/store"
)

// What a rehearsal keeps in its folder.
const (
	KeysDir    = "keys"
	RosterFile = "roster"
	FilesDir   = "files"
	StoreDir   = "store"
)

// Options is what a rehearsal is played with.
type Options struct {
	Script     []byte
	ScriptName string // for messages, and as the source of what the script fills into the job sheet
	Files      fs.FS  // folder from which files that the script attaches are named; nil where there is none
	Out        string // folder for the keys, the roster and the store; made where there is none
	Program    string // version of the program, for the record
	Procedures func(name string) (*procedures.Procedure, bool)
	Cards      func(name string) (*procedures.Card, bool)
	Random     io.Reader                           // for the keys and the id of the store; nil is the machine's
	Tell       func(at runner.Moment, what string) // told of each event in words, where it is set
}

// Journey is a script being played.
type Journey struct {
	script *Script
	o      Options
	store  *store.Store
	sess   *session.Session
	clock  *clock
	people map[string]Somebody

	next     int  // of the script's items
	item     Item // the one being played
	holding  bool // readings that are kept as refused are expected
	expect   *expectation
	finished session.Finished
}

// Run plays a whole script and returns the signed record. A script that does not parse is procedures.Faults; the first
// command that is refused against expectation is a *Failure.
func Run(o Options) (session.Finished, error) {
	j, err := Begin(o)
	if err != nil {
		return session.Finished{}, err
	}
	defer j.Close()
	for {
		if more, err := j.Next(); err != nil || !more {
			return j.finished, err
		}
	}
}

// Begin opens the job of a script and goes through its briefing. Options without procedures or cards mean those that ship
// with the program.
func Begin(o Options) (*Journey, error) {
	s, err := Parse(o.ScriptName, o.Script)
	if err != nil {
		return nil, err
	}
	if o.Procedures == nil {
		o.Procedures = library.Procedure
	}
	if o.Cards == nil {
		o.Cards = library.Card
	}
	j := &Journey{script: s, o: o, clock: &clock{wall: s.Begin}}
	opening, err := j.opening()
	if err != nil {
		return nil, err
	}
	if err := j.settle(&opening); err != nil {
		return nil, fmt.Errorf("rehearse in %q: %w: choose another folder with --out", o.Out, err)
	}
	if j.sess, err = session.Start(j.store, opening, j.clock); err != nil {
		return nil, err
	}
	if err := j.brief(); err != nil {
		return nil, errors.Join(err, j.Close())
	}
	return j, nil
}

// Next plays the next item. It reports whether there are more.
func (j *Journey) Next() (bool, error) {
	if j.next >= len(j.script.Items) {
		return false, nil
	}
	j.item = j.script.Items[j.next]
	j.next++
	return j.next < len(j.script.Items), j.item.act(j)
}

// Until plays every item before the first one that does the step. It is an error where no item that is left does it.
func (j *Journey) Until(step string) error {
	ahead := slices.IndexFunc(j.script.Items[j.next:], func(i Item) bool { return i.Step == step })
	if ahead < 0 {
		return fmt.Errorf("play script %q: no item that is left does step %q", j.o.ScriptName, step)
	}
	for range ahead {
		if _, err := j.Next(); err != nil {
			return err
		}
	}
	return nil
}

// Session is the job in hand. It is another one after the script killed the program.
func (j *Journey) Session() *session.Session { return j.sess }

// Store is where the job is kept.
func (j *Journey) Store() *store.Store { return j.store }

// Somebody is one of the script's people, by name.
func (j *Journey) Somebody(name string) (Somebody, bool) {
	p, ok := j.people[name]
	return p, ok
}

// Close lets go of the job, which stays in the store.
func (j *Journey) Close() error {
	if j.sess == nil || j.finished.Dir != "" {
		return nil
	}
	return j.sess.Close()
}

// opening is the first line of the job, without its people.
func (j *Journey) opening() (runner.Opening, error) {
	s := j.script
	p, ok := j.o.Procedures(s.Procedure)
	if !ok {
		return runner.Opening{}, j.fault("procedure", "see the list with `fenderside procedures list`", "there is no procedure %s", quote(s.Procedure))
	}
	var card *procedures.Card
	o := runner.Opening{Program: j.o.Program, Mode: runner.Rehearsal}
	o.Procedure, o.Included = runner.Documents(p)
	if s.Card != "" {
		if card, ok = j.o.Cards(s.Card); !ok {
			return runner.Opening{}, j.fault("card", "name a card of the library or of your own folder", "there is no vehicle card %s", quote(s.Card))
		}
		o.Card = runner.Document{Name: card.Name, Digest: card.Digest, Text: string(card.Text)}
	}
	values, missing, faults := procedures.Resolve(p, card, s.sheet)
	if len(faults) > 0 {
		return runner.Opening{}, j.fault("sheet", "", "%v", errors.Join(faults...))
	}
	if len(missing) > 0 {
		return runner.Opening{}, j.fault("sheet", "add "+missing[0].ID+": ... to the sheet", "the sheet has no %s", quote(missing[0].Title))
	}
	for _, f := range p.Sheet {
		if v, ok := values[f.ID]; ok {
			if v.From == procedures.FromTyping {
				v.Source = "rehearsal script " + j.o.ScriptName
			}
			o.Sheet = append(o.Sheet, runner.Entry{ID: f.ID, Value: v.Value, From: v.From, Source: v.Source})
		}
	}
	return o, nil
}

// fault is a fault of the script's head that shows only when it is played.
func (j *Journey) fault(field, hint, sentence string, args ...any) error {
	at, ok := j.script.places[field]
	if !ok {
		at = procedures.Place{Line: 1, Column: 1}
	}
	return procedures.Faults{{File: j.o.ScriptName, Place: at, What: fmt.Sprintf(sentence, args...), Hint: hint}}
}

// settle makes the folder: the people with their keys, the roster and the store.
func (j *Journey) settle(o *runner.Opening) error {
	for _, dir := range []string{KeysDir, FilesDir, StoreDir} {
		if err := os.MkdirAll(filepath.Join(j.o.Out, dir), 0o700); err != nil {
			return err
		}
	}
	random := j.o.Random
	if random == nil {
		random = rand.Reader
	}
	people, text, err := cast(j.script, j.o.Out, random)
	if err != nil {
		return err
	}
	j.people = people
	o.Roster = runner.Document{Name: RosterFile, Digest: digest(text), Text: string(text)}
	o.Performer = people[j.script.People[0]].Person
	if j.o.Random != nil {
		if err := nameStore(filepath.Join(j.o.Out, StoreDir), random); err != nil {
			return err
		}
	}
	j.store, err = store.Open(filepath.Join(j.o.Out, StoreDir))
	return err
}

// nameStore begins a new store under an id that comes from random.
func nameStore(dir string, random io.Reader) error {
	path := filepath.Join(dir, "store.json")
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	id := make([]byte, 4)
	if _, err := io.ReadFull(random, id); err != nil {
		return err
	}
	return journal.WriteFileDurably(path, []byte(`{"store":"`+hex.EncodeToString(id)+`","chains":{}}`+"\n"), 0o600)
}

// brief acknowledges what stands before the first step and takes the instruments in hand.
func (j *Journey) brief() error {
	j.item = Item{Place: j.script.places["acknowledge"]}
	for _, b := range runner.Briefs(j.sess.Job().Procedure) {
		if err := j.do(runner.Acknowledge{Item: b.ID}); err != nil {
			return err
		}
	}
	for _, in := range j.script.instruments {
		j.item = Item{Place: in.place}
		if err := j.do(runner.Take{Instrument: in.id, Name: in.name, Due: in.due}); err != nil {
			return err
		}
	}
	return nil
}
