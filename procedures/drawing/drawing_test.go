package drawing_test

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/drawing"
	"fenderside/procedures/library"
)

var update = flag.Bool("update", false, "write the golden files anew")

func parse(t testing.TB, file string) *procedures.Procedure {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	p, err := procedures.Parse(file, text)
	require.NoError(t, err)
	return p
}

func samples(t testing.TB) []*procedures.Procedure {
	return append(library.Procedures(), parse(t, "../testdata/oven-element.yaml"), parse(t, "../testdata/base.yaml"), parse(t, "testdata/strange.yaml"),
		parse(t, "testdata/bench-lamp.yaml"))
}

func TestTheDrawingIsAsKept(t *testing.T) {
	oven, lamp := parse(t, "../testdata/oven-element.yaml"), parse(t, "testdata/bench-lamp.yaml")
	asKept(t, "oven-element-60.golden", strings.Join(drawing.Terminal(oven, 60), "\n")+"\n")
	asKept(t, "oven-element-100.golden", strings.Join(drawing.Terminal(oven, 100), "\n")+"\n")
	asKept(t, "bench-lamp-80.golden", strings.Join(drawing.Terminal(lamp, 80), "\n")+"\n")
	asKept(t, "bench-lamp-dot.golden", drawing.DOT(lamp))
}

func asKept(t *testing.T, name, drawn string) {
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(drawn), 0o644))
	}
	kept, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(kept), drawn)
}

// bare is a drawing without what depends on the width.
func bare(lines []string) string {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(strings.Map(func(r rune) rune {
			if strings.ContainsRune(" |=+<>-", r) {
				return -1
			}
			return r
		}, l))
	}
	return b.String()
}

func TestNoLineIsWiderThanThePageAndNothingIsLostAtAnyWidth(t *testing.T) {
	for _, p := range samples(t) {
		whole := bare(drawing.Terminal(p, 1000))
		rapid.Check(t, func(t *rapid.T) {
			width := rapid.IntRange(60, 240).Draw(t, "width")
			lines := drawing.Terminal(p, width)
			for _, l := range lines {
				require.LessOrEqual(t, ansi.StringWidth(l), width, l)
				require.Equal(t, strings.TrimRight(l, " "), l)
			}
			require.Equal(t, whole, bare(lines))
		})
	}
}

func TestANarrowPageIsDrawnAtTheLeastWidth(t *testing.T) {
	p := samples(t)[0]
	assert.Equal(t, drawing.Terminal(p, drawing.Narrowest), drawing.Terminal(p, 3))
}

func TestEveryGateIsABarAndEveryBranchIsNamedWhereItLeavesAndArrives(t *testing.T) {
	for _, p := range samples(t) {
		lines := drawing.Terminal(p, 400)
		all := strings.Join(lines, "\n")
		bars := 0
		for _, l := range lines {
			if strings.HasPrefix(l, "====+==== GATE ") {
				bars++
				assert.Equal(t, 400, ansi.StringWidth(l), "the bar goes across")
			}
		}
		gates := 0
		for i := range p.Steps {
			st := &p.Steps[i]
			if st.Kind == procedures.Gate {
				gates++
			}
			assert.Contains(t, all, st.ID)
			assert.Contains(t, all, strings.Join(strings.Fields(st.Title), " "))
			if st.Ask == nil {
				continue
			}
			for _, a := range st.Ask.Answers {
				assert.Contains(t, all, "    +---> "+a.Say+": ", "%s leaves", st.ID)
				to, far := p.StepByID(a.Then.Step)
				if far && to.Index != st.Index+1 {
					assert.Contains(t, all, fmt.Sprintf("    <---- from %d %s: %s\n", st.Index+1, st.ID, a.Say), "it arrives")
				}
			}
		}
		assert.Equal(t, gates, bars)
	}
}

// Whom a gate serves is worked out anew here, from the needs.
func TestEveryHoldNamesWhomItServes(t *testing.T) {
	p := parse(t, "../testdata/oven-element.yaml")
	all := strings.Join(drawing.Terminal(p, 200), "\n")
	assert.Contains(t, all, "  - unplugged: gate 1 pull-plug\n      holds here before 2 to 5\n")
	assert.Contains(t, all, "  - cavity-cool: gate 2 let-it-cool\n      holds here before 3\n")
	assert.Contains(t, all, "must be over before 5 and before every close")
}

