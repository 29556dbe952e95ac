// The rule of this file: a trace is judged by limits with their sources, and one
// that cannot show what is asked is not judged at all.

package checks

import (
	"fmt"
	"strings"

	"fenderside/checks/diagnosis"
	"fenderside/checks/quantity"
	"fenderside/checks/trace"
)

// The kinds of sensor signal that a trace may hold.
const (
	narrowFront = "narrow-band front"
	narrowRear  = "narrow-band rear"
	wideLambda  = "lambda"
	pumpCurrent = "pump current"
)

func sensorTrace() Check {
	c := Check{
		Name:  "sensor-trace",
		Title: "A sensor's signal over time",
		Doc: "Judges the signal of an oxygen sensor from a table (CSV) or a CAN log of any length: extremes, crossings, rise and fall times, silent, stuck, biased, lazy. " +
			"What the samples are too slow or too few to show is reported as not judged. A wide-band signal has no common limits: its figures are there to be compared before and after.",
		Inputs: append([]Input{{Name: "file", Kind: KindData, Doc: "a table with a header, or a log of a CAN bus"}}, append(sourceInputs(),
			takes("rise", quantity.Time, "the maker's longest rise; 100 ms when left out, narrow-band front only"),
			takes("fall", quantity.Time, "the maker's longest fall; not judged when left out, narrow-band front only"),
			takes("rate", quantity.Number, "the maker's fewest crossings a second; 1 when left out, narrow-band front only"),
		)...),
		Outputs: traceOutputs(),
		Sources: []string{
			"extremes and rise: " + trace.CollegeSource, "switching level: " + trace.SwitchSource,
			"crossings a second: " + trace.CommonPractice, "hysteresis, stillness, shares, shortest time: " + trace.OwnDefault,
		},
		Example: Arguments{"file": held("drive.csv", switching(2000, 0.1, 0.85)), "time": text("time"), "column": text("B1S1")},
	}
	c.Run = c.runSensorTrace
	return c
}

// sourceInputs say where in a file the signal is; every topic about traces
// takes them.
func sourceInputs() []Input {
	say := func(name, doc string) Input { return Input{Name: name, Kind: KindText, Optional: true, Doc: doc} }
	return []Input{
		{Name: "signal", Kind: KindChoice, Options: []string{narrowFront, narrowRear, wideLambda, pumpCurrent}, Optional: true, Doc: "what it is; narrow-band front when left out"},
		say("time", "name of the time column of a table"),
		say("column", "name of the signal's column of a table"),
		say("time-unit", "where the table gives none, such as s or ms"),
		say("unit", "of the signal, where the table gives none, such as V or mV"),
		say("loop", "name of the column that tells closed loop from open, where there is one"),
		say("closed", "words in it that mean closed loop, with commas between them"),
		say("pid", "PID of the signal in a CAN log, such as 14"),
		say("from", "address of the controller in a CAN log, where several answer, such as 7E8"),
		takes("gap", quantity.Time, "interval beyond which nothing is known between two samples"),
	}
}

func traceOutputs() []Output {
	number := func(name, unit, doc string, decimals int) Output {
		return Output{Name: name, Unit: unit, Decimals: decimals, Maybe: true, Doc: doc}
	}
	return []Output{
		{Name: "shows", Words: true, Options: []string{string(trace.Healthy), string(trace.Suspect), string(trace.CannotTell)}, Doc: "what the signal shows"},
		number("observed", "s", "time that the figures rest on", 2),
		number("interval", "s", "median sampling interval", 4),
		{Name: "minimum", Words: true, Doc: "least value"},
		{Name: "maximum", Words: true, Doc: "greatest value"},
		{Name: "mean", Words: true, Doc: "mean over time"},
		number("crossings", "1/s", "of the switching level", 2),
		number("rich", "%", "share of the time on the rich side", 0),
		number("rise", "ms", "median", 1),
		number("fall", "ms", "median", 1),
		{Name: "flag", Many: true, Doc: "what was found"},
	}
}

func (c Check) runSensorTrace(args Arguments) (Result, error) {
	r, notes, err := analysed(args, args["file"].Data, "")
	if err != nil {
		return Result{}, err
	}
	return c.result(traceVerdict(r.Verdict), r.Because, append(r.Workings, notes...), traceFigures(r)...)
}

