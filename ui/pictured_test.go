package ui

import (
	"os"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestThePositionIsNotTakenFromThePictureBeforeItWasReadBack(t *testing.T) {
	r := newRig(t)
	r.start("millbrook-four").to("read found", plainJob)
	for _, s := range sizes {
		r.size(s[0], s[1])
		assert.NotContains(t, r.m.View(), "THIS")
	}
	r.key("f12")
	assert.Contains(t, r.flat(), "<B1S1> [catalyst] <B1S2>")
	assert.NotContains(t, r.m.View(), "THIS")
	r.key("esc").to("finish find-sensor", plainJob).key("f12")
	assert.Contains(t, r.flat(), ">>>B1S1 THIS<<< [catalyst] <B1S2>")
}

func TestAPictureIsShownBesideAStepOnlyWhereItFits(t *testing.T) {
	for name, mark := range map[string]string{"forecast": "<=X", "torque": "50.1: accept", "torque-fail": "off the bar", "position-told": ">>>B1S1 THIS<<<"} {
		r := newRig(t)
		screens[name](r)
		r.size(200, 60)
		assert.Contains(t, r.m.View(), mark, name)
		r.size(leastWidth, leastHeight)
		assert.NotContains(t, r.m.View(), mark, name)
		if strings.Contains(r.flat(), "| F2 HOW |") {
			assert.Contains(t, r.flat(), "F4 STOP WORK | F2 HOW | F1 help", "how it is done matters more: %s", name)
		} else {
			assert.Contains(t, r.flat(), "F4 STOP WORK | F1 help | F12 draw", "a key shows it, and hides no other that matters more: %s", name)
		}
		r.key("f12", "end")
		assert.Contains(t, r.m.View(), "PICTURE", name)
		seen := r.flat()
		r.key("home")
		assert.Contains(t, r.flat()+seen, "IN WORDS", "the same in words: %s", name)
	}
}

func TestAStepWithoutAPictureSaysSo(t *testing.T) {
	r := newRig(t)
	r.start("millbrook-four").to("affirm take-key", plainJob).key("f12")
	assert.Contains(t, r.m.View(), "This step has no picture")
	assert.NotContains(t, r.m.View(), "F12 draw")
}

// What colour shows, the shape and the word show too: without its colours the screen is the same.
func TestAPictureSaysNothingByColourAlone(t *testing.T) {
	r := newRig(t)
	screens["picture-engine"](r)
	r.size(80, 24)
	plain := r.view()
	render := lipgloss.NewRenderer(os.Stdout)
	render.SetColorProfile(termenv.TrueColor)
	render.SetHasDarkBackground(true)
	r.m.look = themeOf(render, true)
	same(t, "picture-colour", r.view())
	require.NotEqual(t, plain, r.view())
	assert.Equal(t, plain, ansi.Strip(r.view()))
	assert.Contains(t, strings.Split(r.view(), "\n")[strings.Count(strings.Split(plain, ">>>")[0], "\n")], "\x1b[1;7m>>>B1S1 THIS<<<\x1b[0m")
}