// Who faces what is worked out anew here, from the page as a reader of it would.
func TestADangerIsNamedWhereItIsFacedAndAtTheGateThatKeepsItOff(t *testing.T) {
	for _, p := range samples(t) {
		all, dot := strings.Join(drawing.Terminal(p, 2000), "\n"), drawing.DOT(p)
		for i := range p.Steps {
			st := &p.Steps[i]
			block := after(all, fmt.Sprintf("\n====+==== GATE %d %s ", i+1, st.ID), fmt.Sprintf("\n    o     %d %s\n", i+1, st.ID))
			for _, n := range st.Needs {
				if n.Safeguard >= 0 {
					assert.Contains(t, dot, fmt.Sprintf("  step_%d -> step_%d [style=dashed", i+1, p.Safeguards[n.Safeguard].Gate+1), "%s is held there", st.ID)
				}
			}
			oval := strings.ReplaceAll(after(dot, fmt.Sprintf("  step_%d [", i+1)), `\n`, " ")
			for _, f := range st.Faces {
				d := p.Dangers[f.Danger]
				assert.Contains(t, oval, d.ID, "%s faces %s", st.ID, d.ID)
				if i < p.MainLine() {
					assert.Regexp(t, `(?m)^ {4}\| +faces .*\b`+d.ID+`\b`, block, "%s faces %s", st.ID, d.ID)
				}
			}
		}
		for _, d := range p.Dangers {
			entry := strings.SplitN(after(all, "\n  - "+d.ID+": "+d.Title+"\n"), "\n  - ", 2)[0]
			for _, k := range d.KeptOff {
				if k.Safeguard >= 0 {
					st := p.Steps[p.Safeguards[k.Safeguard].Gate]
					assert.Contains(t, entry, fmt.Sprintf("gate %d %s", st.Index+1, st.ID), "what keeps off %s", d.ID)
				}
			}
		}
	}
	lamp := strings.Join(drawing.Terminal(parse(t, "testdata/bench-lamp.yaml"), 200), "\n")
	assert.Contains(t, lamp, "faces shock, burns when lamp is halogen\n")
	assert.Contains(t, lamp, "kept off by gate 1 pull-plug and gate 2 let-it-cool, before it is faced by 3\n")
	assert.Contains(t, lamp, "only brought on: no step faces it, and nothing keeps it off\n")
	assert.Contains(t, lamp, "kept off by P1 watch, before it is faced by 7\n")
}

// after is a text from the first of some marks on, up to the next step of the line or the next node.
func after(all string, marks ...string) string {
	for _, m := range marks {
		if _, rest, found := strings.Cut(all, m); found {
			if part := strings.SplitN(rest, "\n    |\n", 2); len(part) > 1 {
				return part[0]
			}
			return strings.SplitN(rest, "];\n", 2)[0]
		}
	}
	return ""
}

// Graphviz itself reads the drawing, and says how many nodes and edges it found: https://graphviz.org/docs/outputs/plain/
func TestGraphvizReadsTheSameGraph(t *testing.T) {
	if _, err := exec.LookPath("dot"); err != nil {
		t.Skip("needs dot (Debian package graphviz)")
	}
	for _, p := range samples(t) {
		cmd := exec.Command("dot", "-Tplain")
		cmd.Stdin = strings.NewReader(drawing.DOT(p))
		var complaints strings.Builder
		cmd.Stderr = &complaints
		out, err := cmd.Output()
		require.NoError(t, err, "%s: %s", p.Name, complaints.String())
		assert.Empty(t, complaints.String())
		steps, answers := 0, 0
		for line := range strings.Lines(string(out)) {
			if strings.HasPrefix(line, "node step_") {
				steps++
			}
			if f := strings.Fields(line); len(f) > 3 && f[0] == "edge" && strings.Contains(line, " solid ") && f[1] != "start" && !strings.Contains(line, "passed by") {
				answers++
			}
		}
		assert.Equal(t, len(p.Steps), steps, p.Name)
		assert.Equal(t, waysOn(p), answers, p.Name)
	}
}

// waysOn counts the ways on from every step of the main line: one for each answer, or one.
func waysOn(p *procedures.Procedure) int {
	n := 0
	for i := range p.Steps[:p.MainLine()] {
		n++
		if p.Steps[i].Ask != nil {
			n += len(p.Steps[i].Ask.Answers) - 1
		}
	}
	return n
}
