package plain

// Lines typed at random, made of what a job understands, so that they lead deep into it.

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/runner"
)

// TestRandomLinesLeaveAJobThatReplays types anything the line mode understands, in any order. What is shown stays plain;
// what is on disk can be taken up again; and no gate is completed with a statement of it not affirmed.
func TestRandomLinesLeaveAJobThatReplays(t *testing.T) {
	words := []string{"", "1", "2", "3", "7", "yes", "true", "done", "start", "read", "resume", "clear", "witness", "sign on", "sign off",
		"sign complete", "sign referred", "sign abandoned", "pocket", "one", "meanwhile", "itself", "lamp", "0.2 V", "90 V", "40 °C", "2031-12-31",
		"left", "reason", "@40s", "@3m", "\x1b[1m"}
	for _, c := range commands() {
		if c.name != "quit" {
			words = append(words, "."+c.name, "."+c.name+" 1", "."+c.name+" referred because")
		}
	}
	paths := [][]string{briefed, join(briefed, dead), join(briefed, dead, cooled), toFit()}
	rapid.Check(t, func(rt *rapid.T) {
		b := newBench(t)
		lines := join(rapid.SampledFrom(paths).Draw(rt, "path"), rapid.SliceOfN(rapid.SampledFrom(words), 0, 40).Draw(rt, "lines"))
		o := practice(t)
		o.Home, o.Out, o.Clock = b.home, b, b.newClock
		o.In = &script{b: b, lines: lines}
		require.NoError(rt, Run(o))
		b.plainLines()
		st, err := b.home.Store()
		require.NoError(rt, err)
		jobs, err := st.OpenJobs()
		require.NoError(rt, err)
		for _, id := range jobs {
			require.NoError(rt, b.run(Options{Resume: id}))
			gatesKept(rt, b)
		}
	})
}

// gatesKept holds the events on disk to this: when a gate is done, each of its statements was affirmed since it was last
// undone. It counts for itself, from the events alone.
func gatesKept(t *rapid.T, b *bench) {
	affirmed := map[string]int{}
	for _, e := range b.events() {
		switch e := e.(type) {
		case runner.Affirmed:
			affirmed[e.Step]++
		case runner.Done:
			if want := map[string]int{"pull-plug": 2, "let-cool": 1, "fit": 1, "plug-back": 1, "hold-cover": 1}[e.Step]; affirmed[e.Step] < want {
				t.Fatalf("%s is done with %d of %d statements affirmed", e.Step, affirmed[e.Step], want)
			}
			affirmed[e.Step] = 0
		case runner.Fell:
			delete(affirmed, map[string]string{"unplugged": "pull-plug", "cool": "let-cool"}[e.Safeguard])
		}
	}
}
