package record

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"fenderside/checks"
	"fenderside/runner"
)

// Events are compared by what they say, not by how a check words it: a later release may explain a result better, and
// another processor may differ in a figure's last digit. Figures are compared at the rounding they are written with.

// Unlike says how recorded events differ from those the core decided; it is empty where they agree.
func Unlike(decided, recorded []runner.Event) string {
	for i := range max(len(decided), len(recorded)) {
		switch {
		case i >= len(recorded):
			return fmt.Sprintf("event %q should follow and does not", runner.EventName(decided[i]))
		case i >= len(decided):
			return fmt.Sprintf("event %q does not follow from the command", runner.EventName(recorded[i]))
		case !alike(decided[i], recorded[i]):
			return fmt.Sprintf("event %q stands where the rules give %s", runner.EventName(recorded[i]), text(decided[i]))
		}
	}
	return ""
}

func text(e runner.Event) string {
	b, err := runner.MarshalEvent(e)
	if err != nil {
		return runner.EventName(e)
	}
	return string(b)
}

// letterForLetter says whether events that agree are also worded alike.
func letterForLetter(decided, recorded []runner.Event) bool {
	for i := range decided {
		if text(decided[i]) != text(recorded[i]) {
			return false
		}
	}
	return true
}

func alike(a, b runner.Event) bool {
	ca, okA := a.(runner.Computed)
	cb, okB := b.(runner.Computed)
	if okA && okB {
		return ca.Step == cb.Step && ca.Check == cb.Check && ca.Verdict == cb.Verdict && ca.Missing == cb.Missing && sameFigures(ca.Figures, cb.Figures)
	}
	ra, okA := a.(runner.Refused)
	rb, okB := b.(runner.Refused)
	if okA && okB {
		return ra.Command == rb.Command && sameReasons(ra.Reasons, rb.Reasons)
	}
	da, errA := runner.MarshalEvent(a)
	db, errB := runner.MarshalEvent(b)
	return errA == nil && errB == nil && bytes.Equal(da, db)
}

// sameReasons compares why a command was refused, not the detail, which may be worded.
func sameReasons(a, b []runner.Reason) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Code != b[i].Code || a[i].Step != b[i].Step || a[i].Item != b[i].Item {
			return false
		}
	}
	return true
}

func sameFigures(a, b []checks.Figure) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Name != b[i].Name || !sameFigure(a[i].Text, b[i].Text) {
			return false
		}
	}
	return true
}

// sameFigure allows one unit in the last written digit.
func sameFigure(a, b string) bool {
	if a == b {
		return true
	}
	na, ua, _ := strings.Cut(a, " ")
	nb, ub, _ := strings.Cut(b, " ")
	x, errX := strconv.ParseFloat(na, 64)
	y, errY := strconv.ParseFloat(nb, 64)
	if errX != nil || errY != nil || ua != ub || decimals(na) != decimals(nb) {
		return false
	}
	return math.Abs(x-y) <= 1.001*math.Pow10(-decimals(na))
}

func decimals(s string) int {
	_, frac, _ := strings.Cut(s, ".")
	return len(frac)
}
