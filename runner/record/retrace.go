package record

import (
	"bytes"
	"strconv"
	"time"

	"fenderside/runner"
	"fenderside/runner/journal"
)

// The quick way through a sound record. Of each line only its head and its command are read; what follows from the command
// is decided by the core, the whole line is written again with the digest of the line before it, and compared. A line that
// comes out byte for byte is thereby chained, well formed, canonical and what the rules give: all that journal.Read, Decode
// and Replay.Step would have asked. A line that does not is not judged here.

// Retrace drives the core through a whole record. It reports whether every line came out byte for byte as written; then
// each was given, with the state after it. Where it reports false nothing is known but that, and the caller goes line by
// line to learn what is the matter: an honest record of another release may word a check's result differently.
func Retrace(b *Binder, data []byte, each func(Line, *Replay)) (*Replay, bool) {
	if len(data) > journal.MaxSize {
		return nil, false
	}
	first, rest, ended := bytes.Cut(data, []byte{'\n'})
	r, l, ok := retraceOpening(b, first)
	if !ok || !ended {
		return nil, false
	}
	each(l, r)
	var again bytes.Buffer
	for prev := journal.Digest(first); len(rest) > 0; {
		var line []byte
		line, rest, ended = bytes.Cut(rest, []byte{'\n'})
		if !ended || len(line) > journal.MaxLine {
			return nil, false
		}
		if l, ok = r.retrace(line, prev, &again); !ok {
			return nil, false
		}
		each(l, r)
		prev = journal.Digest(line)
	}
	return r, true
}

// retraceOpening reads the first line. Texts that the binder knows are taken out before it is read and put back after.
func retraceOpening(b *Binder, data []byte) (*Replay, Line, bool) {
	short, texts := b.shorten(data)
	l, err := Decode(short)
	if err != nil || len(data) > journal.MaxLine || l.Prev != journal.Genesis || l.Open == nil || !restore(l.Open, texts) {
		return nil, l, false
	}
	r, err := Start(b, l)
	return r, l, err == nil
}

// retrace replays one line where it comes out byte for byte. Again is room to write in.
func (r *Replay) retrace(data []byte, prev string, again *bytes.Buffer) (Line, bool) {
	l, ok := r.head(data)
	if !ok {
		return l, false
	}
	l.Seq, l.Mode, l.Prev, l.By = r.next, r.Job.Opening.Mode, prev, r.author(l.Do)
	d, ok := runner.Advance(r.State, l.Do, l.Moment())
	l.Events = d.Events
	again.Reset()
	if !ok || len(d.Events) == 0 || write(again, l) != nil || !bytes.Equal(again.Bytes(), data) {
		return l, false
	}
	r.State = d.State
	r.next++
	return l, true
}

// head reads a line's times and its command. It is no check: the line is compared as a whole afterwards.
func (r *Replay) head(data []byte) (l Line, ok bool) {
	at, data, ok1 := between(data, `"at":"`, `","mono":`)
	mono, data, ok2 := between(data, "", `,"session":`)
	session, data, ok3 := between(data, "", `,"by":`)
	do, _, ok4 := between(data, `,"do":`, `,"events":[`)
	if !ok1 || !ok2 || !ok3 || !ok4 {
		return l, false
	}
	wall, err1 := time.Parse(TimeForm, string(at))
	ms, err2 := strconv.ParseInt(string(mono), 10, 64)
	count, err3 := strconv.Atoi(string(session))
	command, err4 := runner.PeekCommand(do)
	if err1 != nil || err2 != nil || err3 != nil || err4 != nil {
		return l, false
	}
	return Line{At: wall.UTC(), Mono: time.Duration(ms) * time.Millisecond, Session: count, Do: command}, true
}

// between cuts what stands between two marks, and the rest after the second. A mark holds a quotation mark, and inside a
// JSON string those are escaped, so it can only be found between members.
func between(data []byte, open, end string) (inside, rest []byte, ok bool) {
	_, data, ok = bytes.Cut(data, []byte(open))
	if !ok {
		return nil, nil, false
	}
	return bytes.Cut(data, []byte(end))
}

// known is a document's text as it was bound, and as JSON writes it, quotation marks included.
type known struct {
	text    string
	written []byte
}

const (
	digestMark = `"digest":"`
	textMark   = `,"text":`
)

// shorten replaces each document text that the binder knows, under its digest and byte for byte, by an empty one. It
// returns what was taken out at each digest of the line, in order; nothing where the text is not known.
func (b *Binder) shorten(data []byte) (short []byte, texts []string) {
	rest := data
	for {
		head, tail, found := bytes.Cut(rest, []byte(digestMark))
		if !found {
			return append(short, rest...), texts
		}
		short = append(append(short, head...), digestMark...)
		rest, texts = tail, append(texts, "")
		digest, after, ok := bytes.Cut(tail, []byte(`"`+textMark))
		doc, is := b.known[string(digest)]
		if ok && is && bytes.HasPrefix(after, doc.written) {
			texts[len(texts)-1] = doc.text
			short = append(append(append(append(short, digest...), '"'), textMark...), `""`...)
			rest = after[len(doc.written):]
		}
	}
}

// restore puts the texts back. It reports whether there is exactly one for each document.
func restore(o *runner.Opening, texts []string) bool {
	docs := []*runner.Document{&o.Procedure} // in the order in which the opening is written
	for i := range o.Included {
		docs = append(docs, &o.Included[i])
	}
	if o.Card != (runner.Document{}) {
		docs = append(docs, &o.Card)
	}
	docs = append(docs, &o.Roster)
	if len(docs) != len(texts) {
		return false
	}
	for i, d := range docs {
		if texts[i] != "" {
			d.Text = texts[i]
		}
	}
	return true
}

// keep remembers a document that has been held to its digest.
func (b *Binder) keep(d runner.Document) {
	if b.known == nil {
		b.known = map[string]known{}
	}
	var written bytes.Buffer
	if put(&written, d.Text) == nil {
		b.known[d.Digest] = known{d.Text, written.Bytes()}
	}
}
