package runner_test

// A safeguard rests on what its gate needed as things were when it was done: a need under a condition counts where that held.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
)

const highLamp = `
fenderside: 1
procedure: high-lamp
revision: 1
title: Change a high lamp
scope: For tests.
sheet:
  - {id: reach, title: How it is reached, choose: [stool, ladder]}
safeguards:
  footed: {title: Ladder footed}
  cool: {title: Cool enough to touch}
  swept: {title: Splinters swept up, lasting: true}
steps:
  - gate: foot-ladder
    title: Foot the ladder
    secures: footed
    affirm: [It does not slip]
  - gate: let-it-cool
    title: Let the lamp cool
    needs: [{safeguard: footed, when: {reach: ladder}}]
    secures: cool
    affirm: [It is cool to the back of a hand, Nobody switched it on]
  - gate: sweep
    title: Sweep
    needs: [{safeguard: footed, when: {reach: ladder}}]
    secures: swept
    affirm: [The floor is bare]
  - do: draw-lamp
    title: Draw the lamp
    needs: [cool, footed]
    affirm: [The lamp is out]
  - gate: light-up
    title: Switch it on
    releases: [cool]
    affirm: [The lamp burns]
  - gate: ladder-away
    title: Take the ladder away
    releases: [footed]
    affirm: [It lies along the wall]
make safe: [ladder-away, light-up]
`

func highLampBy(t *testing.T, reach string) *bench {
	return open(t, setup{text: highLamp, sheet: map[string]string{"reach": reach}})
}

func slip(b *bench) runner.Decision {
	d := b.do(runner.StopWork{Safeguards: []string{"footed"}})
	b.do(runner.Clear{})
	return d
}

func TestASafeguardRestsOnWhatItsGateNeededUnderAConditionThatHeld(t *testing.T) {
	b := highLampBy(t, "ladder").to("draw-lamp")
	d := slip(b)
	assert.False(t, b.stands("cool"), "nobody saw the lamp while the ladder slipped")
	fell := find[runner.Fell](d)
	require.Len(t, fell, 2)
	assert.Equal(t, runner.Fell{Safeguard: "cool", Why: runner.ByRest, Of: "footed"}, fell[1])
	assert.True(t, b.stands("swept"), "what stays with the vehicle rests on nothing")
	assert.Equal(t, "let-it-cool", b.to("let-it-cool").open())
	assert.Equal(t, b.state, b.folded)
}

func TestASafeguardRestsOnNothingThatItsGateDidNotNeed(t *testing.T) {
	b := highLampBy(t, "stool").to("draw-lamp")
	slip(b)
	assert.True(t, b.stands("cool"))
}

func TestWhatASafeguardRestsOnIsSettledWhenItsGateIsDone(t *testing.T) {
	b := highLampBy(t, "stool").to("draw-lamp")
	b.do(sheet("reach", "ladder"))
	slip(b)
	assert.True(t, b.stands("cool"), "the gate was done from the stool")

	b = highLampBy(t, "ladder").to("draw-lamp")
	b.do(sheet("reach", "stool"))
	slip(b)
	assert.False(t, b.stands("cool"), "the gate was done from the ladder")
	b.to("draw-lamp")
	slip(b)
	assert.True(t, b.stands("cool"), "and was done again from the stool")
}

func TestWhatAGateWasBegunWithGoesWithWhatItNeedsAsThingsAre(t *testing.T) {
	b := highLampBy(t, "ladder").to("let-it-cool")
	b.do(runner.Affirm{Step: "let-it-cool"})
	slip(b)
	b.to("let-it-cool")
	v, _ := b.state.View("let-it-cool", b.now)
	assert.False(t, v.Statements[0].Affirmed)
}

func TestAReleaseFellsWhatRestsOnItAsThingsWere(t *testing.T) {
	for reach, stands := range map[string]bool{"ladder": false, "stool": true} {
		b := highLampBy(t, reach).to("draw-lamp")
		b.do(runner.Close{Outcome: "referred", Reason: "cracked"})
		require.Equal(t, "ladder-away", b.open())
		b.step()
		assert.Equal(t, stands, b.stands("cool"), reach)
		assert.Equal(t, "light-up", b.open(), "and is made safe all the same")
	}
}
