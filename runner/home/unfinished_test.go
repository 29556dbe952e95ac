package home_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/newcard"
)

func TestACardThatWasLeftIsTakenUpAndGoneOnceItIsWritten(t *testing.T) {
	h := fresh(t)
	d, err := h.BeginCard("depot-bus-3")
	require.NoError(t, err)
	assert.Empty(t, h.UnfinishedCards(), "nothing was answered yet")
	for _, answer := range []string{"Depot minibus 3", "Workshop book", "MB 3"} {
		require.NoError(t, d.Answer(answer))
		require.NoError(t, h.KeepAnswers(d.Name(), d.Given()))
	}
	require.Len(t, h.UnfinishedCards(), 1)
	assert.Equal(t, "depot-bus-3", h.UnfinishedCards()[0].Name)
	_, problems := h.Cards()
	assert.Empty(t, problems, "what is not finished is no card")
	d, err = h.BeginCard("depot-bus-3")
	require.NoError(t, err)
	assert.Len(t, d.Answered(), 3)

	choice := map[string]string{"How do the cylinders stand?": "in-line", "How many cylinders?": "2", "How does the crankshaft lie?": "lengthwise",
		"At which end does cylinder 1 stand, as seen from the driver's seat?": "front", "How many banks does the maker count?": "one",
		"Which cylinders stand in bank 1?": "1, 2", "Which oxygen sensors are fitted?": "B1S1"}
	for q, more := d.Next(); more; q, more = d.Next() {
		answer := choice[q.Title]
		if q.Source {
			answer = d.LastSource()
		}
		require.NoError(t, d.Answer(answer), q.Title)
	}
	card, err := h.KeepCard(d.Text())
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(h.CardsDir(), "depot-bus-3.yaml"), card.File)
	assert.Empty(t, h.UnfinishedCards())
	assert.NoFileExists(t, filepath.Join(h.CardsDir(), "depot-bus-3.unfinished"))
	_, err = h.BeginCard("depot-bus-3")
	assert.ErrorContains(t, err, "choose another name")
}

func TestAnswersThatCannotBeReadAreNotWrittenOver(t *testing.T) {
	h := fresh(t)
	file := filepath.Join(h.CardsDir(), "depot-bus-3.unfinished")
	put(t, file, `[{"question":"title","answer":"x","colour":"red"}]`)
	_, err := h.BeginCard("depot-bus-3")
	require.ErrorContains(t, err, "move that file away")
	require.FileExists(t, file)
	require.NoError(t, h.DropAnswers("depot-bus-3"))
	require.NoError(t, h.DropAnswers("depot-bus-3"), "there is none to throw away")
	_, err = h.BeginCard("depot-bus-3")
	require.NoError(t, err)
}

func TestAnswersThatCannotBeKeptAreSaid(t *testing.T) {
	h := fresh(t)
	require.NoError(t, os.MkdirAll(h.ConfigDir, 0o700))
	put(t, h.CardsDir(), "a file where the folder is to be")
	assert.ErrorContains(t, h.KeepAnswers("depot-bus-3", []newcard.Given{{Question: "title", Answer: "x"}}), "a folder you may write to")
}