func traceVerdict(v trace.Verdict) Verdict {
	switch v {
	case trace.Healthy:
		return Pass
	case trace.Suspect:
		return Fail
	}
	return More
}

func traceFigures(r trace.Report) []named {
	figures := []named{stated("shows", string(r.Verdict)), amount("observed", r.Observed), amount("interval", r.Interval)}
	level := func(name string, v float64) { figures = append(figures, stated(name, levelOf(r.Signal, v))) }
	level("minimum", r.Minimum)
	level("maximum", r.Maximum)
	level("mean", r.Mean)
	if r.Limits.Switch.Given() && r.Observed > 0 {
		figures = append(figures, amount("crossings", r.Rate), amount("rich", 100*r.RichShare))
	}
	if r.Rise.Count > 0 {
		figures = append(figures, amount("rise", 1000*r.Rise.Median))
	}
	if r.Fall.Count > 0 {
		figures = append(figures, amount("fall", 1000*r.Fall.Median))
	}
	for i, f := range r.Flags {
		figures = append(figures, stated(fmt.Sprintf("flag: %d", i+1), string(f)))
	}
	return figures
}

// levelOf prints a value of a signal in its unit.
func levelOf(s trace.Signal, v float64) string {
	switch s {
	case trace.Lambda:
		return plain(v, 3)
	case trace.PumpCurrent:
		return plain(1000*v, 3) + " mA"
	}
	return plain(1000*v, 0) + " mV"
}

func traceCompare() Check {
	c := Check{
		Name:    "trace-compare",
		Title:   "A sensor's signal before and after the work",
		Doc:     "Sets two traces of one sensor position side by side: what is gone, what is new, and by how much the figures differ.",
		Reckons: true,
		Inputs: append([]Input{
			{Name: "before", Kind: KindData, Doc: "trace from before the work"},
			{Name: "after", Kind: KindData, Doc: "trace from after it, of the same form"},
		}, sourceInputs()...),
		Outputs: []Output{
			{Name: "shows", Words: true, Options: []string{diagnosis.Improved, diagnosis.WithinLimits, diagnosis.NotImproved, diagnosis.CannotTell}, Doc: "what the work did to the signal"},
			{Name: "direction", Words: true, Doc: "put right, better, unchanged, worse or undecided"},
			{Name: "gone", Many: true, Doc: "flag of the first trace that the second does not have"},
			{Name: "new", Many: true, Doc: "flag of the second trace that the first does not have"},
			{Name: "figure", Many: true, Doc: "before and after"},
		},
		Sources: []string{trace.CollegeSource, "where no source is named: " + trace.OwnDefault},
		Example: Arguments{
			"before": held("before.csv", switching(2000, 0.3, 0.6)), "after": held("after.csv", switching(2000, 0.1, 0.85)),
			"time": text("time"), "column": text("B1S1"),
		},
	}
	c.Run = c.runTraceCompare
	return c
}

func (c Check) runTraceCompare(args Arguments) (Result, error) {
	before, _, err := analysed(args, args["before"].Data, "")
	if err != nil {
		return Result{}, fmt.Errorf("before: %w", err)
	}
	after, _, err := analysed(args, args["after"].Data, "")
	if err != nil {
		return Result{}, fmt.Errorf("after: %w", err)
	}
	cmp, err := trace.Compare(before, after)
	if err != nil {
		return Result{}, err
	}
	figures := []named{stated("shows", workShows(cmp, after)), stated("direction", string(cmp.Direction))}
	for i, f := range cmp.Gone {
		figures = append(figures, stated(fmt.Sprintf("gone: %d", i+1), string(f)))
	}
	for i, f := range cmp.New {
		figures = append(figures, stated(fmt.Sprintf("new: %d", i+1), string(f)))
	}
	for _, d := range cmp.Differences {
		figures = append(figures, stated("figure: "+d.Figure, d.Said))
	}
	verdict := None
	if cmp.Direction == trace.Undecided {
		verdict = More
	}
	return c.result(verdict, cmp.Because, cmp.Workings, figures...)
}

// workShows is what a comparison says of the work: a signal that is as good as
// a good sensor's is good enough, whatever it was before.
func workShows(c trace.Comparison, after trace.Report) string {
	switch {
	case c.Direction == trace.Cured || c.Direction == trace.Better:
		return diagnosis.Improved
	case after.Verdict == trace.Healthy:
		return diagnosis.WithinLimits
	case c.Direction == trace.Undecided:
		return diagnosis.CannotTell
	}
	return diagnosis.NotImproved
}

