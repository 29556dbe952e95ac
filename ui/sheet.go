package ui

// The rule of this file: the job sheet is held to its procedure at every key. A figure that is typed says where it stands.

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/ui/reading"
)

// sheet is a job sheet being filled.
type sheet struct {
	p     *procedures.Procedure
	card  *procedures.Card
	mode  runner.Mode
	after string

	typed    []line // by field
	source   []line
	at       int  // the field; after the last one the job is opened
	choice   mark // of a field that is chosen
	onSource bool // the source of the typed figure is asked
	leaving  bool // Esc was pressed, and would throw away what was typed
	turned   int  // rows of the whole sheet that were read and turned over, before the job is opened
	values   map[string]procedures.SheetValue
	missing  map[string]bool
	faults   map[string]procedures.SheetFault
	proposed map[string]procedures.Proposed // by the checks that fields name
	others   []string                       // faults of no field
}

func newSheet(p *procedures.Procedure, card *procedures.Card, mode runner.Mode, after string) *sheet {
	s := &sheet{p: p, card: card, mode: mode, after: after, typed: make([]line, len(p.Sheet)), source: make([]line, len(p.Sheet))}
	s.resolve()
	return s
}

// resolve holds the sheet to the procedure and the card.
func (s *sheet) resolve() {
	typed := map[string]string{}
	for i, f := range s.p.Sheet {
		if v := s.value(i); v != "" {
			typed[f.ID] = v
		}
	}
	values, missing, faults := procedures.Resolve(s.p, s.card, typed)
	s.values, s.missing, s.faults, s.others = values, map[string]bool{}, map[string]procedures.SheetFault{}, nil
	for _, f := range missing {
		s.missing[f.ID] = true
	}
	s.propose()
	for _, err := range faults {
		var one procedures.SheetFault
		if errors.As(err, &one) {
			s.faults[one.Field] = one
		} else {
			s.others = append(s.others, err.Error())
		}
	}
}

// value is what was typed for a field; a bare figure takes the field's unit.
func (s *sheet) value(i int) string {
	f := s.p.Sheet[i]
	return reading.WithUnit(s.typed[i].String(), f.Kind, f.Unit)
}

// wantsSource says whether a field holds a typed figure that has no source yet.
func (s *sheet) wantsSource(i int) bool {
	return s.p.Sheet[i].Kind == procedures.TakesQuantity && s.value(i) != "" && s.source[i].String() == ""
}

// open lists the fields that keep the job from being opened.
func (s *sheet) open() []string {
	out := append([]string(nil), s.others...)
	for i, f := range s.p.Sheet {
		switch fault, bad := s.faults[f.ID]; {
		case bad:
			out = append(out, fmt.Sprintf("%d %s: %s (%s)", i+1, f.Title, fault.What, fault.Hint))
		case s.missing[f.ID]:
			out = append(out, fmt.Sprintf("%d %s: not filled in", i+1, f.Title))
		case s.wantsSource(i):
			out = append(out, fmt.Sprintf("%d %s: where does the figure stand?", i+1, f.Title))
		}
	}
	return out
}

// entries are the lines of the sheet as the job is opened with them.
func (s *sheet) entries() []runner.Entry {
	var out []runner.Entry
	for i, f := range s.p.Sheet {
		if v, ok := s.values[f.ID]; ok {
			e := runner.Entry{ID: f.ID, Value: v.Value, From: v.From, Source: v.Source}
			if v.From == procedures.FromTyping {
				e.Source = s.source[i].String()
			}
			out = append(out, e)
		}
	}
	return out
}

func (s *sheet) page(m *model, w, h int) page {
	rows, missing := fit(s.head(m.look, w), h)
	enter := "next"
	switch {
	case s.ready():
		enter = "opens the job"
	case s.at == len(s.p.Sheet):
		enter = "goes there"
	}
	if offer := s.offer(); offer != "" {
		enter = "takes " + cut(offer, 20)
	}
	if part, last := s.whole(w, h-len(rows)); s.ready() {
		rows = append(rows, part...)
		if !last {
			enter = "next page"
		}
	} else {
		rows = append(rows, s.around(m.look, w, h-len(rows))...)
	}
	return page{rows: rows, keys: []hint{{"Enter", enter}, {"Up/Down", "line"}, {"Esc", "back"}, {"F1", "help"}, {"Ctrl+C", "leave"}}, missing: missing}
}

