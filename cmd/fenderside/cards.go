package main

import (
	"github.com/spf13/cobra"

	"fenderside/procedures"
	"fenderside/runner/home"
	"fenderside/ui/picture"
)

// cardsCommand holds the commands about vehicle cards.
func cardsCommand(w *world) *cobra.Command {
	return group("cards", "List, show, check and write vehicle cards", cardsList(w), cardsShow(w), cardsCheck(w), cardsNew(w))
}

type cardLine struct {
	Name          string `json:"name"`
	Title         string `json:"title"`
	Demonstration bool   `json:"demonstration"`
	Source        string `json:"source"`
	File          string `json:"file"`
	Digest        string `json:"sha256"`
}

func cardsList(w *world) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use: "list", Short: "List the vehicle cards", Args: none,
		Long: `List the vehicle cards: the demonstration cards that ship with the program, and your own.
A demonstration card makes practice jobs, never live ones.

Exit status: 0 listed; 1 a file of yours is faulty (told on standard error); 2 bad usage; 3 could not read or write.`,
		RunE: action(func([]string) error { return listCards(w, asJSON) }),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON for a program to read")
	return c
}

func listCards(w *world, asJSON bool) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	cards, problems := h.Cards()
	lines := make([]cardLine, 0, len(cards))
	for _, c := range cards {
		lines = append(lines, cardLine{c.Name, c.Title, c.Demonstration, c.Source, c.File, c.Digest})
	}
	if asJSON {
		if err := w.sayJSON(lines); err != nil {
			return err
		}
		return toldOf(w, problems)
	}
	for _, l := range lines {
		kind := "your own"
		if l.Demonstration {
			kind = "demonstration"
		}
		w.say("%s  %s  %s", l.Name, kind, l.Title)
	}
	return toldOf(w, problems)
}

func cardsShow(w *world) *cobra.Command {
	return &cobra.Command{
		Use: "show NAME|FILE", Short: "Show every fact of a vehicle card", Args: exactlyOne("a card by its name or its file (see: fenderside cards list)"),
		Long: `Show every fact of a vehicle card, by its path, with where it comes from where that is not the card's own source. Below them
the engine is drawn as seen from above, and then said in words.

Exit status: 0 shown; 1 the file has a fault; 2 bad usage, or no card of that name; 3 could not read or write.`,
		RunE:              action(func(args []string) error { return showCard(w, args[0]) }),
		ValidArgsFunction: inTurn(cardNames(w)),
	}
}

func showCard(w *world, name string) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	c, err := h.Card(name)
	if err != nil {
		return err
	}
	w.say("%s: %s", c.Name, c.Title)
	if c.Demonstration {
		w.say("demonstration: an invented vehicle, for practice only")
	}
	w.say("source: %s", c.Source)
	for _, path := range c.Paths() {
		sayFact(w, c, path)
	}
	sayEngine(w, c)
	return nil
}

// sayEngine draws the engine, and says the same in words.
func sayEngine(w *world, c *procedures.Card) {
	p := picture.Engine(picture.FactsOf(c), nil, picture.Form{Width: columns(0)})
	w.say("")
	for _, row := range p.Rows {
		w.say("%s", row)
	}
	w.say("")
	for _, sentence := range p.Words {
		w.say("%s", sentence)
	}
}

func sayFact(w *world, c *procedures.Card, path string) {
	fact, ok := c.Fact(path)
	if !ok {
		return
	}
	if fact.Source != "" && fact.Source != c.Source {
		w.say("%s: %s  (source: %s)", path, fact.Text, fact.Source)
		return
	}
	w.say("%s: %s", path, fact.Text)
}

func cardsCheck(w *world) *cobra.Command {
	return &cobra.Command{
		Use: "check FILE...", Short: "Read vehicle cards strictly and tell every fault", Args: atLeastOne("files"),
		Long: `Read vehicle cards strictly. Every fault is printed, one a line: file:line:column: what is wrong (what to do).

Exit status: 0 every file is sound; 1 a file has a fault; 2 bad usage; 3 a file could not be read.`,
		RunE: action(func(files []string) error {
			return checkFiles(w, files, func(file string) (string, error) {
				c, err := home.ReadCard(file)
				if err != nil {
					return "", err
				}
				return "card " + c.Name, nil
			})
		}),
	}
}
