package ui

// A vehicle card is asked for in the screens, and kept among the person's own.

import (
	"bytes"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
)

func TestACardOfOnesOwnStandsBesideTheShippedOnesAndItsSheetSaysWhereEachFigureStands(t *testing.T) {
	r := newRig(t).size(120, 40)
	swap := r.starts("sensor-swap")
	r.key(swap, "enter")
	shipped, ok := library.Card("millbrook-four")
	require.True(t, ok)
	text := bytes.Replace(shipped.Text, []byte("card: millbrook-four"), []byte("card: depot-bus-3"), 1)
	text = bytes.Replace(text, []byte("demonstration: true"), []byte("demonstration: false"), 1)
	text = bytes.Replace(text, []byte("torque_high: 60 N·m"), []byte("torque_high: {value: 55 N·m, source: book page 12}"), 1)
	_, err := r.m.home.KeepCard(text)
	require.NoError(t, err)

	r.key("esc", swap, "enter")
	assert.Contains(t, r.view(), "depot-bus-3")
	assert.Contains(t, r.view(), "millbrook-four, practice only")
	r.key("4", "enter")
	assert.Contains(t, r.view(), "Is this work on a real vehicle?", "no demonstration decides it")
	r.key("1", "enter", "down", "down", "enter", "1", "enter")
	assert.Contains(t, r.view(), "55 N·m (from the card: book page 12)")
	assert.Contains(t, r.view(), "Thread of the sensor: M18×1.5 (from the card: invented for the Millbrook community minibus depot)")
}

// papers are answers about a small in-line engine with one sensor, by what is asked; a source is "page 2" where none is named.
var papers = map[string]string{
	"What is the vehicle called?": "Depot minibus 3", "Which document do the figures come from?": "Workshop book", "Registration or fleet number": "MB 3",
	"How do the cylinders stand?": "in-line", "How many cylinders?": "4", "How does the crankshaft lie?": "lengthwise",
	"At which end does cylinder 1 stand, as seen from the driver's seat?": "front", "How many banks does the maker count?": "one",
	"On which side does bank 1 lie, as seen from the driver's seat?": "left", "Which cylinders stand in bank 1?": "1, 2, 3, 4",
	"Which oxygen sensors are fitted?": "B1S1", "B1S1: tightening torque, lowest to highest": "45 N·m", "How many studs or bolts hold a road wheel?": "5",
}

// names begins a card from the board.
func (r *rig) names(card string) *rig {
	r.t.Helper()
	return r.key(r.offers("Write a card for a vehicle of your own"), "enter").typed(card)
}

// offers is the number of a line of the board.
func (r *rig) offers(text string) string {
	r.t.Helper()
	b, ok := r.m.top().(*board)
	require.True(r.t, ok)
	i := slices.IndexFunc(b.list.items, func(it item) bool { return it.text == text })
	require.GreaterOrEqual(r.t, i, 0, text)
	return strconv.Itoa(i + 1)
}

// answersTo answers the questions of a card until one of that title is open; "" is the end.
func (r *rig) answersTo(title string) *rig {
	r.t.Helper()
	for range 200 {
		iv, ok := r.m.asking()
		require.True(r.t, ok)
		q, open := iv.draft.Next()
		if !open || q.Title == title {
			require.Equal(r.t, title, q.Title)
			return r
		}
		answer := papers[q.Title]
		if len(q.Choose) == 0 {
			r.typed(answer)
			continue
		}
		if i := slices.Index(q.Choose, answer); i >= 0 && !figures(q.Choose) {
			answer = strconv.Itoa(i + 1)
		}
		for _, c := range answer {
			r.key(string(c))
		}
		r.key("enter")
	}
	require.Fail(r.t, "the questions have no end")
	return r
}

