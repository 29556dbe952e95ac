// The rule of this file: a log of any length is read once, and what is kept of
// it is a count and the ends of each figure.

package checks

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"fenderside/checks/obd"
	"fenderside/checks/obd/canlog"
	"fenderside/checks/obd/isotp"
)

func canLog() Check {
	c := Check{
		Name:  "can-log",
		Title: "What the controllers said in a log of a CAN bus",
		Doc: "Reads a log of a CAN bus of any length, puts messages together, and lists each live value with its count and ends, each trouble code, and the vehicle's number. " +
			"Messages that are not whole are counted and left out.",
		Reckons: true,
		Inputs: []Input{
			{Name: "file", Kind: KindData, Doc: "lines such as (1436509052.249713) can0 7E8#0341053C"},
			{Name: "from", Kind: KindText, Optional: true, Doc: "only this controller, such as 7E8"},
		},
		Outputs: []Output{
			{Name: "replies", Decimals: 0, Doc: "whole messages of controllers"},
			{Name: "lost", Decimals: 0, Doc: "messages that could not be put together or read"},
			{Name: "span", Decimals: 3, Unit: "s", Doc: "from the first reply to the last"},
			{Name: "value", Many: true, Doc: "a live value: its least and greatest, and how often it was given"},
			{Name: "code", Many: true, Doc: "a trouble code"},
			{Name: "vehicle", Many: true, Doc: "what a controller says of the vehicle"},
			{Name: "lost-at", Many: true, Doc: "the first messages that were lost, and why"},
		},
		Sources: []string{obd.Source, "frames: ISO 15765-2"},
		Example: Arguments{"file": held("drive.log", exampleLog)},
	}
	c.Run = c.runCANLog
	return c
}

const exampleLog = `(1436509052.249713) can0 7E8#0341053C
(1436509052.349713) can0 7E8#04410C0A6B
(1436509052.449713) can0 7E8#0341053D
`

// The most that is kept of a log.
const (
	mostKept  = 500 // figures, codes and items
	mostLosts = 5
)

// valueSpan is what is kept of one figure.
type valueSpan struct {
	low, high obd.Figure
	last      string
	count     int
}

// logSummary is what is kept of a log.
type logSummary struct {
	from         string
	replies, bad int
	first, last  time.Duration
	order        []string
	values       map[string]*valueSpan
	others       []named // codes and items, each once
	seen         map[string]bool
	losts        []named
	fitted       map[string]obd.Fitted
	dropped      int
}

func (c Check) runCANLog(args Arguments) (Result, error) {
	from, err := args["file"].Data.Open()
	if err != nil {
		return Result{}, err
	}
	defer from.Close()
	s := logSummary{from: strings.ToUpper(strings.TrimSpace(args["from"].Text)), values: map[string]*valueSpan{}, seen: map[string]bool{}, fitted: map[string]obd.Fitted{}}
	for reply, err := range canlog.Replies(from) {
		var fault *isotp.Fault
		switch {
		case errors.As(err, &fault):
			s.lose(err)
		case err != nil:
			return Result{}, fmt.Errorf("%s: %w", args["file"].Data.Name, err)
		case s.from == "" || s.from == reply.ECU:
			s.take(reply)
		}
	}
	if s.replies == 0 {
		return Result{}, fmt.Errorf("%s: no reply of a controller in it; log the bus while a scan tool asks", args["file"].Data.Name)
	}
	verdict, because := None, fmt.Sprintf("%s over %s s", counted(s.replies, "reply", "replies"), plain((s.last-s.first).Seconds(), 3))
	if s.bad > 0 {
		because += fmt.Sprintf(", and %s that could not be read", counted(s.bad, "message", "messages"))
	}
	return c.result(verdict, because, s.lines(), s.figures()...)
}

func (s *logSummary) lose(err error) {
	s.bad++
	if len(s.losts) < mostLosts {
		s.losts = append(s.losts, stated(fmt.Sprintf("lost-at: %d", len(s.losts)+1), err.Error()))
	}
}

func (s *logSummary) take(reply canlog.Reply) {
	if s.replies == 0 {
		s.first = reply.At
	}
	s.replies++
	s.last = reply.At
	a, err := obd.Decode(reply.Reply, s.fitted[reply.ECU])
	if err != nil {
		s.lose(fmt.Errorf("line %d: %w", reply.Line, err))
	}
	for _, r := range a.Readings {
		if r.Fitted != nil {
			s.fitted[reply.ECU] = *r.Fitted
		}
		for _, f := range r.Figures {
			s.value(reply.ECU+" "+valueName(r, f.Name), f)
		}
	}
	for _, code := range a.Codes {
		s.once("code: "+reply.ECU+" "+strings.TrimSuffix(a.Title, "s"), code.String())
	}
	if a.Vehicle != nil {
		for _, item := range a.Vehicle.Items {
			s.once("vehicle: "+reply.ECU+" "+a.Vehicle.Kind, item)
		}
	}
}

func (s *logSummary) value(name string, f obd.Figure) {
	v, known := s.values[name]
	if !known {
		if len(s.values) == mostKept {
			s.dropped++
			return
		}
		v = &valueSpan{low: f, high: f}
		s.values[name] = v
		s.order = append(s.order, name)
	}
	v.count++
	v.last = f.String()
	switch {
	case !f.Numeric:
	case !v.low.Numeric || f.Value < v.low.Value:
		v.low = f
		if !v.high.Numeric {
			v.high = f
		}
	case f.Value > v.high.Value:
		v.high = f
	}
}

func (s *logSummary) once(name, what string) {
	if s.seen[name+what] {
		return
	}
	if len(s.seen) == mostKept {
		s.dropped++
		return
	}
	s.seen[name+what] = true
	s.others = append(s.others, stated(name, what))
}

func (v *valueSpan) String() string {
	times := counted(v.count, "reading", "readings")
	if !v.low.Numeric {
		return v.last + ", " + times
	}
	if v.low.Value == v.high.Value {
		return v.low.String() + ", " + times
	}
	least := strconv.FormatFloat(v.low.Value, 'f', v.low.Decimals, 64)
	return least + " to " + v.high.String() + ", " + times
}

func (s *logSummary) figures() []named {
	figures := []named{amount("replies", float64(s.replies)), amount("lost", float64(s.bad)), amount("span", math.Max(0, (s.last-s.first).Seconds()))}
	slices.Sort(s.order)
	for _, name := range s.order {
		figures = append(figures, stated("value: "+name, s.values[name].String()))
	}
	for _, kind := range []string{"code", "vehicle"} {
		for _, o := range s.others {
			if strings.HasPrefix(o.name, kind+": ") {
				figures = append(figures, o)
			}
		}
	}
	return append(figures, s.losts...)
}

func (s *logSummary) lines() []string {
	lines := []string{fmt.Sprintf("%s: first at %.6f s, last at %.6f s", counted(s.replies, "reply", "replies"), s.first.Seconds(), s.last.Seconds())}
	if s.dropped > 0 {
		lines = append(lines, fmt.Sprintf("more than %d different figures: %d readings are left out of the list", mostKept, s.dropped))
	}
	return lines
}
