package newcard_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/newcard"
)

// Left after any question and taken up again, the interview goes on where it was, and ends in the same card.
func TestAnInterviewIsTakenUpWhereItWasLeft(t *testing.T) {
	whole := begin(t)
	fill(t, whole)
	d := begin(t)
	for q, more := d.Next(); more; q, more = d.Next() {
		again := begin(t)
		again.TakeUp(d.Given())
		open, ok := again.Next()
		require.True(t, ok)
		require.Equal(t, q, open)
		require.Equal(t, string(d.Text()), string(again.Text()))
		require.Equal(t, d.ToCome(), again.ToCome())
		d = again
		answer := answers[q.Title]
		if q.Source {
			answer = "page of " + q.Hint
		}
		require.NoError(t, d.Answer(answer))
	}
	assert.Equal(t, string(whole.Text()), string(d.Text()))
	assert.Zero(t, d.ToCome())
}

func TestWhatWasTakenBackIsOfferedAgainAlsoAfterItWasLeft(t *testing.T) {
	d := begin(t)
	for _, answer := range []string{"Depot minibus 3", "Workshop book", "MB 3", "page 4"} {
		require.NoError(t, d.Answer(answer))
	}
	require.True(t, d.Back())
	require.True(t, d.Back())
	again := begin(t)
	again.TakeUp(d.Given())
	for _, one := range []*newcard.Draft{d, again} {
		assert.Len(t, one.Answered(), 1)
		for _, want := range []string{"Workshop book", "MB 3", "page 4"} {
			assert.Equal(t, want, one.Suggested())
			require.NoError(t, one.Answer(one.Suggested()))
		}
		assert.Empty(t, one.Suggested(), "this was never answered")
	}
	assert.Equal(t, d.Given(), again.Given())
}

func TestAnAnswerThatIsTakenNoMoreIsAskedForAgain(t *testing.T) {
	d := begin(t)
	d.TakeUp([]newcard.Given{{Question: "title", Answer: "Depot minibus 3"}, {Question: "source", Answer: "Workshop\x1bbook"}, {Question: "no-such-question", Answer: "1"}})
	assert.Equal(t, []newcard.Answered{{Title: "What is the vehicle called?", Text: "Depot minibus 3"}}, d.Answered())
}