func TestACardIsWrittenFromTheBoardAndAJobTakesItsFigures(t *testing.T) {
	r := newRig(t).names("depot-bus-3").answersTo("")
	_, err := r.m.home.Card("depot-bus-3")
	require.Error(t, err, "nothing is written before it was read back")
	r.key("enter").toEnd()
	assert.Contains(t, r.view(), "Enter writes the card")
	r.key("enter")
	assert.Contains(t, r.flat(), "Written and checked: "+filepath.Join(r.m.home.CardsDir(), "depot-bus-3.yaml"))
	c, err := r.m.home.Card("depot-bus-3")
	require.NoError(t, err)
	for path, want := range map[string][2]string{"sensors.B1S1.torque_low": {"45 N·m", "Workshop book"}, "wheels.studs": {"5", "Workshop book"}, "engine.cylinders": {"4", "Workshop book"}} {
		fact, _ := c.Fact(path)
		assert.Equal(t, want, [2]string{fact.Text, fact.Source}, path)
	}
	assert.Empty(t, r.m.home.UnfinishedCards())
	r.key(r.starts("sensor-swap"), "enter")
	assert.Contains(t, r.view(), "Depot minibus 3")
}

func TestAJobThatWantsACardGoesOnWithTheOneWrittenForIt(t *testing.T) {
	r := newRig(t).size(120, 40)
	r.key(r.starts("sensor-swap"), "enter", "5", "enter").typed("depot-bus-3").answersTo("")
	r.key("enter").toEnd().key("enter")
	assert.Contains(t, r.view(), "Is this work on a real vehicle?")
	r.key("1", "enter")
	s, ok := r.m.top().(*sheet)
	require.True(t, ok)
	assert.Equal(t, "depot-bus-3", s.card.Name)
	r.key("esc", "esc")
	assert.IsType(t, &board{}, r.m.top(), "the way back leads over no list that lacks it")
}

func TestGoingBackOffersWhatWasAnswered(t *testing.T) {
	r := newRig(t).names("depot-bus-3").answersTo("How does the crankshaft lie?")
	r.key("1", "enter").typed("page 7")
	r.key("esc")
	assert.Contains(t, r.view(), "> 1 lengthwise", "the answer is marked again")
	r.key("enter")
	assert.Contains(t, r.view(), "> page 7_", "and where it stands")
	r.key("esc", "esc")
	assert.Contains(t, r.view(), "> 4_", "and the answer before it")
	r.key("backspace").typed("five").key("esc")
	assert.NotContains(t, r.view(), "NOT TAKEN")
}

func TestAnAnswerThatIsNotTakenStaysWithItsReason(t *testing.T) {
	r := newRig(t).names("depot-bus-3").answersTo("How many cylinders?").typed("17")
	assert.Contains(t, r.flat(), "NOT TAKEN: ")
	assert.Contains(t, r.flat(), "write a whole number from 1 to 16")
	assert.Contains(t, r.view(), "> 17_")
	r = newRig(t).names("depot-bus-3").typed("")
	assert.Contains(t, r.flat(), "NOT TAKEN: An answer is needed")
	r = newRig(t).names("Depot Bus")
	assert.Contains(t, r.flat(), "a name is lower-case letters")
	r = newRig(t).names("millbrook-four")
	assert.Contains(t, r.flat(), "there is one of that name")
}

func TestACardThatIsLeftIsGoneOnWithFromTheBoard(t *testing.T) {
	r := newRig(t).names("depot-bus-3").answersTo("How many cylinders?").key("f7", "1", "enter")
	assert.Contains(t, r.m.message, "are kept")
	r.open(r.m.home, Options{}) // the program is started anew
	r.key(r.offers("Go on with the card depot-bus-3"), "enter")
	assert.Contains(t, r.m.message, "Taken up where it was left, after 8 answers.")
	assert.Contains(t, r.view(), "How many cylinders?")
	r.key("f7", "3", "enter")
	assert.Contains(t, r.m.message, "Thrown away")
	assert.Empty(t, r.m.home.UnfinishedCards())
	assert.NotContains(t, r.view(), "Go on with the card")
}

