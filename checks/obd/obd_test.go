// The rule of this file: what cannot be known is said not to be known, and what
// does not fit is refused at its byte.

package obd

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestThePlaceOfASensorIsNotKnownWithoutPID13Or1D(t *testing.T) {
	for _, pid := range []string{"14 A0 78", "1B A0 78", "24 80 00 80 00", "34 80 00 80 00"} {
		r := decode(t, "41"+pid, Fitted{}).Readings[0]
		assert.False(t, r.Position.Known())
		assert.Contains(t, r.Note, "place not known")
		assert.Equal(t, r.Name, r.Title())
	}
}

func TestPID13And1DPlaceTheSameNumberDifferently(t *testing.T) {
	// ISO 15031-5; the order under 1D from memory.
	all13 := []string{"B1S1", "B1S2", "B1S3", "B1S4", "B2S1", "B2S2", "B2S3", "B2S4"}
	all1D := []string{"B1S1", "B1S2", "B2S1", "B2S2", "B3S1", "B3S2", "B4S1", "B4S2"}
	for n := range 8 {
		for first, data := range map[int]string{0x14: "A0 78", 0x24: "80 00 80 00", 0x34: "80 00 80 00"} {
			reply := fmt.Sprintf("41 %02X %s", first+n, data)
			r := decode(t, reply, Fitted{0x13, 0xFF}).Readings[0]
			assert.Equal(t, all13[n], r.Position.String())
			assert.Empty(t, r.Note)
			assert.Equal(t, all1D[n], decode(t, reply, Fitted{0x1D, 0xFF}).Readings[0].Position.String())
		}
	}
}

func TestASensorThatIsSaidNotToBeFittedIsPointedOut(t *testing.T) {
	r := decode(t, "41 16 A0 78", Fitted{0x13, 0x33}).Readings[0]
	assert.Contains(t, r.Note, "no sensor is fitted at B1S3")
}

func TestTheFirstBitOfPID13IsTheFirstSensor(t *testing.T) {
	// ISO 15031-5 example: 33 is B1S1 B1S2 B2S1 B2S2.
	assert.Equal(t, "B1S1 B1S2 B2S1 B2S2", decode(t, "41 13 33", Fitted{}).Readings[0].Figures[0].Text)
	assert.Equal(t, "B1S1 B1S2 B2S1 B2S2", decode(t, "41 1D 0F", Fitted{}).Readings[0].Figures[0].Text)
	assert.Equal(t, "B1S1", decode(t, "41 13 01", Fitted{}).Readings[0].Figures[0].Text)
	assert.Equal(t, "none", decode(t, "41 13 00", Fitted{}).Readings[0].Figures[0].Text)
}

func TestCatalystTemperaturesGoAcrossTheBanksFirst(t *testing.T) {
	for pid, want := range map[string]string{"3C": "B1S1", "3D": "B2S1", "3E": "B1S2", "3F": "B2S2"} {
		assert.Equal(t, want, decode(t, "41"+pid+"1A2C", Fitted{}).Readings[0].Position.String())
	}
}

func TestTheTrimsCarryBanks3And4OnlyWhereThoseAreFitted(t *testing.T) {
	// SAE J1979, from memory.
	r := decode(t, "41 06 80 6E", Fitted{0x1D, 0x3F}).Readings[0]
	third, ok := r.Number("trim of bank 3")
	require.True(t, ok)
	assert.Equal(t, -14.0625, third)
	assert.Len(t, r.Workings(), 2)
	_, err := Decode(Reply{Bytes: octets(t, "41 06 80 6E")}, Fitted{0x13, 0x33})
	assert.Error(t, err)
}

func TestControllersAreKeptApart(t *testing.T) {
	report := Read([]Reply{
		{"7E8", octets(t, "41 15 A0 78")}, {"7E9", octets(t, "41 15 A0 78")}, {"7E9", octets(t, "41 1D 0F")}, {"7E8", octets(t, "41 13 33")},
		{"7E9", octets(t, "7F 03 11")}, {"", octets(t, "41 15 A0 78")},
	})
	require.Len(t, report.Controllers, 3)
	for i, want := range []string{"7E8 (controller 1)", "7E9 (controller 2)", "controller not stated"} {
		assert.Equal(t, want, report.Controllers[i].Name)
	}
	assert.Equal(t, "B1S2", report.Controllers[0].Answers[0].Readings[0].Position.String())
	assert.Equal(t, "B1S2", report.Controllers[1].Answers[0].Readings[0].Position.String())
	assert.False(t, report.Controllers[2].Answers[0].Readings[0].Position.Known())
	assert.Contains(t, report.Controllers[1].Answers[2].Refusal.Words, "does not know the service")
	assert.Equal(t, "18DAF110 (controller at address 10)", ECUName("18DAF110"))
}

