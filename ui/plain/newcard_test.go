package plain

// A card is written in the middle of starting a job, by somebody who has none yet; the job then takes its figures from it.

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
)

// papers are answers about a small in-line engine, one for each question, with those about where it stands.
var papers = []string{"Depot minibus 3", "Workshop book", "MB 3", "", "", "", "", "",
	"in-line", "page 2", "2", "", "lengthwise", "", "front", "", "one", "left", "", "1, 2", "", "",
	"B1S1", "In the manifold", "", "45 N·m", "page 12", "", "", "", "", "", "", "", "", "", "", "", "", "", "", ""}

func TestWhoeverHasNoCardOfTheirOwnIsOfferedToWriteOneAndWorksByIt(t *testing.T) {
	b := newBench(t)
	p, ok := library.Procedure("sensor-swap")
	require.True(t, ok)
	offer := len(library.Cards()) + 2
	lines := join([]string{string(rune('0' + offer)), "Depot Bus", "millbrook-four", "depot-bus-3"}, papers, []string{"write", "", "", "", "", "B1S1", "1", ".quit"})
	require.ErrorIs(t, b.run(Options{Start: &Start{Procedure: p, Practice: true}}, lines...), errNone)
	text := strings.ReplaceAll(b.dialogue(), "\n  ", " ")
	assert.Contains(t, text, ": Write a card for a vehicle of your own")
	assert.Contains(t, text, `Not taken: name the card "Depot Bus": a name is lower-case`)
	assert.Contains(t, text, `Not taken: write the card "millbrook-four": there is one of that name`)
	assert.Contains(t, text, "45 N·m, from the card (page 12)", "the sheet says where the figure stands")
	c, err := b.home.Card("depot-bus-3")
	require.NoError(t, err)
	assert.False(t, c.Demonstration)

	again := newBench(t)
	again.home = b.home
	require.ErrorIs(t, again.run(Options{Start: &Start{Procedure: p, Practice: true}}, ".quit"), errNone)
	assert.Contains(t, again.dialogue(), "Depot minibus 3 (depot-bus-3)")
	assert.Contains(t, again.dialogue(), "Write a card", "for the next vehicle")
}

func TestACardThatIsLeftIsNotWrittenAndGoesOnWhereItWasLeft(t *testing.T) {
	b := newBench(t)
	require.ErrorContains(t, NewCard(b.home, "depot-bus-3", &script{b: b, lines: papers[:30]}, b), "no card was written")
	_, err := b.home.Card("depot-bus-3")
	require.Error(t, err)
	rest := append(papers[30:len(papers):len(papers)], "yes", ".back", "", "write")
	require.NoError(t, NewCard(b.home, "depot-bus-3", &script{b: b, lines: rest}, b))
	said := strings.ReplaceAll(b.dialogue(), "\n  ", " ")
	assert.Contains(t, said, "Taken up where it was left. Answers so far: 22. The last: B1S1: connector: not known")
	assert.Contains(t, said, "go on with: fenderside cards new depot-bus-3")
	assert.Contains(t, said, "“yes” is not write.")
	c, err := b.home.Card("depot-bus-3")
	require.NoError(t, err)
	fact, ok := c.Fact("sensors.B1S1.torque_low")
	require.True(t, ok)
	assert.Equal(t, "page 12", fact.Source, "answered before it was left")
	b.plainLines()
}

func TestTheBoardOffersToWriteACardAndToGoOnWithOneThatWasLeft(t *testing.T) {
	b := newBench(t)
	offer := func(n int) string { return strconv.Itoa(len(library.Procedures()) + n) }
	require.NoError(t, b.run(Options{}, join([]string{offer(1), "depot-bus-3"}, papers[:4], []string{".quit"})...))
	assert.Contains(t, strings.ReplaceAll(b.dialogue(), "\n  ", " "), "What was answered is kept, and offered in the list.")
	require.NoError(t, b.run(Options{}, join([]string{offer(1)}, papers[4:], []string{"write", ""})...))
	assert.Contains(t, b.dialogue(), "Go on with the card depot-bus-3, which was left")
	_, err := b.home.Card("depot-bus-3")
	require.NoError(t, err)
	assert.Empty(t, b.home.UnfinishedCards())
}

func TestWhatIsTakenBackIsSaidWhereItIsAskedAgain(t *testing.T) {
	b := newBench(t)
	require.Error(t, NewCard(b.home, "depot-bus-3", &script{b: b, lines: []string{"Depot minibus 3", ".back"}}, b))
	assert.Contains(t, b.dialogue(), "Before it was taken back: Depot minibus 3")
}
