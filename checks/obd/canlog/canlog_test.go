// The rule of this file: a log gives its frames, its messages and its samples
// in order, each with its line, or says at which line it cannot.

package canlog

import (
	"errors"
	"fmt"
	"io"
	"iter"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/obd/isotp"
)

func gather[T any](seq iter.Seq2[T, error]) (all []T, errs []error) {
	for v, err := range seq {
		if err != nil {
			errs = append(errs, err)
			continue
		}
		all = append(all, v)
	}
	return all, errs
}

func TestALineIsReadAsItIsWritten(t *testing.T) {
	const line = "(1436509052.249713) can0 7E8#0341053C"
	f, err := ParseLine(line)
	require.NoError(t, err)
	assert.Equal(t, Frame{At: 1436509052249713 * time.Microsecond, Interface: "can0", ID: "7E8", Data: []byte{3, 0x41, 5, 0x3C}}, f)
	assert.Equal(t, line, f.String())
	assert.True(t, f.Reply())
}

func TestFramesSurviveTextAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := Frame{
			At:        time.Duration(rapid.Int64Range(0, 2e18).Draw(t, "at")),
			Interface: rapid.StringMatching("[a-z]{1,4}[0-9]").Draw(t, "interface"),
			Data:      rapid.SliceOfN(rapid.Byte(), 0, 8).Draw(t, "data"),
		}
		if want.ID = fmt.Sprintf("%03X", rapid.IntRange(0, 0x7FF).Draw(t, "id")); rapid.Bool().Draw(t, "long") {
			want.ID = fmt.Sprintf("%08X", rapid.IntRange(0, 1<<29-1).Draw(t, "long id"))
		}
		got, err := ParseLine(want.String())
		require.NoError(t, err, want.String())
		require.Equal(t, want, got)
	})
}

func TestBlankLinesNotesAndFramesWithoutDataArePassedOver(t *testing.T) {
	log := "# taken at idle\r\n\r\n(1.0) can0 7E8#0341053C\r\n   \n(1.0) can0 7E8#R\n(1.0) can0 7E8#R8\n(2.5) can0 20000004#0000000000000000\n(2.5) can0 18DAF110#0341053D R\n(3) can0 123#"
	frames, errs := gather(Frames(strings.NewReader(log)))
	require.Empty(t, errs)
	require.Len(t, frames, 6)
	assert.Equal(t, []int{3, 5, 6, 7, 8, 9}, []int{frames[0].Line, frames[1].Line, frames[2].Line, frames[3].Line, frames[4].Line, frames[5].Line})
	replies, errs := gather(Replies(strings.NewReader(log)))
	require.Empty(t, errs)
	require.Len(t, replies, 2)
	assert.Equal(t, []string{"7E8", "18DAF110"}, []string{replies[0].ECU, replies[1].ECU})
	assert.Equal(t, 2500*time.Millisecond, replies[1].At)
}

