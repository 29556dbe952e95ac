package figuretest

// The rule of this file: the words of a procedure and of an event are taken as they are written, from whichever field.

import (
	"bytes"
	"encoding/json"
	"reflect"
	"regexp"
	"strings"
	"time"

	"fenderside/checks/quantity"
	"fenderside/runner"
)

// texts are the words and quantities in a part of a procedure.
func texts(part any) []string {
	var out []string
	each(part, func(v any) {
		if q, ok := v.(quantity.Quantity); ok && q.Valid() && q.Dimension() != quantity.Time {
			out = append(out, q.String()) // times run, and are told by a clock
		} else if v := reflect.ValueOf(v); v.Kind() == reflect.String {
			out = append(out, v.String())
		}
	})
	return out
}

// each goes through a value: itself, then what is in it.
func each(part any, visit func(any)) {
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		if !v.IsValid() || !v.CanInterface() {
			return
		}
		visit(v.Interface())
		switch v.Kind() {
		case reflect.Pointer, reflect.Interface:
			walk(v.Elem())
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		}
	}
	walk(reflect.ValueOf(part))
}

// about is the step and the reading of an event, where it has them.
func about(e runner.Event) (step, reading string) {
	var of struct{ Step, Reading string }
	_, body, _ := strings.Cut(string(written(e)), ":")
	_ = json.Unmarshal([]byte(strings.TrimSuffix(body, "}")), &of) // an event without them has neither
	return of.Step, of.Reading
}

func written(e runner.Event) []byte {
	raw, err := runner.MarshalEvent(e)
	if err != nil {
		panic(err)
	}
	return raw
}

// bare is a number without a word, which anything could stand beside.
var bare = regexp.MustCompile(`^\d+$`)

// recorded are the texts of an event as it is written down. Of its numbers only the size of a file is shown,
// and how far the clock was moved.
func recorded(e runner.Event) []string {
	var all any
	d := json.NewDecoder(bytes.NewReader(written(e)))
	d.UseNumber()
	if err := d.Decode(&all); err != nil {
		panic(err)
	}
	var out []string
	var walk func(key string, v any)
	walk = func(key string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, in := range v {
				walk(k, in)
			}
		case []any:
			for _, in := range v {
				walk(key, in)
			}
		case string:
			if !bare.MatchString(v) {
				out = append(out, v)
			}
		case json.Number:
			n, _ := v.Int64()
			switch key {
			case "size":
				out = append(out, v.String()+" bytes")
			case "drift_ms":
				out = append(out, "by "+runner.InWords(time.Duration(max(n, -n))*time.Millisecond))
			}
		}
	}
	walk("", all)
	return out
}
