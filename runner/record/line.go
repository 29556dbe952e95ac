// Package record is how a job is written down: one JSON object a line, UTF-8, LF, each line one decision of the core.
//
//	{"seq":0,"at":"2026-03-14T09:00:00.000Z","mono":0,"session":1,"by":"asha","mode":"practice","open":{…},"prev":"000…0"}
//	{"seq":7,"at":"2026-03-14T09:02:11.480Z","mono":131480,"session":1,"by":"asha","mode":"practice",
//	 "do":{"affirm":{"step":"pull-plug","statement":0}},
//	 "events":[{"affirmed":{"step":"pull-plug","statement":0}}],"prev":"6f1c…"}
//
// (A line is broken here for the page only.) The first line opens the job and binds what it rests on; every other holds
// the command that was given and all that followed from it, so that a decision is never half-written. "at" is wall time in
// UTC, "mono" the milliseconds since the job was opened in this process, "session" counts those processes, "by" is the
// person acting, "prev" the SHA-256 of the line before without its line feed. The members stand in this order, and a line
// that would not be written again byte for byte is refused.
package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"fenderside/runner"
)

// TimeForm is how wall time is written: RFC 3339, UTC, to the millisecond.
const TimeForm = "2006-01-02T15:04:05.000Z"

// Line is one line of a journal.
type Line struct {
	Seq     int
	At      time.Time
	Mono    time.Duration
	Session int
	By      string
	Mode    runner.Mode
	Open    *runner.Opening // of the first line alone
	Do      runner.Command
	Events  []runner.Event
	Prev    string
}

// Moment is when the line was written, and at which chain head.
func (l Line) Moment() runner.Moment {
	return runner.Moment{Wall: l.At, Mono: l.Mono, Session: l.Session, Head: l.Prev}
}

// Encode writes a line without its line feed.
func Encode(l Line) ([]byte, error) {
	var b bytes.Buffer
	if err := write(&b, l); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// write writes a line at the end of b.
func write(b *bytes.Buffer, l Line) error {
	head := append(b.AvailableBuffer(), `{"seq":`...)
	head = strconv.AppendInt(head, int64(l.Seq), 10)
	head = l.At.UTC().AppendFormat(append(head, `,"at":"`...), TimeForm)
	head = strconv.AppendInt(append(head, `","mono":`...), l.Mono.Milliseconds(), 10)
	head = strconv.AppendInt(append(head, `,"session":`...), int64(l.Session), 10)
	b.Write(append(head, `,"by":`...))
	if err := put(b, l.By); err != nil {
		return err
	}
	b.WriteString(`,"mode":"`)
	b.WriteString(string(l.Mode))
	b.WriteString(`"`)
	if err := encodeBody(b, l); err != nil {
		return err
	}
	b.WriteString(`,"prev":"`)
	b.WriteString(l.Prev)
	b.WriteString(`"}`)
	return nil
}

func encodeBody(b *bytes.Buffer, l Line) error {
	if l.Open != nil {
		b.WriteString(`,"open":`)
		return put(b, l.Open)
	}
	b.WriteString(`,"do":`)
	if err := runner.WriteCommand(b, l.Do); err != nil {
		return err
	}
	b.WriteString(`,"events":[`)
	for i, e := range l.Events {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := runner.WriteEvent(b, e); err != nil {
			return err
		}
	}
	b.WriteByte(']')
	return nil
}

func put(b *bytes.Buffer, v any) error {
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("write a line: %w", err)
	}
	b.Truncate(b.Len() - 1) // the encoder's line feed
	return nil
}

// raw is a line as JSON gives it, its body not read yet.
type raw struct {
	Seq     int               `json:"seq"`
	At      string            `json:"at"`
	Mono    int64             `json:"mono"`
	Session int               `json:"session"`
	By      string            `json:"by"`
	Mode    runner.Mode       `json:"mode"`
	Open    *runner.Opening   `json:"open"`
	Do      json.RawMessage   `json:"do"`
	Events  []json.RawMessage `json:"events"`
	Prev    string            `json:"prev"`
}

// Decode reads a line without its line feed. It refuses one that Encode would not write again byte for byte.
func Decode(data []byte) (Line, error) {
	l, err := decode(data)
	if err != nil {
		return Line{}, err
	}
	again, err := Encode(l)
	if err != nil {
		return Line{}, err
	}
	if !bytes.Equal(again, data) {
		return Line{}, fmt.Errorf("read a line: it is not written as this program writes it, from byte %d on", differ(again, data))
	}
	return l, nil
}

func decode(data []byte) (Line, error) {
	var r raw
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&r); err != nil {
		return Line{}, fmt.Errorf("read a line: %w", err)
	}
	at, err := time.Parse(TimeForm, r.At)
	if err != nil {
		return Line{}, fmt.Errorf("read a line: time %q is not written as %s", r.At, TimeForm)
	}
	l := Line{Seq: r.Seq, At: at.UTC(), Mono: time.Duration(r.Mono) * time.Millisecond, Session: r.Session, By: r.By,
		Mode: r.Mode, Open: r.Open, Prev: r.Prev}
	if l.Open != nil {
		return l, nil
	}
	if l.Do, err = runner.UnmarshalCommand(r.Do); err != nil {
		return Line{}, err
	}
	for _, e := range r.Events {
		event, err := runner.UnmarshalEvent(e)
		if err != nil {
			return Line{}, err
		}
		l.Events = append(l.Events, event)
	}
	return l, nil
}

func differ(a, b []byte) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}
