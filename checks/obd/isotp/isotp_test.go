// The rule of this file: whatever happens to the frames, a message comes out
// whole or a fault does.

package isotp

import (
	"bytes"
	"encoding/hex"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func frame(t require.TestingT, text string) []byte {
	b, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	require.NoError(t, err)
	return b
}

// vin is the worked example of a 20-byte reply to service 09 in ISO 15031-5
// (second-hand).
var vin = []string{"10 14 49 02 01 31 47 31", "21 4A 43 35 34 34 34 52", "22 37 32 35 32 33 36 37"}

// feed adds frames of one sender and gathers what comes out.
func feed(t require.TestingT, a *Assembler, frames ...string) (payloads []string, kinds []Kind) {
	for _, text := range frames {
		payload, err := a.Add("7E8", frame(t, text))
		if payload != nil {
			payloads = append(payloads, string(payload))
		}
		kinds = append(kinds, kindOf(t, err)...)
	}
	return payloads, kinds
}

func kindOf(t require.TestingT, err error) []Kind {
	if err == nil {
		return nil
	}
	var fault *Fault
	require.True(t, errors.As(err, &fault))
	require.Equal(t, "7E8", fault.Stream)
	return []Kind{fault.Kind}
}

func TestAMessageOfThreeFramesIsPutTogether(t *testing.T) {
	var a Assembler
	payloads, faults := feed(t, &a, vin...)
	require.Empty(t, faults)
	assert.Equal(t, []string{"I\x02\x011G1JC5444R7252367"}, payloads)
	assert.Empty(t, a.Close())
}

func TestFillingIsNoPartOfAMessage(t *testing.T) {
	var a Assembler
	payloads, faults := feed(t, &a, "02 41 42 AA AA AA AA AA", "10 08 61 62 63 64 65 66", "21 67 68 55 55 55 55 55", "30 00 00")
	assert.Empty(t, faults)
	assert.Equal(t, []string{"AB", "abcdefgh"}, payloads)
}

func TestWhatIsWrongWithTheFramesIsSaidAndNothingIsFilledIn(t *testing.T) {
	for name, c := range map[string]struct {
		frames []string
		want   []Kind
	}{
		"the second frame is missing":  {[]string{vin[0], vin[2]}, []Kind{Missing}},
		"a frame is repeated":          {[]string{vin[0], vin[1], vin[1], vin[2]}, []Kind{Repeated, Unstarted}},
		"the frames are exchanged":     {[]string{vin[0], vin[2], vin[1]}, []Kind{Missing, Unstarted}},
		"an earlier frame comes late":  {[]string{"10 20 01 02 03 04 05 06", vin[1], vin[2], vin[1]}, []Kind{Disordered}},
		"no first frame":               {[]string{vin[1]}, []Kind{Unstarted}},
		"a middle frame is cut":        {[]string{vin[0], vin[1][:11], vin[2]}, []Kind{Incomplete, Unstarted}},
		"the last frame is cut":        {[]string{vin[0], vin[1], vin[2][:11]}, []Kind{Incomplete}},
		"the first frame is cut":       {[]string{vin[0][:11]}, []Kind{Incomplete}},
		"another message begins":       {[]string{vin[0], vin[0]}, []Kind{Incomplete}},
		"a single frame is cut":        {[]string{"04 41 05"}, []Kind{Incomplete}},
		"a single frame of no bytes":   {[]string{"00 41 05"}, []Kind{Malformed}},
		"a single frame of nine bytes": {[]string{"09 41 05"}, []Kind{Malformed}},
		"a first frame of seven bytes": {[]string{"10 07 01 02 03 04 05 06"}, []Kind{Malformed}},
		"a length beyond 4095":         {[]string{"10 00 00 00 20 00 01 02"}, []Kind{Malformed}},
		"a frame of no kind":           {[]string{"41 05 6E"}, []Kind{Malformed}},
		"an empty frame":               {[]string{""}, []Kind{Malformed}},
		"a frame of nine bytes":        {[]string{"08 01 02 03 04 05 06 07 08"}, []Kind{Malformed}},
	} {
		t.Run(name, func(t *testing.T) {
			var a Assembler
			payloads, faults := feed(t, &a, c.frames...)
			assert.Empty(t, payloads)
			assert.Equal(t, c.want, faults)
		})
	}
}

func TestAnUnfinishedMessageIsIncompleteAtTheEnd(t *testing.T) {
	var a Assembler
	feed(t, &a, vin[0], vin[1])
	_, err := a.Add("7E9", frame(t, vin[0]))
	require.NoError(t, err)
	faults := a.Close()
	require.Len(t, faults, 2)
	assert.EqualError(t, faults[0], "7E8: message incomplete: 13 of 20 bytes, then the frames end")
	assert.EqualError(t, faults[1], "7E9: message incomplete: 6 of 20 bytes, then the frames end")
	var fault *Fault
	require.True(t, errors.As(faults[0], &fault))
	assert.Equal(t, []int{13, 20}, []int{fault.Got, fault.Want})
	assert.Empty(t, a.Close())
}

func TestASingleFrameThatInterruptsIsDeliveredAndTheOtherIsLost(t *testing.T) {
	var a Assembler
	payloads, faults := feed(t, &a, vin[0], "02 41 42", vin[1])
	assert.Equal(t, []string{"AB"}, payloads)
	assert.Equal(t, []Kind{Incomplete, Unstarted}, faults)
}

func TestInterleavedSendersAreKeptApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		payload := rapid.SliceOfN(rapid.Byte(), 1, 200)
		sent := map[string][]byte{"7E8": payload.Draw(t, "7E8"), "7E9": payload.Draw(t, "7E9")}
		left := map[string][][]byte{}
		for stream, bytes := range sent {
			frames, err := Split(bytes)
			require.NoError(t, err)
			left[stream] = frames
		}
		var a Assembler
		got := map[string][]byte{}
		for len(left) > 0 {
			stream := rapid.SampledFrom([]string{"7E8", "7E9"}).Draw(t, "next")
			frames, ok := left[stream]
			if !ok {
				continue
			}
			filled := append(bytes.Clone(frames[0]), make([]byte, 8-len(frames[0]))...)
			payload, err := a.Add(stream, filled)
			require.NoError(t, err)
			if payload != nil {
				got[stream] = payload
			}
			if left[stream] = frames[1:]; len(frames) == 1 {
				delete(left, stream)
			}
		}
		require.Equal(t, sent, got)
		require.Empty(t, a.Close())
	})
}

