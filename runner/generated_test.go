package runner_test

// Small valid procedures, made up: gates that need earlier gates, lapses, causes, pinned steps, questions that lead on,
// back or to an end, waits, repeats, readings that limit one another, conditions, steps that make safe.

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"

	"fenderside/procedures"
)

// draft is a procedure being made up.
type draft struct {
	t      *rapid.T
	guards int
	causes bool
	steps  []string // ids of the do steps so far
	b      strings.Builder
}

func (d *draft) line(format string, args ...any) { fmt.Fprintf(&d.b, format+"\n", args...) }

func (d *draft) chance(label string, in int) bool { return rapid.IntRange(1, in).Draw(d.t, label) == 1 }

// some draws a few of the first n safeguards.
func (d *draft) some(n int) []string {
	var out []string
	for i := range n {
		if d.chance("need", 2) {
			id := fmt.Sprintf("g%d", i)
			if d.chance("conditional", 4) {
				id = fmt.Sprintf("{safeguard: g%d, when: {side: left}}", i)
			}
			out = append(out, id)
		}
	}
	return out
}

func flow(list []string) string { return "[" + strings.Join(list, ", ") + "]" }

// made is a procedure's text that the loader takes. One that goes round in its own causes is made anew without them.
func made(t *rapid.T) string {
	d := &draft{t: t, guards: rapid.IntRange(1, 4).Draw(t, "guards"), causes: true}
	text := d.text()
	if _, err := procedures.Parse("made.yaml", []byte(text)); err == nil {
		return text
	}
	plain := &draft{t: t, guards: d.guards}
	text = plain.text()
	if _, err := procedures.Parse("made.yaml", []byte(text)); err != nil {
		t.Fatalf("the made-up procedure is faulty:\n%v\n%s", err, text)
	}
	return text
}

func (d *draft) text() string {
	d.line("fenderside: 1\nprocedure: made\nrevision: 1\ntitle: Made up\nscope: For tests.")
	d.line("instruments:\n  meter: {title: Meter, calibration: true}")
	d.line("sheet:\n  - {id: side, title: Side, choose: [left, right]}\n  - {id: most, title: Most, quantity: length, unit: mm, between: [10 mm, 90 mm]}")
	lasting := d.safeguards()
	d.line("steps:")
	for i := range d.guards {
		d.gate(i)
		if d.chance("work", 2) {
			d.do(i + 1)
		}
	}
	d.do(d.guards)
	if d.causes {
		d.line("  - do: burn\n    title: Burn\n    causes: [flame]\n    affirm: [The flame is out]")
	}
	safe := d.undo(lasting)
	if d.causes {
		d.line("pinned:\n  - {pin: watch, title: Watch, starts on: [flame], at least: 5 min, affirm: [Nothing glows]}")
	}
	d.line("make safe: %s", flow(safe))
	return d.b.String()
}

func (d *draft) safeguards() []bool {
	lasting := make([]bool, d.guards)
	d.line("safeguards:")
	for i := range d.guards {
		d.line("  g%d:\n    title: Guard %d", i, i)
		var on []string
		for _, cause := range []string{"interruption", "handover", "flame"} {
			if d.chance(cause, 3) && (cause != "flame" || d.causes) {
				on = append(on, cause)
			}
		}
		switch after := d.chance("after", 5); {
		case len(on) > 0 && after:
			d.line("    lapses: {on: %s, after: 20 min, because: it does}", flow(on))
		case len(on) > 0:
			d.line("    lapses: {on: %s, because: it does}", flow(on))
		case after:
			d.line("    lapses: {after: 20 min, because: it does}")
		}
		if lasting[i] = d.chance("lasting", 4); lasting[i] {
			d.line("    lasting: true")
		}
	}
	return lasting
}

func (d *draft) gate(i int) {
	d.line("  - gate: gate%d\n    title: Gate %d\n    secures: g%d", i, i, i)
	if i > 0 && d.chance("applies", 5) {
		d.line("    when: {side: left}")
	}
	d.needs(i)
	if d.chance("witness", 6) {
		d.line("    witness: true")
	}
	if d.chance("wait", 5) {
		d.line("    wait: {at least: 2 min, for: it}")
	}
	if d.chance("ways", 4) {
		d.line("    either:\n      - {way: one, say: With one pin, affirm: [The first pin is home]}\n      - {way: two, say: With two pins, affirm: [The second pin is home, The third pin is home]}")
		return
	}
	d.line("    affirm: [The bolt is whole, {say: The left cover is shut, when: {side: left}}]")
	if d.chance("readings", 2) {
		d.line("    readings:\n      - {id: r%d, title: R, quantity: length, unit: mm, at most: most}", i)
		d.line("      - {id: s%d, title: S, quantity: length, unit: mm, at least: r%d}", i, i)
	}
	if d.chance("meter", 4) {
		if !strings.HasSuffix(d.b.String(), fmt.Sprintf("at least: r%d}\n", i)) {
			d.line("    readings:")
		}
		d.line("      - {id: v%d, title: V, quantity: voltage, unit: V, at most: 1 V, magnitude: true, instrument: meter}", i)
	}
}

func (d *draft) needs(n int) {
	if needs := d.some(n); len(needs) > 0 {
		d.line("    needs: %s", flow(needs))
	}
}

func (d *draft) do(n int) {
	id := fmt.Sprintf("do%d", len(d.steps))
	d.line("  - do: %s\n    title: Do", id)
	d.needs(n)
	switch {
	case d.chance("asks", 2):
		answers := []string{"{say: On}", "{say: Off, then: referred}"}
		if len(d.steps) > 0 {
			back := d.steps[rapid.IntRange(0, len(d.steps)-1).Draw(d.t, "back")]
			answers = append(answers, "{say: Back, then: "+back+"}")
		}
		d.line("    ask: {question: What, answers: %s}", flow(answers))
		if d.chance("repeats", 3) {
			d.line("    repeat: {at most: 3, until: it is done}")
		}
	case d.chance("optional", 4):
		d.line("    optional: true\n    evidence: [{id: photo%d, title: Photo}]", len(d.steps))
	case d.chance("soak", 3):
		d.line("    wait: {at least: 1 min, at most: 10 min, for: it, if missed: again}\n    affirm: [The thread is wet]")
	default:
		d.line("    affirm: [The bolt is out]\n    readings: [{id: t%d, title: T, choose: [left, right], same as: side}]", len(d.steps))
	}
	d.steps = append(d.steps, id)
}

// undo makes the steps that make safe: one for each safeguard that is to be released, and sometimes one more.
func (d *draft) undo(lasting []bool) []string {
	var safe []string
	if d.chance("count", 2) {
		d.line("  - gate: count\n    title: Count\n    due after: [%s]\n    affirm: [The count agrees]", d.steps[0])
		safe = append(safe, "count")
	}
	if d.chance("count again", 2) {
		d.line("  - gate: recount\n    title: Count again\n    due after: [%s, gate0]\n    affirm: [The count agrees]", d.steps[0])
		safe = append(safe, "recount")
	}
	for i := d.guards - 1; i >= 0; i-- {
		if lasting[i] {
			continue
		}
		id := fmt.Sprintf("undo%d", i)
		d.line("  - gate: %s\n    title: Undo\n    releases: [g%d]\n    affirm: [The bolt is back]", id, i)
		if d.causes && d.chance("watched", 3) {
			d.line("    needs: [watch]")
		}
		safe = append(safe, id)
	}
	if len(safe) == 0 {
		d.line("  - gate: look\n    title: Look\n    affirm: [The floor is clear]")
		safe = []string{"look"}
	}
	return safe
}
