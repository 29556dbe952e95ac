package ui

// The rule of this file: the warnings come first and whole, then one action, then what is asked. Everything else gives way
// to them, the track and the workings last of what is useful.

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/ui/picture"
)

// Windows this wide have the track beside the step, in a column of its own.
const (
	wideWindow  = 110
	widestTrack = 60
	highWindow  = 40  // windows this high may have the action in large letters
	widestText  = 112 // longer rows are hard to follow from where the hands are
)

func trackWidth(width int) int { return min(widestTrack, width/3) }

// page sets the scene into the body.
func (w *work) page(m *model, width, h int) page {
	sc := w.scene()
	sc.large = m.height >= highWindow
	unread := 0
	if part, last := w.turnable(sc, width, h); part != nil {
		unread = len(wrapped(sc.must, "", width)) - len(part)
		sc.must = nil
		sc.read = part
		if !last {
			sc.want = want{id: sc.want.id, title: "There is more of this.", enter: "turns the page", act: sc.want.act}
		}
	}
	if sc.track && width >= wideWindow {
		lw := trackWidth(width)
		rows, missing, folded := unfolded(w.blocks(m.look, sc, min(widestText, width-lw), false), h)
		return page{beside(w.column(m.look, lw-2, h), lw, rows), w.keys(sc, folded), missing, folded, unread}
	}
	rows, missing, folded := unfolded(w.blocks(m.look, sc, width, sc.track), h)
	return page{rows, w.keys(sc, folded), missing, folded, unread}
}

// keys are the keys of a scene: what Enter does first and stop-work next, then what the scene has beside them, then those of
// every job. Where how the step is done did not fit, the key that shows it comes before all others.
func (w *work) keys(sc scene, folded int) []hint {
	if w.finished != nil || w.locked != nil {
		return []hint{{"Enter", sc.want.enter}, {"Ctrl+C", "leave"}}
	}
	job := jobKeys()
	if sc.picture != nil {
		job = slices.Insert(job, 2, hint{"F12", "draw"}) // stop-work and help come first
	}
	var first []hint
	if sc.want.act != nil {
		first = []hint{{sc.want.key(), sc.want.enter}}
	}
	first = append(first, job[0])
	if folded > 0 {
		job = slices.DeleteFunc(job, func(h hint) bool { return h.key == "F2" })
		first = append(first, hint{"F2", "HOW"})
	}
	return slices.Concat(first, sc.keys, job[1:])
}

// plainly says whether Enter answers, and there is nothing else to be thought of.
func (ask want) plainly(at int) bool {
	return ask.figure == "" && ask.before == "" && (len(ask.choices) == 0 || at >= 0)
}

// lower is how many rows more the longest of the statements takes that are asked one after the other. They are left free above
// it, so that nothing else on the screen moves from one to the next.
func (ask want) lower(width int) int {
	own, most := len(wrap(ask.title, width)), 0
	for _, other := range ask.row {
		most = max(most, len(wrap(other, width))-own)
	}
	return most
}

// invitation says what is to be thought of, and which key does what; at is the answer that is marked.
func (ask want) invitation(at int) string {
	how := "Enter: " + ask.enter + "."
	switch {
	case ask.figure != "":
		how = "Press " + ask.figure + " if it is so."
	case len(ask.choices) == 1 && at < 0:
		how = "Press 1, then Enter."
	case len(ask.choices) > 0 && at < 0:
		how = "Press its number, then Enter."
	}
	return strings.TrimSpace(ask.before + " " + how + " " + ask.hint)
}

// key is the key that answers.
func (ask want) key() string {
	if ask.figure != "" {
		return ask.figure
	}
	return "Enter"
}

// turnable is the part of a long text that is read now, and whether it is the last. It is nil where all of it fits.
func (w *work) turnable(sc scene, width, h int) (part []string, last bool) {
	text := wrapped(sc.must, "", width)
	sc.must = nil
	_, over := fit(required(w.blocks(theme{}, sc, width, false), len(text)), h)
	if over <= 0 || len(sc.warnings) > 0 {
		return nil, true
	}
	room := max(3, len(text)-over)
	from := min(w.turned, len(text)-room)
	return text[max(0, from):min(len(text), max(0, from)+room)], from+room >= len(text)
}