func TestTheSequenceGoesRoundFromFToZero(t *testing.T) {
	payload := bytes.Repeat([]byte("0123456789"), 41)
	frames, err := Split(payload[:Longest/10])
	require.NoError(t, err)
	assert.Equal(t, byte(0x2F), frames[15][0])
	assert.Equal(t, byte(0x20), frames[16][0])
	assert.Equal(t, byte(0x21), frames[17][0])
	var a Assembler
	for i, f := range frames {
		got, err := a.Add("7E8", f)
		require.NoError(t, err)
		assert.Equal(t, i == len(frames)-1, got != nil)
	}
}

func TestAnyOneFrameLeftOutLosesTheMessage(t *testing.T) {
	frames, err := Split(bytes.Repeat([]byte("0123456789"), 30))
	require.NoError(t, err)
	for out := range frames {
		var a Assembler
		lost := false
		for i, f := range frames {
			if i == out {
				continue
			}
			payload, err := a.Add("7E8", f)
			require.Nil(t, payload)
			lost = lost || err != nil
		}
		assert.True(t, lost || len(a.Close()) == 1, "frame %d left out in silence", out)
	}
}

func TestWhatCannotBeSplitIsRefused(t *testing.T) {
	for _, n := range []int{0, Longest + 1} {
		_, err := Split(make([]byte, n))
		assert.Error(t, err)
	}
}

func FuzzAssemblerDeliversOnlyBytesItWasGiven(f *testing.F) {
	for _, text := range vin {
		f.Add(frame(f, text+"08"+vin[1]))
	}
	f.Fuzz(func(t *testing.T, stream []byte) {
		var a Assembler
		given := 0
		for len(stream) > 0 {
			n := min(int(stream[0]%10), len(stream)-1)
			part := stream[1 : 1+n]
			stream = stream[1+n:]
			given += n
			payload, _ := a.Add("7E8", part)
			if given -= len(payload); given < 0 {
				t.Fatalf("more came out than went in: % X", payload)
			}
		}
		a.Close()
	})
}
