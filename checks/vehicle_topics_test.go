package checks_test

import (
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/checks"
)

// file is a stream over a text.
func file(name, text string) checks.Argument {
	return checks.Argument{Data: checks.Data{Name: name, Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }}}
}

func TestACodeSaysItsPlaceAndItsPairElsewhere(t *testing.T) {
	// SAE J2012 numbers (read at second hand): heater circuit P0135 at B1S1, P0155 at B2S1; 01 35 on the wire.
	for _, said := range []string{"P0135", "p0135", "01 35", "0135"} {
		r := run(t, "trouble-code", checks.Arguments{"code": words(said), "bank": one("2")})
		assert.Equal(t, "P0135", figure(r, "code"), said)
		assert.Equal(t, "01 35", figure(r, "bytes"))
		assert.Equal(t, "B1S1", figure(r, "place"))
		assert.Equal(t, "P0155", figure(r, "elsewhere"))
	}
	assert.Equal(t, "P0040", figure(run(t, "trouble-code", checks.Arguments{"code": words("P0040")}), "code"))
	unknown := run(t, "trouble-code", checks.Arguments{"code": words("C0123")})
	assert.Equal(t, "41 23", figure(unknown, "bytes"))
	assert.Empty(t, figure(unknown, "class"))
	assert.Contains(t, refusal(t, "trouble-code", checks.Arguments{"code": words("C123")}), "C123", "a code that lacks a digit is no pair of bytes")
	assert.Contains(t, refusal(t, "trouble-code", checks.Arguments{"code": words("P0135"), "bank": one("3")}), "no code in the table")
	assert.Contains(t, refusal(t, "trouble-code", checks.Arguments{"code": words("P0135"), "sensor": one("1.5")}), "whole number")
}

func TestAReplyIsReadWithEveryPIDInIt(t *testing.T) {
	// SAE J1979 worked replies, read at second hand.
	r := run(t, "obd-reply", checks.Arguments{"reply": words("41 05 6E 01 83 33 FF 63 15 A0 78 0C 0A 6B 03 02 00")})
	assert.Equal(t, "70 °C", figure(r, "value: coolant temperature"))
	assert.Equal(t, "666.75 rpm", figure(r, "value: engine speed"))
	assert.Equal(t, "0.800 V", figure(r, "value: oxygen sensor 2 of 8, voltage, voltage"))
	c := find(t, "obd-reply")
	for _, f := range r.Figures {
		if f.Name == "value: coolant temperature" {
			v, unit, ok := c.Number(f)
			assert.True(t, ok)
			assert.Equal(t, 70.0, v)
			assert.Equal(t, "°C", unit)
			assert.Equal(t, "70 °C (158.0 °F)", c.Both(f))
		}
	}
	codes := run(t, "obd-reply", checks.Arguments{"reply": words("43 06 01 43 01 96 02 34 02 CD 03 57 0A 24")})
	var read []string
	for _, f := range codes.Figures {
		read = append(read, f.Text)
	}
	assert.Equal(t, []string{"P0143", "P0196", "P0234", "P02CD", "P0357", "P0A24"}, read)
	vin := run(t, "obd-reply", checks.Arguments{"reply": words("7E8 10 14 49 02 01 31 47 31 | 7E8 21 4A 43 35 34 34 34 52 | 7E8 22 37 32 35 32 33 36 37")})
	assert.Contains(t, vin.Figures[0].Text, "1G1JC5444R7252367")
	assert.Equal(t, vin.Figures, run(t, "obd-reply", checks.Arguments{"file": file("vin.txt", "7E8 10 14 49 02 01 31 47 31\r\n7E8 21 4A 43 35 34 34 34 52\r\n7E8 22 37 32 35 32 33 36 37\r\n")}).Figures)
}

