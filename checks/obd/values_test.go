// The rule of this file: the formulas are held to values printed elsewhere.

package obd

import (
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/troublecode"
)

func octets(t require.TestingT, text string) []byte {
	b, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	require.NoError(t, err)
	return b
}

func decode(t require.TestingT, text string, fitted Fitted) Answer {
	a, err := Decode(Reply{ECU: "7E8", Bytes: octets(t, text)}, fitted)
	require.NoError(t, err, text)
	return a
}

// numbers are the figures of one PID, by name, from a reply to service 01.
func numbers(t require.TestingT, text string) map[string]float64 {
	a := decode(t, text, Fitted{})
	require.Len(t, a.Readings, 1)
	found := map[string]float64{}
	for _, f := range a.Readings[0].Figures {
		if f.Numeric {
			found[f.Name] = f.Value
		}
	}
	return found
}

func TestNumbersAreThoseOfTheStandardsExamples(t *testing.T) {
	for _, c := range []struct {
		reply, figure string
		want, within  float64
		source        string
	}{
		{"41 04 80", "load", 50.196, 5e-4, "ISO 15031-5 example"},
		{"41 04 FF", "load", 100, 0, "ISO 15031-5 formula 100A/255 at its end"},
		{"41 05 6E", "temperature", 70, 0, "ISO 15031-5 example"},
		{"41 05 00", "temperature", -40, 0, "ISO 15031-5 formula A - 40 at its end"},
		{"41 06 80", "trim", 0, 0, "ISO 15031-5 formula (A-128)100/128"},
		{"41 07 FF", "trim", 99.21875, 0, "ISO 15031-5 formula, exact"},
		{"41 08 6E", "trim", -14.0625, 0, "ISO 15031-5 formula, exact"},
		{"41 09 00", "trim", -100, 0, "ISO 15031-5 formula at its end"},
		{"41 0C 0A 6B", "speed", 666.75, 0, "ISO 15031-5 example"},
		{"41 0C 20 80", "speed", 2080, 0, "ISO 15031-5 example"},
		{"41 10 20 80", "flow", 83.2, 1e-12, "ISO 15031-5 formula (256A+B)/100"},
		{"41 14 A0 78", "voltage", 0.800, 1e-12, "ISO 15031-5 example"},
		{"41 14 A0 78", "trim", -6.25, 0, "ISO 15031-5 example"},
		{"41 24 80 00 80 00", "lambda", 1, 0, "ISO 15031-5 formula, exact"},
		{"41 24 80 00 80 00", "voltage", 4, 0, "ISO 15031-5 formula, exact"},
		{"41 34 7B D1 7F CC", "lambda", 0.967316, 5e-7, "ISO 15031-5 formula, reckoned apart"},
		{"41 34 7B D1 7F CC", "current", -0.203125, 0, "ISO 15031-5 formula, exact"},
		{"41 3B 80 00 80 00", "current", 0, 0, "ISO 15031-5 formula at its middle"},
		{"41 3C 1A 2C", "temperature", 630, 1e-9, "ISO 15031-5 formula (256A+B)/10 - 40"},
		{"41 21 00 3C", "distance", 60, 0, "ISO 15031-5"},
		{"41 31 00 3C", "distance", 60, 0, "ISO 15031-5"},
		{"41 30 3C", "count", 60, 0, "ISO 15031-5"},
		{"41 4D 00 3C", "time", 60, 0, "ISO 15031-5"},
		{"41 4E 00 3C", "time", 60, 0, "ISO 15031-5"},
		{"41 44 80 00", "lambda", 1, 0, "ISO 15031-5 formula, exact"},
		// From memory: SAE J1979.
		{"41 0E 80", "advance", 0, 0, "from memory"},
		{"41 42 36 B0", "voltage", 14, 0, "from memory"},
		{"41 43 00 FF", "load", 100, 0, "from memory"},
	} {
		got, ok := numbers(t, c.reply)[c.figure]
		require.True(t, ok, "%s has no %s", c.reply, c.figure)
		assert.InDelta(t, c.want, got, c.within+1e-15, "%s %s (%s)", c.reply, c.figure, c.source)
	}
}

func TestATrimOfFFIsNotUsed(t *testing.T) {
	// ISO 15031-5: FF says that the sensor is not used for trim.
	a := decode(t, "41 15 A0 FF", Fitted{})
	_, numeric := a.Readings[0].Number("trim")
	assert.False(t, numeric)
	assert.Equal(t, "not used by this sensor", a.Readings[0].Figures[1].String())
	_, numeric = decode(t, "41 06 FF", Fitted{}).Readings[0].Number("trim")
	assert.True(t, numeric, "FF is a number in the trims of a bank")
}

