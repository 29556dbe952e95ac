// The rule of this file: one reply is the same reply in every form, and what is
// no form is refused where it stands.

package paste

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/obd"
	"fenderside/checks/obd/isotp"
)

func parse(t require.TestingT, text string) Pasted {
	p, err := Parse(text)
	require.NoError(t, err, "%q", text)
	return p
}

func TestOneReplyInItsManyForms(t *testing.T) {
	want := []byte{0x41, 0x05, 0x6E}
	for text, address := range map[string]string{
		"41 05 6E":                              "",
		"41056E":                                "",
		"  41 05\t6e  ":                         "",
		"0x41, 0x05, 0x6E":                      "",
		"41,05,6E":                              "",
		"4105 6E":                               "",
		"03 41 05 6E":                           "",
		"03 41 05 6E 00 00 00 00":               "",
		"0341056E55555555":                      "",
		"7E8 03 41 05 6E":                       "7E8",
		"7E8 0341056E":                          "7E8",
		"7E80341056E":                           "7E8",
		"7E8 41 05 6E":                          "7E8",
		"0x7E8 03 41 05 6E":                     "7E8",
		"18DAF110 03 41 05 6E":                  "18DAF110",
		"18 DA F1 10 03 41 05 6E":               "18DAF110",
		"18DAF1100341056E":                      "18DAF110",
		"18DAF110 41 05 6E":                     "18DAF110",
		"7E8#0341056E":                          "7E8",
		"7e9#0341056e00":                        "7E9",
		"(1436509052.249713) can0 7E8#0341056E": "7E8",
		"\r\n# a note\r\n7DF 02 01 05\r\n7E8 03 41 05 6E\r\n\r\n": "7E8",
		"41 05 6E\r": "",
	} {
		p := parse(t, text)
		require.Len(t, p.Replies, 1, text)
		assert.Equal(t, obd.Reply{ECU: address, Bytes: want}, p.Replies[0], "%q", text)
		assert.Empty(t, p.Faults)
	}
}

func TestSeveralFramesMakeOneReply(t *testing.T) {
	// The 20 bytes of the example of ISO 15031-5, in three frames.
	for _, text := range []string{
		"10 14 49 02 01 31 47 31 | 21 4A 43 35 34 34 34 52 | 22 37 32 35 32 33 36 37",
		"7E8 10 14 49 02 01 31 47 31\n7E8 21 4A 43 35 34 34 34 52\n7E0 30 00 00\n7E8 22 37 32 35 32 33 36 37",
		"7E8#1014490201314731\r\n7E9#0341056E\r\n7E8#214A433534343452\r\n7E8#2237323532333637",
	} {
		report := obd.Read(parse(t, text).Replies)
		last := report.Controllers[len(report.Controllers)-1]
		assert.Equal(t, "1G1JC5444R7252367", last.Answers[0].Vehicle.VIN.Text)
	}
}

func TestRequestsArePassedOverByTheirAddress(t *testing.T) {
	p := parse(t, "7DF 02 01 05\n7E0 02 01 05\n18DB33F1 02 01 05\n18DA10F1 02 01 05\n7E8 03 41 05 6E")
	assert.Equal(t, []int{1, 2, 3, 4}, p.Requests)
	assert.Len(t, p.Replies, 1)
}

func TestAMessageThatIsNotWholeIsToldWithItsLine(t *testing.T) {
	p := parse(t, "7E8 10 14 49 02 01 31 47 31\n7E8 22 37 32 35 32 33 36 37\n7E9 03 41 05 6E")
	assert.Len(t, p.Replies, 1)
	require.Len(t, p.Faults, 1)
	var fault *isotp.Fault
	require.ErrorAs(t, p.Faults[0], &fault)
	assert.Equal(t, isotp.Missing, fault.Kind)
	assert.ErrorContains(t, p.Faults[0], "line 2: 7E8: ")
	p = parse(t, "7E8 10 14 49 02 01 31 47 31\n7E8 21 4A 43 35 34 34 34 52")
	assert.Empty(t, p.Replies)
	assert.ErrorContains(t, p.Faults[0], "13 of 20 bytes")
}