func catalyst() Check {
	usual := trace.UsualCatalyst()
	c := Check{
		Name:  "catalyst",
		Title: "Rear sensor against front sensor: does the catalyst store oxygen?",
		Doc: "Compares narrow-band sensors before and behind a catalyst over the same steady drive. A catalyst that stores oxygen keeps the rear signal from following the front one. " +
			"The usual ratios come from no standard; the maker's own come first.",
		Inputs: append([]Input{
			{Name: "file", Kind: KindData, Doc: "trace with the front sensor"},
			{Name: "rear-file", Kind: KindData, Optional: true, Doc: "trace with the rear sensor; the same file when left out"},
			{Name: "rear", Kind: KindText, Doc: "the rear sensor's column, or its PID in a CAN log"},
			takes("ratio", quantity.Number, "the maker's greatest ratio of rear to front crossings"),
			takes("swing", quantity.Number, "the maker's greatest ratio of rear to front swing; not judged when left out"),
		}, sourceInputs()...),
		Outputs: []Output{
			{Name: "crossing-ratio", Decimals: 2, Doc: "rear crossings over front crossings"},
			{Name: "swing-ratio", Decimals: 2, Doc: "rear swing over front swing"},
		},
		Sources: []string{"ratio of crossings: " + usual.Crossings.Source, "fewest crossings in front: " + usual.Front.Source},
		Example: Arguments{
			"file": held("drive.csv", switching(6000, 0.1, 0.85)), "time": text("time"), "column": text("B1S1"), "rear": text("B1S2"),
		},
	}
	c.Run = c.runCatalyst
	return c
}

func (c Check) runCatalyst(args Arguments) (Result, error) {
	if kind := args["signal"].Choice; kind != "" && kind != narrowFront {
		return Result{}, fmt.Errorf("signal %q: only two narrow-band sensors are compared; leave it out", kind)
	}
	_, _, r, err := catalystOf(args)
	if err != nil {
		return Result{}, err
	}
	return c.result(traceVerdict(r.Verdict), r.Because, r.Workings, amount("crossing-ratio", r.CrossingRatio), amount("swing-ratio", r.SwingRatio))
}

// catalystOf judges both signals and sets one against the other.
func catalystOf(args Arguments) (front, rear trace.Report, r trace.CatalystReport, err error) {
	if front, _, err = analysed(args, args["file"].Data, ""); err != nil {
		return front, rear, r, fmt.Errorf("front: %w", err)
	}
	if rear, _, err = analysed(behind(args), rearFile(args), narrowRear); err != nil {
		return front, rear, r, fmt.Errorf("rear: %w", err)
	}
	limits := trace.UsualCatalyst()
	own(args, "ratio", &limits.Crossings)
	own(args, "swing", &limits.Swing)
	r, err = trace.Catalyst(front, rear, limits)
	return front, rear, r, err
}

// rearFile is the file that the rear sensor's signal is in.
func rearFile(args Arguments) Data {
	if args.has("rear-file") {
		return args["rear-file"].Data
	}
	return args["file"].Data
}

// behind takes the rear sensor's place for the front one's.
func behind(args Arguments) Arguments {
	changed := Arguments{}
	for name, arg := range args {
		changed[name] = arg
	}
	if args.has("pid") {
		changed["pid"] = args["rear"]
	} else {
		changed["column"] = args["rear"]
	}
	return changed
}

// switching is a made-up table of a front sensor that switches 1.5 times a
// second between two levels, with a rear one that drifts a little, a hundred samples a second.
func switching(samples int, low, high float64) string {
	var b strings.Builder
	b.WriteString("time (s),B1S1 (V),B1S2 (V)\n")
	for i := range samples {
		level, phase := low, i%66
		switch {
		case phase < 5:
			level = low + (high-low)*float64(phase)/5
		case phase < 33:
			level = high
		case phase < 38:
			level = high - (high-low)*float64(phase-33)/5
		}
		fmt.Fprintf(&b, "%.2f,%.4f,%.4f\n", float64(i)/100, level, 0.7+0.02*float64(i%400)/400)
	}
	return b.String()
}
