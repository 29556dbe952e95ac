package audit

// The rule of this file: a person is in one place at a time, and two measurements of two vehicles are not the same
// figures. Where records say otherwise somebody should look; each comparison is counted and the count is reported, because
// among many pairs something always coincides.

import (
	"slices"
	"time"

	"fenderside/runner"
	"fenderside/runner/record"
)

const (
	// twinReadings is how many measured quantities two jobs must have in common, all of them and in order, to look like
	// twins. Own judgement: with figures of two digits, five alike by chance are rare; fewer happen with set tools.
	twinReadings = 5

	// atOnce is how long one person may seem to be in two jobs at a time: two laptops' clocks differ. Own judgement.
	atOnce = 2 * time.Minute
)

// stretch is a time in which one person worked on a job without a break.
type stretch struct {
	who      string
	from, to time.Time
}

// takeStretch adds a line to the stretch it belongs to. A break, a restart and another person begin a new one.
func (c *examined) takeStretch(l record.Line) {
	broken := slices.ContainsFunc(l.Events, func(e runner.Event) bool {
		_, is := e.(runner.Interrupted)
		_, resumed := e.(runner.Resumed)
		return is || resumed
	})
	if n := len(c.stretches); n > 0 && c.stretches[n-1].who == l.By && !broken {
		c.stretches[n-1].to = l.At
		return
	}
	c.stretches = append(c.stretches, stretch{l.By, l.At, l.At})
}

// compare holds every two records of real people against each other, and returns how many pairs that were. A rehearsal is
// left out: its script brings its own clock and figures.
func compare(standing []*examined) int {
	var people []*examined
	for _, c := range standing {
		if c.Mode != runner.Rehearsal {
			people = append(people, c)
		}
	}
	pairs := 0
	for i, a := range people {
		for _, b := range people[i+1:] {
			pairs++
			twoJobs(a, b)
			twins(a, b)
		}
	}
	return pairs
}

// twoJobs looks for a person at work in both records at once.
func twoJobs(a, b *examined) {
	for _, s := range a.stretches {
		for _, t := range b.stretches {
			if s.who != t.who {
				continue
			}
			from, to := latest(s.from, t.from), s.to
			if t.to.Before(to) {
				to = t.to
			}
			if to.Sub(from) > atOnce {
				a.atOnce(b, s.who, from, to)
				b.atOnce(a, s.who, from, to)
				return
			}
		}
	}
}

func (c *examined) atOnce(other *examined, who string, from, to time.Time) {
	c.look(0, "a soak, a fire watch or a cooling time ran in one while the other was worked on, or two laptops' clocks differ", askPerformer,
		"%s was at work in %s at the same time, from %s to %s", who, other.Job, clock(from), clock(to))
}

func clock(t time.Time) string { return t.UTC().Format("2006-01-02 15:04:05Z") }

// twins looks for two live jobs with the same measured values.
func twins(a, b *examined) {
	if a.Practice || b.Practice || len(a.readings) < twinReadings || !slices.Equal(a.readings, b.readings) {
		return
	}
	for _, pair := range [][2]*examined{{a, b}, {b, a}} {
		pair[0].look(0, "two vehicles alike, measured with coarse or preset tools", "look at both vehicles, or have a value or two measured again",
			"all %d measured values are the same, in the same order, as in %s", len(a.readings), pair[1].Job)
	}
}

// isMeasured says whether a reading is a quantity taken with an instrument or as a series; a figure copied from a plate
// would be the same on every vehicle of its kind.
func isMeasured(job *runner.Job, e runner.ReadingTaken) bool {
	st, ok := job.Procedure.StepByID(e.Step)
	if !ok {
		return false
	}
	for _, r := range st.Readings {
		if r.ID == e.Reading {
			return r.Kind == "quantity" && (r.Instrument >= 0 || r.Series)
		}
	}
	return false
}
