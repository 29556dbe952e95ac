package ui

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
)

func TestACardOfOnesOwnStandsBesideTheShippedOnesAndItsSheetSaysWhereEachFigureStands(t *testing.T) {
	r := newRig(t).size(120, 40)
	swap := r.starts("sensor-swap")
	r.key(swap, "enter")
	assert.Contains(t, r.view(), "leave and run: fenderside cards new NAME", "there is none yet")
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
	assert.NotContains(t, r.view(), "cards new")
	r.key("4", "enter")
	assert.Contains(t, r.view(), "Is this work on a real vehicle?", "no demonstration decides it")
	r.key("1", "enter", "down", "down", "1", "enter", "enter")
	assert.Contains(t, r.view(), "55 N·m (from the card: book page 12)")
	assert.Contains(t, r.view(), "Thread of the sensor: M18×1.5 (from the card: invented for the Millbrook community minibus depot)")
}