func TestWhatIsNoFormIsRefusedWhereItStands(t *testing.T) {
	for text, want := range map[string]string{
		"41 O5 6E":                "line 1, column 4: \"O\" is no hexadecimal digit; a zero is meant",
		"41 05 6E\n41 05 6X":      "line 2, column 8: \"X\" is no hexadecimal digit",
		"41 05 6":                 "line 1, column 7: \"6\" is half a byte; write 06",
		"41 056E1":                "line 1, column 4: \"056E1\" has 5 digits",
		"7E803 41 05 6E":          "line 1, column 1: \"7E803\" has 5 digits",
		">41 05 6E":               "line 1, column 1: \">\" is no hexadecimal digit; leave the prompt out",
		"0: 49 02 01":             "line 1, column 2: \":\" is no hexadecimal digit; put blanks",
		"41 05 6E | ":             "line 1, column 11: nothing between the strokes",
		"41 05 6E | 41 05 Z":      "line 1, column 18: \"Z\"",
		"123 03 41 05 6E":         "line 1, column 1: 123 is no address",
		"7E8":                     "line 1, column 1: an address without data",
		"02 01 05":                "line 1, column 1: no reply begins with 01; if this line is a request",
		"48 6B 10 41 05 6E C1":    "header of a bus before CAN",
		", ,":                     "line 1, column 1: nothing but commas",
		"0x":                      "line 1, column 3: 0x without digits",
		"":                        "no reply in the text",
		"# only a note":           "no reply in the text",
		" 7E8#0341056":            "line 1, column 2: data \"0341056\"",
		" (1.x) can0 7E8#0341056": "line 1, column 2: \"(1.x)\" is no time",
		"(1) can0 7E8#0341056":    "line 1, column 10: data \"0341056\"",
		"41 05 é":                 "line 1, column 7: \"É\"",
	} {
		_, err := Parse(text)
		assert.ErrorContains(t, err, want, "%q", text)
	}
}

func TestRepliesSurviveBeingWrittenInAnyForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		payload := append([]byte{0x41}, rapid.SliceOfN(rapid.Byte(), 1, 60).Draw(t, "payload")...)
		address := rapid.SampledFrom([]string{"", "7E8", "7EF", "18DAF110"}).Draw(t, "address")
		frames, err := isotp.Split(payload)
		require.NoError(t, err)
		verb := rapid.SampledFrom([]string{"%X", "% X", "%x", "% x"}).Draw(t, "verb")
		end := rapid.SampledFrom([]string{"\n", "\r\n", "\r", " | "}).Draw(t, "end")
		var lines []string
		for _, f := range frames {
			lines = append(lines, strings.TrimSpace(address+" "+fmt.Sprintf(verb, f)))
		}
		p, err := Parse(strings.Join(lines, end))
		require.NoError(t, err)
		require.Empty(t, p.Faults)
		require.Equal(t, []obd.Reply{{ECU: address, Bytes: payload}}, p.Replies)
	})
}

func FuzzParseNeverPanics(f *testing.F) {
	for _, seed := range []string{"41 05 6E", "7E8#0341056E", "10 14 49 02 01 31 47 31 | 21 4A 43", "(1.5) can0 7E8#R", "0x", "18DAF110", "é|", "\r#\n|"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := Parse(text)
		if err == nil && len(p.Replies)+len(p.Requests)+len(p.Faults) == 0 {
			t.Fatalf("%q: nothing came of it, in silence", text)
		}
		for _, r := range p.Replies {
			if len(r.Bytes) == 0 || len(r.Bytes) > len(text) {
				t.Fatalf("%q: % X", text, r.Bytes)
			}
		}
		obd.Read(p.Replies)
	})
}
