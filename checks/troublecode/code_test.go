// The rule of this file: text and bytes are the same code both ways.

package troublecode

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestBytesOfARepliesCodesReadAsPrintedInTheStandardsExamples(t *testing.T) {
	// Worked examples of the coding of SAE J2012 / ISO 15031-6.
	for bytes, want := range map[[2]byte]string{
		{0x01, 0x43}: "P0143", {0x01, 0x96}: "P0196", {0x02, 0x34}: "P0234",
		{0x02, 0xCD}: "P02CD", {0x03, 0x57}: "P0357", {0x0A, 0x24}: "P0A24",
		{0x41, 0x23}: "C0123", {0x80, 0x03}: "B0003", {0x92, 0x34}: "B1234",
		{0xC1, 0x00}: "U0100", {0xFF, 0xFF}: "U3FFF",
	} {
		assert.Equal(t, want, FromBytes(bytes[0], bytes[1]).String())
		code, err := Parse(want)
		require.NoError(t, err)
		first, second := code.Bytes()
		assert.Equal(t, bytes, [2]byte{first, second})
	}
}

func TestEveryCodeSurvivesTextAndBack(t *testing.T) {
	for n := 1; n <= 0xFFFF; n++ {
		code, err := Parse(Code(n).String())
		if err != nil || code != Code(n) {
			t.Fatalf("%04X: %v, %v", n, code, err)
		}
	}
}

func TestRepliesSurviveBytesAndBackButForPadding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOf(rapid.Uint16Min(1)).Draw(t, "codes")
		var bytes []byte
		for _, c := range want {
			first, second := Code(c).Bytes()
			bytes = append(bytes, first, second)
			if rapid.Bool().Draw(t, "padded") {
				bytes = append(bytes, 0, 0)
			}
		}
		codes, err := FromReply(bytes)
		require.NoError(t, err)
		require.Len(t, codes, len(want))
		for i := range want {
			require.Equal(t, Code(want[i]), codes[i])
		}
	})
}

func TestHalfAPairIsRefused(t *testing.T) {
	_, err := FromReply([]byte{0x01, 0x43, 0x01})
	assert.ErrorContains(t, err, "01 43 01: 3 bytes do not make whole pairs")
}

func TestWhatIsNotACodeIsRefusedWithWhatWasMeant(t *testing.T) {
	for given, want := range map[string]string{
		"":          "nothing given",
		"PO135":     "did you mean P0135?",
		"P0I35":     "did you mean P0135?",
		"P 0135":    "did you mean P0135?",
		"0135":      "did you mean P0135?",
		"P0135-13":  "did you mean P0135?",
		"P0000":     "padding",
		"P4135":     "first digit cannot be 4",
		"P013":      "4 characters where five are wanted",
		"X0135":     "does not begin with P, C, B or U",
		"P013G":     "such as P0135",
		"P01355":    "such as P0135",
		"é0135":     "does not begin with",
		"P0135\x00": "such as P0135",
	} {
		_, err := Parse(given)
		if assert.Error(t, err, given) {
			assert.Contains(t, err.Error(), want)
			assert.Contains(t, err.Error(), fmt.Sprintf("%q", given))
		}
	}
	code, err := Parse(" p02cd ")
	require.NoError(t, err)
	assert.Equal(t, "P02CD", code.String())
}

func TestWhoDefinedACode(t *testing.T) {
	// SAE J2012, from memory: P0, P2, P34 to P39 and B0, C0, U0 are the
	// standard's; P1, P30 to P33 and the 1 and 2 of the others are the maker's.
	for text, want := range map[string]string{
		"P0135": "standard", "P2195": "standard", "P3400": "standard", "U0100": "standard",
		"P1135": "maker", "P3000": "maker", "C1234": "maker", "B2123": "maker", "C3000": "reserved",
	} {
		code, err := Parse(text)
		require.NoError(t, err)
		assert.Equal(t, want, code.Owner(), text)
	}
}

func FuzzParseRoundTrips(f *testing.F) {
	for _, seed := range []string{"P0135", "p02cd", "PO135", "P0135-13", "", "U3FFF", "\xff"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		code, err := Parse(text)
		if err != nil {
			return
		}
		again, err := Parse(code.String())
		if err != nil || again != code || code.Padding() {
			t.Fatalf("%q: %v, then %v, %v", text, code, again, err)
		}
	})
}
