// The rule of this file: lambda from gases is told with where it lies, and a
// diluted sample is no evidence either way.

package checks

import (
	"fenderside/checks/exhaustgas"
	"fenderside/checks/quantity"
)

func exhaustLambda() Check {
	c := Check{
		Name:  "lambda",
		Title: "Lambda from four or five exhaust gases",
		Doc: "Works out lambda from what an analyser shows, by Brettschneider's formula for petrol, and holds it against the limits of an emissions test at raised idle. " +
			"A leak ahead of the probe makes it read lean; a diluted sample is not judged.",
		Inputs: []Input{
			needs("co2", quantity.Ratio, "by volume, such as 14.5 %"),
			needs("co", quantity.Ratio, "by volume, such as 0.5 %"),
			needs("o2", quantity.Ratio, "by volume, such as 0.5 %"),
			needs("hc", quantity.Ratio, "by volume as hexane, such as 100 ppm"),
			takes("no", quantity.Ratio, "by volume, such as 100 ppm; left out with a four-gas analyser"),
		},
		Outputs: []Output{{Name: "lambda", Decimals: 3, Doc: "air given over air needed"}},
		Sources: []string{"Brettschneider, as in directive 98/69/EC (constants from memory)", exhaustgas.InspectLow.Source, exhaustgas.LeastCarbon.Source},
		Example: Arguments{"co2": one("14.5 %"), "co": one("0.5 %"), "o2": one("0.5 %"), "hc": one("100 ppm")},
	}
	c.Run = c.runExhaustLambda
	return c
}

func (c Check) runExhaustLambda(args Arguments) (Result, error) {
	percent := func(name string) float64 { return settle(100 * args.base(name, 0)) }
	g := exhaustgas.Gases{CO2: percent("co2"), CO: percent("co"), O2: percent("o2"), HC: settle(1e6 * args.base("hc", 0))}
	if args.has("no") {
		no := percent("no")
		g.NO = &no
	}
	m, err := g.Lambda()
	if err != nil {
		return Result{}, err
	}
	verdict := Fail
	switch m.Verdict {
	case exhaustgas.Within:
		verdict = Pass
	case exhaustgas.Diluted:
		verdict = More
	}
	return c.result(verdict, m.Because, m.Workings, amount("lambda", m.Lambda))
}