func TestAContradictionOfPID13And1DPlacesNothing(t *testing.T) {
	c := Read([]Reply{{"7E8", octets(t, "41 13 33")}, {"7E8", octets(t, "41 1D 0F")}, {"7E8", octets(t, "41 15 A0 78")}}).Controllers[0]
	assert.Contains(t, c.Note, "PID 13 = 33 and PID 1D = 0F contradict")
	assert.False(t, c.Answers[2].Readings[0].Position.Known())
}

func TestAVehicleNumberInFivePartsIsJoined(t *testing.T) {
	parts := []Reply{{"", octets(t, "49 02 01 00 00 00 31")}, {"", octets(t, "49 02 02 47 31 4A 43")}, {"", octets(t, "49 02 03 35 34 34 34")},
		{"", octets(t, "49 02 04 52 37 32 35")}, {"", octets(t, "49 02 05 32 33 36 37")}}
	c := Read(parts).Controllers[0]
	require.Empty(t, c.Faults)
	assert.Equal(t, "1G1JC5444R7252367", c.Answers[0].Vehicle.VIN.Text)
	c = Read(append(parts[:2:2], parts[3:]...)).Controllers[0]
	assert.Len(t, c.Faults, 4)
	assert.ErrorContains(t, c.Faults[0].Err, "part 1 of a VIN in five replies")
}

func TestOtherInformationOfTheVehicle(t *testing.T) {
	// Layout of service 09 from memory; the texts are invented.
	a := decode(t, "49 04 01 4D 49 4C 4C 42 52 4F 4F 4B 2D 30 31 00 00 00 00", Fitted{})
	assert.Equal(t, []string{"MILLBROOK-01"}, a.Vehicle.Items)
	assert.Equal(t, []string{"17918202"}, decode(t, "49 06 01 17 91 82 02", Fitted{}).Vehicle.Items)
	assert.Equal(t, []byte{0x02, 0x04, 0x06}, decode(t, "49 00 54 00 00 00", Fitted{}).Vehicle.Supported)
}

func TestRefusalsAreWorded(t *testing.T) {
	for bytes, want := range map[string]string{
		"7F 01 12": "within the service", "7F 09 78": "on its way", "7F 01 99": "reason 99, which is not known", "7F 01 12 00 00": "within the service",
	} {
		assert.Contains(t, decode(t, bytes, Fitted{}).Refusal.Words, want)
	}
}

func TestClearingIsToldWithWhatItCosts(t *testing.T) {
	assert.Contains(t, decode(t, "44", Fitted{}).Workings[0], "not complete until")
}

func TestWhatDoesNotFitIsRefusedAtItsByte(t *testing.T) {
	for bytes, want := range map[string]string{
		"":                                 "reply of no bytes",
		"01 05":                            "byte 1: 01 is a request; give the reply to it, which begins with 41",
		"03 41 05 6E":                      "byte 1: 03 looks like the length byte",
		"04 41":                            "byte 1: 04 looks like the length byte",
		"62 F1 90":                         "byte 1: 62 is no reply that is read here",
		"41":                               "byte 2: no PID",
		"41 0C 0A":                         "byte 2: PID 0C (engine speed) has 2 bytes of data and 1 are there",
		"41 05 6E 5A 01":                   "byte 4: PID 5A is not known here",
		"42 0C":                            "byte 3: PID 0C lacks its frame number",
		"43":                               "byte 2: neither a count nor codes",
		"43 03 01 35 01 71":                "byte 2: 3 codes are announced, which takes 8 bytes, and 6 are there",
		"43 01 01 35 01 71":                "byte 5: more follows the 1 codes",
		"44 01":                            "byte 2: nothing follows 44",
		"46":                               "byte 2: no monitor",
		"46 01 05 10 00 48 00 00 00":       "byte 2: each result has 9 bytes and 8 are left over",
		"46 01 05 10 00 48 00 00 00 64 01": "byte 11: each result has 9 bytes and 1 are left over",
		"46 01 05 10 00 48 00 00 00 64 02 05 10 00 48 00 00 00 64": "byte 11: monitor 02 in the reply of monitor 01",
		"46 00 FF FF FF": "byte 2: a support map of monitors has 4 bytes after 00 and 3",
		"49":             "byte 2: no kind",
		"49 08 00":       "byte 2: information 08 is not read here",
		"49 02":          "byte 3: the number of items",
		"49 02 01 31 47": "makes 20 bytes in all and 5 are there",
		"49 00 54":       "byte 3: a support map has 4 bytes",
		"49 04 01 4D 49 4C 4C 07 52 4F 4F 4B 2D 30 31 00 00 00 00": "bytes 4 to 19",
		"7F 01":          "three bytes in all",
		"7F 01 12 41 05": "three bytes in all",
	} {
		_, err := Decode(Reply{Bytes: octets(t, bytes)}, Fitted{})
		assert.ErrorContains(t, err, want, bytes)
	}
}

