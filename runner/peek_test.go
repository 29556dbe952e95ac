package runner

import (
	"encoding/json"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryCommandIsPeekedAtAsItIsRead(t *testing.T) {
	quick := 0
	for kind, typ := range commandKinds() {
		v := reflect.New(typ).Elem()
		for i := range typ.NumField() {
			switch f := v.Field(i); f.Kind() {
			case reflect.String:
				f.SetString("a “word”, {\"quoted\"}, and 3:4")
			case reflect.Int:
				f.SetInt(-7)
			case reflect.Bool:
				f.SetBool(true)
			}
		}
		for _, c := range []Command{v.Interface().(Command), reflect.Zero(typ).Interface().(Command)} {
			data, err := MarshalCommand(c)
			require.NoError(t, err)
			got, err := PeekCommand(data)
			require.NoError(t, err, "%s", data)
			assert.Equal(t, c, got, kind)
			_, body, err := split(data)
			require.NoError(t, err)
			if flat(body, reflect.New(typ).Elem()) {
				quick++
			}
		}
	}
	assert.Greater(t, quick, 20, "the quick way was taken")
}

func TestWhatIsNotFlatIsLeftToTheReaderOfAnyJSON(t *testing.T) {
	for _, body := range []string{
		``, `{`, `}`, `{}`, `{}}`, `{"step":"a"}`, `{"step":"a",}`, `{,"step":"a"}`, `{"step":"a""statement":1}`, `{"step":"a" ,"statement":1}`,
		`{"step":"a","statement":1}`, `{"step":"a","statement":1.5}`, `{"step":"a","statement":true}`, `{"step":1}`, `{"step":"\u0061"}`,
		`{"step":"a","statement":01}`, `{"step":"a","statement":99999999999999999999}`, `{"step":"a","no":1}`, `{"Step":"a"}`, `{"step":null}`,
		"{\"step\":\"a\x01\"}", `{"step":"a","step":"b"}`, `{"step":"a"`, `{"step":"a`, `[]`, `{"":"a"}`,
	} {
		var want, got Affirm
		errWant := json.Unmarshal([]byte(body), &want)
		errGot := peek([]byte(body), &got)
		assert.Equal(t, errWant == nil, errGot == nil, body)
		if errWant == nil {
			assert.Equal(t, want, got, body)
		}
	}
}
