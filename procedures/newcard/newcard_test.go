package newcard_test

// The oracle of these tests is the reader of cards: what was answered is what it finds, each fact with where it stands.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/newcard"
)

// answers of somebody who has the papers of an invented V6, by what is asked.
var answers = map[string]string{
	"Time to wait: Wait after the battery is off, for the airbag back-up supply": "3 min",
	"What is the vehicle called?": "Depot minibus 3", "Which document do the figures come from?": "Workshop book, 2016 edition",
	"Registration or fleet number": "MB 3: spare", "Vehicle identification number": "FSDEMO00000000003", "Model year": "2016",
	"Side the driver sits on": "left", "Side of the road it is driven on": "right", "How do the cylinders stand?": "V",
	"How many cylinders?": "6", "How does the crankshaft lie?": "crosswise",
	"At which end does cylinder 1 stand, as seen from the driver's seat?": "right",
	"On which side does bank 1 lie, as seen from the driver's seat?":      "rear",
	"On which side does bank 2 lie, as seen from the driver's seat?":      "front",
	"Which cylinders stand in bank 1?":                                    "1, 3, 5",
	"Which cylinders stand in bank 2?":                                    "2,4,6",
	"Firing order":                                                        "1, 2, 3, 4, 5, 6",
	"Which oxygen sensors are fitted?":                                    "B1S1, B2S1",
	"B1S1: tightening torque, lowest to highest":                          "40 N·m to 50 N·m",
	"B1S1: thread":                    "M18x1.5",
	"B1S1: connector":                 "six way, grey",
	"B1S1: anti-seize on its threads": "not allowed",
	"B1S1: cold resistance of its heater, lowest to highest": "9 Ω",
	"B1S1: temperature that the resistance is stated for":    "20 °C",
	"How many studs or bolts hold a road wheel?":             "5",
	"Road wheels: tightening torque, lowest to highest":      "110 N·m to 130 N·m",
}

// fill answers everything that is asked; what has no answer is not known. A source is the number of its question.
func fill(t require.TestingT, d *newcard.Draft) (asked []newcard.Question) {
	for q, more := d.Next(); more; q, more = d.Next() {
		require.Less(t, len(asked), 500, "it asks for ever: %+v", q)
		asked = append(asked, q)
		answer := answers[q.Title]
		if q.Source {
			answer = "page of " + q.Hint
		}
		require.NoError(t, d.Answer(answer), "%q to %+v", answer, q)
	}
	return asked
}

func begin(t require.TestingT) *newcard.Draft {
	d, err := newcard.Begin("depot-bus-3", library.Procedures())
	require.NoError(t, err)
	return d
}

func TestTheCardHoldsWhatWasAnsweredAndWhereEachFigureStands(t *testing.T) {
	d := begin(t)
	fill(t, d)
	c, err := procedures.ParseCard("depot-bus-3.yaml", d.Text())
	require.NoError(t, err, "%s", d.Text())
	assert.Equal(t, "depot-bus-3", c.Name)
	assert.False(t, c.Demonstration, "a card of one's own vehicle is none")
	for path, want := range map[string][2]string{
		"title":                     {"Depot minibus 3", "Workshop book, 2016 edition"},
		"vehicle.registration":      {"MB 3: spare", "page of Registration or fleet number"},
		"engine.arrangement":        {"V", "page of How do the cylinders stand?"},
		"engine.banks.B2.cylinders": {"2, 4, 6", "page of Which cylinders stand in bank 2?"},
		"engine.firing_order":       {"1, 2, 3, 4, 5, 6", "page of Firing order"},
		"sensors.fitted":            {"B1S1, B2S1", "Workshop book, 2016 edition"},
		"sensors.B1S1.torque_low":   {"40 N·m", "page of B1S1: tightening torque, lowest to highest"},
		"sensors.B1S1.torque_high":  {"50 N·m", "page of B1S1: tightening torque, lowest to highest"},
		"sensors.B1S1.heater_low":   {"9 Ω", "page of B1S1: cold resistance of its heater, lowest to highest"},
		"sensors.B1S1.heater_high":  {"9 Ω", "page of B1S1: cold resistance of its heater, lowest to highest"},
		"sensors.B1S1.connector":    {"six way, grey", "page of B1S1: connector"},
	} {
		fact, ok := c.Fact(path)
		assert.True(t, ok, path)
		assert.Equal(t, want, [2]string{fact.Text, fact.Source}, path)
	}
	assert.Contains(t, string(d.Text()), "# sensors.B1S1.hex: not known\n")
	_, ok := c.Fact("sensors.B1S1.hex")
	assert.False(t, ok, "what is not known is no fact")
}

func TestEveryFactThatACardCanHoldIsAskedFor(t *testing.T) {
	d := begin(t)
	fill(t, d)
	text := string(d.Text())
	for group, fields := range procedures.CardGrammar() {
		for _, name := range fields {
			if group == "fact" || name == "demonstration" {
				continue
			}
			assert.True(t, strings.Contains(text, name+":"), "%s of %s stands nowhere in:\n%s", name, group, text)
		}
	}
	for _, id := range []string{"airbag", "sample", "soak"} { // that the shipped procedure takes
		assert.Regexp(t, `(?m)^  (# waits\.)?`+id+":", text)
	}
}

