package trace_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/checks/trace"
)

// sweep is a table of a signal that switches once a second, a sample every
// 10 ms, as a logger writes it.
func sweep(rows int) []byte {
	var out bytes.Buffer
	out.WriteString("time (s),B1S1 (mV)\n")
	for i := range rows {
		t := float64(i) / 100
		fmt.Fprintf(&out, "%.2f,%.1f\n", t, 450+400*math.Sin(2*math.Pi*t))
	}
	return out.Bytes()
}

var sweepMapping = trace.Mapping{Time: "time", Signal: "B1S1"}

// readAll reads the table and does nothing with it.
func readAll(table []byte) error {
	r := csv.NewReader(bytes.NewReader(table))
	r.ReuseRecord = true
	for {
		if _, err := r.Read(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// BenchmarkTrace reports x-csv: the time to analyse a table of 1,000,000
// samples over the time to read the same bytes with encoding/csv, both in turn
// in one run, medians.
func BenchmarkTrace(b *testing.B) {
	table := sweep(1_000_000)
	var ours, plain []time.Duration
	b.ReportAllocs()
	b.SetBytes(int64(len(table)))
	for b.Loop() {
		start := time.Now()
		_, err := trace.AnalyseCSV(bytes.NewReader(table), "sweep.csv", sweepMapping, trace.Setup{Limits: trace.NarrowBand()})
		ours = append(ours, time.Since(start))
		require.NoError(b, err)
		b.StopTimer()
		start = time.Now()
		require.NoError(b, readAll(table))
		plain = append(plain, time.Since(start))
		b.StartTimer()
	}
	slices.Sort(ours)
	slices.Sort(plain)
	b.ReportMetric(float64(ours[len(ours)/2])/float64(plain[len(plain)/2]), "x-csv")
}
