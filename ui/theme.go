package ui

// The rule of this file: a style adds to words and never stands for them. Without colour everything still reads.

import (
	"io"
	"os"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"fenderside/procedures"
	"fenderside/runner"
)

// theme is the styles of every screen, drawn through a renderer of their own.
type theme struct {
	plain, bold, title, bad lipgloss.Style
	words                   map[procedures.SignalWord]lipgloss.Style
}

func newTheme(out io.Writer, noColor bool) theme {
	r := lipgloss.NewRenderer(out)
	r.SetHasDarkBackground(true) // so that the terminal is not asked
	if noColor && os.Getenv("TERM") != "dumb" {
		r.SetColorProfile(termenv.ANSI) // for bold and reverse
	}
	return themeOf(r, !noColor)
}

func themeOf(r *lipgloss.Renderer, colour bool) theme {
	bold := r.NewStyle().Bold(true)
	t := theme{plain: r.NewStyle(), bold: bold, title: bold.Reverse(true), bad: bold.Reverse(true), words: map[procedures.SignalWord]lipgloss.Style{}}
	for _, w := range []procedures.SignalWord{procedures.DangerWord, procedures.Warn, procedures.Caution, procedures.Notice} {
		t.words[w] = bold.Reverse(true)
	}
	if !colour {
		return t
	}
	thick := r.ColorProfile() != termenv.ANSI // of sixteen colours, many terminals draw a bold black as grey
	pair := func(ink, ground lipgloss.CompleteColor) lipgloss.Style {
		return r.NewStyle().Bold(thick).Foreground(ink).Background(ground)
	}
	black, white := lipgloss.CompleteColor{TrueColor: "#000000", ANSI256: "16", ANSI: "0"}, lipgloss.CompleteColor{TrueColor: "#ffffff", ANSI256: "231", ANSI: "15"}
	// The colours that ANSI Z535.1 gives the words, as near as a terminal comes. Of sixteen, white goes on the darker red and
	// blue, for it does not read on the lighter ones; there is no orange among them, and its brown differs from one to the next.
	t.words[procedures.DangerWord] = pair(white, lipgloss.CompleteColor{TrueColor: "#c8102e", ANSI256: "160", ANSI: "1"})
	t.words[procedures.Warn] = pair(black, lipgloss.CompleteColor{TrueColor: "#ff8200", ANSI256: "208", ANSI: "9"})
	t.words[procedures.Caution] = pair(black, lipgloss.CompleteColor{TrueColor: "#ffd100", ANSI256: "220", ANSI: "11"})
	t.words[procedures.Notice] = pair(white, lipgloss.CompleteColor{TrueColor: "#0057b8", ANSI256: "25", ANSI: "4"})
	return t
}

// state draws what fell in reverse: the terminal is never asked for its background, and reverse reads on light and dark.
func (t theme) state(s runner.SafeguardState) lipgloss.Style {
	if s == runner.Lapsed || s == runner.Lost {
		return t.bad
	}
	return t.plain
}
