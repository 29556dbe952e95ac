package plain

// The rule kept here: every figure on the job sheet is shown with where it comes from, and a figure that is typed is not
// taken without that.

import (
	"errors"
	"fmt"
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/session"
	"fenderside/ui/reading"
)

// sheet is the job sheet while it is filled.
type sheet struct {
	p      *procedures.Procedure
	card   *procedures.Card
	typed  map[string]string
	source map[string]string
	passed map[string]bool // optional fields left out
	cited  string          // where the card's latest figure stands, as it was said
}

// newSource is where a figure of the card stands, where the figure before it stood elsewhere.
func (sh *sheet) newSource(source string) string {
	if source == sh.cited {
		return ""
	}
	sh.cited = source
	return " (" + source + ")"
}

// fillAndOpen fills the sheet and opens the job.
func (d *desk) fillAndOpen(st Start) error {
	mode := runner.Live
	if st.Practice || st.Card != nil && st.Card.Demonstration {
		mode = runner.Practice
	}
	if mode == runner.Live && !d.opts.Terminal {
		return fmt.Errorf("open a live job: live work needs a terminal on standard input: run this at a terminal, or start it with --practice")
	}
	d.gap()
	d.say("Job sheet for %s, %s, revision %d.", st.Procedure.Title, st.Procedure.Name, st.Procedure.Revision)
	d.say("%s", modeWords(mode, st.Card))
	sh := &sheet{p: st.Procedure, card: st.Card, typed: map[string]string{}, source: map[string]string{}, passed: map[string]bool{}}
	for _, f := range st.Procedure.Sheet {
		if err := d.fill(sh, f); err != nil {
			return err
		}
	}
	if err := d.agree(sh); err != nil {
		return err
	}
	o, err := d.home.Opening(st.Procedure, st.Card, sh.entries(), mode, d.opts.Terminal, d.me.Person, st.After)
	if err != nil {
		return err
	}
	d.s, err = session.Start(d.store, o, d.opts.Clock())
	return err
}

func modeWords(m runner.Mode, card *procedures.Card) string {
	switch {
	case m == runner.Live:
		return "This is live work on a real vehicle."
	case card != nil && card.Demonstration:
		return "The vehicle is a demonstration, so this is a practice job. It never passes for live work."
	}
	return "This is a practice job. It never passes for live work."
}

// value is what the card and the typing give a field; err says why a value does not fit.
func (sh *sheet) value(id string) (v procedures.SheetValue, ok bool, err error) {
	values, _, faults := procedures.Resolve(sh.p, sh.card, sh.typed)
	for _, fault := range faults {
		var at procedures.SheetFault
		if errors.As(fault, &at) && at.Field == id {
			err = at
		}
	}
	v, ok = values[id]
	return v, ok, err
}

// fill fills one field: from the card where it gives the field a value that fits, else by asking.
func (d *desk) fill(sh *sheet, f procedures.Field) error {
	v, ok, fault := sh.value(f.ID)
	switch {
	case ok:
		d.say("%s: %s, from the card%s.", f.Title, v.Value, sh.newSource(v.Source))
		d.sayAgainst(sh, f)
		return nil
	case fault != nil:
		d.say("The card's value does not fit. %v", fault)
	}
	return d.askField(sh, f)
}

// askField asks for a field until its value fits.
func (d *desk) askField(sh *sheet, f procedures.Field) error {
	for {
		line, err := d.ask(fieldPrompt(sh, f)...)
		if err != nil {
			return err
		}
		if line == "" {
			line = sh.proposed(f).Value
		}
		if line == "" && f.Optional {
			sh.passed[f.ID] = true
			delete(sh.typed, f.ID)
			return nil
		}
		if line = chosen(f.Choices(sh.card), line); line == "" {
			d.say("A value is needed.")
			continue
		}
		old, had := sh.typed[f.ID]
		sh.typed[f.ID] = reading.WithUnit(line, f.Kind, f.Unit)
		if _, ok, fault := sh.value(f.ID); ok && fault == nil {
			d.sayAgainst(sh, f)
			return d.askSource(sh, f)
		} else if fault != nil {
			d.say("Not taken. %v", fault)
		}
		delete(sh.typed, f.ID)
		if had {
			sh.typed[f.ID] = old
		}
	}
}

func chosen(list []string, line string) string {
	if i, ok := numbered(line, list); ok {
		return list[i]
	}
	return line
}

func fieldPrompt(sh *sheet, f procedures.Field) []string {
	out := []string{f.Title + "." + fieldForm(sh, f)}
	if f.Hint != "" {
		out = append(out, "Hint: "+f.Hint)
	}
	out = append(out, sh.proposal(f)...)
	out = append(out, listed(f.Choices(sh.card))...)
	if f.Optional {
		out = append(out, "It may be left out: press Enter.")
	}
	return out
}