func TestAReplyThatIsNotWholeIsToldAndNeverFilledUp(t *testing.T) {
	r := run(t, "obd-reply", checks.Arguments{"reply": words("7E8 10 14 49 02 01 31 47 31 | 7E8 21 4A 43 35 34 34 34 52 | 7E8 03 41 05 6E")})
	assert.Equal(t, checks.More, r.Verdict)
	assert.Contains(t, r.Because, "could not be read")
	assert.Contains(t, refusal(t, "obd-reply", checks.Arguments{}), "reply, file: give one of the two")
	assert.Contains(t, refusal(t, "obd-reply", checks.Arguments{"reply": words("hello")}), "line 1, column 1")
	long := file("long.txt", strings.Repeat("41 05 6E\n", 200000))
	assert.Contains(t, refusal(t, "obd-reply", checks.Arguments{"file": long}), "can-log")
	broken := checks.Argument{Data: checks.Data{Name: "x", Open: func() (io.ReadCloser, error) { return nil, errors.New("gone") }}}
	assert.Contains(t, refusal(t, "obd-reply", checks.Arguments{"file": broken}), "gone")
}

func TestReadinessFollowsTheRuleOfTheModelYear(t *testing.T) {
	// EPA420-R-01-015 (second-hand): 1996 to 2000 two may be not ready, from 2001 one. C 65: catalyst, vapour, sensor, heater.
	two, three, oneLeft := "41 01 00 07 E5 24", "41 01 00 07 E5 64", "41 01 00 07 E5 20"
	for _, x := range []struct {
		reply, year string
		want        checks.Verdict
	}{
		{two, "1999", checks.Pass}, {three, "1999", checks.Fail}, {oneLeft, "2001", checks.Pass}, {two, "2001", checks.Fail},
	} {
		r := run(t, "readiness", checks.Arguments{"reply": words(x.reply), "model-year": one(x.year)})
		assert.Equal(t, x.want, r.Verdict, "%s %s", x.reply, x.year)
		assert.Contains(t, r.Workings[len(r.Workings)-1], "local rules differ")
	}
	assert.Contains(t, refusal(t, "readiness", checks.Arguments{"reply": words("41 05 6E"), "model-year": one("1999")}), "no PID 01")
	assert.Contains(t, refusal(t, "readiness", checks.Arguments{"reply": words(two), "model-year": one("1970")}), "1970")
	assert.Contains(t, refusal(t, "readiness", checks.Arguments{"reply": words(two), "model-year": one("1999.5")}), "whole number")
}

func TestACheckDigitThatIsWrongFails(t *testing.T) {
	// 49 CFR 565.15; the number is the example of the multi-frame reply above.
	assert.Equal(t, "4", figure(run(t, "vin", checks.Arguments{"vin": words("1G1JC5444R7252367")}), "reckoned"))
	wrong := run(t, "vin", checks.Arguments{"vin": words("1G1JC5445R7252367")})
	assert.Equal(t, checks.Fail, wrong.Verdict)
	assert.Contains(t, refusal(t, "vin", checks.Arguments{"vin": words("1G1JC")}), "17")
}

func six(said string) checks.Arguments {
	return checks.Arguments{"words": words(said), "arrangement": choice("V"), "mounting": choice("crosswise"), "cylinder-1": choice("right"),
		"bank-1-side": choice("rear"), "bank-2-side": choice("front"), "bank-1-cylinders": words("1, 3, 5"), "bank-2-cylinders": words("2, 4, 6"),
		"steering": choice("right"), "traffic": choice("left"), "fitted": words("B1S1, B1S2, B2S1, B2S2")}
}

func TestWordsAndCodesLeadToOneSensorOrToTheChoices(t *testing.T) {
	for said, sensor := range map[string]string{
		"P0155": "B2S1", "p0141": "B1S2", "B2S1": "B2S1", "upstream bank 2": "B2S1", "post-cat rear bank": "B1S2",
		"P0171 upstream": "B1S1", "P0135, P0141 downstream": "", "upstream": "", "P0420": "", "P0162": "", "P0300": "", "glowing thing": "",
		"P 0141": "B1S2", "p-0141": "B1S2", "PO141": "B1S2", "P0141-13": "B1S2", "P0141 - O2 Sensor Heater Circuit Bank 1 Sensor 2": "B1S2",
		"DTC P0141, pending": "B1S2", "P0141-B2S2": "", "coded": "", "P 01411": "",
	} {
		r := run(t, "sensor-position", six(said))
		assert.Equal(t, sensor, figure(r, "sensor"), said)
		assert.Equal(t, sensor != "", r.Verdict == checks.Pass, said)
	}
	open := run(t, "sensor-position", six("upstream"))
	assert.Equal(t, checks.Fail, open.Verdict)
	assert.NotEmpty(t, figure(open, "choice: B1S1"))
	assert.NotEmpty(t, figure(open, "choice: B2S1"))
	assert.NotEmpty(t, figure(open, "question"))
}

