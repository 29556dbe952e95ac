// The rule of this file: air is reckoned for the fuel that is named, and a blend
// by mass.

package checks

import (
	"fmt"
	"strconv"
	"strings"

	"fenderside/checks/quantity"
	"fenderside/checks/stoichiometry"
)

func stoichiometricRatio() Check {
	c := Check{
		Name:    "stoichiometry",
		Title:   "Air that a fuel needs",
		Doc:     "Works out the air-fuel ratio by mass for complete burning, from a fuel's name or its formula of carbon, hydrogen and oxygen. A fuel on the market is a mixture: its figure is a mean.",
		Reckons: true,
		Inputs:  []Input{{Name: "fuel", Kind: KindText, Doc: "a name such as petrol or propane, or a formula such as C8H18 or CH1.85"}},
		Outputs: []Output{
			{Name: "ratio", Decimals: 3, Doc: "mass of air for each mass of fuel"},
			{Name: "formula", Words: true, Doc: "as it was read"},
		},
		Sources: []string{stoichiometry.AirPerOxygen.Source, "trade figure for petrol 14.7: " + stoichiometry.TradeRatio.Source},
		Example: Arguments{"fuel": text("petrol")},
	}
	c.Run = c.runStoichiometry
	return c
}

func (c Check) runStoichiometry(args Arguments) (Result, error) {
	formula, source, err := fuelOf(args["fuel"].Text)
	if err != nil {
		return Result{}, fmt.Errorf("fuel: %w", err)
	}
	need, err := formula.Stoichiometric()
	if err != nil {
		return Result{}, fmt.Errorf("fuel: %w", err)
	}
	lines := need.Workings
	if source != "" {
		lines = append(lines, "formula "+formula.String()+": "+source)
	}
	said := fmt.Sprintf("%s needs %s times its mass of air", formula, plain(need.Ratio, 3))
	if trade := stoichiometry.TradeRatio; strings.EqualFold(strings.TrimSpace(args["fuel"].Text), "petrol") {
		said += fmt.Sprintf("; the trade reckons with %s for petrol on the market", short(trade.Value))
		lines = append(lines, fmt.Sprintf("the trade's figure for petrol, %s: %s", short(trade.Value), trade.Source))
	}
	return c.result(None, said, lines,
		amount("ratio", need.Ratio), stated("formula", formula.String()))
}

// fuelOf finds a fuel by name, or reads a formula.
func fuelOf(said string) (f stoichiometry.Formula, source string, err error) {
	known, unknown := stoichiometry.Find(said)
	if unknown == nil {
		return known.Formula, known.Source, nil
	}
	if f, err = stoichiometry.ParseFormula(said); err == nil {
		return f, "", nil
	}
	if strings.ContainsAny(said, "0123456789") {
		return f, "", err
	}
	return f, "", unknown
}

// ratioOf is the stoichiometric ratio of a fuel, or of petrol as the trade has
// it where none is named.
func ratioOf(args Arguments) (ratio float64, of string, err error) {
	if !args.has("fuel") {
		return stoichiometry.TradeRatio.Value, "petrol, the trade's figure", nil
	}
	said := args["fuel"].Text
	if parts, blend := stoichiometry.ParseBlend(said); blend == nil {
		b, err := stoichiometry.Blend(parts)
		return b.Ratio, said, err
	}
	f, _, err := fuelOf(said)
	if err != nil {
		return 0, "", fmt.Errorf("fuel: %w", err)
	}
	need, err := f.Stoichiometric()
	return need.Ratio, said, err
}

func blendRatio() Check {
	c := Check{
		Name:    "blend",
		Title:   "Air that a blend of fuels needs",
		Doc:     "Works out the air-fuel ratio of a blend given by volume, as the mean by mass. What a pump sells as E85 may hold less ethanol by season.",
		Reckons: true,
		Inputs:  []Input{{Name: "blend", Kind: KindText, Doc: "an ethanol blend such as E85, or shares by volume such as 85 ethanol, 15 petrol"}},
		Outputs: []Output{
			{Name: "ratio", Decimals: 3, Doc: "mass of air for each mass of the blend"},
			{Name: "density", Decimals: 3, Unit: "kg/L", Doc: "volumes taken to add up"},
			{Name: "mass", Many: true, Doc: "share of a part by mass"},
		},
		Sources: []string{"Σ(V·ρ·AFR) / Σ(V·ρ)", stoichiometry.AirPerOxygen.Source, "trade figure for petrol 14.7: " + stoichiometry.TradeRatio.Source},
		Example: Arguments{"blend": text("E85")},
	}
	c.Run = c.runBlend
	return c
}

