package runner

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
)

// Commands and events are written as an object with one member: {"affirm":{"step":"pull-plug","statement":0}}.
// Unknown kinds and unknown members are errors, so that what parses is exactly what would be written.

var commandKinds = kinds[Command](Command.command,
	Acknowledge{}, Choose{}, Affirm{}, Read{}, Take{}, Attach{}, StartWait{}, Witnessed{}, Finish{}, Answer{}, Skip{},
	Correct{}, Note{}, StopWork{}, Clear{}, Pause{}, Reopen{}, Resume{}, HandOver{}, SignOn{}, SignOff{}, KeepJob{},
	TakeOver{}, Close{}, Continue{}, Leave{}, FollowUp{}, Seal{}, Tick{})

var eventKinds = kinds[Event](Event.event,
	Acknowledged{}, Began{}, Entered{}, PassedBy{}, Opened{}, WayChosen{}, Affirmed{}, ReadingTaken{}, Computed{},
	InstrumentTaken{}, Attached{}, WaitStarted{}, WitnessSigned{}, WitnessVoided{}, Answered{}, Done{}, Skipped{},
	Secured{}, Released{}, Fell{}, Happened{}, PinStarted{}, Corrected{}, Overruled{}, Undone{}, Noted{}, WorkStopped{}, Cleared{},
	Interrupted{}, Resumed{}, HandoverBegun{}, SignedOn{}, SignedOff{}, JobKept{}, TakenOver{}, EndReached{},
	CloseBegun{}, CloseWithdrawn{}, LeftInState{}, FollowUpSet{}, Sealed{}, Refused{})

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

// UnmarshalCommand reads what MarshalCommand wrote.
func UnmarshalCommand(data []byte) (Command, error) {
	return unmarshalKind[Command](data, commandKinds)
}

// UnmarshalEvent reads what MarshalEvent wrote.
func UnmarshalEvent(data []byte) (Event, error) { return unmarshalKind[Event](data, eventKinds) }

// CommandName is the kind under which a command is written.
func CommandName(c Command) string { return c.command() }

// EventName is the kind under which an event is written.
func EventName(e Event) string { return e.event() }

func marshalKind(kind string, v any) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString(`{"` + kind + `":`)
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, fmt.Errorf("write %s: %w", kind, err)
	}
	b.Truncate(b.Len() - 1) // the encoder's line feed
	b.WriteByte('}')
	return b.Bytes(), nil
}

func unmarshalKind[T any](data []byte, known map[string]reflect.Type) (T, error) {
	var none T
	var outer map[string]json.RawMessage
	if err := json.Unmarshal(data, &outer); err != nil {
		return none, fmt.Errorf("read an entry: %w", err)
	}
	if len(outer) != 1 {
		return none, fmt.Errorf("read an entry: %d kinds where one belongs", len(outer))
	}
	for kind, body := range outer {
		t, ok := known[kind]
		if !ok {
			return none, fmt.Errorf("read an entry: unknown kind %q; a newer program may have written it", kind)
		}
		v := reflect.New(t)
		dec := json.NewDecoder(bytes.NewReader(body))
		dec.DisallowUnknownFields()
		if err := dec.Decode(v.Interface()); err != nil {
			return none, fmt.Errorf("read %s: %w", kind, err)
		}
		return v.Elem().Interface().(T), nil
	}
	return none, nil
}
