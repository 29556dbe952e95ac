// The rule of this file: whoever shows a trace reads the very samples that were judged, by the same inputs.

package checks

import (
	"iter"

	"fenderside/checks/trace"
)

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
