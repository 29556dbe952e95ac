// The rule of this file: the readiness rule is held to its published figures.

package obd

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func status(t *testing.T, bytes string) Status {
	s := decode(t, "41 01 "+bytes, Fitted{}).Readings[0].Status
	require.NotNil(t, s)
	return *s
}

func states(s Status) map[string]string {
	all := map[string]string{}
	for _, m := range s.Monitors {
		all[m.Name] = m.String()
	}
	return all
}

func TestASparkEnginesMonitors(t *testing.T) {
	// Worked example 83 07 FF 00 of ISO 15031-5: lamp on, three codes, all
	// supported and complete.
	s := status(t, "83 07 FF 00")
	assert.True(t, s.Lamp)
	assert.Equal(t, 3, s.Stored)
	assert.Equal(t, Spark, s.Ignition)
	require.Len(t, s.Monitors, 11)
	for _, m := range s.Monitors {
		assert.Equal(t, "complete", m.String(), m.Name)
	}
	assert.Empty(t, s.NotReady())
}

func TestACompressionEnginesMonitors(t *testing.T) {
	// Worked example 00 79 03 03; the words from memory.
	s := status(t, "00 79 03 03")
	assert.False(t, s.Lamp)
	assert.Equal(t, Compression, s.Ignition)
	got := states(s)
	assert.Equal(t, "not complete", got["misfire"])
	assert.Equal(t, "not supported", got["fuel system"])
	assert.Equal(t, "not complete", got["hydrocarbon catalyst"])
	assert.Equal(t, "not complete", got["nitrogen oxide treatment"])
	assert.Equal(t, "not supported", got["particulate filter"])
	assert.Equal(t, []string{"hydrocarbon catalyst", "nitrogen oxide treatment"}, s.NotReady())
	assert.Contains(t, status(t, "00 08 04 00").Note, "reserved bit 2")
}

func TestTheBitsOfEachMonitor(t *testing.T) {
	// ISO 15031-5: bit 5 of C and D is the oxygen sensor, bit 6 its heater.
	got := states(status(t, "00 07 60 40"))
	assert.Equal(t, "complete", got["oxygen sensor"])
	assert.Equal(t, "not complete", got["oxygen sensor heater"])
	assert.Equal(t, "not supported", got["catalyst"])
}

func TestHowManyMonitorsMayBeNotReady(t *testing.T) {
	// EPA420-R-01-015 (second-hand): two for model years 1996 to 2000, one from
	// 2001 on.
	for _, c := range []struct {
		year   int
		bytes  string
		accept bool
	}{
		{1996, "00 07 61 41", true}, {1999, "00 07 61 60", true}, {1999, "00 07 61 61", false}, {2000, "00 07 61 60", true},
		{2001, "00 07 61 01", true}, {2001, "00 07 61 60", false}, {2026, "00 07 61 00", true},
	} {
		r, err := status(t, c.bytes).Judge(c.year)
		require.NoError(t, err)
		assert.Equal(t, c.accept, r.Accept, "%d %s", c.year, c.bytes)
		assert.Contains(t, r.Allowed.Source, "EPA420-R-01-015")
		assert.Contains(t, r.Notes[0], "local rules differ")
		assert.NotEmpty(t, r.Because)
		assert.Len(t, r.Workings, 12)
	}
}

func TestOnlySupportedMonitorsThatDoNotRunAllTheTimeCount(t *testing.T) {
	s := status(t, "80 77 00 FF")
	assert.Empty(t, s.NotReady())
	r, err := s.Judge(2010)
	require.NoError(t, err)
	assert.True(t, r.Accept)
	assert.Contains(t, r.Notes[1], "the lamp is commanded on")
}

func TestReadinessIsNotJudgedWithoutARule(t *testing.T) {
	for _, year := range []int{1995, 2101, 0, -5} {
		_, err := Status{}.Judge(year)
		assert.ErrorContains(t, err, "the rule covers 1996 to 2100")
	}
	s := decode(t, "41 41 00 07 FF FF", Fitted{}).Readings[0].Status
	_, err := s.Judge(2010)
	assert.ErrorContains(t, err, "give the reply to PID 01")
}
