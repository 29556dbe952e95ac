// The rule of this file: lambda is the same for every fuel, the air-fuel ratio
// is not; each conversion names the ratio it used.

package stoichiometry

import (
	"fmt"
	"math"
)

// Mixture is one mixture said both ways.
type Mixture struct {
	Lambda         float64
	Ratio          float64 // air-fuel ratio by mass
	Equivalence    float64 // 1/lambda
	Stoichiometric float64 // the ratio of the fuel that was used
	Workings       []string
	Because        string
}

// FromLambda gives the air-fuel ratio of a lambda for a fuel of that
// stoichiometric ratio: AFR = λ·AFRst. Lambda 0.2 to 20.
func FromLambda(lambda, stoichiometric float64) (Mixture, error) {
	if err := plausible(lambda, stoichiometric); err != nil {
		return Mixture{}, err
	}
	m := mixture(lambda, stoichiometric)
	m.Workings = []string{fmt.Sprintf("AFR = lambda x stoichiometric = %.4f x %.4g = %.3f", lambda, stoichiometric, m.Ratio)}
	return m, nil
}

// FromRatio gives the lambda of an air-fuel ratio: λ = AFR/AFRst. An instrument
// that shows a ratio was scaled for one fuel; give that fuel's ratio here, not
// the one in the tank.
func FromRatio(ratio, stoichiometric float64) (Mixture, error) {
	if math.IsNaN(ratio) || ratio <= 0 || ratio > 1e4 {
		return Mixture{}, fmt.Errorf("air-fuel ratio %g: must be more than zero; read it again", ratio)
	}
	if err := plausible(1, stoichiometric); err != nil {
		return Mixture{}, err
	}
	if err := plausible(ratio/stoichiometric, stoichiometric); err != nil {
		return Mixture{}, fmt.Errorf("air-fuel ratio %g over %g: %w", ratio, stoichiometric, err)
	}
	m := mixture(ratio/stoichiometric, stoichiometric)
	m.Ratio = ratio
	m.Workings = []string{fmt.Sprintf("lambda = AFR / stoichiometric = %.4g / %.4g = %.4f", ratio, stoichiometric, m.Lambda)}
	return m, nil
}

func mixture(lambda, stoichiometric float64) Mixture {
	m := Mixture{Lambda: lambda, Ratio: lambda * stoichiometric, Equivalence: 1 / lambda, Stoichiometric: stoichiometric}
	switch {
	case math.Abs(lambda-1) < 5e-5:
		m.Because = "stoichiometric: just the air the fuel needs"
	case lambda < 1:
		m.Because = fmt.Sprintf("rich: %.1f %% less air than the fuel needs", (1-lambda)*100)
	default:
		m.Because = fmt.Sprintf("lean: %.1f %% more air than the fuel needs", (lambda-1)*100)
	}
	return m
}

func plausible(lambda, stoichiometric float64) error {
	if math.IsNaN(stoichiometric) || stoichiometric < 0.5 || stoichiometric > 50 {
		return fmt.Errorf("stoichiometric ratio %g: outside 0.5 to 50; petrol is about 14.7", stoichiometric)
	}
	if math.IsNaN(lambda) || lambda < 0.2 || lambda > 20 {
		return fmt.Errorf("lambda %g: outside 0.2 to 20, where an engine runs; read it again", lambda)
	}
	return nil
}
