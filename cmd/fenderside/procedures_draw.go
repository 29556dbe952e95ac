package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"fenderside/procedures/drawing"
)

func proceduresDraw(w *world) *cobra.Command {
	var dot bool
	var width int
	c := &cobra.Command{
		Use: "draw NAME|FILE", Short: "Draw a procedure with its gates, branches and holds", Args: exactlyOne("a procedure by its name or its file (see: fenderside procedures list)"),
		Long: `Draw a procedure as lines of text: the main line runs down, a gate is a bar across it, branches and jumps are named where
they leave and where they arrive. Below stand the pinned work, which gate holds which steps, and the ends. With --dot the
same graph is printed in the DOT language, for Graphviz.

Exit status: 0 drawn; 1 the file has a fault; 2 bad usage, or no procedure of that name; 3 could not read or write.`,
		RunE:              action(func(args []string) error { return drawProcedure(w, args[0], dot, width) }),
		ValidArgsFunction: inTurn(procedureNames(w)),
	}
	c.Flags().BoolVar(&dot, "dot", false, "print the graph in the DOT language")
	c.Flags().IntVar(&width, "width", 0, "draw for a page of this many `columns`, 60 at least; without it as wide as the terminal, or 80")
	return c
}

func drawProcedure(w *world, name string, dot bool, width int) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	p, err := h.Procedure(name)
	if err != nil {
		return err
	}
	if width != 0 && width < drawing.Narrowest {
		return misuse{fmt.Errorf("draw for %d columns: give --width %d or more", width, drawing.Narrowest)}
	}
	lines := drawing.Terminal(p, columns(width))
	if dot {
		lines = strings.Split(strings.TrimSuffix(drawing.DOT(p), "\n"), "\n")
	}
	for _, l := range lines {
		w.say("%s", l)
	}
	return nil
}

// columns is the width asked for, or that of the terminal, or 80.
func columns(asked int) int {
	if asked > 0 {
		return asked
	}
	if width, _, err := term.GetSize(int(os.Stdout.Fd())); err == nil && width > 0 {
		return width
	}
	return 80
}
