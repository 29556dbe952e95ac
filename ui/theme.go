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
	pair := func(ink, ground string) lipgloss.Style {
		return r.NewStyle().Bold(true).Foreground(lipgloss.Color(ink)).Background(lipgloss.Color(ground))
	}
	// The colours that ANSI Z535.1 gives the words, as near as a terminal comes.
	t.words[procedures.DangerWord] = pair("#ffffff", "#c8102e")
	t.words[procedures.Warn] = pair("#000000", "#ff8200")
	t.words[procedures.Caution] = pair("#000000", "#ffd100")
	t.words[procedures.Notice] = pair("#ffffff", "#0057b8")
	return t
}

// state draws what fell in reverse: the terminal is never asked for its background, and reverse reads on light and dark.
func (t theme) state(s runner.SafeguardState) lipgloss.Style {
	if s == runner.Lapsed || s == runner.Lost {
		return t.bad
	}
	return t.plain
}
