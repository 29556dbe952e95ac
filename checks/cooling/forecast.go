// The rule of this file: a forecast is a time with an interval, and no promise:
// the surface is measured again before a hand goes near.

package cooling

import (
	"fmt"
	"math"
	"slices"

	"fenderside/checks/touch"
)

// Forecast is when the law reaches a temperature. Times are seconds on the
// clock of the readings, negative before it began.
type Forecast struct {
	Outcome  Outcome
	Because  string
	Fit      Fit
	Target   float64 // K
	After    float64 // s
	Between  Range   // s, at the confidence of the fit
	Wait     float64 // s from the last reading to Between.High, 0 once past
	Far      bool    // reaches far beyond the readings
	Workings []string
}

// Minute is the whole minute on the clock of the readings by which the target
// is expected, and the one by which even the late end of the interval is past.
func (f Forecast) Minute() (expected, latest int) {
	return int(math.Ceil(f.After/60 - hair)), int(math.Ceil(f.Between.High/60 - hair))
}

// Caution goes with every forecast.
const Caution = "a forecast says when to measure again, never that a surface may be touched; a very hot exhaust cools slower later than its first readings suggest"

// Forecast fits the law and works out when it reaches a temperature in K, which
// may lie before the readings. Errors name an input that cannot be; readings
// that cannot tell give an Outcome other than Told and no error.
func (m Measurement) Forecast(target float64) (Forecast, error) {
	if err := touch.Plausible("target temperature", target); err != nil {
		return Forecast{}, err
	}
	fit, err := m.Fit()
	if err != nil {
		return Forecast{}, err
	}
	f := Forecast{Outcome: fit.Outcome, Because: fit.Because, Fit: fit, Target: target, Workings: slices.Clone(fit.Workings)}
	if m.Ambient != nil && target <= *m.Ambient+hair { // no readings could help
		f.Outcome, f.Because = TargetAtAmbient, fmt.Sprintf("the target %s is at or below the ambient %s: cooling never gets there; if that ambient is right, wait for cooler air or go to a cooler place", celsius(target), celsius(*m.Ambient))
	}
	if f.Outcome != Told {
		return f, nil
	}
	if target <= fit.Ambient+hair {
		f.Outcome, f.Because = TargetAtAmbient, fmt.Sprintf("the target %s is at or below the ambient %s that the readings point to: cooling never gets there", celsius(target), celsius(fit.Ambient))
		return f, nil
	}
	f.reckon(m)
	return f, nil
}

func (f *Forecast) reckon(m Measurement) {
	fit := f.Fit
	ratio := (fit.Start - fit.Ambient) / (f.Target - fit.Ambient)
	scaled, ok := fit.region.times(f.Target)
	if !ok {
		f.Outcome, f.Because = TooNoisy, fmt.Sprintf("within the scatter of the thermometer the ambient (%s to %s) may be at the target already: measure the ambient, or take more readings",
			celsius(fit.Ambients.Low), celsius(fit.Ambients.High))
		return
	}
	f.After = fit.first + math.Log(ratio)/fit.Rate
	f.Between = Range{fit.first + float64(scaled.Low*fit.span), fit.first + float64(scaled.High*fit.span)}
	if width := f.Between.High - f.Between.Low; width > WidestInterval.Value*math.Max(math.Abs(f.After-fit.first), fit.span) {
		f.Outcome, f.Because = TooNoisy, fmt.Sprintf("the target may be reached between minute %.1f and minute %.1f, which is wider than the wait itself: take more readings", f.Between.Low/60, f.Between.High/60)
		return
	}
	last := fit.first + fit.span
	f.Wait = math.Max(0, f.Between.High-last)
	f.Far = f.After > last+float64(FarBeyond.Value*fit.span)
	f.explain(m.withDefaults(), ratio)
}

func (f *Forecast) explain(m Measurement, ratio float64) {
	fit := f.Fit
	last := fit.first + fit.span // whoever measures knows when that was, and not the minute of the first
	f.Because = fmt.Sprintf("%s is expected %.1f min after the last reading (%.1f to %.1f at %.4g %%); measure again then",
		celsius(f.Target), (f.After-last)/60, (f.Between.Low-last)/60, (f.Between.High-last)/60, m.Confidence.Value*100)
	if f.After <= last {
		f.Because = fmt.Sprintf("%s is expected to be reached by now; measure again", celsius(f.Target))
	}
	f.Workings = append(f.Workings,
		fmt.Sprintf("t = ln((T0 - Ta) / (T - Ta)) / k = ln(%.2f / %.2f) / %.6g = ln(%.5f) / %.6g = %.2f min after the first reading",
			fit.Start-fit.Ambient, f.Target-fit.Ambient, fit.Rate*60, ratio, fit.Rate*60, (f.After-fit.first)/60),
		fmt.Sprintf("every curve within the scatter passes %s between minute %.2f and minute %.2f", celsius(f.Target), f.Between.Low/60, f.Between.High/60))
	if f.Far {
		f.Workings = append(f.Workings, fmt.Sprintf("note: this is more than %.0f times the span of the readings past the last one; measure once more on the way", FarBeyond.Value))
	}
	f.Workings = append(f.Workings, "note: "+Caution)
}

// lines says how the fit came about.
func (f Fit) lines(m Measurement) []string {
	var lines []string
	if m.Ambient != nil {
		lines = append(lines, fmt.Sprintf("ambient given: Ta = %s, taken as exact", celsius(f.Ambient)))
	} else {
		lines = append(lines, fmt.Sprintf("ambient estimated: Ta = %s (%s to %s)", celsius(f.Ambient), celsius(f.Ambients.Low), celsius(f.Ambients.High)))
	}
	if len(m.Readings) == 2 && m.Ambient != nil {
		a, b := m.Readings[0].Kelvin-f.Ambient, m.Readings[1].Kelvin-f.Ambient
		lines = append(lines, fmt.Sprintf("k = ln((T1 - Ta) / (T2 - Ta)) / time = ln(%.2f / %.2f) / %.4g min = %.6g per min", a, b, f.span/60, f.Rate*60))
	} else {
		lines = append(lines, fmt.Sprintf("least squares through %d readings: T = %.2f + %.2f x exp(-%.6g x minutes), residual %.2f K",
			len(m.Readings), f.Ambient-273.15, f.Start-f.Ambient, f.Rate*60, f.Residual))
	}
	return append(lines, fmt.Sprintf("s = %.3g K from the residuals and a scatter of %.3g K, q = %.3f with %d degrees of freedom; k lies in %.6g to %.6g per min",
		f.Spread, m.Scatter.Value, f.Quantile, f.Freedom, f.Rates.Low*60, f.Rates.High*60))
}

func celsius(kelvin float64) string { return fmt.Sprintf("%.1f °C", kelvin-273.15) }
