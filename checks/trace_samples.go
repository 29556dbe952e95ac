// The rule of this file: whoever shows a trace reads the very samples that were judged, by the same inputs.

package checks

import (
	"iter"

	"fenderside/checks/trace"
)

// Traced is a trace that was judged, and its samples; each use of them reads it from its start.
type Traced struct {
	Report  trace.Report
	Samples iter.Seq2[trace.Sample, error]
}

// CatalystOf judges what the topic about a catalyst is given: the front signal, the rear one, and what they say together.
func CatalystOf(args Arguments) (front, rear Traced, r trace.CatalystReport, err error) {
	before, behindIt, r, err := catalystOf(args)
	if err != nil {
		return front, rear, r, err
	}
	front = Traced{before, samplesOf(args, args["file"].Data, before.Signal)}
	rear = Traced{behindIt, samplesOf(behind(args), rearFile(args), behindIt.Signal)}
	return front, rear, r, nil
}

// TraceOf judges the trace that an input of a topic about traces names, and gives its samples; each use of them reads it
// from its start.
func TraceOf(args Arguments, input string) (trace.Report, iter.Seq2[trace.Sample, error], error) {
	r, _, err := analysed(args, args[input].Data, "")
	if err != nil {
		return trace.Report{}, nil, err
	}
	return r, samplesOf(args, args[input].Data, r.Signal), nil
}

// samplesOf opens the stream anew each time.
func samplesOf(args Arguments, data Data, signal trace.Signal) iter.Seq2[trace.Sample, error] {
	return func(yield func(trace.Sample, error) bool) {
		from, err := data.Open()
		if err != nil {
			yield(trace.Sample{}, err)
			return
		}
		defer from.Close()
		if args.has("column") {
			trace.ReadCSV(from, data.Name, mappingOf(args), signal)(yield)
			return
		}
		log, err := logOf(args, signal)
		if err != nil {
			yield(trace.Sample{}, err)
			return
		}
		log.samples(from)(yield)
	}
}
