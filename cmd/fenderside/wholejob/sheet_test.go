//go:build unix

package wholejob

// The job sheet is filled from the vehicle card; what the card cannot know is typed, and what the trouble code proposes is taken.

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
)

var place = regexp.MustCompile(`(\d+) of \d+: `)

// fillSheet types what is given, by the ids of the sheet, and goes by the rest until the job is open.
func (h *hand) fillSheet(procedure, vehicle string, typed map[string]string) {
	p, ok := library.Procedure(procedure)
	require.True(h.t, ok)
	card, ok := library.Card(vehicle)
	require.True(h.t, ok)
	h.Until("the program is there", func() bool { return strings.Contains(h.Screen(), "Fenderside") })
	done := map[string]bool{}
	for range 120 {
		screen := h.Settled()
		if h.length() > 0 {
			return
		}
		keys := []string{"Enter"}
		if m := place.FindStringSubmatch(screen); m != nil {
			n, err := strconv.Atoi(m[1])
			require.NoError(h.t, err)
			field := p.Sheet[n-1]
			if value, ok := typed[field.ID]; ok && !done[field.ID] {
				done[field.ID] = true
				if field.Propose == nil {
					keys = append(h.entered(field, card, value), "Enter")
				} else {
					require.Contains(h.t, screen, "Enter takes "+value) // and Enter alone is pressed
				}
			}
		}
		h.keys(screen, beat, keys...)
	}
	require.Fail(h.t, "the job did not open", h.Screen())
}

// entered are the keys for a line of the sheet.
func (h *hand) entered(f procedures.Field, card *procedures.Card, value string) []string {
	if f.Kind != procedures.TakesChoice {
		return []string{"text:" + value}
	}
	i := slices.Index(f.Choices(card), value)
	require.GreaterOrEqual(h.t, i, 0, "%q is none of %q", value, f.Choices(card))
	return []string{strconv.Itoa(i + 1)}
}
