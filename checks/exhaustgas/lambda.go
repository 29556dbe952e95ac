// Package exhaustgas works out lambda from what a four- or five-gas analyser
// shows of an exhaust, by the formula of Brettschneider as the European
// directive 98/69/EC prints it (constants from memory).
package exhaustgas

// The rule of this file: lambda is reckoned from the gases alone, and gases that
// no engine makes are refused rather than reckoned with.

import (
	"fmt"
	"math"
)

// Limit is a figure that decides, and where it is from.
type Limit struct {
	Value  float64
	Source string
}

const directive = "98/69/EC (from memory)"

// Constants are those of the formula.
type Constants struct {
	Hexane   Limit // K1: % of carbon atoms a ppm of HC stands for, as hexane by infrared
	Hydrogen Limit // Hcv: hydrogen per carbon in the fuel
	Oxygen   Limit // Ocv: oxygen per carbon in the fuel
	WaterGas Limit // K of the water-gas balance
}

// Petrol is the set of constants for petrol.
var Petrol = Constants{
	Hexane: Limit{6e-4, directive}, Hydrogen: Limit{1.7261, directive}, Oxygen: Limit{0.0176, directive}, WaterGas: Limit{3.5, directive},
}

// The figures that decide a verdict.
var (
	LeastCarbon = Limit{6, "40 CFR 51, subpart S, appendix B: CO + CO2 below 6 % is a diluted sample (from memory)"}
	MostCarbon  = Limit{25, "computed: petrol burnt in air gives about 15 % at lambda 1 and 23 % at 0.75, where engines misfire"}
	InspectLow  = Limit{0.97, "directive 2014/45/EU, annex I: lambda 1 ± 0.03 at raised idle where the maker gives none (from memory)"}
	InspectHigh = Limit{1.03, "directive 2014/45/EU, annex I: lambda 1 ± 0.03 at raised idle where the maker gives none (from memory)"}
)

// Gases is what the analyser shows of the dry exhaust.
type Gases struct {
	CO2, CO, O2 float64  // % by volume
	HC          float64  // ppm by volume, as hexane
	NO          *float64 // % by volume; nil for a four-gas analyser (1000 ppm is 0.1 %)
}

// Verdict says where lambda lies.
type Verdict string

// The verdicts. Diluted samples get none: their lambda is that of exhaust and
// leaked-in air together.
const (
	Rich    Verdict = "rich"
	Within  Verdict = "within limits"
	Lean    Verdict = "lean"
	Diluted Verdict = "diluted sample"
)

// Mixture is what the gases tell.
type Mixture struct {
	Lambda   float64
	Verdict  Verdict
	Because  string
	Limits   []Limit // InspectLow, InspectHigh, LeastCarbon
	Workings []string
	Sources  []string
}

// Lambda works out lambda with the constants of petrol. See LambdaOf.
func (g Gases) Lambda() (Mixture, error) { return g.LambdaOf(Petrol) }

// LambdaOf works out lambda for a fuel of those constants:
//
//	λ = {CO2 + CO/2 + O2 + NO/2 + [Hcv/4·K/(K + CO/CO2) - Ocv/2]·(CO2 + CO)}
//	    / {(1 + Hcv/4 - Ocv/2)·(CO2 + CO + K1·HC)}
//
// Valid for a sample taken before a catalyst or behind one, without added air;
// an exhaust leak before the probe makes it read lean. Errors: a gas outside
// what an analyser can show, no CO2 at all (a probe in the open air, an engine
// that does not run), constants that no fuel has.
func (g Gases) LambdaOf(c Constants) (Mixture, error) {
	if err := g.check(); err != nil {
		return Mixture{}, err
	}
	if err := c.check(); err != nil {
		return Mixture{}, err
	}
	carbon := g.CO2 + g.CO
	water := c.Hydrogen.Value / 4 * c.WaterGas.Value / (c.WaterGas.Value + g.CO/g.CO2)
	bound := float64((water - c.Oxygen.Value/2) * carbon)
	given := g.CO2 + g.CO/2 + g.O2 + g.no()/2 + bound
	perCarbon := 1 + c.Hydrogen.Value/4 - c.Oxygen.Value/2
	fuel := carbon + float64(c.Hexane.Value*g.HC)
	m := Mixture{Lambda: given / float64(perCarbon*fuel), Limits: []Limit{InspectLow, InspectHigh, LeastCarbon}, Sources: c.sources()}
	if math.IsNaN(m.Lambda) || m.Lambda <= 0 || math.IsInf(m.Lambda, 0) {
		return Mixture{}, fmt.Errorf("lambda from CO2 %g %%, CO %g %%: no number; check the gases", g.CO2, g.CO)
	}
	m.Workings = []string{
		fmt.Sprintf("CO2 + CO/2 + O2 + NO/2 = %.4g + %.4g + %.4g + %.4g = %.5g", g.CO2, g.CO/2, g.O2, g.no()/2, given-bound),
		fmt.Sprintf("water: %.5g x %.4g / (%.4g + %.4g/%.4g) - %.4g = %.5g, x (CO2 + CO) %.5g = %.5g",
			c.Hydrogen.Value/4, c.WaterGas.Value, c.WaterGas.Value, g.CO, g.CO2, c.Oxygen.Value/2, water-c.Oxygen.Value/2, carbon, bound),
		fmt.Sprintf("fuel: %.6g x (%.5g + %.4g x %.5g) = %.6g", perCarbon, carbon, c.Hexane.Value, g.HC, float64(perCarbon*fuel)),
		fmt.Sprintf("lambda = %.6g / %.6g = %.4f", given, float64(perCarbon*fuel), m.Lambda),
	}
	if g.NO == nil {
		m.Workings = append(m.Workings, "note: no NO reading, taken as none; 0.1 % of it would add about 0.003")
	}
	m.judge(carbon)
	return m, nil
}

