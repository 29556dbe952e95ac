package ui

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/charmbracelet/x/ansi"
)

var update = flag.Bool("update", false, "write the golden screens anew")

var sizes = [][2]int{{60, 18}, {80, 24}, {120, 30}, {200, 60}}

// golden holds a screen at four sizes to its file.
func (r *rig) golden(name string) *rig {
	r.t.Helper()
	var b strings.Builder
	for _, s := range sizes {
		r.m.width, r.m.height = s[0], s[1]
		fmt.Fprintf(&b, "== %d by %d\n%s\n", s[0], s[1], r.view())
	}
	r.m.width, r.m.height = 80, 24
	same(r.t, name, b.String())
	return r
}

func same(t testing.TB, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name+".golden")
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "write it with: go test ./ui -update")
	assert.Equal(t, string(want), got, "the screen %q changed; if it should, write it anew with: go test ./ui -update", name)
}

// fits holds a screen to the window at many sizes.
func (r *rig) fits(name string) {
	r.t.Helper()
	w0, h0 := r.m.width, r.m.height
	for _, w := range []int{60, 67, 79, 80, 97, 109, 110, 133, 160, 200} {
		for _, h := range []int{18, 19, 24, 31, 45, 60} {
			r.m.width, r.m.height = w, h
			rows := strings.Split(r.m.View(), "\n")
			if k := r.m.work; k != nil && k.finished == nil && k.locked == nil {
				assert.Regexp(r.t, "F4 (STOP WORK|stops work)", rows[len(rows)-1], "%s at %d by %d: stop-work is shown from everywhere", name, w, h)
			}
			assert.LessOrEqual(r.t, len(rows), h, "%s at %d by %d", name, w, h)
			for i, row := range rows {
				assert.LessOrEqual(r.t, ansi.StringWidth(row), w, "%s at %d by %d, row %d: %q", name, w, h, i, row)
			}
		}
	}
	r.m.width, r.m.height = w0, h0
}
