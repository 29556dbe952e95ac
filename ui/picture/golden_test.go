package picture_test

// Every picture as it looks at two widths, in ASCII and in drawn lines, with its marks bright and without.

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks/location"
	"fenderside/procedures/library"
	"fenderside/procedures/plaintext"
	"fenderside/ui/picture"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// pictures are one of each, by name.
var pictures = map[string]func(t *testing.T, f picture.Form) picture.Picture{
	"engine-four":  engineOf("millbrook-four", 1, 1),
	"engine-six":   engineOf("millbrook-six", 2, 1),
	"engine-eight": engineOf("millbrook-eight", 1, 3),
	"engine-split": func(t *testing.T, f picture.Form) picture.Picture {
		facts := location.Facts{Arrangement: "in-line", Mounting: "lengthwise", CylinderOne: "front", Steering: "left", Sensors: positions(t, fitted["two each"]),
			Banks: []location.Bank{{Number: 1, Side: "right", Cylinders: []int{1, 4}}, {Number: 2, Side: "right", Cylinders: []int{2, 3}}}}
		return picture.Engine(facts, &location.Position{Bank: 2, Sensor: 2}, f)
	},
	"engine-unknown": func(t *testing.T, f picture.Form) picture.Picture {
		return picture.Engine(location.Facts{Arrangement: "V", Sensors: positions(t, fitted["two each"])}, nil, f)
	},
	"cooling": func(_ *testing.T, f picture.Form) picture.Picture {
		return picture.Cooling(cooled(18, 5*time.Minute, 310, 245, 196, 158), 43+zero, f)
	},
	"cooling-too-few": func(_ *testing.T, f picture.Form) picture.Picture {
		return picture.Cooling(cooled(18, time.Minute, 120), 43+zero, f)
	},
	"torque": func(_ *testing.T, f picture.Form) picture.Picture {
		return picture.Torque(tightened(57.2, 40, 60, 0.04), f)
	},
	"countdown": func(_ *testing.T, f picture.Form) picture.Picture {
		return picture.Countdown("2:47", 13*time.Second, 3*time.Minute, f)
	},
	"trace":         exampleOf("sensor-trace"),
	"trace-compare": exampleOf("trace-compare"),
	"torque-too-narrow": func(_ *testing.T, f picture.Form) picture.Picture {
		return picture.Torque(tightened(46, 45, 48, 0.06), f)
	},
}

func exampleOf(name string) func(*testing.T, picture.Form) picture.Picture {
	return func(t *testing.T, f picture.Form) picture.Picture {
		c, r := example(t, name)
		p, ok := picture.OfCheck(picture.Source{Check: name, Given: c.Example, Verdict: r.Verdict, Figures: r.Figures}, f)
		require.True(t, ok)
		return p
	}
}

func engineOf(card string, bank, sensor int) func(*testing.T, picture.Form) picture.Picture {
	return func(t *testing.T, f picture.Form) picture.Picture {
		c, ok := library.Card(card)
		require.True(t, ok)
		return picture.Engine(picture.FactsOf(c), &location.Position{Bank: bank, Sensor: sensor}, f)
	}
}

func TestEveryPictureLooksAsItDid(t *testing.T) {
	bright := func(s ...string) string { return "\x1b[1;7m" + strings.Join(s, "") + "\x1b[0m" }
	for name, draw := range pictures {
		t.Run(name, func(t *testing.T) {
			var b strings.Builder
			for _, w := range []int{60, 200} {
				for _, lines := range []bool{false, true} {
					p := draw(t, picture.Form{Width: w, Lines: lines})
					fmt.Fprintf(&b, "== %s, %d columns, drawn lines %v\n%s\n", p.Title, w, lines, strings.Join(p.Rows, "\n"))
					painted := strings.Join(p.Painted(bright), "\n")
					assert.Equal(t, strings.Join(p.Rows, "\n"), ansi.Strip(painted), "colour adds nothing")
					if w == 60 && !lines {
						fmt.Fprintf(&b, "-- painted\n%s\n-- in words\n%s\n", painted, strings.Join(p.Words, "\n"))
					}
				}
			}
			same(t, name, b.String())
		})
	}
}

func same(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name+".golden")
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "write it with: go test ./ui/picture -update")
	assert.Equal(t, string(want), got, "the picture %q changed; if it should, write it anew with: go test ./ui/picture -update", name)
}

func TestEveryGoldenPictureHasItsTest(t *testing.T) {
	files, err := filepath.Glob("testdata/*.golden")
	require.NoError(t, err)
	for _, f := range files {
		assert.Contains(t, pictures, strings.TrimSuffix(filepath.Base(f), ".golden"))
	}
}

func TestNoRowIsWiderThanItsFormOrHoldsMoreThanPlainCharacters(t *testing.T) {
	for name, draw := range pictures {
		for w := 1; w <= 210; w += 1 + w/20 {
			for _, lines := range []bool{false, true} {
				p := draw(t, picture.Form{Width: w, Lines: lines})
				for _, row := range p.Rows {
					require.LessOrEqual(t, ansi.StringWidth(row), max(w, 2), "%s at %d: %q", name, w, row)
					for _, c := range row {
						// U+2500 to U+257F are the characters of drawn lines.
						require.True(t, c >= ' ' && c <= '~' || lines && c >= 0x2500 && c <= 0x257f, "%s: %q", name, row)
					}
				}
				for _, m := range p.Marks {
					require.True(t, m.Row < len(p.Rows) && m.From < m.To && m.To <= ansi.StringWidth(p.Rows[m.Row]), "%s at %d: %v", name, w, m)
				}
				for _, s := range p.Words {
					require.NoError(t, plaintext.Check(s))
				}
			}
		}
	}
}