// Whoever leaves with Ctrl+C, or loses the machine, has every answer that the screen took.
func TestEachAnswerIsOnTheDiskBeforeTheNextIsAsked(t *testing.T) {
	r := newRig(t).names("depot-bus-3")
	for n, answer := range []string{"Depot minibus 3", "Workshop book", "MB 3"} {
		r.typed(answer)
		d, err := r.m.home.BeginCard("depot-bus-3")
		require.NoError(t, err)
		assert.Len(t, d.Answered(), n+1)
	}
}

func TestAnswersGivenWhileOthersAreWrittenAreWrittenAfterThem(t *testing.T) {
	r := newRig(t).names("depot-bus-3")
	iv, _ := r.m.asking()
	answer := func(text string) tea.Cmd {
		iv.input = typedLine(text)
		q, _ := iv.draft.Next()
		return iv.answer(r.m, q)
	}
	first := answer("Depot minibus 3")
	require.NotNil(t, first)
	assert.Nil(t, answer("Workshop book"), "one write at a time")
	r.run(first)
	d, err := r.m.home.BeginCard("depot-bus-3")
	require.NoError(t, err)
	assert.Len(t, d.Answered(), 2)
}

func TestAnswersThatAreSingleFiguresAreMarkedByThemselves(t *testing.T) {
	var k mark
	require.True(t, k.pick("5", []string{"4", "5", "6"}))
	assert.Equal(t, 1, k.at)
	assert.False(t, k.pick("1", []string{"4", "5", "6"}), "it is none of them")
	require.True(t, k.pick("2", []string{"taper", "ball"}))
	assert.Equal(t, 1, k.at)
	row := choices(ascii(), []string{"4", "5", "6"}, 1, 60)
	assert.Equal(t, []string{"  4  > 5    6"}, row)
}

func TestAnAnswerIsTypedAsWellAndAFigureInItIsNoNumberOfALine(t *testing.T) {
	all := []string{"B1S1", "B1S2", "B2S1", "B2S2"}
	typed := func(keys string) mark {
		k := unmarked
		for _, r := range keys {
			k.pick(string(r), all)
		}
		return k
	}
	for keys, at := range map[string]int{"B2S1": 2, "b1s2": 1, "b1 s2": 1, "B2": -1, "B": -1, "3": 2, "B3S1": -1, "B2S13": -1} {
		assert.Equal(t, at, typed(keys).at, keys)
	}
	assert.Contains(t, (&mark{at: -1, word: "b2"}).left(all), "B2S1 or B2S2: go on typing")
	k := unmarked
	require.True(t, k.take(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("b2s1")}, all), "all at once")
	assert.Equal(t, 2, k.at)
	k = typed("B2")
	require.True(t, k.pick("down", all))
	assert.Empty(t, k.word, "an arrow starts again")
}

func TestWhatIsNoAnswerMarksNone(t *testing.T) {
	r := newRig(t)
	all := []string{"sensor hexagon", "boss and pipe", "catalyst shell", "heat shield"}
	for keys, said := range map[string]string{
		"p0141 history": "No answer begins with “p0141 history”: Backspace starts again.", // its h and its 1 are no answers
		"bx2":           "No answer begins with “bx2”: Backspace starts again.",
		"18":            "No answer has that number. Press the number of an answer, or type it, then Enter.",
	} {
		k := unmarked
		for _, one := range keys {
			require.True(t, r.m.marked(&k, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{one}}, all), keys)
		}
		assert.Equal(t, -1, k.at, keys)
		assert.Equal(t, said, r.m.message, keys)
	}
	assert.False(t, r.m.marked(&mark{at: -1}, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'?'}}, all), "no beginning of a word")
	k := mark{at: -1, word: "p0141"}
	assert.Equal(t, "Press the number of an answer first, then Enter.", k.unanswered(all))
	require.True(t, k.pick("2", all), "Enter dropped it")
	assert.Equal(t, 1, k.at)
	k = mark{at: -1, word: "b"}
	assert.Equal(t, k.left([]string{"B1S1", "B2S1"}), k.unanswered([]string{"B1S1", "B2S1"}), "Enter keeps a beginning")
	assert.Equal(t, "Press the number of an answer first, then Enter.", (&mark{at: -1}).unanswered(all))
}