func TestABadLineEndsTheLogWithItsPlace(t *testing.T) {
	const good = "(2.0) can0 7E8#0341053C\n"
	for line, want := range map[string]string{
		"(1.999999) can0 7E8#0341053C":          "line 3, column 1: time 1.999999000 s is before that of line 2, 2.000000000 s",
		"2.0 can0 7E8#0341053C":                 "line 3, column 1: \"2.0\" is no time",
		"(2.) can0 7E8#0341053C":                "column 1: \"(2.)\" is no time",
		"(-2) can0 7E8#0341053C":                "column 1: \"(-2)\" is no time",
		"(2.0000000001) can0 7E8#0341053C":      "column 1",
		"(99999999999) can0 7E8#0341053C":       "is too great",
		"(99999999999999999999) can0 7E8#03410": "is too great",
		"(2.0)":                                 "column 6: \"\" is no name of an interface",
		"(2.0) can0":                            "column 11: \"\" is no frame",
		"(2.0) can0 7E8 03 41":                  "column 12: \"7E8\" is no frame",
		"(2.0) can0 8FF#0341053C":               "column 12: id \"8FF\"",
		"(2.0) can0 7E8A#0341053C":              "id \"7E8A\"",
		"(2.0) can0 +7E#0341053C":               "id \"+7E\"",
		"(2.0) can0 F8DAF110#0341053C":          "beyond 29 bits",
		"(2.0) can0 7E8#0341053":                "data \"0341053\": 7 hexadecimal digits",
		"(2.0) can0 7E8#03410530000000000000":   "20 hexadecimal digits",
		"(2.0) can0 7E8#03 41 05 3C":            "column 19: \"41\" after the frame",
		"(2.0) can0 7E8#0341G53C":               "\"G5\" is no byte",
		"(2.0) can0 7E8##10341053C":             "CAN FD",
		"(2.0) can0 7E8#0341053C R R":           "after the frame",
		"(2.0) \x1b[2J 7E8#0341053C":            "is no name of an interface",
		strings.Repeat("x", longestLine+1):      "line 3, column 1: longer than 4096 bytes",
	} {
		frames, errs := gather(Frames(strings.NewReader("\n" + good + line + "\n" + good)))
		assert.Len(t, frames, 1, line)
		require.Len(t, errs, 1, line)
		assert.ErrorContains(t, errs[0], want, line)
		_, errs = gather(Samples(strings.NewReader("\n"+good+line+"\n"+good), 0x05))
		assert.Len(t, errs, 1, line)
	}
}

func TestAReaderThatFailsIsToldWithItsLine(t *testing.T) {
	broken := io.MultiReader(strings.NewReader("(2.0) can0 7E8#0341053C\n"), iotest.ErrReader(errors.New("disk gone")))
	frames, errs := gather(Frames(broken))
	assert.Len(t, frames, 1)
	require.Len(t, errs, 1)
	assert.ErrorContains(t, errs[0], "line 2: reading the log: disk gone")
}

func TestMessagesOfTwoControllersAndTwoInterfacesAreKeptApart(t *testing.T) {
	log := `(1.0) can0 7DF#020902
(1.1) can0 7E8#1014490201314731
(1.1) can0 7E9#1014490201314731
(1.1) can1 7E8#1014490201314731
(1.2) can0 7E0#300000
(1.2) can1 7E8#214A433534343452
(1.2) can0 7E8#214A433534343452
(1.2) can0 7E9#214A433534343452
(1.3) can0 7E9#2237323532333637
(1.3) can0 7E8#2237323532333637
(1.3) can1 7E8#2237323532333637
`
	replies, errs := gather(Replies(strings.NewReader(log)))
	require.Empty(t, errs)
	require.Len(t, replies, 3)
	for i, want := range []string{"can0 7E9", "can0 7E8", "can1 7E8"} {
		assert.Equal(t, want, replies[i].Interface+" "+replies[i].ECU)
		assert.Equal(t, "1G1JC5444R7252367", string(replies[i].Bytes[3:]))
		assert.Equal(t, 1300*time.Millisecond, replies[i].At)
		assert.Equal(t, 9+i, replies[i].Line)
	}
}

func TestALostMessageIsToldAndTheLogGoesOn(t *testing.T) {
	log := "(1) can0 7E8#214A433534343452\n(2) can0 7E8#0341053C\n(3) can0 7E8#1014490201314731\n"
	replies, errs := gather(Replies(strings.NewReader(log)))
	assert.Len(t, replies, 1)
	require.Len(t, errs, 2)
	for i, want := range []isotp.Kind{isotp.Unstarted, isotp.Incomplete} {
		var fault *isotp.Fault
		require.ErrorAs(t, errs[i], &fault)
		assert.Equal(t, want, fault.Kind)
	}
	assert.ErrorContains(t, errs[0], "line 1: can0 7E8: ")
	assert.ErrorContains(t, errs[1], "end of the log: can0 7E8: ")
}

