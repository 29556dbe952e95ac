// The rule of this file: a quiet rear sensor speaks for the catalyst only if
// the rear sensor is alive and the front one was switching.

package trace

import (
	"fmt"
	"strings"
)

// CatalystLimits are the greatest ratios of rear to front that a catalyst may
// show, and the fewest crossings in front from which a ratio means anything.
// One that is not given is not judged; at least one ratio must be.
type CatalystLimits struct {
	Crossings Limit // rear crossings a second over front
	Swing     Limit // rear maximum - minimum over front
	Front     Limit // fewest crossings of the front sensor
}

// UsualCatalyst gives ratios to be used where the maker names none. They come
// from no standard: the makers' own monitors set theirs for each engine.
func UsualCatalyst() CatalystLimits {
	return CatalystLimits{
		Crossings: Limit{0.7, CommonPractice},
		Front:     Limit{10, OwnDefault},
	}
}

// CatalystReport is the rear sensor set against the front one. A ratio is 0
// where it was not made.
type CatalystReport struct {
	CrossingRatio, SwingRatio float64
	Verdict                   Verdict
	Because                   string
	Findings                  []Finding
	Workings                  []string // the first two are of the front signal and of the rear one
}

// Catalyst compares a narrow-band sensor behind the catalyst with one in front
// of it, both measured over the same stretch of steady driving. A catalyst that
// stores oxygen keeps the rear signal from following the front one. Errors: no
// ratio limited, a limit that is negative or not a number, traces that are not
// narrow-band voltages with one switching level.
func Catalyst(front, rear Report, limits CatalystLimits) (CatalystReport, error) {
	if err := limits.check(); err != nil {
		return CatalystReport{}, err
	}
	if front.Signal != NarrowBandVoltage || rear.Signal != NarrowBandVoltage {
		return CatalystReport{}, fmt.Errorf("catalyst: front %s, rear %s: the ratios need two narrow-band voltages", front.Signal, rear.Signal)
	}
	if !sameSwitch(front, rear) {
		return CatalystReport{}, fmt.Errorf("catalyst: front and rear were not counted at one switching level and hysteresis; analyse both with the same")
	}
	c := CatalystReport{Workings: []string{
		fmt.Sprintf("front: %d crossings in %s = %.2f a second; swing %s", front.Crossings, seconds(front.Observed), front.Rate, front.Signal.show(front.Swing())),
		fmt.Sprintf("rear: %d crossings in %s = %.2f a second; swing %s", rear.Crossings, seconds(rear.Observed), rear.Rate, rear.Signal.show(rear.Swing())),
	}}
	if why := unfit(front, rear, limits); why != "" {
		c.Verdict, c.Because = CannotTell, why
	} else {
		c.judge(front, rear, limits)
	}
	c.Workings = append(c.Workings, "verdict on the catalyst: "+string(c.Verdict))
	return c, nil
}

func (l CatalystLimits) check() error {
	if !l.Crossings.Given() && !l.Swing.Given() {
		return fmt.Errorf("catalyst: no ratio is limited; give one with its source")
	}
	for _, each := range []namedLimit{
		{"ratio of crossings", l.Crossings, notNegative}, {"ratio of swings", l.Swing, notNegative}, {"front crossings", l.Front, notNegative},
	} {
		if err := each.check(); err != nil {
			return fmt.Errorf("catalyst: %w", err)
		}
	}
	return nil
}

// unfit says why the two traces cannot speak for the catalyst; empty if they can.
func unfit(front, rear Report, limits CatalystLimits) string {
	coarsest := max(front.Interval-front.Limits.countable(), rear.Interval-rear.Limits.countable())
	switch {
	case !(front.Observed > 0) || !(rear.Observed > 0):
		return "one of the two signals was not observed: measure both in closed loop"
	case front.Crossings == 0 || float64(front.Crossings) < limits.Front.Value:
		return fmt.Sprintf("the front sensor crossed %d times (at least %.0f to compare): put the front sensor or the control right first",
			front.Crossings, max(limits.Front.Value, 1))
	case rear.Flagged(Silent) || rear.Flagged(Beyond) || rear.Swing() <= rear.Limits.Still.Value:
		return "the rear sensor gives no signal, which looks the same as a good catalyst: prove the rear sensor first"
	case limits.Crossings.Given() && coarsest > moment:
		return "sampled too slowly to count crossings: log fewer values at once"
	case differ(front.Observed, rear.Observed):
		return fmt.Sprintf("front observed for %s and rear for %s: measure both over the same stretch", seconds(front.Observed), seconds(rear.Observed))
	}
	return ""
}

// differ reports whether one observation is less than half the other.
func differ(a, b float64) bool { return a < b/2 || b < a/2 }

func (c *CatalystReport) judge(front, rear Report, limits CatalystLimits) {
	c.CrossingRatio = rear.Rate / front.Rate
	c.SwingRatio = rear.Swing() / front.Swing()
	c.ratio("crossings, rear over front", c.CrossingRatio, limits.Crossings)
	c.ratio("swing, rear over front", c.SwingRatio, limits.Swing)
	var said []string
	c.Verdict = Healthy
	for _, f := range c.Findings {
		c.Workings = append(c.Workings, f.Said+sources(f.Limits))
		if f.Outcome == NotMet {
			c.Verdict = Suspect
			said = append(said, f.Said)
		}
	}
	c.Because = "the rear signal does not follow the front one: " + c.Findings[0].Said
	if c.Verdict == Suspect {
		c.Because = "the rear signal follows the front one: " + strings.Join(said, "; ") +
			"; rule out a leak of the exhaust and the maker's own test first"
	}
}

func (c *CatalystReport) ratio(about string, ratio float64, limit Limit) {
	if !limit.Given() {
		return
	}
	outcome := Met
	if ratio > limit.Value+hair {
		outcome = NotMet
	}
	said := fmt.Sprintf("%s %.2f (at most %g): %s", about, ratio, limit.Value, outcome)
	c.Findings = append(c.Findings, Finding{About: about, Outcome: outcome, Said: said, Limits: []Limit{limit}})
}