// fieldForm says in which form a field wants its value.
func fieldForm(sh *sheet, f procedures.Field) string {
	switch f.Kind {
	case procedures.TakesQuantity:
		form := " Type a figure"
		if f.Unit != "" {
			form += " in " + f.Unit + ", or with its unit"
		}
		return form + bounds(sh.bound(f.AtLeast), sh.bound(f.AtMost)) + "."
	case procedures.TakesDate:
		return " Type a date as year-month-day, such as 2031-04-30."
	case procedures.TakesChoice:
		return " Choose one:"
	}
	return " Type it in words."
}

// bounds words the limits of a figure.
func bounds(low, high string) string {
	switch {
	case low != "" && high != "":
		return fmt.Sprintf(", from %s to %s", low, high)
	case low != "":
		return ", at least " + low
	case high != "":
		return ", at most " + high
	}
	return ""
}

func (sh *sheet) bound(b procedures.Bound) string {
	switch {
	case !b.Set:
		return ""
	case b.Ref == "":
		return b.Figure.String()
	}
	v, _, _ := sh.value(b.Ref)
	return v.Value
}

// askSource asks where a typed figure comes from.
func (d *desk) askSource(sh *sheet, f procedures.Field) error {
	if f.Kind != procedures.TakesQuantity {
		return nil
	}
	for {
		from, err := d.askWords("", "Where does this figure come from? Type the document and page, or what was measured.")
		if err != nil {
			return err
		}
		if err := plaintext.Check(from); err != nil {
			d.say("Not taken: %v.", err)
		} else if len([]rune(from)) > procedures.MaxTyped {
			d.say("Not taken: it is longer than %d characters.", procedures.MaxTyped)
		} else {
			sh.source[f.ID] = from
			return nil
		}
	}
}

// agree reads the sheet back and lets fields be changed until it is agreed to.
func (d *desk) agree(sh *sheet) error {
	for changed := true; ; {
		if changed {
			d.readSheet(sh)
		}
		line, err := d.ask("To open the job on this sheet, type: open", "To change a line, type its number.")
		if err != nil {
			return err
		}
		_, missing, faults := procedures.Resolve(sh.p, sh.card, sh.typed)
		i, ok := lineNumber(line, len(sh.p.Sheet))
		changed = ok
		switch {
		case ok:
			if err := d.askField(sh, sh.p.Sheet[i]); err != nil {
				return err
			}
		case strings.EqualFold(line, "open") && len(missing)+len(faults) == 0:
			return nil
		case strings.EqualFold(line, "open"):
			d.notAgreed(missing, faults)
		default:
			d.say("“%s” is neither open nor a line's number.", line)
		}
	}
}

// readSheet reads the sheet back, with where the card's figures stand said once for those in a row that stand at one place.
func (d *desk) readSheet(sh *sheet) {
	d.gap()
	d.say("The job sheet reads:")
	sh.cited = ""
	for i, f := range sh.p.Sheet {
		d.say("%d: %s: %s", i+1, f.Title, sh.words(f))
		d.sayAgainst(sh, f)
	}
}

func (d *desk) notAgreed(missing []procedures.Field, faults []error) {
	for _, f := range missing {
		d.say("Not opened: %s is missing.", f.Title)
	}
	for _, f := range faults {
		d.say("Not opened: %v", f)
	}
}

func (sh *sheet) words(f procedures.Field) string {
	v, ok, err := sh.value(f.ID)
	switch {
	case err != nil:
		return "does not fit"
	case !ok:
		return "left out"
	case v.From == procedures.FromCard:
		return v.Value + ", from the card" + sh.newSource(v.Source)
	case sh.source[f.ID] != "":
		return fmt.Sprintf("%s, typed, from %s", v.Value, sh.source[f.ID])
	}
	return v.Value + ", typed"
}

// entries is the sheet as the opening takes it.
func (sh *sheet) entries() []runner.Entry {
	values, _, _ := procedures.Resolve(sh.p, sh.card, sh.typed)
	var out []runner.Entry
	for _, f := range sh.p.Sheet {
		if v, ok := values[f.ID]; ok {
			e := runner.Entry{ID: f.ID, Value: v.Value, From: v.From, Source: v.Source}
			if v.From == procedures.FromTyping {
				e.Source = sh.source[f.ID]
			}
			out = append(out, e)
		}
	}
	return out
}

func lineNumber(line string, n int) (int, bool) {
	for i := range n {
		if line == fmt.Sprint(i+1) {
			return i, true
		}
	}
	return 0, false
}
