package torque_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/torque"
)

func date(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 13, 0, 0, 0, time.UTC) }

func TestACalibrationEndsAtTheDateOrTheCountWhicheverIsFirst(t *testing.T) {
	// ISO 6789, read at second hand: 12 months or 5000 cycles.
	for _, c := range []struct {
		rule    string
		today   time.Time
		cycles  int
		misused bool
		current bool
		because string
	}{
		{"inside both", date(2026, 3, 1), 100, false, true, "4900 more cycles"},
		{"the day it falls due still counts", date(2026, 6, 15), 0, false, true, "current until 2026-06-15"},
		{"the day after does not", date(2026, 6, 16), 0, false, false, "fell due on 2026-06-15"},
		{"the last cycle counts", date(2026, 3, 1), 5000, false, true, "0 more cycles"},
		{"the next does not", date(2026, 3, 1), 5001, false, false, "5001 cycles are more than the 5000"},
		{"no count leaves the date", date(2026, 3, 1), torque.CyclesUnknown, false, true, "the date alone decides"},
		{"a dropped tool is out", date(2026, 3, 1), 0, true, false, "dropped"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			s, err := torque.Calibration{Last: date(2025, 6, 15), Today: c.today, Cycles: c.cycles, Misused: c.misused}.Judge()
			require.NoError(t, err)
			assert.Equal(t, c.current, s.Current)
			assert.Contains(t, s.Because, c.because)
			assert.Len(t, s.Workings, 2)
			assert.Equal(t, 12.0, s.Limits[0].Value)
			assert.Equal(t, 5000.0, s.Limits[1].Value)
		})
	}
}

func TestAMonthThatIsShorterEndsAtItsLastDay(t *testing.T) {
	for last, want := range map[time.Time]string{
		date(2024, 2, 29): "2025-02-28", date(2025, 8, 31): "2026-08-31", date(2025, 12, 31): "2026-12-31",
	} {
		s, err := torque.Calibration{Last: last, Today: last, Cycles: 0}.Judge()
		require.NoError(t, err)
		assert.Equal(t, want, s.Due.Format(time.DateOnly))
	}
	s, err := torque.Calibration{Last: date(2025, 8, 31), Today: date(2025, 9, 1), Months: torque.Limit{Value: 6, Source: "the tool's handbook"}}.Judge()
	require.NoError(t, err)
	assert.Equal(t, "2026-02-28", s.Due.Format(time.DateOnly))
	assert.Equal(t, "the tool's handbook", s.Limits[0].Source)
}

func TestACalibrationThatCannotBeIsRefusedByName(t *testing.T) {
	good := torque.Calibration{Last: date(2025, 6, 15), Today: date(2026, 1, 1)}
	for want, spoil := range map[string]func(*torque.Calibration){
		"date of the certificate": func(c *torque.Calibration) { c.Last = time.Time{} },
		"date of today":           func(c *torque.Calibration) { c.Today = time.Time{} },
		"later than today":        func(c *torque.Calibration) { c.Last = date(2026, 1, 2) },
		"cycles -2":               func(c *torque.Calibration) { c.Cycles = -2 },
		"interval of 0.5 months":  func(c *torque.Calibration) { c.Months.Value = 0.5 },
		"or -1 cycles":            func(c *torque.Calibration) { c.Most.Value = -1 },
	} {
		c := good
		spoil(&c)
		_, err := c.Judge()
		require.ErrorContains(t, err, want)
	}
}

func TestACalibrationOnceLapsedStaysLapsed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		last := date(2000, 1, 1).AddDate(0, 0, rapid.IntRange(0, 9000).Draw(t, "last"))
		days := rapid.IntRange(0, 800).Draw(t, "days")
		at := func(n int) bool {
			s, err := torque.Calibration{Last: last, Today: last.AddDate(0, 0, n), Cycles: torque.CyclesUnknown}.Judge()
			require.NoError(t, err)
			return s.Current
		}
		if !at(days) {
			assert.False(t, at(days+1))
		}
		if days <= 365 {
			assert.True(t, at(days), "twelve months have at least 365 days")
		}
		if days > 366 {
			assert.False(t, at(days), "and at most 366")
		}
	})
}