func (c Check) runBlend(args Arguments) (Result, error) {
	parts, err := partsOf(args["blend"].Text)
	if err != nil {
		return Result{}, err
	}
	b, err := stoichiometry.Blend(parts)
	if err != nil {
		return Result{}, fmt.Errorf("blend: %w", err)
	}
	figures := []named{amount("ratio", b.Ratio), amount("density", b.Density)}
	for _, s := range b.Shares {
		figures = append(figures, stated("mass: "+s.Name, plain(100*s.Mass, 1)+" %"))
	}
	return c.result(None, b.Because, b.Workings, figures...)
}

// partsOf reads E85, or shares by volume with the names of fuels.
func partsOf(said string) ([]stoichiometry.Part, error) {
	parts, notNamed := stoichiometry.ParseBlend(said)
	if notNamed == nil {
		return parts, nil
	}
	if !strings.Contains(said, ",") {
		return nil, notNamed
	}
	for _, one := range strings.Split(said, ",") {
		share, name, _ := strings.Cut(strings.TrimSpace(one), " ")
		volume, err := strconv.ParseFloat(strings.TrimSuffix(share, "%"), 64)
		if err != nil || !(volume > 0 && volume <= 1e6) {
			return nil, fmt.Errorf("blend: %q is no share and fuel; write them as 85 ethanol, 15 petrol", clip(one))
		}
		fuel, err := stoichiometry.Find(strings.TrimPrefix(strings.TrimSpace(name), "% "))
		if err != nil {
			return nil, fmt.Errorf("blend: %w", err)
		}
		need, err := fuel.Formula.Stoichiometric()
		if err != nil {
			return nil, fmt.Errorf("blend: %w", err)
		}
		parts = append(parts, stoichiometry.Part{Name: fuel.Name, Volume: volume, Density: fuel.Density, Ratio: need.Ratio, Source: fuel.Source})
	}
	return parts, nil
}

func airFuel() Check {
	c := Check{
		Name:    "air-fuel",
		Title:   "Lambda and air-fuel ratio, one from the other",
		Doc:     "Turns lambda into an air-fuel ratio by mass and back. An instrument that shows a ratio was scaled for one fuel: name that fuel, not the one in the tank.",
		Reckons: true,
		Inputs: []Input{
			takes("lambda", quantity.Number, "this or ratio"),
			takes("ratio", quantity.Number, "air-fuel ratio by mass, such as 14.7; this or lambda"),
			{Name: "fuel", Kind: KindText, Optional: true, Doc: "name, formula or ethanol blend; petrol at the trade's 14.7 when left out"},
		},
		Outputs: []Output{
			{Name: "lambda", Decimals: 3, Doc: "air given over air needed"},
			{Name: "ratio", Decimals: 2, Doc: "air-fuel ratio by mass"},
			{Name: "equivalence", Decimals: 3, Doc: "1 / lambda"},
		},
		Sources: []string{"λ = AFR / stoichiometric AFR", "trade figure for petrol 14.7: " + stoichiometry.TradeRatio.Source},
		Example: Arguments{"lambda": one("0.9")},
	}
	c.Run = c.runAirFuel
	return c
}

func (c Check) runAirFuel(args Arguments) (Result, error) {
	if args.has("lambda") == args.has("ratio") {
		return Result{}, fmt.Errorf("lambda, ratio: give one of the two")
	}
	stoichiometric, of, err := ratioOf(args)
	if err != nil {
		return Result{}, err
	}
	var m stoichiometry.Mixture
	if args.has("lambda") {
		m, err = stoichiometry.FromLambda(args.base("lambda", 0), stoichiometric)
	} else {
		m, err = stoichiometry.FromRatio(args.base("ratio", 0), stoichiometric)
	}
	if err != nil {
		return Result{}, err
	}
	lines := append([]string{fmt.Sprintf("stoichiometric ratio of %s: %s", of, plain(stoichiometric, 3))}, m.Workings...)
	return c.result(None, m.Because, lines, amount("lambda", m.Lambda), amount("ratio", m.Ratio), amount("equivalence", m.Equivalence))
}
