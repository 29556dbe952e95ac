// The rule of this file: a repair is judged from what was read after it, with
// trims and monitors judged where their own rules stand.

package checks

import (
	"fmt"
	"slices"
	"strings"

	"fenderside/checks/diagnosis"
	"fenderside/checks/fueltrim"
	"fenderside/checks/quantity"
)

func repairVerdict() Check {
	choice := func(name, doc string, options ...string) Input {
		return Input{Name: name, Kind: KindChoice, Optional: true, Doc: doc, Options: append(options, diagnosis.NotTested)}
	}
	c := Check{
		Name:  "repair-verdict",
		Title: "Whether a repair is proved",
		Doc: "Weighs what was read after the work by a table of rules. One thing against it leaves it unproved, one thing not looked at leaves it open, " +
			"and monitors still to run are a follow-up that is named. The vehicle maker's own test of the repair comes first.",
		Inputs: []Input{
			choice("leak", "leak at the work with the engine running", diagnosis.NoLeak, diagnosis.LeakFound),
			choice("codes", "codes after the drive", diagnosis.NoCode, diagnosis.SameCode, diagnosis.OtherCode),
			choice("trace", "the signal after the work against before, as the check trace-compare says", diagnosis.Improved, diagnosis.WithinLimits, diagnosis.NotImproved, diagnosis.CannotTell),
			choice("trace-seen", "the same as a person sees it; it counts only where the check cannot tell", diagnosis.Improved, diagnosis.NotImproved),
			takes("trim", quantity.Ratio, "short plus long trim after the work, the one furthest from zero"),
			takes("limit", quantity.Ratio, "total trim from which something is wrong; 10 % when left out"),
			{Name: "reply", Kind: KindText, Optional: true, Doc: "reply to service 01, PID 01, such as 41 01 00 07 E5 24"},
			{Name: "model-year", Kind: KindQuantity, Dimension: quantity.Number, Optional: true, Fact: "vehicle.model_year", Doc: "of the vehicle, 1996 or later; goes with the reply"},
		},
		Outputs: []Output{
			{Name: "verdict", Words: true, Options: words(diagnosis.Proved, diagnosis.ProvedFollowUp, diagnosis.NotProved), Doc: "proved, proved with a follow-up, or not proved"},
			{Name: "against", Many: true, Doc: "what speaks against the repair"},
			{Name: "next", Many: true, Doc: "what to do next"},
			{Name: "to-run", Many: true, Doc: "a monitor that is still to run"},
		},
		Sources: append(ruleSources(diagnosis.RepairRules()), "trim limit: "+fueltrim.DefaultLimits().Trim.Source, "monitors: "+readiness().Sources[0]),
		Example: Arguments{"leak": pick(diagnosis.NoLeak), "codes": pick(diagnosis.NoCode), "trace": pick(diagnosis.Improved), "trim": one("4 %"),
			"reply": text("41 01 00 07 E5 24"), "model-year": one("2014")},
	}
	c.Run = c.runRepairVerdict
	return c
}

func (c Check) runRepairVerdict(args Arguments) (Result, error) {
	found := diagnosis.Found{diagnosis.LeakAfter: args["leak"].Choice, diagnosis.CodesAfter: args["codes"].Choice, diagnosis.TraceAfter: traceAfter(args)}
	var lines []string
	if args.has("trim") {
		answer, line, err := trimSettled(args)
		if err != nil {
			return Result{}, err
		}
		found[diagnosis.TrimsAfter], lines = answer, append(lines, line)
	}
	answer, toRun, line, err := monitorsAfter(args)
	if err != nil {
		return Result{}, err
	}
	if found[diagnosis.Monitors] = answer; line != "" {
		lines = append(lines, line)
	}
	v, err := diagnosis.Repair(found, toRun)
	if err != nil {
		return Result{}, err
	}
	figures := []named{stated("verdict", string(v.Proof))}
	figures = append(figures, numbered("against", v.Against)...)
	figures = append(append(figures, numbered("next", v.Next)...), numbered("to-run", v.ToRun)...)
	return c.result(proofVerdict(v), v.Because, append(lines, v.Workings...), figures...)
}

// traceAfter is what the check says of the signal; what a person saw counts only
// for a signal that the check cannot tell anything of, for want of limits.
func traceAfter(args Arguments) string {
	if shown := args["trace"].Choice; shown != diagnosis.CannotTell {
		return shown
	}
	return args["trace-seen"].Choice
}

func proofVerdict(v diagnosis.Proving) Verdict {
	switch {
	case v.Open:
		return More
	case v.Proof == diagnosis.NotProved:
		return Fail
	}
	return Pass
}

// trimSettled holds the trim to the limit, by the rule of the trims themselves.
func trimSettled(args Arguments) (answer, line string, err error) {
	limits := fueltrim.DefaultLimits()
	if args.has("limit") {
		limits.Trim = fueltrim.Limit{Value: args.base("limit", 0), Source: "given"}
	}
	if limits.Trim.Value <= 0 {
		return "", "", fmt.Errorf("limit %q: must be more than 0 %%; give the maker's figure, or leave it out for %s %%",
			args["limit"].Quantity, plain(100*fueltrim.DefaultLimits().Trim.Value, 0))
	}
	total := args.base("trim", 0)
	answer = diagnosis.Unsettled
	if limits.Within(total) {
		answer = diagnosis.Settled
	}
	return answer, fmt.Sprintf("total trim %s against ±%s %% (%s): %s", signed(total), plain(100*limits.Trim.Value, 1), limits.Trim.Source, answer), nil
}

// monitorsAfter judges every controller's monitors by the rule of the model
// year; the worst decides.
func monitorsAfter(args Arguments) (answer string, toRun []string, line string, err error) {
	if !args.has("reply") {
		return diagnosis.NotTested, nil, "", nil
	}
	if !args.has("model-year") {
		return "", nil, "", fmt.Errorf("input %q is missing; the rule for monitors goes by the model year", "model-year")
	}
	year, err := args.whole("model-year", 1, 9999)
	if err != nil {
		return "", nil, "", err
	}
	statuses, err := statusReplies(args)
	if err != nil {
		return "", nil, "", err
	}
	answer = diagnosis.AllComplete
	var said []string
	for _, s := range statuses {
		r, err := s.status.Judge(year)
		if err != nil {
			return "", nil, "", err
		}
		for _, m := range r.NotReady {
			toRun = append(toRun, s.who+m)
		}
		said = append(said, s.who+r.Because)
		if !r.Accept {
			answer = diagnosis.BeyondRule
		} else if len(r.NotReady) > 0 && answer == diagnosis.AllComplete {
			answer = diagnosis.WithinRule
		}
	}
	slices.Sort(toRun)
	return answer, slices.Compact(toRun), "monitors: " + strings.Join(said, "; "), nil
}
