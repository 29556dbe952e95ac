package session

import (
	"fmt"
	"strings"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
)

// Tag is the do-not-start tag of a job that left something unsafe: plain text to print and hang on the wheel. It is empty
// where nothing was left.
func Tag(s runner.State) string {
	if len(s.Left()) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("DO NOT START\nDO NOT DRIVE\n\n")
	if card := s.Job().Card; card != nil {
		fmt.Fprintf(&b, "%s\n", plaintext.Show(card.Title))
	}
	fmt.Fprintf(&b, "Job: %s, %s\nClosed as: %s, %s\nBy: %s\n\nLeft in this state:\n",
		s.Job().Opening.Job, s.Job().Procedure.Title, s.Outcome(), plaintext.Show(s.Reason()), plaintext.Show(s.Performer().Name))
	for _, l := range s.Left() {
		title := l.Step
		if st, ok := s.Job().Procedure.StepByID(l.Step); ok {
			title = st.Title
		}
		fmt.Fprintf(&b, "- NOT DONE: %s\n  %s\n", title, plaintext.Show(l.State))
	}
	b.WriteString("\nTake this tag off only when every line above is made safe.\n")
	return b.String()
}
