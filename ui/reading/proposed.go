package reading

// The rule of this file: what is proposed for a line of the job sheet is told in the words of the check that found it. Where it
// proposes nothing it says why, and where something else stands in the line that is told as plainly; nobody is held up by it.

import (
	"fmt"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
)

// Proposal is what is told beside a line of the sheet in which stands what a person or the card gave, or nothing yet.
func Proposal(f procedures.Field, p procedures.Proposed, stands string) string {
	said := plaintext.Show(p.Said())
	switch {
	case p.Value == "":
		return "Nothing is proposed: " + plaintext.Show(p.Because)
	case p.Differs(f, stands):
		return fmt.Sprintf("NOTE: %s stands here, and the lines above lead to %s; find out which is right", plaintext.Show(stands), said)
	case stands != "":
		return "The lines above lead to the same: " + said
	}
	return "Proposed: " + said
}
