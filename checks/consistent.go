// The rule of this file: statements that contradict each other never pass, and
// the answer says which two do.

package checks

// What a new sensor's threads were, may take and carry.
const (
	coatedThreads, bareThreads            = "coated", "bare"
	compoundAllowed, compoundForbidden    = "allowed", "not allowed"
	coatingAlone, compoundPut, nothingPut = "the maker's coating alone", "compound on the threads alone", "nothing on bare threads"
)

func threadDressing() Check {
	c := Check{
		Name:  "thread-dressing",
		Title: "Anti-seize on a new sensor, against its coating and its maker's word",
		Doc: "Passes what is on the threads only where it agrees with how they were supplied and with what the maker allows: a coat is never " +
			"added to, compound goes on only where it is allowed, and threads stay bare only where it is not.",
		Inputs: []Input{
			{Name: "dressing", Kind: KindChoice, Options: []string{coatingAlone, compoundPut, nothingPut}, Doc: "what is on the threads now"},
			{Name: "coating", Kind: KindChoice, Options: []string{coatedThreads, bareThreads}, Doc: "the threads as supplied"},
			{Name: "compound", Kind: KindChoice, Options: []string{compoundAllowed, compoundForbidden}, Doc: "the sensor maker's word on anti-seize"},
		},
		Outputs: []Output{{Name: "agrees", Words: true, Doc: "yes or no"}},
		Sources: []string{"the sensor maker's word stands first; no second coat on a coated thread: common practice"},
		Example: Arguments{"dressing": pick(coatingAlone), "coating": pick(coatedThreads), "compound": pick(compoundForbidden)},
	}
	c.Run = func(args Arguments) (Result, error) {
		agrees, because := dressingAgrees(args["dressing"].Choice, args["coating"].Choice, args["compound"].Choice)
		return c.agreement(agrees, because)
	}
	return c
}

func dressingAgrees(dressing, coating, compound string) (bool, string) {
	switch {
	case dressing == coatingAlone && coating == coatedThreads:
		return true, "the threads came coated and nothing was added"
	case dressing == coatingAlone:
		return false, "the threads came bare, so no maker's coating is on them; look again, or correct what the threads were"
	case coating == coatedThreads && dressing == compoundPut:
		return false, "the threads came coated, and a coat is not added to; wipe the compound off as the maker says, or use another sensor"
	case coating == coatedThreads:
		return false, "the threads came coated, so they are not bare; look again, or correct what the threads were"
	case dressing == compoundPut && compound == compoundForbidden:
		return false, "the maker does not allow compound on this sensor; wipe it off as the maker says, or correct the sheet from the maker's words"
	case dressing == compoundPut:
		return true, "the threads came bare and the maker allows the compound"
	case compound == compoundForbidden:
		return true, "the threads came bare and the maker does not allow compound"
	}
	return false, "the threads came bare and the maker allows compound; put it on, or correct the sheet from the maker's words"
}

// How a sensor's place can be left, and how the vehicle is marked for it.
const (
	newFitted, oldFitted, plugged, open = "new sensor torqued and plugged in", "old sensor in and plugged in", "a sealed plug", "nothing or a loose sensor"
	fitToDrive, noStart, noDrive        = "no tag and fit to drive", "tagged not to be started", "tagged not to be driven"
)

func leftMarked() Check {
	c := Check{
		Name:  "left-marked",
		Title: "How a vehicle is marked, against how the sensor's place is left",
		Doc: "Passes a vehicle without a tag only where a sensor is in and plugged in, and an open place only with a tag against starting. " +
			"It never says that a vehicle is fit to drive.",
		Inputs: []Input{
			{Name: "left", Kind: KindChoice, Options: []string{newFitted, oldFitted, plugged, open}, Doc: "what is in the sensor's place"},
			{Name: "marked", Kind: KindChoice, Options: []string{fitToDrive, noStart, noDrive}, Doc: "what the vehicle's tags say"},
		},
		Outputs: []Output{{Name: "agrees", Words: true, Doc: "yes or no"}},
		Sources: []string{"an open place blows hot gas and carbon monoxide under the cabin: common practice"},
		Example: Arguments{"left": pick(plugged), "marked": pick(noDrive)},
	}
	c.Run = func(args Arguments) (Result, error) {
		return c.agreement(markAgrees(args["left"].Choice, args["marked"].Choice))
	}
	return c
}

func markAgrees(left, marked string) (bool, string) {
	switch {
	case left == open && marked != noStart:
		return false, "the sensor's place is open, and a start blows hot gas and carbon monoxide under the cabin; tag the vehicle not to be started"
	case left == plugged && marked == fitToDrive:
		return false, "the sensor's place holds a plug and no sensor, so the vehicle is not fit to drive; tag it"
	case marked == fitToDrive:
		return true, "a sensor is in its place and plugged in"
	}
	return true, "the tag warns whoever comes next"
}

// agreement is the answer of a check that holds statements against each other.
func (c Check) agreement(agrees bool, because string) (Result, error) {
	verdict := Fail
	if agrees {
		verdict = Pass
	}
	return c.result(verdict, because, []string{because}, stated("agrees", yesNo(agrees)))
}
