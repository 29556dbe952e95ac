package runner

import (
	"strings"
	"sync"

	"fenderside/procedures/plaintext"
)

// wording is what a reason says, and what to do next. In it {step} and {item} are the titles of what the reason names,
// {gate} is the title of the step that secures the safeguard, and {detail} is the reason's detail.
type wording struct{ what, next string }

var wordings = sync.OnceValue(func() map[Code]wording {
	return map[Code]wording{
		NotNow:             {"this does not belong here", "do what the screen asks for now"},
		NotCurrent:         {"“{step}” is not the step that is open", "do “{item}” first"},
		SafeguardMissing:   {"“{item}” is not in place", "go through “{gate}”"},
		PinRunning:         {"“{item}” still runs", "wait for it to end, then complete it"},
		Interruption:       {"the work was broken off", "look at what fell, then resume on purpose"},
		NotClear:           {"work was stopped", "do what is asked first, then say that you are clear"},
		HandoverOpen:       {"the job is being handed to {detail_or_item}", "secure again what fell, sign on, sign off; or keep the job"},
		NoHandover:         {"no handover is under way", "begin one first"},
		StillToSecure:      {"“{item}” is to be secured again before signing on", "go through “{gate}”"},
		NotSignedOn:        {"{item} has not signed on", "let the incoming person sign first"},
		UnknownStep:        {"there is no step “{step}” in this procedure", "look at the list of steps"},
		UnknownItem:        {"step “{step}” has no “{item}{detail}”", "look at what the step asks for"},
		NotApplicableHere:  {"“{item}{detail}” does not apply, after what was chosen", "correct the choice if it was wrong"},
		Acknowledgement:    {"“{item}” was not acknowledged", "read it and acknowledge it"},
		AlreadyEntered:     {"“{item}{detail}” is entered already", "if it is wrong, correct it and say why"},
		WayMissing:         {"no way was chosen for “{step}”", "choose how it is done"},
		StatementMissing:   {"not affirmed: {detail}", "look, then affirm it if it is true"},
		ReadingMissing:     {"“{item}” was not recorded", "take the reading and enter it"},
		ReadingRefused:     {"“{item}” was not accepted", "put right what it shows, then take a fresh reading"},
		EvidenceMissing:    {"evidence “{item}” is missing", "attach the photo or file by its path"},
		AnswerMissing:      {"the question of “{step}” is not answered", "answer it"},
		CheckNotPassed:     {"check {item} has not passed. {detail}", "put it right, then take a fresh reading"},
		CheckWantsMore:     {"check {item} cannot judge yet. {detail}", "take another reading"},
		CheckWantsFile:     {"check {item} cannot judge the file. {detail}", "attach a file that shows it, or correct what says where in it to look"},
		FileMissing:        {"check {item} cannot read “{detail}” back: the copy beside the record is not there, or is not the file that was attached", "put it back as it was, or attach the file again; then go on"},
		WitnessMissing:     {"a second person has not signed “{step}”", "have a witness look and sign with their own key"},
		WaitNotStarted:     {"the wait of “{step}” was not started", "start it when the cause of the wait is there"},
		WaitRunning:        {"the wait of “{step}” has {detail} to go", "wait; only time in which the program ran counts"},
		WaitMissed:         {"the time for “{step}” is over. {detail}", "start its time again"},
		TooSoon:            {"the next value of “{item}” is wanted {detail} from now", "wait, then read again"},
		NotAQuantity:       {"“{item}”: {detail}", "type it again in that way"},
		NotAChoice:         {"“{item}” is not one of the answers {detail}", "take one of those offered"},
		NotADate:           {"“{detail}” is not a date", "write it as year-month-day, such as 2027-01-31"},
		BelowLimit:         {"“{item}” is below {detail}", "put right what it shows, then take a fresh reading"},
		AboveLimit:         {"“{item}” is above {detail}", "put right what it shows, then take a fresh reading"},
		NotTheSame:         {"“{item}” is not what was entered before", "look again; if what was entered before is wrong, correct that"},
		InstrumentMissing:  {"no instrument is named for “{item}”", "name the one in your hand"},
		InstrumentOverdue:  {"the calibration of “{item}” ran out on {detail}", "use one that is in date, and name it"},
		GateNotSkippable:   {"“{step}” is a gate", "a gate is never passed over; close the job as referred if it cannot be met"},
		NotOptional:        {"“{step}” is not optional", "do it, or close the job as referred"},
		ReasonMissing:      {"the words are missing", "say it in a few words"},
		RoundsSpent:        {"“{step}” was done {detail} times, which is as often as it may be", "choose another answer"},
		NothingToCorrect:   {"there is no such entry to correct", "look at the list of entries"},
		TakeFresh:          {"“{item}” was refused, and a refused reading is not corrected", "take a fresh reading, with its own time"},
		NotASafeguard:      {"“{item}” is not a safeguard of this procedure", "choose from the list"},
		SameKey:            {"this is the key of the person doing the work", "a second person signs with their own key"},
		SignatureBad:       {"the signature of {item} does not hold: {detail}", "sign again with the right key"},
		NotOnRoster:        {"{item} may not sign here: {detail}", "see the roster with `fenderside roster show`"},
		MakeSafeDue:        {"“{step}” is still to be done", "do it, or write down the state the vehicle is left in"},
		NotDueToMakeSafe:   {"“{step}” is not waiting to be made safe", "look at the list"},
		StillEngaged:       {"“{item}” still stands", "it must be released on purpose before the job is complete"},
		CompleteNotByHand:  {"only the end of the procedure makes a job complete", "close it as referred or abandoned"},
		LeftNotForComplete: {"a complete job leaves nothing unsafe behind", "do the step, or close as referred or abandoned"},
		TextRefused:        {"the text cannot be taken: {detail}", "type it again in plain characters"},
		TextTooLong:        {"the text is longer than {detail} bytes", "say it in fewer words"},
		ClockBackwards:     {"the machine's running time went back", "close the program and open the job again"},
		WrongSession:       {"this was given to another run of the program", "open the job again"},
		JobClosed:          {"the job is closed", "open a new job"},
	}
})

