package ui

// The rule of this file: the title, the safeguards and the pinned steps are always on top, the message and the keys always
// at the bottom, and the body gets what is left. View changes nothing.

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"fenderside/procedures/plaintext"
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
// Where something is folded under each, a low window has the strip under which it is least. Where even the least strip does
// not leave the body its room, what is said above the keys is cut to a row and then left out.
func (m *model) cast(w, h int) cast {
	var c cast
	said := m.said(w)
	set := func(level stripLevel, rows int) bool {
		c.top, c.said = m.header(w, level), said[max(0, len(said)-rows):]
		if rows == 1 && len(said) > 1 {
			c.said = []string{m.look.bold.Render(cut(m.words()+" ..", w))}
		}
		if level < leastStrip && len(c.top) > highest(h) {
			return false
		}
		c.height = h - len(c.top) - len(c.said) - 1
		c.body = m.body(w, c.height)
		return c.body.missing == 0 || m.work == nil
	}
	best, folded, tried := stripLevel(-1), 0, 0
	for level := fullStrip; level <= rowStrip; level++ {
		if best >= 0 && len(m.header(w, level)) >= tried {
			continue // it would leave the body no more room
		}
		if !set(level, len(said)) {
			continue
		}
		tried = len(c.top)
		if c.body.folded == 0 {
			return c
		}
		if best < 0 || h < roomy && level <= leastStrip && c.body.folded < folded {
			best, folded = level, c.body.folded
		}
	}
	if best >= 0 {
		set(best, len(said))
		return c
	}
	if !set(rowStrip, 1) {
		set(rowStrip, 0)
	}
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
		text := fmt.Sprintf("%s: running %s, %s to go", p.Step.Title, inWords(p.For), inWords(p.Left))
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

// said is what stands above the keys: a line where there is room for one, and the message.
func (m *model) said(w int) []string {
	text := m.words()
	var rows []string
	if m.height >= roomy {
		rows = append(rows, strings.Repeat("-", w))
	}
	said, most := wrap(text, w), 3
	if m.work == nil {
		most = 6 // there is no step that needs the room
	}
	if len(said) > most {
		said = append(said[:most-1], cut(said[most-1]+" ..", w))
	}
	if len(said) == 0 {
		said = []string{""}
	}
	for _, r := range said {
		rows = append(rows, m.look.bold.Render(r))
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
