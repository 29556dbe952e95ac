package picture_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"fenderside/procedures/library"
	"fenderside/ui/picture"
)

func TestEveryLetterIsTheOnlyOneOfItsShape(t *testing.T) {
	shapes := map[string]rune{}
	for _, c := range "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789',.-;:\"()/?" {
		rows := picture.Lettering(string(c), picture.Form{Width: 60}).Rows
		shape := strings.Join(rows, "\n")
		assert.Len(t, rows, 5, "%c", c)
		if c == 'O' || c == '0' {
			continue // a figure stands among figures
		}
		assert.Zero(t, shapes[shape], "%c and %c", c, shapes[shape])
		shapes[shape] = c
	}
}

func TestEveryShippedActionCanBeDrawnLarge(t *testing.T) {
	for _, p := range library.Procedures() {
		for _, st := range p.Steps {
			assert.NotEmpty(t, picture.Lettering(st.Title, picture.Form{Width: 112}).Rows, "%s: %s", st.ID, st.Title)
		}
	}
}

func TestLargeLettersKeepToTheirWidthOrAreNotDrawn(t *testing.T) {
	assert.Empty(t, picture.Lettering("Torque ≥ 40", picture.Form{Width: 112}).Rows, "a sign without a shape")
	assert.Empty(t, picture.Lettering("WWWWWWWWWW", picture.Form{Width: 40}).Rows, "a word wider than a row")
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[A-Za-z0-9]{1,8}( [A-Za-z0-9,']{1,8}){0,7}`).Draw(t, "text")
		width := rapid.IntRange(50, 160).Draw(t, "width")
		p := picture.Lettering(text, picture.Form{Width: width})
		assert.Equal(t, 5, len(p.Rows)%6, "lines of five rows, and one between two")
		for _, row := range p.Rows {
			assert.LessOrEqual(t, len(row), width)
		}
		assert.Equal(t, []string{text}, p.Words)
	})
}
