package checks_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/checks"
)

// table is a hundred rows a second of a front sensor that switches between two levels, and of a rear one.
func table(rows int, low, high, swing float64) string {
	b := strings.Builder{}
	b.WriteString("time (s);front (V);rear (V);loop\n")
	for i := range rows {
		level := low
		switch phase := i % 66; {
		case phase < 5:
			level = low + (high-low)*float64(phase)/5
		case phase < 33:
			level = high
		case phase < 38:
			level = high - (high-low)*float64(phase-33)/5
		}
		rear := 0.65 + swing*(level-0.45)
		fmt.Fprintf(&b, "%.2f;%.3f;%.3f;closed\n", float64(i)/100, level, rear)
	}
	return b.String()
}

func front(csv string) checks.Arguments {
	return checks.Arguments{"file": file("drive.csv", csv), "time": words("time"), "column": words("front")}
}

func TestATraceIsJudgedFromATable(t *testing.T) {
	// Victor Valley College, AUTO 85.5: minimum 0 to 175 mV, maximum 800 to 1000 mV, rise 175 to 800 mV in 100 ms or less.
	good := run(t, "sensor-trace", front(table(2000, 0.1, 0.85, 0)))
	assert.Equal(t, checks.Pass, good.Verdict, good.Because)
	assert.Equal(t, "100 mV", figure(good, "minimum"))
	assert.Equal(t, "850 mV", figure(good, "maximum"))
	weak := run(t, "sensor-trace", front(table(2000, 0.3, 0.6, 0)))
	assert.Equal(t, checks.Fail, weak.Verdict)
	assert.NotEmpty(t, figure(weak, "flag: 1"))
	maker := run(t, "sensor-trace", with(front(table(2000, 0.1, 0.85, 0)), checks.Arguments{"rise": one("10 ms"), "rate": one("1")}))
	assert.NotEqual(t, checks.Pass, maker.Verdict, "the maker's own limit stands before the usual one")
	loop := run(t, "sensor-trace", with(front(table(2000, 0.1, 0.85, 0)), checks.Arguments{"loop": words("loop"), "closed": words("warm, closed")}))
	assert.Equal(t, checks.Pass, loop.Verdict)
	never := run(t, "sensor-trace", with(front(table(2000, 0.1, 0.85, 0)), checks.Arguments{"loop": words("loop"), "closed": words("warm")}))
	assert.Equal(t, checks.More, never.Verdict)
}

func TestALogOnceASecondCannotShowARiseOfATenth(t *testing.T) {
	var b strings.Builder
	b.WriteString("time (s),front (mV)\n")
	for i := range 60 {
		fmt.Fprintf(&b, "%d,%d\n", i, []int{100, 850}[i%2])
	}
	r := run(t, "sensor-trace", front(b.String()))
	assert.Equal(t, checks.More, r.Verdict)
	assert.Contains(t, r.Because, "not judged")
}

// bus is a CAN log of PID 14 as a switching sensor, ten times a second, with the fuel control in closed loop.
func bus(readings int) string {
	var b strings.Builder
	b.WriteString("(1436509052.000000) can0 7E8#0441030200\n")
	for i := range readings {
		level := []int{20, 170}[i/4%2]
		fmt.Fprintf(&b, "(%d.%d00000) can0 7E8#044114%02X80\n", 1436509052+i/10, i%10, level)
	}
	return b.String()
}

func TestATraceIsJudgedFromALogOfTheBus(t *testing.T) {
	args := checks.Arguments{"file": file("drive.log", bus(300)), "pid": words("14")}
	r := run(t, "sensor-trace", args)
	assert.Equal(t, "100 mV", figure(r, "minimum"))
	assert.Equal(t, "850 mV", figure(r, "maximum"))
	assert.Contains(t, r.Workings, "300 readings of PID 14 from 7E8")
	open := checks.Arguments{"file": file("drive.log", strings.Replace(bus(300), "0441030200", "0441030100", 1)), "pid": words("0x14")}
	assert.Equal(t, checks.More, run(t, "sensor-trace", open).Verdict, "open loop is left out")
	other := checks.Arguments{"file": file("drive.log", bus(300)+"(1436509999.0) can0 7E9#0441145080\n"), "pid": words("14")}
	assert.Contains(t, run(t, "sensor-trace", other).Workings, "1 readings of other controllers are left out; name one with the input from")
	wide := checks.Arguments{"file": file("drive.log", "(1.0) can0 7E8#064134800080CC\n(1.1) can0 7E8#064134810080CC\n(1.2) can0 7E8#064134820080CC\n"),
		"pid": words("34"), "signal": choice("pump current")}
	assert.Contains(t, figure(run(t, "sensor-trace", wide), "mean"), "mA")
	for want, changes := range map[string]checks.Arguments{
		"no answer to it":           {"pid": words("15")},
		"gives no voltage":          {"pid": words("0C")},
		`pid "zz": no PID`:          {"pid": words("zz")},
		"column, pid: give":         {"column": words("front")},
		"belongs to a narrow-band ": {"signal": choice("narrow-band rear"), "rise": one("100 ms")},
	} {
		assert.Contains(t, refusal(t, "sensor-trace", with(args, changes)), want)
	}
	assert.Contains(t, refusal(t, "sensor-trace", with(front("time (s);front (V)\n0;x\n"), nil)), "drive.csv:2:")
}

func TestBeforeAndAfterSayWhatBecameOfTheSensor(t *testing.T) {
	args := checks.Arguments{"before": file("before.csv", table(2000, 0.3, 0.6, 0)), "after": file("after.csv", table(2000, 0.1, 0.85, 0)),
		"time": words("time"), "column": words("front")}
	r := run(t, "trace-compare", args)
	assert.Equal(t, "put right", figure(r, "direction"))
	assert.NotEmpty(t, figure(r, "gone: 1"))
	back := run(t, "trace-compare", with(args, checks.Arguments{"before": args["after"], "after": args["before"]}))
	assert.Equal(t, "worse", figure(back, "direction"))
	assert.Contains(t, refusal(t, "trace-compare", with(args, checks.Arguments{"after": file("after.csv", "")})), "after: after.csv")
}

func TestARearSensorThatFollowsTheFrontOneFailsTheCatalyst(t *testing.T) {
	// The ratio of 0.7 is common practice without a source.
	good := with(front(table(6000, 0.1, 0.85, 0.05)), checks.Arguments{"rear": words("rear")})
	assert.Equal(t, checks.Pass, run(t, "catalyst", good).Verdict)
	spent := run(t, "catalyst", with(front(table(6000, 0.1, 0.85, 0.9)), checks.Arguments{"rear": words("rear")}))
	assert.Equal(t, checks.Fail, spent.Verdict)
	apart := with(good, checks.Arguments{"rear-file": file("rear.csv", table(6000, 0.1, 0.85, 0.9))})
	assert.Equal(t, checks.Fail, run(t, "catalyst", apart).Verdict)
	dead := run(t, "catalyst", with(front(table(6000, 0.1, 0.85, 0)), checks.Arguments{"rear": words("rear")}))
	assert.Equal(t, checks.More, dead.Verdict, "a rear sensor that gives nothing proves nothing")
	assert.Contains(t, refusal(t, "catalyst", with(good, checks.Arguments{"signal": choice("lambda")})), "only two narrow-band")
	assert.Contains(t, refusal(t, "catalyst", with(good, checks.Arguments{"rear": words("behind")})), "rear: ")
}