// head is the title, and the line at hand or what is still open.
func (s *sheet) head(look theme, w int) []block {
	mode := map[runner.Mode]string{runner.Practice: "PRACTICE: nothing in it counts as work done", runner.Live: "live work"}[s.mode]
	title := []string{fmt.Sprintf("JOB SHEET: %s", plaintext.Show(s.p.Title)), mode}
	blocks := []block{{rows: bolded(look, title, w)}, {rows: []string{""}, rank: 1}}
	if s.at < len(s.p.Sheet) {
		blocks = append(blocks, s.field(look, w)...)
	} else {
		text := []string{"Everything is filled in. Look at it once more."}
		if open := s.open(); len(open) > 0 {
			text = append([]string{"Not filled in yet:"}, open...)
		}
		blocks = append(blocks, block{rows: wrapped(text[:1], "", w)})
		if more := wrapped(text[1:], "  ", w); len(more) > 0 {
			blocks = append(blocks, block{rows: more, rank: 1, shorten: "  .."})
		}
	}
	return append(blocks, block{rows: []string{""}, rank: 2})
}

// field is the line at hand, with what it takes, what is proposed for it and what is wrong with it.
func (s *sheet) field(look theme, w int) []block {
	f := s.p.Sheet[s.at]
	title := fmt.Sprintf("%d of %d: %s", s.at+1, len(s.p.Sheet), f.Title)
	if f.Optional {
		title += " (may be left out)"
	}
	rows := bolded(look, []string{title}, w)
	if s.onSource {
		rows = append(rows, wrapped([]string{"Where does " + plaintext.Show(s.value(s.at)) + " stand? Document and page, or who measured it."}, "", w)...)
		return []block{{rows: append(rows, look.bold.Render("> "+s.source[s.at].show(w-2)))}}
	}
	rows = append(rows, wrapped([]string{f.Hint, s.bounds(f)}, "", w)...)
	if v, ok := s.values[f.ID]; ok && v.From == procedures.FromCard {
		rows = append(rows, wrapped([]string{"Now " + plaintext.Show(v.Value) + ", " + origin(v.From, v.Source) + ". Enter keeps it; another one can be given."}, "", w)...)
	}
	proposal := s.proposal(w)
	return append(append([]block{{rows: rows}}, proposal...), block{rows: s.answer(look, f, w)})
}

// answer is where the line at hand is filled in.
func (s *sheet) answer(look theme, f procedures.Field, w int) []string {
	var rows []string
	if f.Kind == procedures.TakesChoice {
		rows = append(rows, choices(look, f.Choices(s.card), index(f.Choices(s.card), s.typed[s.at].String()), w)...)
	} else {
		unit := ""
		if f.Unit != "" {
			unit = "   (" + f.Unit + ")"
		}
		rows = append(rows, look.bold.Render("> "+s.typed[s.at].show(w-2-len(unit))+unit))
	}
	if fault, ok := s.faults[f.ID]; ok {
		rows = append(rows, wrapped([]string{"NOT GOOD: " + plaintext.Show(fault.What) + " (" + plaintext.Show(fault.Hint) + ")"}, "", w)...)
	}
	return rows
}

func (s *sheet) bounds(f procedures.Field) string {
	name := func(b procedures.Bound) string {
		if b.Ref != "" {
			if v, ok := s.values[b.Ref]; ok {
				return v.Value
			}
			return words(b.Ref)
		}
		return b.Figure.String()
	}
	switch {
	case f.AtLeast.Set && f.AtMost.Set:
		return fmt.Sprintf("Between %s and %s.", name(f.AtLeast), name(f.AtMost))
	case f.AtMost.Set:
		return "At most " + name(f.AtMost) + "."
	case f.AtLeast.Set:
		return "At least " + name(f.AtLeast) + "."
	}
	return ""
}

func index(all []string, one string) int {
	for i, v := range all {
		if v == one {
			return i
		}
	}
	return -1
}

// stands is what a field holds, in words, with the source that is to be named.
func (s *sheet) stands(f procedures.Field, i int, source string) string {
	if v, ok := s.values[f.ID]; ok {
		from := origin(v.From, source)
		if s.proposed[f.ID].Differs(f, v.Value) {
			from += ", against the lines above"
		}
		return plaintext.Show(v.Value) + " (" + from + ")"
	}
	if _, bad := s.faults[f.ID]; bad {
		return "NOT GOOD: " + plaintext.Show(s.value(i))
	}
	switch n := s.behind(f); {
	case n > 0:
		return fmt.Sprintf("from the card, after line %d", n)
	case f.Optional && i >= s.at:
		return "may be left out"
	case f.Optional:
		return "left out"
	}
	return "to fill in"
}

// behind is the line that says which figure of the card a field takes, while that line is not filled in; 0 is none.
func (s *sheet) behind(f procedures.Field) int {
	_, rest, _ := strings.Cut(f.Card, "{")
	id, _, named := strings.Cut(rest, "}")
	if s.card == nil || !named {
		return 0
	}
	if _, filled := s.values[id]; filled {
		return 0
	}
	return 1 + slices.IndexFunc(s.p.Sheet, func(one procedures.Field) bool { return one.ID == id })
}

