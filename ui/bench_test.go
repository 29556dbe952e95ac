package ui

import "testing"

// BenchmarkStep is the cost of one key, from Update to View, on the step that shows most: a reading with its limits. The
// figure x-frame is its share of a frame at 60 Hz, 16.67 ms.
func BenchmarkStep(b *testing.B) {
	r := newRig(b)
	screens["reading"](r)
	r.m.width, r.m.height = 160, 45
	keys := []string{"1", "backspace"}
	var shown int
	b.ResetTimer()
	for i := range b.N {
		_, _ = r.m.Update(keyMsg(keys[i%2]))
		shown += len(r.m.View())
	}
	b.StopTimer()
	if shown == 0 {
		b.Fatal("nothing was shown")
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/16_666_667, "x-frame")
}