func TestTheReaderOfCardsJudgesEachAnswerAtOnce(t *testing.T) {
	wrong := map[string][2]string{ // by the question, what is answered and what the reader says
		"How do the cylinders stand?":                            {"W", `"W" is none of them`},
		"How many cylinders?":                                    {"17", "write a whole number from 1 to 16"},
		"Which cylinders stand in bank 1?":                       {"3, 5", "cylinder 1 stands in B2"},
		"Which cylinders stand in bank 2?":                       {"2, 4", "cylinder 6 stands in no bank"},
		"Firing order":                                           {"1, 2, 3", "write each of 1 to 6 once"},
		"Which oxygen sensors are fitted?":                       {"B1S1, B1S1", "stands here twice"},
		"B1S1: tightening torque, lowest to highest":             {"50 N·m to 40 N·m", "torque_high of sensor B1S1 is less than torque_low"},
		"B1S1: thread":                                           {"18", "such as M18x1.5"},
		"B1S1: hexagon across flats":                             {"22", "a bare number"},
		"B1S1: cold resistance of its heater, lowest to highest": {"8 V", "a resistance belongs here"},
		"Model year":                                             {"last year", "write a whole number"},
		"Registration or fleet number":                           {"", "an answer is needed"},
		"What is the vehicle called?":                            {"bus \u202e3", "U+202E"},
		"Time to wait: Wait after the battery is off, for the airbag back-up supply": {"soon", "no time"},
	}
	d := begin(t)
	held := 0
	for q, more := d.Next(); more; q, more = d.Next() {
		if bad, ok := wrong[q.Title]; ok && !q.Source {
			before := string(d.Text())
			require.ErrorContains(t, d.Answer(bad[0]), bad[1], q.Title)
			assert.Equal(t, before, string(d.Text()), "nothing was taken of it")
			held++
		}
		answer := answers[q.Title]
		if q.Source {
			require.ErrorContains(t, d.Answer(""), "needed")
			answer = "page 1"
		}
		require.NoError(t, d.Answer(answer), q.Title)
	}
	assert.Equal(t, held, len(wrong))
}

func TestAFieldThatProceduresChooseFromSaysTheirWords(t *testing.T) {
	for _, q := range fill(t, begin(t)) {
		if q.Title == "B1S1: kind of sensor" {
			assert.Equal(t, "Procedures here know: switching zirconia, wide-band zirconia, titania.", q.Hint)
			return
		}
	}
	assert.Fail(t, "the kind was not asked for")
}

func TestTheLastAnswerCanBeTakenBack(t *testing.T) {
	d := begin(t)
	assert.False(t, d.Back(), "there is none yet")
	first, _ := d.Next()
	require.NoError(t, d.Answer("Depot minibus 3"))
	assert.True(t, d.Back())
	again, _ := d.Next()
	assert.Equal(t, first, again)
}

func TestOnlyANameIsTaken(t *testing.T) {
	for _, name := range []string{"", "Bus", "bus 3", "../bus", "bus: x", "bus\ntitle: x", "null"} {
		_, err := newcard.Begin(name, nil)
		assert.ErrorContains(t, err, "lower-case", "%q", name)
	}
}

// Whatever is typed, an answer that is taken leaves a sound card in the end, which says that text and no other.
func TestWhateverIsTypedTheCardThatComesOfItIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := begin(t)
		word := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"1", "2", "4", "1, 2", "V", "in-line", "B1S1", "B1S1: {}", "B1.S1", "left", "one", "null",
			"- x", "# x", "a: b", "}", "\"", "40 N·m", "1 min", "*x", "&x", "!!str x"}))
		title := ""
		for q, more := d.Next(); more; q, more = d.Next() {
			typed := strings.TrimSpace(word.Draw(t, "answer"))
			if len(q.Choose) > 0 {
				typed = rapid.SampledFrom(q.Choose).Draw(t, "choice")
			}
			if d.Answer(typed) != nil {
				fallback := answers[q.Title]
				switch {
				case q.Source:
					fallback = "page 1"
				case q.Title == "How many cylinders?":
					fallback = "2"
				case q.Title == "Which cylinders stand in bank 1?":
					fallback = "1"
				case q.Title == "Which cylinders stand in bank 2?":
					fallback = "2"
				case !q.Needed:
					fallback = ""
				}
				if d.Answer(fallback) != nil {
					return // an earlier answer leaves it no fitting one; the person takes that back
				}
				typed = fallback
			}
			if q.Title == "What is the vehicle called?" {
				title = typed
			}
		}
		c, err := procedures.ParseCard("x.yaml", d.Text())
		require.NoError(t, err, "%s", d.Text())
		assert.Equal(t, title, c.Title)
	})
}