func TestSeveralPIDsShareAReply(t *testing.T) {
	// Example of a reply to a request for six PIDs, ISO 15031-5.
	a := decode(t, "41 05 6E 01 83 33 FF 63 15 A0 78 0C 0A 6B 03 02 00", Fitted{})
	var seen []byte
	for _, r := range a.Readings {
		seen = append(seen, r.PID)
	}
	assert.Equal(t, []byte{0x05, 0x01, 0x15, 0x0C, 0x03}, seen)
	speed, _ := a.Readings[3].Number("speed")
	assert.Equal(t, 666.75, speed)
	assert.True(t, a.Readings[1].Status.Lamp)
	assert.Equal(t, 3, a.Readings[1].Status.Stored)
	assert.Contains(t, a.Readings[4].Figures[0].Text, "closed loop")
}

func TestASupportMapNamesItsPIDs(t *testing.T) {
	// Example of ISO 15031-5; the list is written out by hand from the bits.
	a := decode(t, "41 00 BF BF A8 91", Fitted{})
	assert.Equal(t, []byte{0x01, 0x03, 0x04, 0x05, 0x06, 0x07, 0x08, 0x09, 0x0B, 0x0C, 0x0D, 0x0E, 0x0F, 0x10,
		0x11, 0x13, 0x15, 0x19, 0x1C, 0x20}, a.Readings[0].Supported)
	a = decode(t, "41 E0 FF FF FF FF", Fitted{})
	assert.Len(t, a.Readings[0].Supported, 31, "there is no PID after FF")
}

func TestAFreezeFrameIsReadWithItsNumber(t *testing.T) {
	// Example of ISO 15031-5: 2080 rpm, 50.196 %, 0 °C in frame 0.
	a := decode(t, "42 0C 00 20 80 04 00 80 05 00 28", Fitted{})
	require.Len(t, a.Readings, 3)
	for i, want := range []string{"2080.00 rpm", "50.20 %", "0 °C"} {
		assert.Equal(t, want, a.Readings[i].Figures[0].String())
		assert.True(t, a.Readings[i].Frozen)
		assert.Zero(t, a.Readings[i].Frame)
	}
	a = decode(t, "42 02 01 01 35", Fitted{})
	assert.Equal(t, 1, a.Readings[0].Frame)
	assert.Equal(t, "P0135", a.Readings[0].Cause.String())
	a = decode(t, "42 02 00 00 00", Fitted{})
	assert.Contains(t, a.Readings[0].Figures[0].Text, "no freeze frame")
}

func TestPID03TakesOneStateAtATime(t *testing.T) {
	// ISO 15031-5: one bit at most may be set.
	for bytes, want := range map[string]string{
		"01 00": "open loop: the engine or", "02 00": "closed loop: the", "04 00": "open loop: because of load",
		"08 00": "open loop: because of a fault", "10 00": "closed loop, but with a fault",
		"03 00": "invalid: 03 says more than one", "20 00": "invalid: 20 is a reserved",
	} {
		r := decode(t, "41 03 "+bytes, Fitted{}).Readings[0]
		assert.Contains(t, r.Figures[0].Text, want)
		closed, known := r.ClosedLoop()
		assert.Equal(t, strings.HasPrefix(want, "closed"), closed, bytes)
		assert.Equal(t, !strings.HasPrefix(want, "invalid"), known, bytes)
	}
}

func TestCodesAreReadWithAndWithoutACount(t *testing.T) {
	// Example of ISO 15031-5, six codes on CAN.
	a := decode(t, "43 06 01 43 01 96 02 34 02 CD 03 57 0A 24", Fitted{})
	assert.Equal(t, "[P0143 P0196 P0234 P02CD P0357 P0A24]", codeText(a.Codes))
	for reply, want := range map[string]string{
		"43 01 33 00 00 00 00":    "[P0133]", // before CAN: three pairs, padded
		"43 00":                   "[]",
		"47 01 04 20":             "[P0420]",
		"4A 02 01 35 01 71":       "[P0135 P0171]",
		"43 01 01 35 00 00 00 00": "[P0135]",
	} {
		assert.Equal(t, want, codeText(decode(t, reply, Fitted{}).Codes), reply)
	}
}

func codeText(codes []troublecode.Code) string {
	var all []string
	for _, c := range codes {
		all = append(all, c.String())
	}
	return "[" + strings.Join(all, " ") + "]"
}

