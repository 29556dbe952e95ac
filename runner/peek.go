package runner

// Most commands are an id or two and perhaps a number: they are read here by the way they are written, without the reader
// that takes any JSON. What is written in any other way is left to that.

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// PeekCommand is UnmarshalCommand for a caller who writes the command again and compares: members that no command has are
// not looked for here.
func PeekCommand(data []byte) (Command, error) {
	return unmarshalKind[Command](data, commandKinds(), peek)
}

func peek(data []byte, v any) error {
	to := reflect.ValueOf(v).Elem()
	if flat(data, to) {
		return nil
	}
	to.SetZero()
	return json.Unmarshal(data, v)
}

// members are the fields of each command by the names they are written under.
var members = sync.OnceValue(func() map[reflect.Type]map[string]int {
	all := map[reflect.Type]map[string]int{}
	for _, t := range commandKinds() {
		all[t] = map[string]int{}
		for i := range t.NumField() {
			if name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ","); name != "" {
				all[t][name] = i
			}
		}
	}
	return all
})

// flat reads an object of texts without escapes, whole numbers, true and false. It reports whether it is one.
func flat(data []byte, to reflect.Value) bool {
	fields := members()[to.Type()]
	rest, ok := bytes.CutPrefix(data, []byte("{"))
	for first := true; ok && string(rest) != "}"; first = false {
		if !first {
			rest, ok = bytes.CutPrefix(rest, []byte(","))
		}
		var name []byte
		if name, rest, ok = flatText(rest, ok); !ok {
			return false
		}
		at, known := fields[string(name)]
		if rest, ok = bytes.CutPrefix(rest, []byte(":")); !ok || !known {
			return false
		}
		rest, ok = flatValue(rest, to.Field(at))
	}
	return ok
}

// flatText cuts a text in quotation marks off.
func flatText(data []byte, ok bool) (text, rest []byte, is bool) {
	if !ok || len(data) == 0 || data[0] != '"' {
		return nil, nil, false
	}
	for i, c := range data[1:] {
		switch {
		case c == '"':
			return data[1 : 1+i], data[2+i:], true
		case c == '\\' || c < ' ':
			return nil, nil, false
		}
	}
	return nil, nil, false
}

func flatValue(data []byte, to reflect.Value) (rest []byte, ok bool) {
	if to.Kind() == reflect.String {
		text, rest, ok := flatText(data, true)
		to.SetString(string(text))
		return rest, ok
	}
	end := bytes.IndexAny(data, ",}")
	if end < 0 {
		return nil, false
	}
	word := string(data[:end])
	switch to.Kind() {
	case reflect.Int:
		n, err := strconv.ParseInt(word, 10, 0)
		to.SetInt(n)
		return data[end:], err == nil && strconv.FormatInt(n, 10) == word
	case reflect.Bool:
		to.SetBool(word == "true")
		return data[end:], word == "true" || word == "false"
	}
	return nil, false
}
