package ui

// The rule of this file: the title, the safeguards and the pinned steps are always on top, the message and the keys always
// at the bottom, and the body gets what is left. View changes nothing.

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
)

// View draws the screen.
func (m *model) View() string {
	w, h := m.width, m.height
	if w < leastWidth || h < leastHeight {
		return tooSmall(w, h, fmt.Sprintf("This window is %d by %d. Make it at least %d wide and %d high.", w, h, leastWidth, leastHeight), m.stopHint())
	}
	rows, missing := m.frame(w, h)
	if missing > 0 {
		return tooSmall(w, h, fmt.Sprintf("The window is too small for what this step must show, its warning first. Make it %s higher, or wider.", counted(missing, "row")), m.stopHint())
	}
	return strings.Join(rows, "\n")
}

func (m *model) stopHint() string {
	if m.work == nil {
		return "Ctrl+C leaves."
	}
	return "F4 stops work. Ctrl+C leaves the job, which stays open."
}

func tooSmall(w, h int, what, more string) string {
	rows := append([]string{"WINDOW TOO SMALL"}, wrap(what, max(1, w))...)
	rows = append(rows, wrap(more, max(1, w))...)
	for i := range rows {
		rows[i] = cut(rows[i], w)
	}
	return strings.Join(rows[:max(0, min(len(rows), h))], "\n")
}

// cast is a screen in its parts: the top, the body, how many rows the body was given, and what stands above the keys.
type cast struct {
	top, said []string
	body      page
	height    int
}

// cast sets a screen with the fullest safeguard strip that leaves the body its room and folds nothing of how the step is done.
// Before it names only what matters, the line and the empty row above the keys are given up. Where something is folded all the
// same, it is set so that it is least. Where even the least strip does not leave the body its room, what is said above the keys
// is cut to a row and then left out.
func (m *model) cast(w, h int) cast {
	said := m.said(w)
	best, found := cast{}, false
	for level, tried := fullStrip, 0; level <= rowStrip; level++ {
		high := len(m.header(w, level))
		if level < leastStrip && high > highest(h) || found && (high >= tried || level > leastStrip) {
			continue // it leaves the body too little room, or no more than before; or it names too little
		}
		tried = high
		for _, bottom := range [][]string{said, m.told(w)} {
			c := m.set(w, h, level, bottom)
			fits := c.body.missing == 0 || m.work == nil
			if fits && c.body.folded+c.body.unread == 0 {
				return c
			}
			if fits && (!found || c.body.wanting(h) < best.body.wanting(h)) {
				best, found = c, true
			}
			if fits && c.body.folded == 0 || level == fullStrip {
				break // the rest of a text stands on its other pages; the strip says less before the screen is crowded
			}
		}
	}
	if found {
		return best
	}
	short := said[max(0, len(said)-1):]
	if len(said) > 1 {
		short = []string{m.look.bold.Render(cutWords(m.words()+" ..", w))}
	}
	if c := m.set(w, h, rowStrip, short); c.body.missing == 0 {
		return c
	}
	return m.set(w, h, rowStrip, nil)
}

// wanting is how many rows a low window is to make room for. A text of pages gets the room of the strip only in the lowest.
func (p page) wanting(h int) int {
	if h < roomy {
		return p.folded + p.unread
	}
	return p.folded
}

// set is a screen with that strip on top and these rows above the keys.
func (m *model) set(w, h int, level stripLevel, said []string) cast {
	c := cast{top: m.header(w, level), said: said}
	c.height = h - len(c.top) - len(c.said) - 1
	c.body = m.body(w, c.height)
	return c
}

// frame sets the body between top and bottom.
func (m *model) frame(w, h int) (rows []string, missing int) {
	c := m.cast(w, h)
	if c.body.missing > 0 {
		return nil, c.body.missing
	}
	bottom := append(c.said, keyRow(c.body.keys, w))
	rows = append(c.top, c.body.rows...)
	room := h - len(bottom)
	if len(rows) > room {
		rows = rows[:room]
	}
	for len(rows) < room {
		rows = append(rows, "")
	}
	rows = append(rows, bottom...)
	for i := range rows {
		if len(rows[i]) > w {
			rows[i] = ansi.Truncate(rows[i], w, "")
		}
	}
	return rows, 0
}

func (m *model) body(w, h int) page {
	if m.secret != nil {
		return m.secret.page(m, w, h)
	}
	return m.top().page(m, w, h)
}

// header is the title row, the safeguards and the pinned steps that run.
func (m *model) header(w int, level stripLevel) []string {
	if m.work == nil {
		return []string{m.look.title.Render(fill(" Fenderside", w))}
	}
	rows := []string{m.look.title.Render(fill(m.work.titleRow(w), w))}
	rows = append(rows, m.work.strip(m.look, w, level)...)
	for _, p := range m.work.state.Pins(m.work.now) {
		text := fmt.Sprintf("%s: running %s, %s to go", p.Step.Title, runner.InWords(p.For), runner.InWords(p.Left))
		if p.Left == 0 {
			text = fmt.Sprintf("%s: its time is over, F9 completes it", p.Step.Title)
		}
		for _, r := range wrap("BESIDE THIS: "+text, w) {
			rows = append(rows, m.look.bold.Render(r))
		}
	}
	return append(rows, strings.Repeat("-", w))
}

// titleRow is the procedure, the job and the mode; the mode is never cut off. Where the title does not fit whole, the revision
// goes first.
func (w *work) titleRow(width int) string {
	o := w.job.Opening
	mode, job := modeWords[o.Mode], plaintext.Show(o.Job)
	ends := []string{
		fmt.Sprintf(", revision %d | job %s | %s ", o.Procedure.Revision, job, mode),
		fmt.Sprintf(", rev %d | %s | %s ", o.Procedure.Revision, job, mode),
		fmt.Sprintf(" | %s | %s ", job, mode),
	}
	for _, end := range ends {
		if title := safe(w.job.Procedure.Title); ansi.StringWidth(title) < width-len(end) {
			return " " + title + end
		}
	}
	return " " + cutWords(w.job.Procedure.Title, width-len(ends[2])-1) + ends[2]
}

// words are what is to be said above the keys.
func (m *model) words() string {
	if m.saving() {
		return "Saving... " + m.message
	}
	return m.message
}

// said is what stands above the keys: a line where there is room for one, and the message, or an empty row for it.
func (m *model) said(w int) []string {
	var rows []string
	if m.height >= roomy {
		rows = append(rows, strings.Repeat("-", w))
	}
	if told := m.told(w); len(told) > 0 {
		return append(rows, told...)
	}
	return append(rows, "")
}

// told is what is to be said, in as many rows as it may have.
func (m *model) told(w int) []string {
	rows, most := wrap(m.words(), w), 4
	if m.work == nil {
		most = 6 // there is no step that needs the room
	}
	if len(rows) > most {
		rows = append(rows[:most-1], cutWords(rows[most-1]+" ..", w))
	}
	for i, r := range rows {
		rows[i] = m.look.bold.Render(r)
	}
	return rows
}

// saving says whether something is on its way to the disk. It is not while a passphrase is waited for.
func (m *model) saving() bool {
	return m.secret == nil && (m.busy || m.work != nil && m.work.saving)
}

// roomy is the height from which a line is drawn above the message.
const roomy = 20

// highest is how many rows the top may take while it can say less.
func highest(h int) int { return 2 + (h+4)/5 }
