package location_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/checks/location"
)

func TestTheExhaustRunsFromSensorOneThroughTheCatalystToTheRest(t *testing.T) {
	cat := func(n int) location.Stop { return location.Stop{Catalyst: n} }
	at := func(n int) location.Stop { return location.Stop{Sensor: n} }
	for name, x := range map[string]struct {
		fitted []int
		want   []location.Stop
	}{
		"one":             {[]int{1}, []location.Stop{at(1), cat(1)}},
		"two":             {[]int{2, 1}, []location.Stop{at(1), cat(1), at(2)}},
		"three":           {[]int{1, 2, 3}, []location.Stop{at(1), cat(1), at(2), cat(2), at(3)}},
		"no first":        {[]int{2}, []location.Stop{cat(1), at(2)}},
		"the fourth only": {[]int{4}, []location.Stop{cat(1), cat(2), at(4)}},
	} {
		f := location.Facts{}
		for _, n := range x.fitted {
			f.Sensors = append(f.Sensors, location.Position{Bank: 2, Sensor: n}, location.Position{Bank: 1, Sensor: 1})
		}
		assert.Equal(t, x.want, f.Along(2), name)
	}
}

func TestTheSecondOfTwoFacingBanksHasTheSideLeftOver(t *testing.T) {
	f := location.Facts{Arrangement: "V", Mounting: "lengthwise", Banks: []location.Bank{{Number: 2}, {Number: 1, Side: "right"}}}
	rows := f.Rows()
	assert.Equal(t, []string{"right", "left"}, []string{rows[0].Side, rows[1].Side})
	assert.Equal(t, []int{1, 2}, []int{rows[0].Number, rows[1].Number})
	assert.Error(t, f.Check(), "no sensors")
}
