// The rule of this file: a trim is read with its bank, speed and load, and what
// its pattern points to stands beside what would tell the suspects apart.

package checks

import (
	"fmt"
	"strconv"
	"strings"

	"fenderside/checks/fueltrim"
	"fenderside/checks/location"
	"fenderside/checks/quantity"
)

func fuelTrim() Check {
	c := Check{
		Name:  "fuel-trim",
		Title: "What the fuel trims point to",
		Doc: "Adds short and long trim for each bank at idle, at raised speed and under load, and says what their pattern points to: a leak, fuel, the air meter, or the sensor itself. " +
			"A pattern points, it does not prove.",
		Inputs: []Input{
			{Name: "readings", Kind: KindText, Doc: "each as bank, speed in 1/min, load, short trim, long trim, with ; between two: B1 750 20% +3% +18%; B1 2500 25% +1% +4%"},
			takes("limit", quantity.Ratio, "total trim from which something is wrong; 10 % when left out"),
			{Name: "position", Kind: KindText, Optional: true, Doc: "the sensor whose bank is asked about, such as B1S2"},
		},
		Outputs: []Output{
			{Name: "pattern", Words: true, Maybe: true, Options: words(fueltrim.Level, fueltrim.Lean, fueltrim.Rich, fueltrim.Tilted, fueltrim.Mixed), Doc: "of the bank that is asked about"},
			{Name: "where", Words: true, Maybe: true, Options: words(fueltrim.AtIdle, fueltrim.AtLoad, fueltrim.Even, fueltrim.Unknown), Doc: "where its trims are worst"},
			{Name: "banks", Words: true, Maybe: true, Options: words(fueltrim.OnlyBank, fueltrim.EveryBank, fueltrim.SomeBanks), Doc: "which banks lie so"},
			{Name: "trim", Many: true, Doc: "short plus long trim of a bank in one condition"},
			{Name: "points-to", Many: true, Doc: "suspects of one pattern"},
			{Name: "apart", Many: true, Doc: "what would tell them apart"},
		},
		Sources: []string{"limits: " + fueltrim.DefaultLimits().Trim.Source, "what a vehicle can report: SAE J1979"},
		Example: Arguments{"readings": text("B1 750 20% +1% +3%; B1 2500 25% 0% +2%; B1 3000 70% -1% +2%")},
	}
	c.Run = c.runFuelTrim
	return c
}

func (c Check) runFuelTrim(args Arguments) (Result, error) {
	readings, err := trimReadings(args["readings"].Text)
	if err != nil {
		return Result{}, err
	}
	limits := fueltrim.DefaultLimits()
	if args.has("limit") {
		limits.Trim = fueltrim.Limit{Value: args.base("limit", 0), Source: "given"}
	}
	a, err := fueltrim.Assess(readings, limits)
	if err != nil {
		return Result{}, err
	}
	figures, err := ofBank(args, a)
	if err != nil {
		return Result{}, err
	}
	for _, f := range a.Figures {
		figures = append(figures, stated(fmt.Sprintf("trim: bank %d, %s", f.Bank, f.Condition), signed(f.Total)))
	}
	var apart []named
	for _, f := range a.Findings {
		banks := strings.Trim(strings.Join(strings.Fields(fmt.Sprint(f.Banks)), ", "), "[]")
		for i, s := range f.Suspects {
			figures = append(figures, stated(fmt.Sprintf("points-to: bank %s, %d", banks, i+1), string(s)))
			apart = append(apart, stated(fmt.Sprintf("apart: bank %s, %d", banks, i+1), f.Apart[i]))
		}
	}
	verdict := map[fueltrim.Outcome]Verdict{fueltrim.WithinLimits: Pass, fueltrim.PointsTo: Fail, fueltrim.MoreNeeded: More}[a.Outcome]
	return c.result(verdict, a.Because, append(a.Workings, a.Notes...), append(figures, apart...)...)
}

// ofBank is what the trims show of the bank that is asked about; nothing where
// none is, or where it was not measured in any condition that tells.
func ofBank(args Arguments, a fueltrim.Assessment) ([]named, error) {
	if !args.has("position") {
		return nil, nil
	}
	p, err := location.ParsePosition(args["position"].Text)
	if err != nil {
		return nil, fmt.Errorf("position %q: %w", clip(args["position"].Text), err)
	}
	s, spread, ok := a.OfBank(p.Bank)
	if !ok {
		return nil, nil
	}
	return []named{stated("pattern", string(s.Direction)), stated("where", string(s.Where)), stated("banks", string(spread))}, nil
}

// words are the texts of a list of answers.
func words[T ~string](all ...T) []string {
	var out []string
	for _, w := range all {
		out = append(out, string(w))
	}
	return out
}

// signed prints a fraction in % with its sign.
func signed(fraction float64) string {
	if text := plain(100*fraction, 1); fraction < 0 || text == "0.0" {
		return text + " %"
	}
	return "+" + plain(100*fraction, 1) + " %"
}

// trimReadings reads B1 750 20% +3% +18%; B2 ... The word open behind a reading
// says that it was taken in open loop.
func trimReadings(said string) ([]fueltrim.Reading, error) {
	var all []fueltrim.Reading
	for i, one := range strings.FieldsFunc(said, func(r rune) bool { return r == ';' || r == '\n' }) {
		words := strings.Fields(strings.ReplaceAll(one, " %", "%"))
		if len(words) == 0 {
			continue
		}
		r := fueltrim.Reading{OpenLoop: words[len(words)-1] == "open"}
		if r.OpenLoop {
			words = words[:len(words)-1]
		}
		if len(words) != 5 {
			return nil, fmt.Errorf("readings: number %d, %q, has %d parts and not 5; write bank, speed, load, short trim, long trim: B1 750 20%% +3%% +18%%", i+1, clip(strings.TrimSpace(one)), len(words))
		}
		bank, err := strconv.Atoi(strings.TrimPrefix(strings.ToUpper(words[0]), "B"))
		if err != nil {
			return nil, fmt.Errorf("readings: number %d: %q is no bank; write B1 or B2", i+1, clip(words[0]))
		}
		r.Bank = bank
		if r.Speed, err = strconv.ParseFloat(strings.TrimSuffix(words[1], "rpm"), 64); err != nil {
			return nil, fmt.Errorf("readings: number %d: %q is no speed; write it in 1/min as a bare number, such as 750", i+1, clip(words[1]))
		}
		for k, into := range []*float64{&r.Load, &r.Short, &r.Long} {
			q, err := quantity.ParseAs(words[2+k], quantity.Ratio)
			if err != nil {
				return nil, fmt.Errorf("readings: number %d: %w", i+1, err)
			}
			*into = q.Base()
		}
		all = append(all, r)
	}
	return all, nil
}