func TestWhatStandsBeforeAnUnknownPIDStillHolds(t *testing.T) {
	a, err := Decode(Reply{Bytes: octets(t, "41 05 6E 5A 01")}, Fitted{})
	require.Error(t, err)
	require.Len(t, a.Readings, 1)
	assert.Equal(t, "70 °C", a.Readings[0].Figures[0].String())
	c := Read([]Reply{{"7E8", octets(t, "41 05 6E 5A 01")}}).Controllers[0]
	assert.Len(t, c.Faults, 1)
	assert.Len(t, c.Answers, 1)
}

func TestWorkingsCanBeFollowedWithAPencil(t *testing.T) {
	assert.Equal(t, []string{"PID 0C engine speed: X = 0A 6B = 2667; speed = X/4 = 666.75 rpm"}, decode(t, "41 0C 0A 6B", Fitted{}).Workings)
	assert.Equal(t, []string{
		"PID 14 oxygen sensor 1 of 8, voltage, B1S1: X = A0 = 160; voltage = X/200 = 0.800 V",
		"PID 14 oxygen sensor 1 of 8, voltage, B1S1: X = 78 = 120; trim = (X - 128)·100/128 = -6.25 %",
	}, decode(t, "41 14 A0 78", Fitted{0x13, 0x33}).Workings)
	assert.Equal(t, []string{"seven bytes: three codes without a count, as sent before CAN",
		"01 35 -> P0135: oxygen sensor, bank 1 sensor 1: heater does not bring the sensor to temperature, or its circuit is at fault",
		"00 00 -> 00 00: padding, no code", "00 00 -> 00 00: padding, no code"}, decode(t, "43 01 35 00 00 00 00", Fitted{}).Workings)
}

func TestEveryPIDsLengthIsThatOfItsData(t *testing.T) {
	for _, s := range PIDs() {
		reply := append([]byte{0x41, s.PID}, make([]byte, s.Bytes)...)
		a, err := Decode(Reply{Bytes: reply}, Fitted{})
		require.NoError(t, err, "%02X", s.PID)
		assert.NotEmpty(t, a.Readings[0].Figures, "%02X", s.PID)
		assert.NotEmpty(t, s.Source, "%02X", s.PID)
		_, err = Decode(Reply{Bytes: reply[:len(reply)-1]}, Fitted{})
		assert.Error(t, err, "%02X", s.PID)
	}
}

func TestANumbersBytesCanBeReckonedBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(PIDs()).Filter(func(s Spec) bool { return len(s.Fields) > 0 }).Draw(t, "pid")
		f := s.Fields[0]
		x := rapid.IntRange(0, 1<<(8*f.Bytes)-1).Draw(t, "x")
		data := make([]byte, s.Bytes)
		for i := range f.Bytes {
			data[i] = byte(x >> (8 * (f.Bytes - 1 - i)))
		}
		readings, err := Live(Reply{Bytes: append([]byte{0x41, s.PID}, data...)}, Fitted{})
		require.NoError(t, err)
		value := readings[0].Figures[0].Value
		require.InDelta(t, float64(x), (value-f.Plus)*f.Over/f.Times, 1e-6)
	})
}

func FuzzDecodeNeverPanics(f *testing.F) {
	for _, text := range []string{"41 05 6E 01 83 33 FF 63 15 A0 78 0C 0A 6B 03 02 00", "42 0C 00 20 80 04 00 80", "43 06 01 43 01 96 02 34 02 CD 03 57 0A 24",
		"46 01 05 10 00 48 00 00 00 64", "49 02 01 31 47 31 4A 43 35 34 34 34 52 37 32 35 32 33 36 37", "49 02 01 00 00 00 31", "7F 01 12", "41 1D FF 06 80 80"} {
		f.Add(octets(f, text), byte(0x13), byte(0x33))
	}
	f.Fuzz(func(t *testing.T, bytes []byte, pid, bits byte) {
		a, err := Decode(Reply{Bytes: bytes}, Fitted{pid, bits})
		if err == nil && len(a.Workings) == 0 {
			t.Fatalf("% X: read without workings", bytes)
		}
		if err != nil && len(bytes) > 0 && len(err.Error()) < 10 {
			t.Fatalf("% X: refused without words", bytes)
		}
		for _, v := range a.Tests {
			_ = v.String()
		}
		Read([]Reply{{"7E8", bytes}, {"7E9", bytes}, {"7E8", bytes}})
	})
}
