// The rule of this file: a torque tool counts only within its calibration, by
// date and by use, and its error is relative to the reference.

package checks

import (
	"fmt"
	"strings"
	"time"

	"fenderside/checks/quantity"
	"fenderside/checks/torque"
)

func toolDue() Check {
	c := Check{
		Name:  "tool-due",
		Title: "Calibration of a torque tool, by date and cycles",
		Doc:   "Says whether a torque tool's certificate still counts. The maker's or owner's own interval stands before the default one.",
		Inputs: []Input{
			{Name: "last", Kind: KindText, Doc: "date of the certificate, YYYY-MM-DD"},
			{Name: "today", Kind: KindText, Doc: "date to judge it for, YYYY-MM-DD"},
			takes("cycles", quantity.Number, "uses since then; left out where nobody counted"),
			{Name: "misused", Kind: KindChoice, Options: []string{"yes", "no"}, Optional: true, Doc: "dropped, overloaded or repaired since then; no when left out"},
			takes("months", quantity.Number, "interval in months; 12 when left out"),
			takes("most", quantity.Number, "interval in cycles; 5000 when left out"),
		},
		Outputs: []Output{
			{Name: "due", Words: true, Doc: "last day on which the certificate counts"},
			{Name: "days-left", Decimals: 0, Unit: "days", Doc: "negative once past"},
			{Name: "cycles-left", Decimals: 0, Unit: "cycles", Maybe: true, Doc: "negative once past; absent where nobody counted"},
		},
		Sources: []string{torque.CalibrationMonths.Source},
		Example: Arguments{"last": text("2026-01-31"), "today": text("2026-03-14"), "cycles": one("1200")},
	}
	c.Run = c.runToolDue
	return c
}

func (c Check) runToolDue(args Arguments) (Result, error) {
	cal := torque.Calibration{Cycles: torque.CyclesUnknown, Misused: args["misused"].Choice == "yes"}
	var err error
	if cal.Last, err = date(args, "last"); err != nil {
		return Result{}, err
	}
	if cal.Today, err = date(args, "today"); err != nil {
		return Result{}, err
	}
	if args.has("cycles") {
		if cal.Cycles, err = args.whole("cycles", 0, 1e9); err != nil {
			return Result{}, err
		}
	}
	if cal.Months, err = ownInterval(args, "months"); err != nil {
		return Result{}, err
	}
	if cal.Most, err = ownInterval(args, "most"); err != nil {
		return Result{}, err
	}
	s, err := cal.Judge()
	if err != nil {
		return Result{}, err
	}
	verdict := Fail
	if s.Current {
		verdict = Pass
	}
	figures := []named{stated("due", s.Due.Format(time.DateOnly)), amount("days-left", float64(s.DaysLeft))}
	if s.Counted {
		figures = append(figures, amount("cycles-left", float64(s.CyclesLeft)))
	}
	return c.result(verdict, s.Because, s.Workings, figures...)
}

func ownInterval(args Arguments, name string) (torque.Limit, error) {
	if !args.has(name) {
		return torque.Limit{}, nil
	}
	n, err := args.whole(name, 1, 1e6)
	return torque.Limit{Value: float64(n), Source: "given"}, err
}

// date reads an input that is a date.
func date(args Arguments, name string) (time.Time, error) {
	t, err := time.Parse(time.DateOnly, strings.TrimSpace(args[name].Text))
	if err != nil {
		return time.Time{}, fmt.Errorf("%s %q: no date; write it as YYYY-MM-DD", name, clip(args[name].Text))
	}
	return t, nil
}

func toolAccuracy() Check {
	c := Check{
		Name:  "tool-accuracy",
		Title: "A torque tool at one test point",
		Doc:   "Holds what a torque tool indicated against a reference, as ISO 6789 does: the deviation is relative to the reference, never to the setting.",
		Inputs: []Input{
			needs("indicated", quantity.Torque, "what the tool was set to or showed"),
			needs("reference", quantity.Torque, "what the tester showed"),
			needs("largest", quantity.Torque, "largest torque on the tool's scale"),
		},
		Outputs: []Output{
			{Name: "deviation", Decimals: 2, Unit: "%", Dimension: quantity.Ratio, Doc: "(indicated - reference) / reference"},
			{Name: "permitted", Decimals: 0, Unit: "%", Dimension: quantity.Ratio, Doc: "plus or minus"},
		},
		Sources: []string{"ISO 6789, type II class A: ±4 % where the largest torque exceeds 10 N·m, else ±6 % (read at second hand)"},
		Example: Arguments{"indicated": one("100 N·m"), "reference": one("104.1 N·m"), "largest": one("200 N·m")},
	}
	c.Run = c.runToolAccuracy
	return c
}

func (c Check) runToolAccuracy(args Arguments) (Result, error) {
	indicated, reference, largest := args.base("indicated", 0), args.base("reference", 0), args.base("largest", 0)
	in, err := torque.InTolerance(indicated, reference, largest)
	if err != nil {
		return Result{}, err
	}
	deviation, _ := torque.Deviation(indicated, reference)
	permitted, _ := torque.Permissible(largest)
	verdict, how := Fail, "outside: have the tool adjusted and calibrated before it is used"
	if in {
		verdict, how = Pass, "inside"
	}
	said := fmt.Sprintf("%s %% against ±%s %% permitted: %s", plain(100*deviation, 2), plain(100*permitted, 0), how)
	return c.result(verdict, said, []string{
		fmt.Sprintf("deviation = (%s - %s) / %s = %s %%", newtons(indicated), newtons(reference), newtons(reference), plain(100*deviation, 4)),
		fmt.Sprintf("permitted for a tool of up to %s: ±%s %%", newtons(largest), plain(100*permitted, 0)),
	}, amount("deviation", deviation), amount("permitted", permitted))
}
