package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
)

// brokenHeater is what a fault's proof asks until the supply is measured, with an element that the meter cannot measure.
var brokenHeater = map[string][]string{
	"codes": {"P0135 stored"}, "freeze_frame": {"none"}, "readiness": {"none"}, "choose-reach": {"from above"},
	"cool.place": {"boss and pipe"}, "cool.method": {"contact probe"}, "cool.ambient": {"18"}, "cool.surface": {"39.5", "38.0"}, "thermometer": {"TH-2"},
	"found": {"B1S1"}, "wiring": {"sound"}, "element_shows": {"over its range"}, "heater_found": {"fail"}, "supply": {"both there"},
}

func TestAnOptionalReadingAsksForItsInstrumentFirst(t *testing.T) {
	r := newRig(t).size(80, 24)
	p, ok := library.Procedure("prove-the-fault")
	require.True(t, ok)
	card, ok := library.Card("millbrook-four")
	require.True(t, ok)
	r.m.prepare(Start{Procedure: p, Card: card})
	r.key("down", "down").typed("P0135")
	for range p.Sheet {
		if r.m.work == nil {
			r.key("enter")
		}
	}
	require.NotNil(t, r.m.work, r.m.message)
	r.to("finish measure-supply", brokenHeater)

	r.key("f7", "3", "enter").key("down", "enter")
	assert.Contains(t, r.view(), "INSTRUMENT IN HAND: Voltmeter")
	r.typed("DM-1").key("enter")
	assert.Contains(t, r.view(), "Voltage at the supply pin")
	r.typed("12.4")
	v, _ := r.m.work.view()
	require.Equal(t, "supply_voltage", v.Readings[1].Spec.ID)
	require.Len(t, v.Readings[1].Values, 1, r.m.message)
	assert.Equal(t, "12.4 V", v.Readings[1].Values[0].Text)
	assert.True(t, strings.HasPrefix(r.m.work.scene().want.id, "finish measure-supply"))
}
