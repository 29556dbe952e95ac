package runner

import (
	"fmt"
	"strings"
	"time"

	"fenderside/checks"
	"fenderside/procedures/plaintext"
)

// Tell words one event for a reader: the review before signing, the line mode, what a resumed job shows first. It is
// empty for events that mean nothing to a reader.
func (j *Job) Tell(e Event) string {
	for _, tell := range []func(Event) string{j.tellEntry, j.tellProgress, j.tellSafeguard, j.tellPeople, j.tellClosing} {
		if text := tell(e); text != "" {
			return text
		}
	}
	return ""
}

func (j *Job) tellEntry(e Event) string {
	switch e := e.(type) {
	case Acknowledged:
		return "Acknowledged: " + j.brief(e.Item)
	case WayChosen:
		return fmt.Sprintf("%s: way chosen: %s", j.title(e.Step), j.way(e))
	case Affirmed:
		return "Affirmed: " + j.statement(Reason{Step: e.Step, Detail: number(e.Statement)})
	case ReadingTaken:
		return j.tellReading(e)
	case Computed:
		if e.Verdict == checks.None {
			return fmt.Sprintf("Check %s: %s", e.Check, e.Because)
		}
		return fmt.Sprintf("Check %s: %s. %s", e.Check, e.Verdict.Words(), e.Because)
	case InstrumentTaken:
		due := ""
		if e.Due != "" {
			due = ", calibration due " + e.Due
		}
		return fmt.Sprintf("%s in hand: %s%s", j.title(e.Instrument), plaintext.Show(e.Name), due)
	case Attached:
		return fmt.Sprintf("%s: file %s, %d bytes, SHA-256 %s", j.title(e.Step), plaintext.Show(e.File.Name), e.File.Size, e.File.SHA256)
	case Answered:
		return fmt.Sprintf("%s: answered: %s", j.title(e.Step), e.Say)
	case Noted:
		return "Note: " + plaintext.Show(e.Text)
	case Corrected:
		return j.tellCorrection(e)
	case Overruled:
		return fmt.Sprintf("%s: NOT ACCEPTED ANY MORE: %s", j.title(e.Reading), j.list(e.Reasons))
	}
	return ""
}

func (j *Job) brief(id string) string {
	for _, b := range j.briefs {
		if b.ID == id {
			return b.Title
		}
	}
	return id
}

func (j *Job) way(e WayChosen) string {
	if st, ok := j.Procedure.StepByID(e.Step); ok {
		for _, w := range st.Ways {
			if w.ID == e.Way {
				return w.Say
			}
		}
	}
	return e.Way
}

func (j *Job) tellReading(e ReadingTaken) string {
	text := fmt.Sprintf("%s: %s", j.title(e.Reading), plaintext.Show(e.Value))
	if e.Instrument != "" {
		text += " with " + plaintext.Show(e.Instrument)
	}
	if !e.Accepted {
		text += "; NOT ACCEPTED: " + j.list(e.Reasons)
	}
	return text
}

func (j *Job) list(reasons []Reason) string {
	var out []string
	for _, r := range reasons {
		what, _ := j.Text(r)
		out = append(out, what)
	}
	return strings.Join(out, "; ")
}

func (j *Job) tellCorrection(e Corrected) string {
	what := j.title(e.Reading + e.Answer + e.Statement + e.Sheet)
	switch {
	case e.FromCard:
		return fmt.Sprintf("%s is now %s (was %s), as the card gives it", what, plaintext.Show(e.Value), plaintext.Show(e.Old))
	case e.Answer != "":
		return fmt.Sprintf("CORRECTED: answer to “%s” taken back (was %s): %s", what, plaintext.Show(e.Old), plaintext.Show(e.Reason))
	case e.Statement != "":
		return fmt.Sprintf("CORRECTED: “%s” taken back: %s", plaintext.Show(e.Old), plaintext.Show(e.Reason))
	}
	text := fmt.Sprintf("CORRECTED: %s is %s (was %s): %s", what, plaintext.Show(e.Value), plaintext.Show(e.Old), plaintext.Show(e.Reason))
	if len(e.Reasons) > 0 {
		text += "; NOT ACCEPTED: " + j.list(e.Reasons)
	}
	return text
}

