// The rule of this file: two sensors change places only where nothing else has
// settled the matter, and only where they are the same part.

package checks

import (
	"fmt"
	"strings"

	"fenderside/checks/diagnosis"
	"fenderside/checks/location"
)

func changeSides() Check {
	say := func(name, doc string) Input { return Input{Name: name, Kind: KindText, Optional: true, Doc: doc} }
	c := Check{
		Name:  "change-sides",
		Title: "Whether two sensors may change places between the banks",
		Doc: "Passes two places of one kind on two banks of one engine, with sensors of one part number and one kind, and only while the findings are open. " +
			"It costs two threads, so what is settled is not tested so.",
		Inputs: []Input{
			{Name: "position", Kind: KindText, Doc: "the suspected sensor, such as B1S2"},
			{Name: "fellow", Kind: KindText, Doc: "its fellow on the other bank, such as B2S2, or none"},
			{Name: "verdict", Kind: KindChoice, Optional: true, Options: words(diagnosis.ThisSensor, diagnosis.LookElsewhere, diagnosis.NotShown),
				Doc: "what the check fault-verdict says so far; not looked at when left out"},
			say("part", "part number on the suspected sensor"), say("fellow-part", "part number on its fellow"),
			say("kind", "kind of the suspected sensor"), say("fellow-kind", "kind of its fellow"),
		},
		Outputs: []Output{{Name: "agrees", Words: true, Doc: "yes or no"}},
		Sources: []string{"sensors of one part number alone change places, and only for want of other evidence: common practice"},
		Example: Arguments{"position": text("B1S2"), "fellow": text("B2S2"), "verdict": pick(string(diagnosis.NotShown)), "part": text("MM-6120"), "fellow-part": text("MM-6120")},
	}
	c.Run = func(args Arguments) (Result, error) {
		agrees, because, err := sidesMayChange(args)
		if err != nil {
			return Result{}, err
		}
		return c.agreement(agrees, because)
	}
	return c
}

// noFellow is what stands for a fellow that there is not.
const noFellow = "none"

func sidesMayChange(args Arguments) (bool, string, error) {
	here, err := location.ParsePosition(args["position"].Text)
	if err != nil {
		return false, "", fmt.Errorf("position: %w", err)
	}
	if args["fellow"].Text == noFellow {
		return false, here.String() + " has no fellow on another bank that is the same part, so the two cannot change places", nil
	}
	there, err := location.ParsePosition(args["fellow"].Text)
	if err != nil {
		return false, "", fmt.Errorf("fellow: %w", err)
	}
	switch said := args["verdict"].Choice; {
	case here.Bank == there.Bank || here.Sensor != there.Sensor:
		return false, fmt.Sprintf("%s is not the place of %s on the other bank", there, here), nil
	case said != "" && said != string(diagnosis.NotShown):
		return false, "the findings say " + said + " already, and two threads are not risked for what is settled", nil
	}
	for _, same := range []struct{ what, here, there string }{{"part number", "part", "fellow-part"}, {"kind", "kind", "fellow-kind"}} {
		a, b := args[same.here].Text, args[same.there].Text
		if args.has(same.here) != args.has(same.there) {
			return false, "", fmt.Errorf("%s, %s: give both, or neither", same.here, same.there)
		}
		if !strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) {
			return false, fmt.Sprintf("the %s at %s is %q and at %s %q; sensors that differ never change places", same.what, here, clip(a), there, clip(b)), nil
		}
	}
	return true, fmt.Sprintf("%s and %s are one place on two banks, and nothing that was compared differs", here, there), nil
}