func TestResultsOfService06AreScaledAndJudged(t *testing.T) {
	// Examples of ISO 15031-5.
	for _, c := range []struct {
		record, value, low, high string
		pass                     bool
	}{
		{"01 01 0A 0BB0 0BB0 0BB0", "365.024 mV", "365.024 mV", "365.024 mV", true},
		{"01 05 10 0048 0000 0064", "72 ms", "0 ms", "100 ms", true},
		{"01 85 24 0096 004B FFFF", "150", "75", "65535", true},
		{"01 05 10 0065 0000 0064", "101 ms", "0 ms", "100 ms", false}, // one beyond the limit above
		{"01 85 24 004A 004B FFFF", "74", "75", "65535", false},
	} {
		a := decode(t, "46"+c.record, Fitted{})
		require.Len(t, a.Tests, 1)
		test := a.Tests[0]
		assert.Equal(t, []string{c.value, c.low, c.high}, []string{test.show(0), test.show(1), test.show(2)})
		assert.True(t, test.Judged)
		assert.Equal(t, c.pass, test.Pass, c.record)
		assert.Contains(t, test.Because, within(c.pass))
		assert.Equal(t, "B1S1", test.Position.String())
		assert.NotEmpty(t, test.Limits[0].Source)
	}
}

func TestAnUnknownScalingIsShownRawAndNotJudged(t *testing.T) {
	test := decode(t, "46 06 81 9E 8001 0000 7FFF", Fitted{}).Tests[0]
	assert.False(t, test.Judged)
	assert.False(t, test.Pass)
	assert.Equal(t, "32769", test.String())
	assert.Contains(t, test.Because, "scaling 9E is not known here")
	assert.Equal(t, "B2S2", test.Position.String())
}

func TestTheVehicleNumberIsReadAndItsCheckDigitReckoned(t *testing.T) {
	// The 20 bytes of the example of ISO 15031-5; the digit by 49 CFR 565.15.
	a := decode(t, "49 02 01 31 47 31 4A 43 35 34 34 34 52 37 32 35 32 33 36 37", Fitted{})
	require.NotNil(t, a.Vehicle.VIN)
	assert.Equal(t, "1G1JC5444R7252367", a.Vehicle.VIN.Text)
	assert.True(t, a.Vehicle.VIN.Right)
	assert.Equal(t, byte('4'), a.Vehicle.VIN.Wants)
}

func TestCheckDigitsOfVehicleNumbers(t *testing.T) {
	// Seventeen ones: the weights of 49 CFR 565.15 add up to 89, and 89 modulo
	// 11 is 1. Seventeen twos ask for 178 modulo 11 = 2. One more in the second
	// place of the first adds 7: 96 modulo 11 = 8; three more, 110, is 0; two
	// more of weight 10 in the eighth, 109, is 10, written X.
	for text, want := range map[string]byte{
		"11111111111111111": '1', "22222222222222222": '2', "12111111811111111": '8',
		"14111111011111111": '0', "11111113X11111111": 'X',
	} {
		v, err := ParseVIN(text)
		require.NoError(t, err)
		assert.Equal(t, want, v.Wants, text)
		assert.True(t, v.Right, text)
		assert.Len(t, v.Workings, 2)
	}
	v, err := ParseVIN("1G1JC5445R7252367")
	require.NoError(t, err)
	assert.False(t, v.Right)
	assert.Contains(t, v.Because, "ask for 4")
}

func TestTheLettersOfAVehicleNumberHaveTheirValues(t *testing.T) {
	// The values of 49 CFR 565.15 are the low digits of the letters' codes in
	// EBCDIC (C1 to C9, D1 to D9, E2 to E9; from memory): a second way to them.
	for row, first := range map[string]int{"ABCDEFGHI": 1, "JKLMNOPQR": 1, "STUVWXYZ": 2} {
		for i, letter := range row {
			want := first + i
			value, ok := vinValue(byte(letter))
			if strings.ContainsRune("IOQ", letter) {
				assert.False(t, ok, string(letter))
				continue
			}
			assert.Equal(t, want, value, string(letter))
		}
	}
}

func TestEveryMisreadDigitOfAVehicleNumberShows(t *testing.T) {
	// 11 is prime and no weight but the check digit's own is a multiple of it,
	// so one digit taken for another always changes the remainder.
	rapid.Check(t, func(t *rapid.T) {
		text := []byte(rapid.StringMatching("[0-9]{17}").Draw(t, "number"))
		before, err := ParseVIN(string(text))
		require.NoError(t, err)
		at := rapid.IntRange(0, 16).Filter(func(i int) bool { return i != 8 }).Draw(t, "place")
		other := byte(rapid.IntRange(1, 9).Draw(t, "other"))
		text[at] = '0' + (text[at]-'0'+other)%10
		after, err := ParseVIN(string(text))
		require.NoError(t, err)
		require.NotEqual(t, before.Wants, after.Wants)
	})
}

func TestWhatIsNoVehicleNumberIsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"1G1JC5444R725236":  "16 characters",
		"1G1JC5444R725236O": `character 17, "O"`,
		"1g1JC5444R7252367": `character 2, "g"`,
	} {
		_, err := ParseVIN(text)
		assert.ErrorContains(t, err, want)
	}
}