// Text words a reason: what is the matter, and what to do next.
func (j *Job) Text(r Reason) (what, next string) {
	w, ok := wordings()[r.Code]
	if !ok {
		return string(r.Code), "see what the step asks for"
	}
	detail := plaintext.Show(r.Detail)
	if r.Code == StatementMissing {
		detail = j.statement(r)
	}
	fill := strings.NewReplacer("{step}", j.title(r.Step), "{item}", j.title(r.Item), "{detail}", detail,
		"{gate}", j.gateOf(r.Item), "{detail_or_item}", plaintext.Show(r.Item))
	return strings.TrimSpace(fill.Replace(w.what)), fill.Replace(w.next)
}

func (j *Job) statement(r Reason) string {
	st, ok := j.Procedure.StepByID(r.Step)
	for k := 0; ok && k < len(st.Statements); k++ {
		if number(k) == r.Detail {
			return st.Statements[k].Text
		}
	}
	return r.Detail
}

// title is how a person knows what an id stands for; the id itself where it stands for nothing.
func (j *Job) title(id string) string {
	if st, ok := j.Procedure.StepByID(id); ok {
		return st.Title
	}
	if g, ok := j.Procedure.SafeguardByID(id); ok {
		return j.Procedure.Safeguards[g].Title
	}
	if f, ok := j.Procedure.FieldByID(id); ok {
		return f.Title
	}
	if place, ok := j.reads[id]; ok {
		return j.Procedure.Steps[place.step].Readings[place.reading].Title
	}
	for _, in := range j.Procedure.Instruments {
		if in.ID == id {
			return in.Title
		}
	}
	return plaintext.Show(id)
}

func (j *Job) gateOf(id string) string {
	g, ok := j.Procedure.SafeguardByID(id)
	if !ok {
		return j.title(id)
	}
	return j.Procedure.Steps[j.Procedure.Safeguards[g].Gate].Title
}
