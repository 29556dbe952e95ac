package ui

// Contrast is held to WCAG 2.2, success criterion 1.4.3 (4.5 to 1 for text), by its definitions of contrast ratio and
// relative luminance (W3C Recommendation, 5 October 2023; from memory).

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const leastContrast = 4.5

// luminance is that of a colour written as #rrggbb.
func luminance(t *testing.T, hex string) float64 {
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	require.NoError(t, err, hex)
	part := func(shift uint) float64 {
		c := float64(n>>shift&0xff) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// The outside values: black on white is the 21 to 1 of the definition; #767676 is the lightest grey that has 4.5 on white
// (common knowledge among those who check pages).
func TestTheContrastOfTheTestIsThatOfTheDefinition(t *testing.T) {
	assert.InDelta(t, 21, contrast(t, "#000000", "#ffffff"), 1e-9)
	assert.GreaterOrEqual(t, contrast(t, "#767676", "#ffffff"), leastContrast)
	assert.Less(t, contrast(t, "#777777", "#ffffff"), leastContrast)
}

// styles are all styles of a theme by their names.
func styles(th theme) map[string]lipgloss.Style {
	all := map[string]lipgloss.Style{"plain": th.plain, "bold": th.bold, "title": th.title, "bad": th.bad}
	for word, style := range th.words {
		all[string(word)] = style
	}
	return all
}

func TestTheTestOfContrastSeesEveryStyle(t *testing.T) {
	n := 0
	for i := range reflect.TypeFor[theme]().NumField() {
		switch f := reflect.TypeFor[theme]().Field(i); f.Type {
		case reflect.TypeFor[lipgloss.Style]():
			n++
		default:
			require.Equal(t, "words", f.Name, "a field of the theme that no test looks at")
			n += 4 // the signal words of ANSI Z535
		}
	}
	assert.Len(t, styles(ascii()), n)
}

// numbered are the values of the first sixteen colours that the styles use, where a terminal has not been told others: those
// of xterm, of the text mode of a VGA, and of the terminals that follow either's older palette (from memory).
var numbered = map[string]map[string]string{
	"xterm":  {"0": "#000000", "1": "#cd0000", "4": "#0000ee", "9": "#ff0000", "11": "#ffff00", "15": "#ffffff"},
	"VGA":    {"0": "#000000", "1": "#aa0000", "4": "#0000aa", "9": "#ff5555", "11": "#ffff55", "15": "#ffffff"},
	"16 old": {"0": "#000000", "1": "#800000", "4": "#000080", "9": "#ff0000", "11": "#ffff00", "15": "#ffffff"},
}

// shown is a colour as every kind of terminal shows it, by the kind.
func shown(t *testing.T, c lipgloss.CompleteColor) map[string]string {
	r, g, b := termenv.ConvertToRGB(termenv.ANSI256.Color(c.ANSI256)).RGB255()
	all := map[string]string{"true colour": c.TrueColor, "256 colours": fmt.Sprintf("#%02x%02x%02x", r, g, b)}
	for name, palette := range numbered {
		require.Contains(t, palette, c.ANSI)
		all[name] = palette[c.ANSI]
	}
	return all
}

// A style that set the ink alone would vanish on one ground or the other. Each sets both or neither; what sets neither is the
// terminal's own pair, or that pair reversed.
func TestEveryStyleReadsOnLightAndOnDark(t *testing.T) {
	pairs := 0
	for _, light := range []bool{false, true} {
		render := lipgloss.NewRenderer(&strings.Builder{})
		render.SetColorProfile(termenv.TrueColor)
		render.SetHasDarkBackground(!light)
		for of, style := range styles(themeOf(render, true)) {
			ink, inked := style.GetForeground().(lipgloss.CompleteColor)
			ground, grounded := style.GetBackground().(lipgloss.CompleteColor)
			require.Equal(t, inked, grounded, "%s sets one of the two", of)
			if !inked {
				assert.Equal(t, lipgloss.NoColor{}, style.GetForeground(), of)
				continue
			}
			pairs++
			on := shown(t, ground)
			for kind, x := range shown(t, ink) {
				assert.GreaterOrEqual(t, contrast(t, x, on[kind]), leastContrast, "%s in %s: %s on %s", of, kind, x, on[kind])
			}
		}
	}
	assert.Equal(t, 2*4, pairs, "the signal words on light and on dark")
}

// Bold turns the first eight of sixteen colours into the lighter eight on many terminals (xterm's boldColors and the Linux
// console do so; from memory), and black into grey.
func TestOfSixteenColoursNoneIsMadeLighterByBold(t *testing.T) {
	render := lipgloss.NewRenderer(&strings.Builder{})
	render.SetColorProfile(termenv.ANSI)
	for of, style := range styles(themeOf(render, true)) {
		_, inked := style.GetForeground().(lipgloss.CompleteColor)
		assert.False(t, inked && style.GetBold(), of)
	}
}

// With NO_COLOR, or on a terminal that knows no colour, nothing sets one.
func TestWithoutColourNoStyleSetsOne(t *testing.T) {
	render := lipgloss.NewRenderer(&strings.Builder{})
	render.SetColorProfile(termenv.TrueColor)
	for of, style := range styles(themeOf(render, false)) {
		assert.Equal(t, lipgloss.NoColor{}, style.GetForeground(), of)
		assert.Equal(t, lipgloss.NoColor{}, style.GetBackground(), of)
		assert.NotContains(t, style.Render("x"), "38;", of)
	}
}
