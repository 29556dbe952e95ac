package plaintext

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The code points are those of the Unicode Character Database: control characters (category Cc), the bidirectional
// controls listed by UAX #9 (ALM, LRM, RLM, LRE, RLE, PDF, LRO, RLO, LRI, RLI, FSI, PDI), and characters without width
// (ZWSP, ZWNJ, ZWJ, WJ, the byte order mark, the soft hyphen, tags, variation selectors).
func TestWhatCannotBeSeenIsForbidden(t *testing.T) {
	for kind, runes := range map[string][]rune{
		"control character": {0, '\a', '\b', '\t', '\n', '\r', 0x1B, 0x7F, 0x80, 0x85, 0x9B, 0x9F},
		"bidirectional control character": {0x061C, 0x200E, 0x200F, 0x202A, 0x202B, 0x202C, 0x202D, 0x202E,
			0x2066, 0x2067, 0x2068, 0x2069},
		"invisible character": {0x00AD, 0x034F, 0x115F, 0x180B, 0x200B, 0x200C, 0x200D, 0x2060, 0x2800, 0x3164,
			0xFE0F, 0xFEFF, 0xFFA0, 0xFFF9, 0xE0001, 0xE0041, 0xE0100},
		"line separator":                         {0x2028, 0x2029},
		"character without a meaning of its own": {0xE000, 0xF8FF, 0xFDD0, 0xFFFE, 0x10FFFF},
	} {
		for _, r := range runes {
			assert.Equal(t, kind, Kind(r), "U+%04X", r)
		}
	}
}

func TestWhatATradeWritesIsAllowed(t *testing.T) {
	for _, s := range []string{"", "45 N·m ± 4 % at 23 °C, λ = 1.00, 10 kΩ, µA", "M18×1.5, 7/8″, “quoted” – so…",
		"Tŷ Gwyn", "Łódź", "温度", "حرارة", "a\u00a0b", "e\u0301"} {
		assert.NoError(t, Check(s), "%q", s)
		assert.Equal(t, s, Show(s))
	}
}

func TestAnErrorSaysWhichCharacterAndWhere(t *testing.T) {
	var e *Error
	require.ErrorAs(t, Check("è\u202eb"), &e)
	assert.Equal(t, 1, e.Index)
	assert.EqualError(t, e, "bidirectional control character U+202E; take it out")
	require.ErrorAs(t, Check("ab\xff"), &e)
	assert.Equal(t, 2, e.Index)
	assert.EqualError(t, e, "byte 0xFF is not UTF-8; save the text as UTF-8")
}

func TestForbiddenCharactersAreShown(t *testing.T) {
	assert.Equal(t, `a\n\t\r\u{001B}[2J\u{202E}\u{FEFF}\x{C3}(`, Show("a\n\t\r\x1b[2J\u202e\ufeff\xc3("))
	assert.Equal(t, "\uFFFD", Show("\uFFFD"), "a replacement character that was written is a character like others")
}

func TestWhatIsShownCanAlwaysBePrinted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes")) + rapid.String().Draw(t, "text")
		shown := Show(s)
		if err := Check(shown); err != nil {
			t.Fatalf("%q is shown as %q: %v", s, shown, err)
		}
		if !utf8.ValidString(shown) || strings.ContainsAny(shown, "\x1b\n\r") {
			t.Fatalf("%q is shown as %q", s, shown)
		}
		if Check(s) == nil && shown != s {
			t.Fatalf("%q needs no showing, yet is shown as %q", s, shown)
		}
	})
}

func TestNoForbiddenCategoryHoldsPrintableASCII(t *testing.T) {
	for r := ' '; r <= '~'; r++ {
		assert.False(t, unicode.In(r, unicode.Cc, unicode.Bidi_Control, unicode.Cf, unicode.Other_Default_Ignorable_Code_Point,
			unicode.Variation_Selector, unicode.Zl, unicode.Zp, unicode.Co, unicode.Cs, unicode.Noncharacter_Code_Point), "%q", r)
	}
}
