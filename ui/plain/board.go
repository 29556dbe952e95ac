package plain

// The rule kept here: looking at a job changes nothing in it.

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"fenderside/procedures"
	"fenderside/procedures/newcard"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/store"
)

// board offers the open jobs first, then the procedures.
func (d *desk) board() (id string, start *Start, err error) {
	jobs, err := d.store.OpenJobs()
	if err != nil {
		return "", nil, err
	}
	list, problems := d.home.Procedures()
	for _, p := range problems {
		d.sayError(p)
	}
	var lines []string
	for _, job := range jobs {
		lines = append(lines, "Open job "+job+": "+d.peek(job))
	}
	for _, p := range list {
		lines = append(lines, fmt.Sprintf("Start: %s (%s, revision %d)", p.Title, p.Name, p.Revision))
	}
	cards := d.offeredCards()
	for _, c := range cards {
		lines = append(lines, c.words)
	}
	i, ok, err := d.askNumberOr("to leave", "What is to be done?", lines)
	switch {
	case err != nil:
		return "", nil, err
	case !ok:
		return "", nil, errLeft
	case i < len(jobs):
		return jobs[i], nil, nil
	case i >= len(jobs)+len(list):
		if _, err := cards[i-len(jobs)-len(list)].write(); err != nil {
			return "", nil, d.cardLeft(err)
		}
		return d.board()
	}
	return "", &Start{Procedure: list[i-len(jobs)]}, nil
}

// peek words where an open job stands.
func (d *desk) peek(id string) string {
	r, err := d.replay(id)
	if err != nil {
		return "it cannot be read: " + err.Error()
	}
	return standing(r)
}

// replay reads an open job's journal as it is on disk, but for a last line that is torn.
func (d *desk) replay(id string) (*record.Replay, error) {
	data, err := os.ReadFile(filepath.Join(d.store.JobDir(id), store.JournalFile))
	if err != nil {
		return nil, err
	}
	lines, err := journal.Read(data[:bytes.LastIndexByte(data, '\n')+1])
	if err != nil || len(lines) == 0 {
		return nil, fmt.Errorf("it never began, or is damaged: %v", err)
	}
	var replay *record.Replay
	for i, text := range lines {
		l, err := record.Decode(text)
		if err == nil && i == 0 {
			replay, err = record.Start(&record.Binder{}, l)
		} else if err == nil {
			err = replay.Step(l)
		}
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", i+1, err)
		}
	}
	return replay, nil
}

func standing(r *record.Replay) string {
	at := "in the briefing"
	switch st := r.State; {
	case st.Seal() != nil:
		at = "closed as " + string(st.Seal().Outcome) + " and not signed yet"
	case st.Current() != nil:
		at = "at “" + st.Current().Title + "”"
	case st.Cursor() != nil:
		at = "held before “" + st.Cursor().Title + "”"
	case len(st.Due()) > 0:
		at = "closing"
	}
	return fmt.Sprintf("%s, %s, by %s, %s", r.Job.Procedure.Title, r.Job.Opening.Mode, r.State.Performer().Name, at)
}

// begin asks for what is missing, fills the sheet and opens a job.
func (d *desk) begin(st Start) error {
	if st.Procedure == nil {
		p, err := d.chooseProcedure()
		if err != nil {
			return err
		}
		st.Procedure = p
	}
	if st.Card == nil && !st.NoCard {
		if err := d.chooseCard(&st); err != nil {
			return err
		}
	}
	return d.fillAndOpen(st)
}

func (d *desk) chooseProcedure() (*procedures.Procedure, error) {
	list, problems := d.home.Procedures()
	for _, p := range problems {
		d.sayError(p)
	}
	var lines []string
	for _, p := range list {
		lines = append(lines, fmt.Sprintf("%s (%s, revision %d)", p.Title, p.Name, p.Revision))
	}
	i, ok, err := d.askNumberOr("to leave", "Which procedure?", lines)
	if err != nil || !ok {
		return nil, leftUnless(err)
	}
	return list[i], nil
}

func leftUnless(err error) error {
	if err != nil {
		return err
	}
	return errLeft
}

func (d *desk) chooseCard(st *Start) error {
	cards, problems := d.home.Cards()
	for _, p := range problems {
		d.sayError(p)
	}
	lines := []string{"No card: I type the figures"}
	for _, c := range cards {
		line := fmt.Sprintf("%s (%s)", c.Title, c.Name)
		if c.Demonstration {
			line += ", a demonstration, for practice"
		}
		lines = append(lines, line)
	}
	offered := d.offeredCards()
	for _, o := range offered {
		lines = append(lines, o.words)
	}
	i, ok, err := d.askNumberOr("to leave", "Which vehicle?", lines)
	switch {
	case err != nil || !ok:
		return leftUnless(err)
	case i > len(cards):
		st.Card, err = offered[i-len(cards)-1].write()
		return d.cardLeft(err)
	case i > 0:
		st.Card = cards[i-1]
	}
	return nil
}

// cardOffer is a card that can be written, or gone on with.
type cardOffer struct {
	words string
	write func() (*procedures.Card, error)
}

func (d *desk) offeredCards() (all []cardOffer) {
	for _, u := range d.home.UnfinishedCards() {
		all = append(all, cardOffer{"Go on with the card " + u.Name + ", which was left", func() (*procedures.Card, error) { return d.writeCard(d.home, u.Name) }})
	}
	return append(all, cardOffer{"Write a card for a vehicle of your own", d.namedCard})
}

// cardLeft says that the answers of a card that was left are kept.
func (d *desk) cardLeft(err error) error {
	if errors.Is(err, errLeft) {
		d.say("No card was written. What was answered is kept, and offered in the list.")
	}
	return err
}

// namedCard asks for a name until one is free, and writes a card of that name.
func (d *desk) namedCard() (*procedures.Card, error) {
	for {
		name, err := d.askWords("", "What is the card to be called? A short name, such as depot-bus-3.")
		if err != nil {
			return nil, err
		}
		if _, err := newcard.Begin(name, nil); err != nil {
			d.say("Not taken: %v.", err)
		} else if err := d.home.CardTaken(name); err != nil {
			d.say("Not taken: %v.", err)
		} else {
			return d.writeCard(d.home, name)
		}
	}
}
