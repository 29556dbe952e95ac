package runner

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"sync"
)

// Commands and events are written as an object with one member: {"affirm":{"step":"pull-plug","statement":0}}.
// Unknown kinds and unknown members are errors, so that what parses is exactly what would be written.

var commandKinds = sync.OnceValue(func() map[string]reflect.Type {
	return kinds[Command](Command.command,
		Acknowledge{}, Choose{}, Affirm{}, Read{}, Take{}, Attach{}, StartWait{}, Witnessed{}, Finish{}, Answer{}, Skip{},
		Correct{}, Note{}, StopWork{}, Clear{}, Pause{}, Reopen{}, Resume{}, HandOver{}, SignOn{}, SignOff{}, KeepJob{},
		TakeOver{}, Close{}, Continue{}, Leave{}, FollowUp{}, Seal{}, Tick{})
})

var eventKinds = sync.OnceValue(func() map[string]reflect.Type {
	return kinds[Event](Event.event,
		Acknowledged{}, Began{}, Entered{}, PassedBy{}, Opened{}, WayChosen{}, Affirmed{}, ReadingTaken{}, Computed{},
		InstrumentTaken{}, Attached{}, WaitStarted{}, WitnessSigned{}, WitnessVoided{}, Answered{}, Done{}, Skipped{},
		Secured{}, Released{}, Fell{}, Happened{}, PinStarted{}, Corrected{}, Overruled{}, Undone{}, Noted{}, WorkStopped{}, Cleared{},
		Interrupted{}, Resumed{}, HandoverBegun{}, SignedOn{}, SignedOff{}, JobKept{}, TakenOver{}, EndReached{},
		CloseBegun{}, CloseWithdrawn{}, LeftInState{}, FollowUpSet{}, Sealed{}, Refused{})
})

// kinds are made when a line is first read.
func kinds[T any](name func(T) string, all ...T) map[string]reflect.Type {
	m := make(map[string]reflect.Type, len(all))
	for _, v := range all {
		m[name(v)] = reflect.TypeOf(v)
	}
	return m
}

// MarshalCommand writes a command.
func MarshalCommand(c Command) ([]byte, error) { return marshalKind(c.command(), c) }

// MarshalEvent writes an event.
func MarshalEvent(e Event) ([]byte, error) { return marshalKind(e.event(), e) }

// WriteCommand writes a command at the end of b, as MarshalCommand does.
func WriteCommand(b *bytes.Buffer, c Command) error { return writeKind(b, c.command(), c) }

// WriteEvent writes an event at the end of b, as MarshalEvent does.
func WriteEvent(b *bytes.Buffer, e Event) error { return writeKind(b, e.event(), e) }

// UnmarshalCommand reads what MarshalCommand wrote.
func UnmarshalCommand(data []byte) (Command, error) {
	return unmarshalKind[Command](data, commandKinds(), strictly)
}

// UnmarshalEvent reads what MarshalEvent wrote.
func UnmarshalEvent(data []byte) (Event, error) {
	return unmarshalKind[Event](data, eventKinds(), strictly)
}

// CommandName is the kind under which a command is written.
func CommandName(c Command) string { return c.command() }

// EventName is the kind under which an event is written.
func EventName(e Event) string { return e.event() }

func marshalKind(kind string, v any) ([]byte, error) {
	var b bytes.Buffer
	if err := writeKind(&b, kind, v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func writeKind(b *bytes.Buffer, kind string, v any) error {
	b.WriteString(`{"`)
	b.WriteString(kind)
	b.WriteString(`":`)
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("write %s: %w", kind, err)
	}
	b.Truncate(b.Len() - 1) // the encoder's line feed
	b.WriteByte('}')
	return nil
}

func unmarshalKind[T any](data []byte, known map[string]reflect.Type, read func([]byte, any) error) (T, error) {
	var none T
	kind, body, err := split(data)
	if err != nil {
		return none, err
	}
	t, ok := known[kind]
	if !ok {
		return none, fmt.Errorf("read an entry: unknown kind %q; a newer program may have written it", kind)
	}
	v := reflect.New(t)
	if err := read(body, v.Interface()); err != nil {
		return none, fmt.Errorf("read %s: %w", kind, err)
	}
	return v.Elem().Interface().(T), nil
}

// strictly reads one JSON value into v, to its last byte and without a member that v does not have.
func strictly(data []byte, v any) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return err
	}
	if dec.InputOffset() != int64(len(data)) {
		return errors.New("something follows it")
	}
	return nil
}

// split takes an entry apart into its kind and what is said of it. An entry that is written as this program writes it is
// cut without being parsed: its body is parsed next, to its last byte.
func split(data []byte) (kind string, body []byte, err error) {
	if name, rest, ok := bytes.Cut(data, []byte(`":`)); ok && bytes.HasPrefix(name, []byte(`{"`)) &&
		bytes.IndexByte(name[2:], '\\') < 0 && bytes.HasPrefix(rest, []byte("{")) && bytes.HasSuffix(rest, []byte("}}")) {
		return string(name[2:]), rest[:len(rest)-1], nil
	}
	var outer map[string]json.RawMessage
	if err := json.Unmarshal(data, &outer); err != nil {
		return "", nil, fmt.Errorf("read an entry: %w", err)
	}
	if len(outer) != 1 {
		return "", nil, fmt.Errorf("read an entry: %d kinds where one belongs", len(outer))
	}
	for kind, body = range outer {
	}
	return kind, body, nil
}
