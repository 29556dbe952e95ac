package ui

// What is typed is kept as it is typed, and what was refused stays until another figure is begun.

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
)

func TestAFigureTypedAfterARefusedOneIsAnotherReading(t *testing.T) {
	r := newRig(t).start("millbrook-four").to("read battery.residual", plainJob)
	r.typed("0,1")
	require.Contains(t, r.flat(), "NOT TAKEN")
	require.Contains(t, r.flat(), "Next: type it again in that way.")
	assert.Contains(t, r.view(), "> 0,1_", "what was refused is shown")
	r.key("0", ".", "2")
	assert.Contains(t, r.view(), "> 0.2_", "not 0,10.2")

	r.key("ctrl+u").typed("0.2 bar")
	r.key("backspace", "backspace", "backspace", "V")
	assert.Contains(t, r.view(), "> 0.2 V_", "any other key mends it")
	r.key("ctrl+u").typed("0,2").key("left", "backspace", ".")
	assert.Contains(t, r.view(), "> 0._2", "in the middle as well")
	r.key("ctrl+u").typed("none").key("2")
	assert.Contains(t, r.view(), "> none2_", "words are no figure")
}

func TestBothFiguresOfANumberMayComeAtOnce(t *testing.T) {
	r := newRig(t)
	b, ok := r.m.top().(*board)
	require.True(t, ok)
	require.Greater(t, len(b.list.items), 11)
	r.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("11")})
	assert.Equal(t, 10, b.list.at, "not the first, which Enter would take")
}

func TestAListLongerThanTheWindowIsTurnedByThePage(t *testing.T) {
	r := newRig(t).size(80, 24)
	b, ok := r.m.top().(*board)
	require.True(t, ok)
	require.Greater(t, len(b.list.items), 9)
	r.key("pgdown")
	assert.Equal(t, 9, b.list.at)
	assert.Contains(t, r.view(), "> 10  ")
	r.key("pgdown", "pgdown", "pgdown", "pgdown", "pgdown", "pgdown")
	assert.Equal(t, len(b.list.items)-1, b.list.at)
	r.key("pgup", "pgup", "pgup", "pgup", "pgup", "pgup", "pgup")
	assert.Zero(t, b.list.at)
}

func TestEscOnASheetThrowsNothingAwayUnasked(t *testing.T) {
	r := newRig(t)
	p, ok := library.Procedure("sensor-swap")
	require.True(t, ok)
	c, ok := library.Card("millbrook-four")
	require.True(t, ok)
	r.m.prepare(Start{Procedure: p, Card: c})
	on := func() bool { _, sheet := r.m.top().(*sheet); return sheet }
	r.typed("MCM 4").key("esc")
	require.True(t, on())
	assert.Contains(t, r.flat(), "Esc once more leaves the sheet, and what was typed on it is gone.")
	r.key("up", "esc")
	require.True(t, on(), "any other key keeps it")
	assert.Contains(t, r.view(), "MCM 4 (typed)")
	r.key("esc")
	assert.False(t, on())

	r.m.prepare(Start{Procedure: p, Card: c})
	r.key("down", "esc")
	assert.False(t, on(), "nothing was typed")
}
