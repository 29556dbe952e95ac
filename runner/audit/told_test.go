package audit

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnAuditTellsOnceForEachRecordHowManyItHasJudged(t *testing.T) {
	d := newDepot(t)
	var paths []string
	for range 3 {
		paths = append(paths, d.lamp().Dir)
	}
	o := Options{Paths: paths, Roster: rosterFile(t, everybody())}
	silent, err := Run(o)
	require.NoError(t, err)
	var told [][2]int
	o.Told = func(done, of int) { told = append(told, [2]int{done, of}) }
	report, err := Run(o)
	require.NoError(t, err)
	assert.Equal(t, [][2]int{{0, 3}, {1, 3}, {2, 3}, {3, 3}}, told)
	assert.Equal(t, silent.Count(Sound), report.Count(Sound), "telling bears on no verdict")
	assert.Len(t, report.Records, 3)
}
