// The rule of this file: each line of workings can be followed with a pencil
// from the lines above it and the inputs.

package checks

import (
	"fmt"
	"time"

	"fenderside/checks/touch"
)

func touchWorkings(m touch.Measurement, j touch.Judgement) []string {
	lines := limitLines(m.Limit)
	if len(j.Surface) == 0 {
		return append(lines, fmt.Sprintf("nothing judged: %s", j.Outcome))
	}
	if m.Method == touch.Infrared {
		lines = append(lines, infraredLines(m, j)...)
	}
	lines = append(lines, readingLines(m, j)...)
	last, _ := j.Last()
	lines = append(lines, fmt.Sprintf("margin = limit - last = %s - %s = %s", degrees(m.Limit), degrees(last), kelvins(m.Limit-last)))
	return append(lines, "outcome: "+string(j.Outcome))
}

// limitLines sets the limit beside the burn thresholds.
func limitLines(limit float64) []string {
	lines := []string{"limit: " + bothTemperature(limit)}
	celsius := settle(limit - 273.15)
	t, _ := touch.Allows(celsius) // no limit is above the threshold of ten minutes
	return append(lines, fmt.Sprintf("burn threshold for %s of contact with bare smooth metal: %s °C, not below the limit", spoken(t.Contact), short(t.FromCelsius)))
}

// spoken prints a contact time in its largest whole unit.
func spoken(d time.Duration) string {
	switch {
	case d%time.Hour == 0:
		return fmt.Sprintf("%d h", d/time.Hour)
	case d%time.Minute == 0:
		return fmt.Sprintf("%d min", d/time.Minute)
	}
	return fmt.Sprintf("%d s", d/time.Second)
}

// infraredLines works the correction of the last reading.
func infraredLines(m touch.Measurement, j touch.Judgement) []string {
	indicated := m.Readings[len(m.Readings)-1].Kelvin
	corrected, err := touch.Correct(indicated, *m.Emissivity, *m.Ambient)
	if err != nil {
		return nil
	}
	e := *m.Emissivity
	lines := []string{
		fmt.Sprintf("Tm = %s + 273.15 = %s K, Ta = %s + 273.15 = %s K, e = %s",
			degrees(indicated), plain(indicated, 2), degrees(*m.Ambient), plain(*m.Ambient, 2), short(e)),
		"Tm^4 = e x T^4 + (1 - e) x Ta^4, the instrument being set to 1",
		fmt.Sprintf("T^4 = (%s^4 - %s x %s^4) / %s", plain(indicated, 2), short(1-e), plain(*m.Ambient, 2), short(e)),
		fmt.Sprintf("T = %s K - 273.15 = %s", plain(corrected, 2), degrees(corrected)),
	}
	if last, _ := j.Last(); last > corrected {
		lines = append(lines, fmt.Sprintf("the correction would lower the reading; judged as read, %s", degrees(last)))
	}
	return lines
}

// readingLines lists the readings that decide: first, one before last, last.
func readingLines(m touch.Measurement, j touch.Judgement) []string {
	n := len(j.Surface)
	start := m.Readings[0].After
	line := func(label string, i int) string {
		return fmt.Sprintf("%s: %s at %s s", label, degrees(j.Surface[i]), plain((m.Readings[i].After-start).Seconds(), 0))
	}
	lines := []string{line("reading 1", 0)}
	if n < touch.FewestReadings {
		return lines
	}
	if n > touch.FewestReadings {
		lines = append(lines, line(fmt.Sprintf("reading %d", n-1), n-2))
	}
	lines = append(lines, line(fmt.Sprintf("reading %d, the last", n), n-1))
	return append(lines, fmt.Sprintf("rise of the last over the first and over the one before it: at most %s, allowed %s",
		kelvins(j.Rise), kelvins(touch.RiseAllowed)))
}