// required leaves only what must be shown, with so many rows more.
func required(blocks []block, more int) []block {
	out := []block{{rows: make([]string, more)}}
	for _, b := range blocks {
		if b.rank == 0 {
			out = append(out, b)
		}
	}
	return out
}

// turn turns a page of a long text; it reports whether there was one to turn. Two rows stand on both pages.
func (w *work) turn(m *model) bool {
	part, last := w.turnable(w.scene(), m.width, m.bodyHeight())
	if part != nil && !last {
		w.turned += max(1, len(part)-2)
	}
	return part != nil && !last
}

// blocks are the pieces of a scene in the order in which they stand.
func (w *work) blocks(look theme, sc scene, width int, track bool) []block {
	var out []block
	add := func(b block) {
		if len(b.rows) > 0 {
			out = append(out, b)
		}
	}
	for _, l := range sc.banner {
		add(block{rows: []string{look.bold.Render(cutWords(firstOf(l, width), width))}, place: 3})
		if full := bolded(look, []string{l}, width); len(full) > 1 {
			add(block{rows: full, place: 3, rank: 4})
		}
	}
	if track {
		add(block{rows: w.track(look, width, 1), rank: 9, place: 1})
		add(block{rows: w.track(look, width, 3), rank: 13, place: 1})
		add(block{rows: []string{""}, rank: 14})
	}
	for _, warn := range sc.warnings {
		add(block{rows: warning(look, warn, width)})
	}
	add(block{rows: []string{""}, rank: 3, gap: true})
	add(block{rows: bolded(look, []string{sc.action}, width), place: 6})
	if sc.large {
		letters := picture.Lettering(sc.action, picture.Form{Width: min(width, widestText)})
		add(block{rows: solid(look, letters.Rows), place: 6, rank: 17, spare: true})
	}
	if must := append(wrapped(sc.must, "", width), sc.read...); len(must) > 0 {
		add(block{rows: []string{""}, rank: 3, gap: true})
		add(block{rows: must})
	}
	if len(sc.how) > 0 {
		rest := "- .. F2 shows the rest"
		add(block{rows: []string{rest}, place: 4, rank: 2})
		add(block{rows: append([]string{""}, wrapped(sc.how, "- ", width)...), place: 4, rank: 6, shorten: rest, folds: true})
	}
	add(block{rows: []string{""}, rank: 3, gap: true})
	add(block{rows: wrapped(sc.shown, "", width), rank: 1, shorten: ".. F2 shows the rest of it"})
	if sc.clock != "" {
		add(block{rows: []string{look.bold.Render("TIME LEFT " + sc.clock)}, place: 2, rank: 1})
		large := picture.Countdown(sc.clock, sc.passed, sc.whole, picture.Form{Width: width})
		add(block{rows: solid(look, large.Rows), place: 2, rank: 7}) // read from across the bay, so it comes before the track
	}
	for _, b := range slices.Concat(w.wantBlocks(look, sc.want, width), resultBlocks(look, sc, width)) {
		add(b)
	}
	if track {
		add(block{rows: w.next(width), rank: 8, place: 1})
	}
	return out
}

// wantBlocks are what is asked for now, and the key for it.
func (w *work) wantBlocks(look theme, ask want, width int) []block {
	out := []block{{rows: make([]string, ask.lower(width))}, {rows: w.prompt(look, ask, width)}}
	for _, l := range ask.more {
		out = append(out, block{rows: wrap(sentence(plaintext.Show(l)), width), rank: 1})
	}
	if ask.act != nil {
		rank := 3
		if ask.plainly(w.choice.at) {
			rank = 7 // the row of keys says it too
		}
		out = append(out, block{rows: wrap(strings.TrimSpace(ask.invitation(w.choice.at)), width), rank: rank})
	}
	return out
}

