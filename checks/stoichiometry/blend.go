// The rule of this file: a blend is sold by volume and burns by mass.

package stoichiometry

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// Part is one liquid of a blend.
type Part struct {
	Name    string
	Volume  float64 // share by volume, any one unit
	Density float64 // kg/L, or any one unit
	Ratio   float64 // stoichiometric air-fuel ratio by mass
	Source  string
}

// Share is a part's share of the mass of a blend.
type Share struct {
	Name string
	Mass float64 // fraction
}

// Blended is a blend's air-fuel ratio.
type Blended struct {
	Ratio    float64
	Density  float64 // of the blend, in the unit of the parts, volumes taken to add up
	Shares   []Share
	Workings []string
	Because  string
	Sources  []string
}

// Blend works out the stoichiometric ratio of a blend, Σ(V·ρ·AFR)/Σ(V·ρ): the
// mean by mass, not by volume. Volumes are taken to add up, which water-free
// fuels do within 1 %. Errors: no part, a figure that is not positive.
func Blend(parts []Part) (Blended, error) {
	if len(parts) == 0 || len(parts) > 10 {
		return Blended{}, fmt.Errorf("blend of %d parts: give 1 to 10", len(parts))
	}
	var b Blended
	var volume, mass, air float64
	for _, p := range parts {
		if err := p.check(); err != nil {
			return Blended{}, err
		}
		m := float64(p.Volume * p.Density)
		volume, mass, air = volume+p.Volume, mass+m, air+float64(m*p.Ratio)
		b.Workings = append(b.Workings, fmt.Sprintf("%s: %.4g x %.4g = %.5g of mass, x AFR %.4g = %.5g of air", p.Name, p.Volume, p.Density, m, p.Ratio, float64(m*p.Ratio)))
		b.Sources = append(b.Sources, p.Source)
	}
	if mass == 0 {
		return Blended{}, fmt.Errorf("blend: no part has any volume; give the shares by volume")
	}
	b.Ratio, b.Density = air/mass, mass/volume
	for _, p := range parts {
		b.Shares = append(b.Shares, Share{p.Name, float64(p.Volume*p.Density) / mass})
	}
	b.Workings = append(b.Workings, fmt.Sprintf("AFR = %.5g / %.5g = %.3f", air, mass, b.Ratio))
	b.Because = fmt.Sprintf("the blend needs %.3f of air to 1 of fuel by mass", b.Ratio)
	return b, nil
}

func (p Part) check() error {
	for _, x := range []struct {
		what  string
		value float64
		least float64
	}{{"volume", p.Volume, 0}, {"density", p.Density, 1e-6}, {"air-fuel ratio", p.Ratio, 1e-6}} {
		if math.IsNaN(x.value) || x.value < x.least || x.value > 1e6 {
			return fmt.Errorf("%s of %q %g: must be more than zero and less than a million; look it up again", x.what, p.Name, x.value)
		}
	}
	return nil
}

// The parts of the ethanol blends sold, by the trade's rounded figures.
var (
	ethanolPart = Part{Name: "ethanol", Density: 0.789, Ratio: 9.0, Source: "density and AFR of ethanol: trade figures (from memory)"}
	petrolPart  = Part{Name: "petrol", Density: 0.745, Ratio: 14.7, Source: "density of petrol from memory, AFR: " + tradeSource}
)

var ethanolName = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[eE]([0-9]{1,3})$`) })

// ParseBlend reads the name of an ethanol blend, E0 to E100: the percentage of
// ethanol by volume. What the pump sells may hold less: E85 is 51 to 83 % by
// season (ASTM D5798, from memory), so measure where it matters.
func ParseBlend(text string) ([]Part, error) {
	m := ethanolName().FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return nil, fmt.Errorf("blend %q: write an ethanol blend as E10 or E85", text)
	}
	percent, _ := strconv.Atoi(m[1])
	if percent > 100 {
		return nil, fmt.Errorf("blend %q: more than 100 %% of ethanol; write it as E10 or E85", text)
	}
	ethanol, petrol := ethanolPart, petrolPart
	ethanol.Volume, petrol.Volume = float64(percent)/100, float64(100-percent)/100
	return []Part{ethanol, petrol}, nil
}
