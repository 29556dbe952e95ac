// The rule of this file: a signal comes from a column that was named or from a
// PID of one controller, streamed once from start to end.

package checks

import (
	"errors"
	"fmt"
	"io"
	"iter"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"fenderside/checks/obd"
	"fenderside/checks/obd/canlog"
	"fenderside/checks/obd/isotp"
	"fenderside/checks/trace"
)

// analysed reads one trace; kind, where it is not empty, stands before the
// input signal.
func analysed(args Arguments, data Data, kind string) (trace.Report, []string, error) {
	setup, err := setupOf(args, kind)
	if err != nil {
		return trace.Report{}, nil, err
	}
	if args.has("pid") == args.has("column") {
		return trace.Report{}, nil, errors.New("column, pid: give the column of a table, or the PID of a CAN log" + firstRow(data))
	}
	from, err := data.Open()
	if err != nil {
		return trace.Report{}, nil, err
	}
	defer from.Close()
	if args.has("column") {
		r, err := trace.AnalyseCSV(from, data.Name, mappingOf(args), setup)
		return r, nil, err
	}
	log, err := logOf(args, setup.Signal)
	if err != nil {
		return trace.Report{}, nil, err
	}
	r, err := trace.Analyse(log.samples(from), setup)
	if log.taken == 0 && !log.broken {
		err = fmt.Errorf("pid %s: no answer to it in %s; look which PIDs are there with the topic can-log", args["pid"].Text, data.Name)
	}
	return r, log.notes(), err
}

// firstRow shows how a file begins, where it begins with words: in a table they are the names of its columns.
func firstRow(data Data) string {
	from, err := data.Open()
	if err != nil {
		return ""
	}
	defer from.Close()
	begins := make([]byte, 200)
	n, _ := io.ReadFull(from, begins)
	row, _, _ := strings.Cut(string(begins[:n]), "\n")
	if row = strings.TrimSpace(row); row == "" || !utf8.ValidString(row) {
		return ""
	}
	return fmt.Sprintf("; %s begins with %q", data.Name, clip(row))
}

// setupOf says how the signal is read and what it is held to.
func setupOf(args Arguments, kind string) (trace.Setup, error) {
	s := trace.Setup{Gap: args.base("gap", 0)}
	if kind == "" {
		kind = args["signal"].Choice
	}
	switch kind {
	case wideLambda:
		s.Signal = trace.Lambda
	case pumpCurrent:
		s.Signal = trace.PumpCurrent
	case narrowRear:
		s.Signal, s.Limits = trace.NarrowBandVoltage, trace.Rear()
	default:
		s.Signal, s.Limits = trace.NarrowBandVoltage, trace.NarrowBand()
		own(args, "rise", &s.Limits.Rise)
		own(args, "fall", &s.Limits.Fall)
		own(args, "rate", &s.Limits.Rate)
		return s, nil
	}
	for _, name := range []string{"rise", "fall", "rate"} {
		if args.has(name) {
			return s, fmt.Errorf("%s: belongs to a narrow-band front sensor; leave it out for signal %q", name, kind)
		}
	}
	return s, nil
}

// own puts a limit that was given in the place of the usual one.
func own(args Arguments, name string, limit *trace.Limit) {
	if args.has(name) {
		*limit = trace.Limit{Value: args.base(name, 0), Source: "given"}
	}
}

func mappingOf(args Arguments) trace.Mapping {
	m := trace.Mapping{Time: args["time"].Text, Signal: args["column"].Text, Loop: args["loop"].Text,
		TimeUnit: args["time-unit"].Text, SignalUnit: args["unit"].Text}
	for _, word := range strings.Split(args["closed"].Text, ",") {
		if word = strings.TrimSpace(word); word != "" {
			m.Closed = append(m.Closed, word)
		}
	}
	return m
}

// busLog is one PID of one controller in a log of a CAN bus.
type busLog struct {
	pid    byte
	figure string
	scale  float64
	from   string
	loops  map[string]trace.Loop
	start  time.Duration
	taken  int
	others int
	faults int
	broken bool // the log ended with an error
}

// signalFigure is the figure of a PID that holds a signal, and what brings it to the base unit.
func signalFigure(signal trace.Signal) (name string, scale float64) {
	switch signal {
	case trace.NarrowBandVoltage:
		return "voltage", 1
	case trace.Lambda:
		return "lambda", 1
	case trace.PumpCurrent:
		return "current", 0.001
	}
	return "", 0
}

func logOf(args Arguments, signal trace.Signal) (*busLog, error) {
	said := strings.TrimPrefix(strings.ToLower(strings.TrimSpace(args["pid"].Text)), "0x")
	pid, err := strconv.ParseUint(said, 16, 8)
	if err != nil {
		return nil, fmt.Errorf("pid %q: no PID; write two hexadecimal digits, such as 14", clip(args["pid"].Text))
	}
	figure, scale := signalFigure(signal)
	spec, known := obd.FindPID(byte(pid))
	holds := false
	for _, f := range spec.Fields {
		holds = holds || f.Name == figure
	}
	if !known || !holds {
		return nil, fmt.Errorf("pid %02X: gives no %s; an oxygen sensor's are 14 to 1B (voltage), 24 to 2B (lambda) and 34 to 3B (lambda and pump current)", pid, figure)
	}
	return &busLog{loops: map[string]trace.Loop{}, pid: byte(pid), figure: figure, scale: scale, from: strings.ToUpper(strings.TrimSpace(args["from"].Text))}, nil
}

// samples yields the readings of the PID with the state of the fuel control,
// where PID 03 of the same controller tells it.
func (l *busLog) samples(from io.Reader) iter.Seq2[trace.Sample, error] {
	return func(yield func(trace.Sample, error) bool) {
		for reply, err := range canlog.Replies(from) {
			var fault *isotp.Fault
			if errors.As(err, &fault) {
				l.faults++
				continue
			}
			if err != nil {
				l.broken = true
				yield(trace.Sample{}, err)
				return
			}
			if !l.take(reply, yield) {
				return
			}
		}
	}
}

// take yields what one reply holds of the PID. A reply to another service, or
// one that cannot be read, holds nothing of it.
func (l *busLog) take(reply canlog.Reply, yield func(trace.Sample, error) bool) bool {
	readings, _ := obd.Live(reply.Reply, obd.Fitted{})
	for _, r := range readings {
		if closed, known := r.ClosedLoop(); known {
			l.loops[reply.ECU] = map[bool]trace.Loop{true: trace.LoopClosed, false: trace.LoopOpen}[closed]
		}
		v, holds := r.Number(l.figure)
		if r.PID != l.pid || !holds {
			continue
		}
		if l.from == "" {
			l.from = reply.ECU
		}
		if l.from != reply.ECU {
			l.others++
			continue
		}
		if l.taken == 0 {
			l.start = reply.At
		}
		l.taken++
		if !yield(trace.Sample{At: (reply.At - l.start).Seconds(), Value: v * l.scale, Loop: l.loops[reply.ECU]}, nil) {
			return false
		}
	}
	return true
}

// notes say what of the log was taken.
func (l *busLog) notes() []string {
	lines := []string{fmt.Sprintf("%d readings of PID %02X from %s", l.taken, l.pid, l.from)}
	if l.others > 0 {
		lines = append(lines, fmt.Sprintf("%d readings of other controllers are left out; name one with the input from", l.others))
	}
	if l.faults > 0 {
		lines = append(lines, fmt.Sprintf("%d messages of the log could not be put together and are left out", l.faults))
	}
	return lines
}