func (j *Job) tellProgress(e Event) string {
	switch e := e.(type) {
	case Began:
		return "Briefing over, work began"
	case PassedBy:
		return fmt.Sprintf("%s: %s", j.title(e.Step), map[PassWhy]string{
			NotApplicable: "not applicable, after what was chosen", AlreadyStands: "its safeguard stands already", NotDue: "nothing to make safe",
		}[e.Why])
	case WaitStarted:
		return j.title(e.Step) + ": time started"
	case WitnessSigned:
		return fmt.Sprintf("%s: witnessed by %s, key %s", j.title(e.Step), e.By.Name, e.By.Fingerprint)
	case WitnessVoided:
		return j.title(e.Step) + ": the witness signature no longer counts"
	case Done:
		return "Done: " + j.title(e.Step)
	case Undone:
		return "No longer done: " + j.title(e.Step)
	case Skipped:
		return fmt.Sprintf("Skipped: %s: %s", j.title(e.Step), plaintext.Show(e.Reason))
	case PinStarted:
		return fmt.Sprintf("%s: time runs (%s)", j.title(e.Step), e.Of)
	case Refused:
		return fmt.Sprintf("REFUSED %s: %s", e.Command, j.list(e.Reasons))
	}
	return ""
}

func (j *Job) tellSafeguard(e Event) string {
	switch e := e.(type) {
	case Secured:
		return "In place: " + j.title(e.Safeguard)
	case Released:
		return "Released on purpose: " + j.title(e.Safeguard)
	case Fell:
		return fmt.Sprintf("LAPSED: %s: %s", j.title(e.Safeguard), j.Why(e))
	case WorkStopped:
		var titles []string
		for _, id := range e.Safeguards {
			titles = append(titles, j.title(id))
		}
		return strings.TrimSuffix(fmt.Sprintf("WORK STOPPED: no longer true: %s: %s", strings.Join(titles, ", "), plaintext.Show(e.Note)), ": ")
	case Cleared:
		return "Clear after the stop"
	}
	return ""
}

// Why words why a safeguard fell, in the procedure's own words where it gives them.
func (j *Job) Why(e Fell) string {
	switch e.Why {
	case ByTime:
		return "it stood as long as it may"
	case ByLoss:
		return "reported as no longer true"
	case ByRest:
		return fmt.Sprintf("it rested on “%s”", j.title(e.Of))
	case ByCorrection:
		return "an entry it rested on was corrected"
	}
	because := ""
	if g, ok := j.Procedure.SafeguardByID(e.Safeguard); ok && j.Procedure.Safeguards[g].Because != "" {
		because = ": " + j.Procedure.Safeguards[g].Because
	}
	return strings.ReplaceAll(e.Of, "-", " ") + because
}

func (j *Job) tellPeople(e Event) string {
	switch e := e.(type) {
	case Interrupted:
		return j.tellInterruption(e)
	case Resumed:
		return "Resumed"
	case HandoverBegun:
		return "Handover to " + e.To.Name + " begun"
	case SignedOn:
		return fmt.Sprintf("%s signed on, key %s", e.By.Name, e.By.Fingerprint)
	case SignedOff:
		return fmt.Sprintf("%s signed off their stretch; %s goes on", e.By.Name, e.To.Name)
	case JobKept:
		return "Handover withdrawn: " + plaintext.Show(e.Reason)
	case TakenOver:
		return fmt.Sprintf("TAKEN OVER by %s; the stretch of %s is unsigned: %s", e.By.Name, e.From.Name, plaintext.Show(e.Reason))
	}
	return ""
}

func (j *Job) tellInterruption(e Interrupted) string {
	text := "INTERRUPTED: " + map[InterruptWhy]string{
		ByPause: "paused", ByRestart: "the program was ended or lost power",
		ByClock: "the machine slept or its clock was moved", ByTakeOver: "taken over",
	}[e.Cause]
	if e.Reason != "" {
		text += ": " + plaintext.Show(e.Reason)
	}
	if by := time.Duration(e.Drift) * time.Millisecond; by > 0 {
		text += fmt.Sprintf(" (clock moved on by %s)", InWords(by))
	} else if by < 0 {
		text += fmt.Sprintf(" (clock moved back by %s)", InWords(-by))
	}
	if e.Cut > 0 {
		text += fmt.Sprintf("; %d bytes of a line that was never finished were cut off", e.Cut)
	}
	return text
}

func (j *Job) tellClosing(e Event) string {
	switch e := e.(type) {
	case EndReached:
		return "End of the procedure: " + string(e.Outcome)
	case CloseBegun:
		return fmt.Sprintf("Closing as %s: %s", e.Outcome, plaintext.Show(e.Reason))
	case CloseWithdrawn:
		return "Closing withdrawn: " + plaintext.Show(e.Reason)
	case LeftInState:
		return fmt.Sprintf("LEFT IN THIS STATE: %s: %s", j.title(e.Step), plaintext.Show(e.State))
	case FollowUpSet:
		return fmt.Sprintf("To follow by %s: %s", e.Due, plaintext.Show(e.What))
	case Sealed:
		return fmt.Sprintf("Sealed as %s, to be signed by %s, key %s", e.Outcome, e.By.Name, e.By.Fingerprint)
	}
	return ""
}