func (m *Mixture) judge(carbon float64) {
	switch {
	case carbon < LeastCarbon.Value:
		m.Verdict = Diluted
		m.Because = fmt.Sprintf("CO + CO2 is %.2f %%, under %.0f %%: air got into the sample; find the leak, push the probe in further and measure again", carbon, LeastCarbon.Value)
	case m.Lambda < InspectLow.Value-hair:
		m.Verdict = Rich
		m.Because = fmt.Sprintf("lambda %.3f is below %.2f: less air than the fuel needs", m.Lambda, InspectLow.Value)
	case m.Lambda > InspectHigh.Value+hair:
		m.Verdict = Lean
		m.Because = fmt.Sprintf("lambda %.3f is above %.2f: more air than the fuel needs, or an exhaust leak before the probe; rule the leak out first", m.Lambda, InspectHigh.Value)
	default:
		m.Verdict = Within
		m.Because = fmt.Sprintf("lambda %.3f lies in %.2f to %.2f", m.Lambda, InspectLow.Value, InspectHigh.Value)
	}
}

// hair keeps the last binary digits from deciding at an exact limit.
const hair = 1e-12

func (g Gases) no() float64 {
	if g.NO == nil {
		return 0
	}
	return *g.NO
}

func (g Gases) check() error {
	for _, x := range []struct {
		name, unit  string
		value, most float64
	}{{"CO2", "%", g.CO2, 25}, {"CO", "%", g.CO, 20}, {"O2", "%", g.O2, 21}, {"HC", "ppm", g.HC, 60000}, {"NO", "%", g.no(), 2}} {
		if math.IsNaN(x.value) || x.value < 0 || x.value > x.most {
			return fmt.Errorf("%s %g %s: outside 0 to %g %s; read the analyser and its unit again", x.name, x.value, x.unit, x.most, x.unit)
		}
	}
	if g.CO2 < 0.01 {
		return fmt.Errorf("CO2 %g %%: there is no exhaust in this sample, so no lambda; check that the engine runs and the probe is in", g.CO2)
	}
	if sum := g.CO2 + g.CO; sum > MostCarbon.Value {
		return fmt.Errorf("CO2 and CO together %g %%: more than %g %%, which no petrol engine makes; let the analyser zero itself and measure again", sum, MostCarbon.Value)
	}
	return nil
}

func (c Constants) check() error {
	for _, x := range []struct {
		name       string
		value      float64
		least, top float64
	}{{"K1", c.Hexane.Value, 0, 0.01}, {"Hcv", c.Hydrogen.Value, 0, 4}, {"Ocv", c.Oxygen.Value, 0, 1}, {"water-gas constant", c.WaterGas.Value, 0.1, 20}} {
		if math.IsNaN(x.value) || x.value < x.least || x.value > x.top {
			return fmt.Errorf("%s %g: outside %g to %g; use the constants of the directive for petrol", x.name, x.value, x.least, x.top)
		}
	}
	return nil
}

func (c Constants) sources() []string {
	return []string{"formula: Brettschneider, as in 98/69/EC", "K1: " + c.Hexane.Source, "Hcv: " + c.Hydrogen.Source, "Ocv: " + c.Oxygen.Source, "water-gas constant: " + c.WaterGas.Source}
}