// resultBlocks are what came of what was recorded so far: what the checks say, the picture of it, the workings, the entries.
func resultBlocks(look theme, sc scene, width int) []block {
	gap := func(of []string) block { return block{rows: []string{""}[:min(1, len(of))], rank: 11} }
	out := []block{gap(sc.found),
		{rows: wrapped(sc.found, "", width), rank: 4, shorten: ".. F2 shows the rest of it", alone: "F2 shows what the checks say."}}
	out = append(out, pictureBlocks(look, sc.picture, width)...) // after the words that say it
	return append(out, gap(sc.worked),
		block{rows: wrapped(sc.worked, "", width), rank: 10, shorten: ".. F2 shows the rest of the workings", alone: "F2 shows the workings."},
		block{rows: []string{""}, rank: 11},
		block{rows: wrapped(sc.given, "", width), rank: 12, shorten: ".. F5 shows every entry", alone: leftOut})
}

// firstOf is a line that fits, or what of it stands before its reason.
func firstOf(l string, width int) string {
	if head, _, because := strings.Cut(l, ": "); because && ansi.StringWidth(safe(l)) > width {
		return head + "."
	}
	return l
}

func bolded(look theme, lines []string, width int) []string {
	rows := wrapped(lines, "", width)
	for i := range rows {
		rows[i] = look.bold.Render(rows[i])
	}
	return rows
}

func wrapped(lines []string, first string, width int) []string {
	var rows []string
	for _, l := range lines {
		in, width := first, read(l, width)
		for strings.HasPrefix(l, " ") {
			in, l = in+" ", l[1:]
		}
		if strings.HasPrefix(l, "- ") {
			in, l = in+"- ", l[2:]
		}
		if strings.HasPrefix(l, "| ") { // a line of a tag or of the track: its edge goes down beside all of it
			for _, r := range wrap(l[2:], width-len(in)-2) {
				rows = append(rows, in+"| "+r)
			}
			continue
		}
		rows = append(rows, hang(in, l, width)...)
	}
	return rows
}

// read is how wide a line is set where there is more room than can be read. A command that is to be copied is broken nowhere
// that it need not be.
func read(line string, width int) int {
	if strings.HasPrefix(strings.TrimSpace(line), "ssh-keygen ") {
		return width
	}
	return min(width, widestText)
}

// warning is one warning: its word, the hazard, what it does, how it is avoided, in that order as ANSI Z535.6 sets them.
func warning(look theme, warn procedures.Warning, width int) []string {
	word := string(warn.Word)
	text := joined(warn.Hazard, warn.Consequence, warn.Avoid)
	rows := hang(word+"  ", text, width)
	rows[0] = look.words[warn.Word].Render(word) + strings.TrimPrefix(rows[0], word)
	return rows
}

func joined(texts ...string) string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, sentence(t))
		}
	}
	return strings.Join(out, " ")
}

// prompt is what is asked, its notes, and where the answer goes.
func (w *work) prompt(look theme, ask want, width int) []string {
	rows := bolded(look, []string{ask.title}, width)
	rows = append(rows, wrapped(ask.notes, "", width)...)
	switch {
	case len(ask.choices) > 0:
		rows = append(rows, choices(look, ask.choices, w.choice.at, width)...)
	case ask.typed:
		unit := ""
		if ask.unit != "" {
			unit = "   (" + ask.unit + ")"
		}
		rows = append(rows, look.bold.Render("> "+w.input.show(width-2-len(unit))+unit))
	}
	return rows
}

// choices are the answers with their numbers, side by side where they are short.
func choices(look theme, all []string, at, width int) []string {
	parts := make([]part, len(all))
	short := true
	for i, c := range all {
		mark, draw := "  ", look.plain.Render
		if i == at {
			mark, draw = "> ", look.title.Render
		}
		parts[i] = part{fmt.Sprintf("%s%d %s", mark, i+1, c), draw}
		if figures(all) {
			parts[i].text = mark + c
		}
		short = short && len(c) <= 16
	}
	if short {
		return flow(parts, "  ", width)
	}
	var rows []string
	for _, p := range parts {
		for i, r := range hang(p.text[:2], p.text[2:], width) {
			if i > 0 {
				r = "  " + r
			}
			rows = append(rows, p.draw(cut(r, width)))
		}
	}
	return rows
}