// around lists the fields around the one at hand.
func (s *sheet) around(look theme, w, h int) []string {
	var rows []string
	for i, f := range s.p.Sheet {
		mark := "  "
		if i == s.at {
			mark = "> "
		}
		row := valued(fmt.Sprintf("%s%2d %s", mark, i+1, f.Title), s.stands(f, i, ""), w)
		if i == s.at {
			row = look.bold.Render(row)
		}
		rows = append(rows, row)
	}
	if h <= 0 {
		return nil
	}
	from := max(0, min(s.at-h/2, len(rows)-h))
	return rows[from:min(len(rows), from+h)]
}

func (s *sheet) press(m *model, k tea.KeyMsg) tea.Cmd {
	name := k.String()
	leaving := s.leaving
	s.leaving = false
	switch name {
	case "esc":
		return s.back(m, leaving)
	case "up", "shift+tab":
		s.onSource, s.at, s.turned, s.choice = false, max(0, s.at-1), 0, unmarked
		return nil
	case "down", "tab":
		s.onSource, s.at, s.choice = false, min(len(s.p.Sheet), s.at+1), unmarked
		return nil
	case "pgup", "home":
		s.turned = 0
		return nil
	case "enter":
		if s.choice.halfTyped() {
			m.say("%s", s.choice.left(s.p.Sheet[s.at].Choices(s.card)))
			return nil
		}
		s.choice = unmarked
		return s.next(m)
	}
	if s.at == len(s.p.Sheet) {
		m.say("Enter goes on; Up goes back to a line.")
		return nil
	}
	s.entered(m, k)
	s.resolve()
	return nil
}

// back leaves a source for its figure, or the sheet; what was typed on it is thrown away by a second Esc alone.
func (s *sheet) back(m *model, leaving bool) tea.Cmd {
	switch {
	case s.onSource:
		s.onSource = false
	case !leaving && slices.ContainsFunc(s.typed, func(l line) bool { return l.String() != "" }):
		s.leaving = true
		m.say("Up goes back a line. Esc once more leaves the sheet, and what was typed on it is gone.")
	default:
		m.pop()
	}
	return nil
}

// entered takes a key into the field at hand.
func (s *sheet) entered(m *model, k tea.KeyMsg) {
	f := s.p.Sheet[s.at]
	switch {
	case s.onSource:
		s.source[s.at].press(k)
	case f.Kind == procedures.TakesChoice && k.String() == "backspace":
		s.typed[s.at], s.choice = line{}, unmarked
	case f.Kind == procedures.TakesChoice:
		s.chosen(m, k, f.Choices(s.card))
	case !s.typed[s.at].press(k):
		m.say("Type the answer, then Enter.")
	}
}

// chosen takes a key into a field that is chosen.
func (s *sheet) chosen(m *model, k tea.KeyMsg, all []string) {
	s.choice.at = index(all, s.typed[s.at].String())
	if !m.marked(&s.choice, k, all) {
		m.say(pressNumber)
		return
	}
	if s.typed[s.at] = (line{}); s.choice.at >= 0 {
		s.typed[s.at] = typedLine(all[s.choice.at])
	}
}

// next goes to the next field that wants something, or opens the job.
func (s *sheet) next(m *model) tea.Cmd {
	if s.at == len(s.p.Sheet) {
		if len(s.open()) == 0 {
			if s.turn(m) {
				return nil
			}
			return m.begin(s)
		}
		for i, f := range s.p.Sheet {
			_, bad := s.faults[f.ID]
			if bad || s.missing[f.ID] || s.wantsSource(i) {
				s.at, s.onSource = i, !bad && s.wantsSource(i)
				break
			}
		}
		return nil
	}
	s.take()
	f := s.p.Sheet[s.at]
	_, bad := s.faults[f.ID]
	switch {
	case s.missing[f.ID] && f.Kind == procedures.TakesChoice:
		m.say("%s: press the number of an answer, then Enter.", f.Title)
	case s.missing[f.ID]:
		m.say("%s: this line is needed. Esc goes back.", f.Title)
	case bad:
		m.say("Mend this line first, or go on to another with Down and come back.") // what is wrong stands under it
	case s.wantsSource(s.at) && !s.onSource:
		s.onSource = true
	case s.wantsSource(s.at):
		m.say("Say where the figure stands: it is signed for with the rest.")
	default:
		s.onSource = false
		for s.at++; s.at < len(s.p.Sheet) && s.settled(s.at); s.at++ {
		}
	}
	return nil
}

// settled says whether a field has a good value and nothing is asked about it: Enter goes by it, Up and Down do not.
func (s *sheet) settled(i int) bool {
	_, ok := s.values[s.p.Sheet[i].ID]
	return ok && !s.wantsSource(i)
}