func TestTheSensorThatIsMeantMustBeTheOneExpected(t *testing.T) {
	assert.Equal(t, checks.Pass, run(t, "sensor-position", with(six("P0155"), checks.Arguments{"expected": words("B2S1")})).Verdict)
	other := run(t, "sensor-position", with(six("P0155"), checks.Arguments{"expected": words("B1S1")}))
	assert.Equal(t, checks.Fail, other.Verdict)
	assert.Contains(t, other.Because, "and not B1S1")
	assert.Contains(t, refusal(t, "sensor-position", with(six("P0155"), checks.Arguments{"expected": words("left")})), "expected: ")
}

func TestFactsThatAreNotStatedAreNotFilledIn(t *testing.T) {
	bare := run(t, "sensor-position", checks.Arguments{"words": words("P0155")})
	assert.Equal(t, "B2S1", figure(bare, "sensor"), "a code needs no facts")
	left := run(t, "sensor-position", checks.Arguments{"words": words("upstream left")})
	assert.Equal(t, checks.Fail, left.Verdict)
	assert.Contains(t, left.Workings, "fitted: not stated, so every usual place counts as possible")
	four := checks.Arguments{"words": words("downstream"), "arrangement": choice("in-line"), "fitted": words("B1S1 B1S2")}
	assert.Equal(t, "B1S2", figure(run(t, "sensor-position", four), "sensor"))
	split := checks.Arguments{"words": words("B2S1"), "arrangement": choice("in-line"), "fitted": words("B1S1 B2S1")}
	assert.Equal(t, "B2S1", figure(run(t, "sensor-position", split), "sensor"), "a maker may split an in-line engine's manifold")
	for want, changes := range map[string]checks.Arguments{
		"fitted: ":                    {"fitted": words("left, right")},
		`"seven" is no cylinder`:      {"bank-1-cylinders": words("seven")},
		"both lie on the":             {"bank-2-side": choice("rear")},
		"the bank with cylinder 1 is": {"bank-1-cylinders": words("3, 5"), "bank-2-cylinders": words("1, 2")},
	} {
		assert.Contains(t, refusal(t, "sensor-position", with(six("P0155"), changes)), want)
	}
}

func TestALogIsSummedUpWithWhatWasLost(t *testing.T) {
	log := "(1436509052.249713) can0 7E8#0341053C\n(1436509053.249713) can0 7E8#0341056E\n(1436509054.0) can0 7E8#21AA\n" +
		"(1436509054.1) can0 7E8#0443010135\n(1436509054.2) can0 7E9#0341053C\n"
	r := run(t, "can-log", checks.Arguments{"file": file("drive.log", log)})
	assert.Equal(t, checks.None, r.Verdict)
	assert.Equal(t, "4", figure(r, "replies"))
	assert.Equal(t, "1", figure(r, "lost"))
	assert.Equal(t, "20 to 70 °C, 2 readings", figure(r, "value: 7E8 coolant temperature"))
	assert.Equal(t, "P0135", figure(r, "code: 7E8 stored trouble code"))
	assert.Contains(t, figure(r, "lost-at: 1"), "line 3")
	only := run(t, "can-log", checks.Arguments{"file": file("drive.log", log), "from": words("7e9")})
	assert.Equal(t, "1", figure(only, "replies"))
	assert.Contains(t, refusal(t, "can-log", checks.Arguments{"file": file("drive.log", "(2.0) can0 7E8#0341053C\n(1.0) can0 7E8#0341053C\n")}), "drive.log: line 2")
	assert.Contains(t, refusal(t, "can-log", checks.Arguments{"file": file("drive.log", "")}), "no reply of a controller")
}
