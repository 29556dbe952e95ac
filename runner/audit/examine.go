package audit

// The rule of this file: every line is read, chained, written again byte for byte and replayed through the core, to the
// last one, which must seal the job. The first line that fails ends the replay: nothing after it has a meaning.

import (
	"bytes"
	"errors"
	"path/filepath"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
)

// examined is a record under audit: what is reported, and what is needed to hold it against the other records.
type examined struct {
	Record
	dir       string
	bytes     []byte
	opening   *runner.Opening
	sealed    *runner.Sealed
	lines     []record.Line // those that were replayed
	stretches []stretch
	readings  []string // every measured quantity in order, with its step
}

// usualLines is how many lines are made room for beforehand; a file can be all line feeds.
const usualLines = 4096

// Advice that several findings share.
const (
	getOriginal  = "ask for an untouched copy from the laptop that wrote it, and compare"
	askPerformer = "ask whoever did the job what happened, and compare with the lines around it"
	askKeeper    = "ask whoever keeps the roster"
	confirmKey   = "confirm the key with the person before adding it"
)

// examine judges one record by itself.
func (a auditor) examine(f files, b *record.Binder) *examined {
	c := begin(f)
	if f.record.err != nil {
		c.reject(0, "check the file and its permissions", "the record cannot be read: %v", f.record.err)
		return c
	}
	replay, ok := record.Retrace(b, c.bytes, c.take)
	if !ok {
		c = begin(f)
		replay = c.replay(b)
	}
	if replay != nil {
		c.closing(replay)
		a.people(c)
		a.plausible(c, replay)
		c.evidence(replay)
		c.beside(a, f)
	}
	a.closingSignature(c, f)
	a.known(c)
	return c
}

func begin(f files) *examined {
	c := &examined{Record: Record{Path: f.path, Findings: []Finding{}, Signatures: []Signature{}}, dir: filepath.Dir(f.path), bytes: f.record.data}
	if f.record.err == nil {
		c.Digest = record.Digest(c.bytes)
		c.lines = make([]record.Line, 0, min(bytes.Count(c.bytes, []byte{'\n'}), usualLines))
	}
	return c
}

// replay drives the core through the record line by line, which says what is wrong and where. It returns nil where the record does not even begin.
func (c *examined) replay(b *record.Binder) *record.Replay {
	raw, err := journal.Read(c.bytes)
	if err != nil {
		c.broken(err)
		return nil
	}
	var replay *record.Replay
	for i, data := range raw {
		l, err := record.Decode(data)
		if i == 0 {
			c.describe(l.Open)
		}
		switch {
		case err != nil:
		case i == 0:
			replay, err = record.Start(b, l)
		default:
			err = replay.Step(l)
		}
		if err != nil {
			c.reject(i+1, getOriginal, "%v", err)
			return replay
		}
		if replay.Reworded {
			c.note(i+1, "a result is explained in other words than this program gives, which nothing vouches for; the verdict and the figures agree")
		}
		c.onTrust(i+1, replay)
		c.take(l, replay)
	}
	return replay
}

// onTrust says which results of a line could not be reckoned again and were taken as they stand.
func (c *examined) onTrust(line int, replay *record.Replay) {
	for _, e := range replay.OnTrust {
		if e.Missing == "" {
			c.note(line, "what check %s found at %q was taken as written: a file it judged is not to be had", e.Check, e.Step)
		}
	}
}

// broken reports a file that is not one chain of lines. Its first line is still shown where it can be read.
func (c *examined) broken(err error) {
	first, _, _ := bytes.Cut(c.bytes, []byte{'\n'})
	if l, err := record.Decode(first); err == nil {
		c.describe(l.Open)
	}
	var corrupt *journal.Corrupt
	if !errors.As(err, &corrupt) {
		c.reject(0, getOriginal, "%v", err)
		return
	}
	what := "the record " + corrupt.What
	if corrupt.Line > 0 {
		what = "this line " + corrupt.What
	}
	c.reject(corrupt.Line, getOriginal, "%s: a line was changed, dropped, swapped or added, or the file was damaged", what)
}

// describe takes what the first line says of the job.
func (c *examined) describe(o *runner.Opening) {
	if o == nil {
		return
	}
	c.opening = o
	c.Job, c.Store, c.Number, c.Mode = o.Job, o.Store, o.Number, o.Mode
	c.Procedure, c.Revision, c.Performer = o.Procedure.Name, o.Procedure.Revision, o.Performer
	c.Practice = o.Mode != runner.Live
}

// take keeps of a replayed line what is looked at later.
func (c *examined) take(l record.Line, replay *record.Replay) {
	if l.Open != nil {
		c.describe(l.Open)
		c.Opened = l.At
		replay.Job.Files = c.attached // before anything that rests on a file is judged again
	}
	c.lines = append(c.lines, l)
	c.Performer = replay.State.Performer()
	if s, ok := signatureOf(l, replay.State); ok {
		c.Signatures = append(c.Signatures, s)
	}
	c.takeStretch(l)
	for _, e := range l.Events {
		switch e := e.(type) {
		case runner.ReadingTaken:
			if isMeasured(replay.Job, e) {
				c.readings = append(c.readings, e.Step+"\x00"+e.Reading+"\x00"+e.Value)
			}
		case runner.Sealed:
			c.sealed = &e
			c.Outcome, c.By, c.Chain, c.Closed = e.Outcome, e.By, e.Chain, l.At
		}
	}
}

// closing holds the record to its end: sealed, in the last line.
func (c *examined) closing(replay *record.Replay) {
	o := c.opening
	switch {
	case c.sealed == nil && len(c.Findings) == 0:
		c.reject(len(c.lines), "ask for the whole record: its end may have been cut off, or the job was never closed", "the record is not sealed")
	case c.sealed == nil:
	case c.Chain.Number < 1 || (c.Chain.Number == 1) != (c.Chain.Previous == ""):
		c.reject(len(c.lines), getOriginal, "it is number %d in its key's chain with %q as the record before: no store gives out such a place", c.Chain.Number, c.Chain.Previous)
	case c.By == o.Performer && c.Chain.Number < o.Chain.Number:
		c.look(len(c.lines), "the store was brought back from an older backup while the job was open", "ask for the records of that key in that store",
			"the chain of its key stood at number %d when the job was opened and at %d when it was closed", o.Chain.Number, c.Chain.Number)
	}
	if o.Mode == runner.Live && !o.Terminal {
		c.reject(1, getOriginal, "it is marked live and was not given at a terminal")
	}
}
