package checks_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/checks"
)

// The table is the rule written out by hand: common practice, the sensor maker's word first.
func TestThreadsPassOnlyAsTheCoatingAndTheMakerAllow(t *testing.T) {
	passes := map[[3]string]bool{
		{"the maker's coating alone", "coated", "allowed"}:         true,
		{"the maker's coating alone", "coated", "not allowed"}:     true,
		{"compound on the threads alone", "bare", "allowed"}:       true,
		{"nothing on bare threads", "bare", "not allowed"}:         true,
		{"compound on the threads alone", "coated", "allowed"}:     false,
		{"compound on the threads alone", "coated", "not allowed"}: false,
		{"compound on the threads alone", "bare", "not allowed"}:   false,
		{"the maker's coating alone", "bare", "allowed"}:           false,
		{"the maker's coating alone", "bare", "not allowed"}:       false,
		{"nothing on bare threads", "coated", "allowed"}:           false,
		{"nothing on bare threads", "coated", "not allowed"}:       false,
		{"nothing on bare threads", "bare", "allowed"}:             false,
	}
	assert.Len(t, passes, 12)
	for said, pass := range passes {
		r := run(t, "thread-dressing", checks.Arguments{"dressing": choice(said[0]), "coating": choice(said[1]), "compound": choice(said[2])})
		assert.Equal(t, pass, r.Verdict == checks.Pass, said)
		assert.NotEmpty(t, r.Because)
	}
	twice := run(t, "thread-dressing", checks.Arguments{"dressing": choice("compound on the threads alone"), "coating": choice("coated"), "compound": choice("allowed")})
	assert.Contains(t, twice.Because, "came coated")
}

func TestAVehicleIsMarkedAsTheSensorsPlaceIsLeft(t *testing.T) {
	for left, marks := range map[string][]string{
		"new sensor torqued and plugged in": {"no tag and fit to drive", "tagged not to be started", "tagged not to be driven"},
		"old sensor in and plugged in":      {"no tag and fit to drive", "tagged not to be started", "tagged not to be driven"},
		"a sealed plug":                     {"tagged not to be started", "tagged not to be driven"},
		"nothing or a loose sensor":         {"tagged not to be started"},
	} {
		for _, mark := range []string{"no tag and fit to drive", "tagged not to be started", "tagged not to be driven"} {
			r := run(t, "left-marked", checks.Arguments{"left": choice(left), "marked": choice(mark)})
			want := false
			for _, m := range marks {
				want = want || m == mark
			}
			assert.Equal(t, want, r.Verdict == checks.Pass, "%s, %s", left, mark)
		}
	}
}

func TestTheSettingAimsAtTheMiddleAndSaysWhatIsAccepted(t *testing.T) {
	// ILAC-G8:09/2019, section 4, w = U = 4 %: accept from 40/0.96 = 41.667 to 50/1.04 = 48.077 (computed), rounded inward.
	args := checks.Arguments{"low": one("40 N·m"), "high": one("50 N·m"), "accuracy": one("4 %")}
	r := run(t, "torque-setting", args)
	assert.Equal(t, "45.00 N·m", figure(r, "set"))
	assert.Equal(t, "41.67 N·m", figure(r, "set-low"))
	assert.Equal(t, "48.07 N·m", figure(r, "set-high"))
	assert.Contains(t, r.Because, "45.00 N·m, the middle of 40.00 N·m to 50.00 N·m; settings from 41.67 N·m to 48.07 N·m are accepted")
	// On 300 mm with 30 mm in line the factor is 1.1: every end is a tenth of itself lower. The judge of the pull agrees.
	adapter := checks.Arguments{"wrench": one("300 mm"), "adapter": one("30 mm")}
	long := run(t, "torque-setting", with(args, adapter))
	assert.Equal(t, "40.91 N·m", figure(long, "set"))
	for _, name := range []string{"set", "set-low", "set-high"} {
		judged := run(t, "torque-applied", with(with(args, adapter), checks.Arguments{"reading": one(figure(long, name))}))
		assert.Equal(t, checks.Pass, judged.Verdict, name)
	}
	for _, outside := range []string{"37.87 N·m", "43.71 N·m"} {
		judged := run(t, "torque-applied", with(with(args, adapter), checks.Arguments{"reading": one(outside)}))
		assert.Equal(t, checks.Fail, judged.Verdict, outside)
	}
	for want, bad := range map[string]checks.Arguments{
		"give wanted, or both":                  without(args, "high"),
		"wanted, low, high: give wanted, or bo": with(args, checks.Arguments{"wanted": one("45 N·m")}),
		"accuracy: means something with low":    {"wanted": one("45 N·m"), "accuracy": one("4 %")},
		"use a more accurate wrench":            with(args, checks.Arguments{"high": one("41 N·m")}),
		"torque window":                         with(args, checks.Arguments{"high": one("30 N·m")}),
	} {
		assert.Contains(t, refusal(t, "torque-setting", bad), want)
	}
}

func TestASettingIsJudgedBeforeThePullAsOneThatCanStillBeChanged(t *testing.T) {
	args := with(plainWrench("60 N·m"), checks.Arguments{"pull": choice("before")})
	r := runTorque(t, args)
	assert.Equal(t, checks.Fail, r.Verdict)
	assert.Contains(t, r.Because, "do not pull yet")
	assert.NotContains(t, r.Because, "overstressed")
	after := runTorque(t, with(plainWrench("60 N·m"), checks.Arguments{"pull": choice("after")}))
	assert.Contains(t, after.Because, "may be overstressed: take it out")
}
