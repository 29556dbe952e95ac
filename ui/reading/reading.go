// Package reading is what the screens and the line mode have in common where a reading is typed and judged, a file is named
// and a vehicle card is read back.
//
// The rule kept here: whether a reading will do is the core's to say. This package finds the words that the core has for it.
package reading

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
)

var bareFigure = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[-+]?[0-9]+([.,][0-9]+)?$`) })

// WithUnit gives a bare figure the unit that stands beside the prompt. What takes no quantity, or has no unit, and what is
// not a bare figure stays as it was typed.
func WithUnit(text string, kind procedures.FieldKind, unit string) string {
	if kind == procedures.TakesQuantity && unit != "" && bareFigure().MatchString(text) {
		return text + " " + unit
	}
	return text
}

// RefusedBy is the check that refused the latest value of a reading, with its result; nil where no check did, or where the
// check was run again since.
func RefusedBy(v runner.StepView, r runner.ReadingView) *runner.CheckView {
	n := len(r.Refused)
	if n == 0 || len(r.Values) > 0 {
		return nil
	}
	for i, c := range v.Checks {
		by := slices.ContainsFunc(r.Refused[n-1].Reasons, func(no runner.Reason) bool {
			return no.Code == runner.CheckNotPassed && no.Item == c.Use.Name
		})
		if by && c.Ran && c.Verdict == "fail" {
			return &v.Checks[i]
		}
	}
	return nil
}

// Instead lists what is to be corrected before the reading is taken again: the choices of the step that the check was given
// too, where the check could not judge the reading at all. A check that gives a figure under the name of its input, and now
// gave none, did not judge it.
func Instead(v runner.StepView, c *runner.CheckView, id string) []string {
	name := ""
	for _, in := range c.Use.Inputs {
		if in.Ref == id {
			name = in.Name
		}
	}
	gives, gave := false, false
	for _, o := range c.Use.Check.Outputs {
		gives = gives || o.Name == name
	}
	for _, f := range c.Figures {
		gave = gave || f.Name == name
	}
	if !gives || gave {
		return nil
	}
	var out []string
	for _, r := range v.Readings {
		for _, in := range c.Use.Inputs {
			if in.Ref == r.Spec.ID && r.Spec.Kind == procedures.TakesChoice {
				out = append(out, r.Spec.Title)
			}
		}
	}
	return out
}

// PassedOn is what the checks of a step are given by checks of earlier steps, each with the step that it is from, so that
// nobody wonders who entered it.
func PassedOn(v runner.StepView) []string {
	var out []string
	for _, c := range v.Checks {
		for _, f := range c.Found {
			text := plaintext.Show(f.Text)
			if f.Text == "" {
				text = "not found"
			}
			if line := fmt.Sprintf("%s: %s, from “%s”", f.Input, text, f.Step); !slices.Contains(out, line) {
				out = append(out, line)
			}
		}
	}
	return out
}

// Limit is the limit that a check holds a series to where the procedure itself says it, so that it is known before the first value
// is taken; what the sheet says of it is among what the step shows.
func Limit(v runner.StepView, r runner.ReadingView) string {
	for _, c := range v.Checks {
		judges := slices.ContainsFunc(c.Use.Inputs, func(in procedures.CheckInput) bool { return in.Ref == r.Spec.ID })
		for _, in := range c.Use.Inputs {
			if judges && r.Spec.Series && !c.Use.Advice && in.Name == "limit" && in.Literal.Quantity.Valid() {
				return "The limit is " + in.Literal.Quantity.String() + "."
			}
		}
	}
	return ""
}

// Because is why a check came to its verdict, without the check's own name before it: whoever shows it has named the check.
func Because(check, because string) string { return strings.TrimPrefix(because, "check "+check+": ") }

// Shown is what a step is gone by, a line each.
func Shown(v runner.StepView) []string {
	var out []string
	for _, s := range v.Shown {
		from := "Recorded before"
		if s.Sheet {
			from = "On the sheet"
		}
		value := plaintext.Show(s.Value)
		if s.Value == "" {
			value = "left out"
		}
		out = append(out, fmt.Sprintf("%s: %s: %s", from, s.Title, value))
	}
	return out
}

// Advice is what the checks that only advise made of a reading, a sentence each, and the names of these checks.
func Advice(v runner.StepView, id string) (said, names []string) {
	for _, c := range v.Checks {
		uses := slices.ContainsFunc(c.Use.Inputs, func(in procedures.CheckInput) bool { return in.Ref == id })
		if c.Use.Advice && c.Ran && uses {
			said, names = append(said, c.Because), append(names, c.Use.Name)
		}
	}
	return said, names
}
