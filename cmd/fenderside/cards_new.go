package main

import (
	"os"

	"github.com/spf13/cobra"

	"fenderside/procedures/newcard"
	"fenderside/procedures/skeleton"
	"fenderside/runner/home"
	"fenderside/ui/plain"
)

func cardsNew(w *world) *cobra.Command {
	var form bool
	c := &cobra.Command{
		Use: "new NAME", Short: "Write a card for your own vehicle", Args: exactlyOne("a name for the card"),
		Long: `Write a vehicle card NAME.yaml into your cards folder, from the vehicle's own service information. Each figure is asked for
in plain lines, with the document and page where it stands, and each answer is read at once by the rules of a card. What
the papers do not say may be left out. No card is written before the whole of it was read back and agreed to. Whoever leaves
in the middle goes on there with the same command, or from the board.

With --form, the beginning of a card is written instead, every field explained, to be made your vehicle's own in an editor.
Its figures are invented, so it is a demonstration until you write otherwise. What is there already is never written over.

Exit status: 0 written; 1 there is a card or file of that name, or you left; 2 bad usage, or no name for a card; 3 it could
not be written.`,
		RunE: action(func(args []string) error { return newCard(w, args[0], form) }),
	}
	c.Flags().BoolVar(&form, "form", false, "write a commented form to fill in with an editor, and ask nothing")
	return c
}

func newCard(w *world, name string, form bool) error {
	if _, err := newcard.Begin(name, nil); err != nil {
		return misuse{err}
	}
	h, err := w.home()
	if err != nil {
		return err
	}
	if form {
		return newForm(w, h, name)
	}
	return plain.NewCard(h, name, w.in, os.Stdout)
}

// newForm writes the beginning of a card.
func newForm(w *world, h home.Home, name string) error {
	text, err := skeleton.Card(name)
	if err != nil {
		return misuse{err}
	}
	card, err := h.KeepCard(text)
	if err != nil {
		return err
	}
	w.say("%s: written", card.File)
	w.remark("fill it in from your vehicle's service information, and check it with: fenderside cards check " + card.File)
	return nil
}
