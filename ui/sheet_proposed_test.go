package ui

// What a check makes of the lines above is offered in its own words, is taken by a key and by nothing else, and holds nobody up.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
)

// sheetAt is the sheet that is being filled.
func (r *rig) sheetAt() *sheet {
	r.t.Helper()
	s, ok := r.m.top().(*sheet)
	require.True(r.t, ok)
	return s
}

// entry is what the sheet would be opened with for a line.
func (s *sheet) entry(id string) (found runner.Entry) {
	for _, e := range s.entries() {
		if e.ID == id {
			found = e
		}
	}
	return found
}

func TestEnterTakesWhatIsProposedAndIsThePersonsEntryThen(t *testing.T) {
	// SAE J2012 / ISO 15031-6 (read at second hand): heater circuit of bank 1 sensor 1, 1/2, 2/1, 2/2.
	for code, place := range map[string]string{"P0135": "B1S1", "P0141": "B1S2", "P0155": "B2S1", "P0161": "B2S2"} {
		r := newRig(t).tells("millbrook-six", code)
		s := r.sheetAt()
		assert.Contains(t, r.flat(), "Proposed: "+place+": bank "+place[1:2])
		assert.Contains(t, r.flat(), code+": oxygen sensor, bank "+place[1:2]+" sensor "+place[3:]+": heater")
		assert.Contains(t, r.view(), "Enter takes "+place)
		assert.Empty(t, s.entry("position"), "nothing is filled in before that")
		assert.Contains(t, strings.Join(s.open(), "\n"), "10 Sensor to replace: not filled in")
		r.key("enter")
		assert.Equal(t, runner.Entry{ID: "position", Value: place, From: procedures.FromTyping}, s.entry("position"))
		assert.Empty(t, s.open())
	}
}

func TestTheSideOfTheEngineIsSaidWithWhatIsProposed(t *testing.T) {
	for card, says := range map[string]string{
		"millbrook-four":  "Proposed: B1S2: bank 1 (rear), behind the catalyst.", // invented vehicles, as their cards say
		"millbrook-six":   "Proposed: B1S2: bank 1 (rear), behind the catalyst.",
		"millbrook-eight": "Proposed: B1S2: bank 1 (left), behind the catalyst.",
	} {
		assert.Contains(t, newRig(t).tells(card, "P0141").flat(), says)
	}
	assert.Contains(t, newRig(t).tells("millbrook-six", "post-cat rear bank").flat(), "Proposed: B1S2: bank 1 (rear), behind the catalyst.")
}

func TestWhereNothingIsProposedEnterTakesNothingAndTheSheetSaysWhatWouldMakeItClear(t *testing.T) {
	for told, says := range map[string]string{
		"upstream": "is it on bank 1 (towards the rear of the vehicle) or bank 2 (towards the front of the vehicle)?",
		"P0147":    "no fitted sensor fits all the words; fitted are B1S1, B1S2, B2S1, B2S2", // SAE J2012: bank 1 sensor 3
		"P0300":    "misfire in no one cylinder, or in several; say the bank and the sensor.",
		"upsteam":  `did you mean "upstream"?`,
	} {
		r := newRig(t).tells("millbrook-six", told)
		assert.Contains(t, r.flat(), "Nothing is proposed: ", told)
		assert.Contains(t, r.flat(), says, told)
		assert.NotContains(t, r.view(), "Enter takes")
		r.key("enter")
		assert.Contains(t, r.flat(), "press the number of an answer, then Enter.")
		assert.Empty(t, r.sheetAt().entry("position"))
	}
}

func TestWhatIsEnteredAgainstTheCodeIsNotedAndNotRefused(t *testing.T) {
	r := newRig(t).tells("millbrook-six", "P0141").key("4")
	note := "NOTE: B2S2 stands here, and the lines above lead to B1S2: bank 1 (rear), behind the catalyst; find out which is right."
	assert.Contains(t, r.flat(), note)
	r.key("enter")
	s := r.sheetAt()
	assert.Empty(t, s.open(), "the step at the vehicle holds it, not the sheet")
	seen := ""
	for range 9 {
		if r.m.work == nil {
			seen += " " + r.flat()
			r.key("enter")
		}
	}
	require.NotNil(t, r.m.work)
	assert.Contains(t, seen, note, "it is read before the job is opened")
}

func TestACodeThatIsMendedLaterIsHeldAgainstWhatWasTaken(t *testing.T) {
	r := newRig(t).tells("millbrook-six", "P0141").key("enter")
	s := r.sheetAt()
	assert.Empty(t, s.against(s.p.Sheet[9]))
	s.typed[2] = typedLine("P0161")
	s.resolve()
	assert.Equal(t, "B1S2", s.entry("position").Value, "an entry is never changed by it")
	assert.Contains(t, s.against(s.p.Sheet[9]), "B1S2 stands here, and the lines above lead to B2S2: bank 2 (front), behind the catalyst")
}

func TestTheCodeOfACatalystProposesItsBank(t *testing.T) {
	p, ok := library.Procedure("catalyst-check")
	require.True(t, ok)
	r := newRig(t)
	r.m.chooseMode(p, nil, true, "")
	r.typed("MCM 9").key("enter").typed("P0430") // SAE J2012 (read at second hand): catalyst efficiency, bank 2
	assert.Contains(t, r.flat(), "Proposed: bank 2 (P0430: bank 2: ")
	r.key("enter")
	assert.Equal(t, "bank 2", r.sheetAt().entry("bank").Value)
}

func TestWithoutACardWhatIsTypedAboveIsGoneBy(t *testing.T) {
	p, ok := library.Procedure("prove-the-fault")
	require.True(t, ok)
	r := newRig(t)
	r.m.chooseMode(p, nil, true, "")
	r.typed("MCM 9").key("enter").typed("downstream left").key("enter").key("2", "enter", "1", "enter", "1", "enter", "enter", "enter")
	assert.Contains(t, r.flat(), "Nothing is proposed: ", "three sensors are usual on each bank")
	s := r.sheetAt()
	s.typed[3] = typedLine("B1S1, B1S2, B2S1, B2S2")
	s.resolve()
	assert.Contains(t, r.flat(), "Proposed: B1S2: bank 1 (left), behind the catalyst.")
}
