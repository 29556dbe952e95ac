// The rule of this file: readiness is judged by the rule of the vehicle's model
// year, from what every controller says, and never for more than that.

package checks

import (
	"fmt"
	"strings"

	"fenderside/checks/obd"
	"fenderside/checks/quantity"
)

func readiness() Check {
	c := Check{
		Name:  "readiness",
		Title: "Readiness monitors against the rule of the model year",
		Doc: "Counts the monitors that are supported, do not run all the time and are not complete, and holds the count against the recommendation " +
			"to inspection stations for the model year. The lamp and stored codes are judged apart from it, and local rules differ.",
		Inputs: []Input{
			{Name: "reply", Kind: KindText, Doc: "reply to service 01, PID 01, such as 41 01 00 07 E5 24"},
			{Name: "model-year", Kind: KindQuantity, Dimension: quantity.Number, Fact: "vehicle.model_year", Doc: "of the vehicle, 1996 or later"},
		},
		Outputs: []Output{
			{Name: "not-ready", Decimals: 0, Doc: "monitors that count against the vehicle"},
			{Name: "allowed", Decimals: 0, Doc: "by the rule of the model year"},
			{Name: "monitor", Many: true, Doc: "a monitor that is not ready"},
		},
		Sources: []string{"EPA420-R-01-015 (second-hand): a recommendation to inspection stations; local rules differ", obd.Source},
		Example: Arguments{"reply": text("41 01 00 07 E5 24"), "model-year": one("1999")},
	}
	c.Run = c.runReadiness
	return c
}

func (c Check) runReadiness(args Arguments) (Result, error) {
	year, err := args.whole("model-year", 1, 9999)
	if err != nil {
		return Result{}, err
	}
	statuses, err := statusReplies(args)
	if err != nil {
		return Result{}, err
	}
	var f folded
	verdict, most, allowed := Pass, 0, 0.0
	var because []string
	for _, s := range statuses {
		r, err := s.status.Judge(year)
		if err != nil {
			return Result{}, err
		}
		if !r.Accept {
			verdict = Fail
		}
		most, allowed = max(most, len(r.NotReady)), r.Allowed.Value
		f.readiness(s.who, r)
		because = append(because, s.who+r.Because)
	}
	figures := append([]named{amount("not-ready", float64(most)), amount("allowed", allowed)}, f.inOrder(c.Outputs)...)
	return c.result(verdict, strings.Join(because, "; "), f.lines, figures...)
}

func (f *folded) readiness(who string, r obd.Readiness) {
	for _, m := range r.NotReady {
		f.add("monitor", who+m, "not complete")
	}
	for _, line := range r.Workings {
		f.lines = append(f.lines, who+line)
	}
	for _, note := range r.Notes {
		f.lines = append(f.lines, who+"note: "+note)
	}
}

// statusOf is what one controller says of its monitors.
type statusOf struct {
	who    string
	status obd.Status
}

// statusReplies finds the status in each controller's replies.
func statusReplies(args Arguments) ([]statusOf, error) {
	pasted, err := pastedReplies(args)
	if err != nil {
		return nil, err
	}
	var all []statusOf
	for _, c := range obd.Read(pasted.Replies).Controllers {
		for _, fault := range c.Faults {
			return nil, fmt.Errorf("reply: %w", fault.Err)
		}
		for _, a := range c.Answers {
			for _, r := range a.Readings {
				if r.Status != nil && !r.Frozen {
					all = append(all, statusOf{strings.TrimLeft(c.ECU+" ", " "), *r.Status})
				}
			}
		}
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("reply %q: no PID 01 in it; ask service 01 for PID 01 and paste the reply", clip(args["reply"].Text))
	}
	return all, nil
}

func vin() Check {
	c := Check{
		Name:    "vin",
		Title:   "Check digit of a vehicle identification number",
		Doc:     "Reckons the ninth character of a vehicle identification number. It must be right for vehicles sold in North America; elsewhere it may be any character.",
		Inputs:  []Input{{Name: "vin", Kind: KindText, Fact: "vehicle.identification", Doc: "17 characters"}},
		Outputs: []Output{{Name: "given", Words: true, Doc: "the ninth character"}, {Name: "reckoned", Words: true, Doc: "what it would have to be"}},
		Sources: []string{"49 CFR 565.15"},
		Example: Arguments{"vin": text("1G1JC5444R7252367")},
	}
	c.Run = c.runVIN
	return c
}

func (c Check) runVIN(args Arguments) (Result, error) {
	v, err := obd.ParseVIN(strings.TrimSpace(args["vin"].Text))
	if err != nil {
		return Result{}, err
	}
	verdict := Fail
	if v.Right {
		verdict = Pass
	}
	return c.result(verdict, v.Because, v.Workings, stated("given", string(v.Given)), stated("reckoned", string(v.Wants)))
}