func TestSamplesOfOnePIDCarryTheirTimeAndPlace(t *testing.T) {
	log := `(10.0) can0 7E8#0441148C78
(10.1) can0 7E8#03411333
(10.2) can0 7E8#04411410FF
(10.3) can0 7E9#04411420FF
(10.4) can0 7E8#037F0112
(10.5) can0 7E8#064114A078056E
(10.6) can0 7E8#06433F00000000
`
	samples, errs := gather(Samples(strings.NewReader(log), 0x14))
	require.Empty(t, errs)
	require.Len(t, samples, 4)
	for i, want := range []struct {
		at    time.Duration
		ecu   string
		volts float64
		place string
	}{
		{10000 * time.Millisecond, "7E8", 0.7, "place not known"}, {10200 * time.Millisecond, "7E8", 0.08, "B1S1"},
		{10300 * time.Millisecond, "7E9", 0.16, "place not known"}, {10500 * time.Millisecond, "7E8", 0.8, "B1S1"},
	} {
		volts, ok := samples[i].Reading.Number("voltage")
		require.True(t, ok)
		assert.InDelta(t, want.volts, volts, 1e-12)
		assert.Equal(t, want.at, samples[i].At)
		assert.Equal(t, want.ecu, samples[i].ECU)
		assert.Equal(t, want.place, samples[i].Reading.Position.String())
	}
}

func TestWidebandSamplesCarryTheCurrent(t *testing.T) {
	// ISO 15031-5 formulas, reckoned apart: 7B D1 7F CC.
	samples, errs := gather(Samples(strings.NewReader("(1) can0 18DAF110#0641347BD17FCC"), 0x34))
	require.Empty(t, errs)
	current, _ := samples[0].Reading.Number("current")
	ratio, _ := samples[0].Reading.Number("lambda")
	assert.Equal(t, -0.203125, current)
	assert.InDelta(t, 0.967316, ratio, 5e-7)
}

func TestAReplyThatCannotBeReadIsToldAndTheLogGoesOn(t *testing.T) {
	samples, errs := gather(Samples(strings.NewReader("(1) can0 7E8#044114A0\n(2) can0 7E8#034114A0\n(3) can0 7E8#044114A078"), 0x14))
	assert.Len(t, samples, 1)
	require.Len(t, errs, 2)
	assert.ErrorContains(t, errs[0], "line 1: ")
	assert.ErrorContains(t, errs[1], "line 2: reply 41 14 A0: byte 2: PID 14")
	_, errs = gather(Samples(strings.NewReader(""), 0x5A))
	require.Len(t, errs, 1)
	assert.ErrorContains(t, errs[0], "PID 5A: not known here")
}

func TestACallerMayStopAtAnyPoint(t *testing.T) {
	log := "(1) can0 7E8#214A433534343452\n(2) can0 7E8#044114A078\n(2) can0 7E8#034114A0\n(3) can0 7E8#1014490201314731\n"
	for stop := range 5 {
		n := 0
		for range Samples(strings.NewReader(log), 0x14) {
			if n++; n > stop {
				break
			}
		}
		assert.Equal(t, min(stop+1, 4), n)
	}
}

func FuzzALogNeverPanicsAndKeepsItsOrder(f *testing.F) {
	f.Add("(1436509052.249713) can0 7E8#0341053C\n# note\n\n(1436509053) can0 18DAF110#044114A078 R")
	f.Add("(1) can0 7E8#1014490201314731\n(2) can0 7E8#214A433534343452\n(2) can0 20000004#R")
	f.Fuzz(func(t *testing.T, log string) {
		var last time.Duration
		for frame, err := range Frames(strings.NewReader(log)) {
			if err != nil {
				break
			}
			if frame.At < last || len(frame.Data) > 8 {
				t.Fatalf("%q: %v", log, frame)
			}
			last = frame.At
			again, err := ParseLine(frame.String())
			if again.Line = frame.Line; err != nil || again.String() != frame.String() {
				t.Fatalf("%q: %v, then %v, %v", log, frame, again, err)
			}
		}
		for range Samples(strings.NewReader(log), 0x14) {
		}
	})
}
