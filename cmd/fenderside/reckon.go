package main

// The rule kept here: reckon runs the very checks that a procedure names, with nothing worked out a second time.

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fenderside/checks"
	"fenderside/procedures"
)

const reckonLong = `Work out one of the trade's computations, with its workings and where its formulas and limits are from. The same checks
hold the gates of a procedure. Without a topic, every topic is listed with what it takes; with a topic alone, its inputs are
told one by one.

Values carry their unit: 45Nm, "33 lbf·ft", 43°C. A series is values with their times: surface=61°C@0min,52°C@5min. A file
is given by its path; - is standard input. "today" is the date of this machine where it is left out. --card fills what a
vehicle card holds and is not given. --draw draws the answer above the workings, where there is a picture of it.

It is arithmetic on what you give it. Where the vehicle maker's service information says otherwise, that stands.

Exit status: 0 worked out, and passed where it judges; 1 a judgement that is not passed, or a card or file with values that
nothing can be worked out from; 2 bad usage: no such topic or input, or values that cannot be read or cannot be; 3 a file
could not be read.`

// asked is what the command line of reckon asks for.
type asked struct {
	topic  string
	pairs  []string
	card   string
	asJSON bool
	draw   bool
	lines  bool
}

func reckonCommand(w *world) *cobra.Command {
	var a asked
	c := &cobra.Command{
		Use: "reckon [TOPIC] [INPUT=VALUE]...", Short: "Work out the trade's arithmetic, with workings", Long: reckonLong,
		Example: "  fenderside reckon torque-setting wanted=45Nm wrench=300mm adapter=30mm angle=0°",
		RunE: action(func(args []string) error {
			if len(args) > 0 {
				a.topic, a.pairs = args[0], args[1:]
			}
			return reckon(w, a)
		}),
		ValidArgsFunction: reckonNames,
	}
	c.Flags().BoolVar(&a.asJSON, "json", false, "print JSON for a program to read")
	c.Flags().BoolVar(&a.draw, "draw", false, "draw the answer too, as wide as the terminal, where the topic has a picture")
	c.Flags().BoolVar(&a.lines, "lines", false, "with --draw: drawn lines in place of | - and +; some terminals show them too wide")
	c.Flags().StringVar(&a.card, "card", "", "take the facts of this vehicle `card` (a name or a file)")
	_ = c.RegisterFlagCompletionFunc("card", cardNames(w))
	return c
}

func reckon(w *world, a asked) error {
	if a.topic == "" {
		return listTopics(w, a.asJSON)
	}
	check, ok := checks.Find(a.topic)
	if !ok {
		return misuse{fmt.Errorf("unknown topic %q: %s", a.topic, procedures.DidYouMean(a.topic, topicNames()))}
	}
	if len(a.pairs) == 0 && a.card == "" {
		return tellTopic(w, check, a.asJSON)
	}
	args, err := gather(w, check, a)
	if err != nil {
		return err
	}
	result, err := run(w, check, args)
	if err != nil && a.card == "" && !anyFile(check, args) {
		return misuse{err} // everything it judged was typed
	}
	if err != nil {
		return err
	}
	if a.draw && !a.asJSON {
		if err := drawAnswer(w, check, args, result, a); err != nil {
			return err
		}
	}
	return answer(w, check, args, result, a.asJSON)
}

// run works it out. A log of hours takes a while.
func run(w *world, check checks.Check, args checks.Arguments) (checks.Result, error) {
	var result checks.Result
	var failed error
	if ended := w.await("reckon "+check.Name, func(far func(string)) {
		far("at work")
		result, failed = check.Run(args)
	}); ended != nil {
		return checks.Result{}, ended
	}
	return result, failed
}

// anyFile says whether a file was given: its faults are none of how the command was called.
func anyFile(c checks.Check, args checks.Arguments) bool {
	return slices.ContainsFunc(c.Inputs, func(in checks.Input) bool {
		_, given := args[in.Name]
		return given && in.Kind == checks.KindData
	})
}

func topicNames() []string {
	var names []string
	for _, c := range checks.All() {
		names = append(names, c.Name)
	}
	return names
}

// reckonNames completes a topic, then the inputs that were not given yet, then what an input can be.
func reckonNames(_ *cobra.Command, args []string, typed string) (names []string, _ cobra.ShellCompDirective) {
	if len(args) == 0 {
		for _, c := range checks.All() {
			names = append(names, cobra.CompletionWithDesc(c.Name, c.Title))
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	}
	check, _ := checks.Find(args[0])
	input, _, valued := strings.Cut(typed, "=")
	for _, in := range check.Inputs {
		given := slices.ContainsFunc(args[1:], func(pair string) bool { return strings.HasPrefix(pair, in.Name+"=") })
		switch {
		case valued && in.Name == input:
			for _, option := range in.Options {
				names = append(names, in.Name+"="+option)
			}
			return names, cobra.ShellCompDirectiveDefault // or a file
		case !valued && !given:
			names = append(names, cobra.CompletionWithDesc(in.Name+"=", in.Doc))
		}
	}
	return names, cobra.ShellCompDirectiveNoSpace | cobra.ShellCompDirectiveNoFileComp
}

// topicLine is a topic for a program to read.
type topicLine struct {
	Topic   string      `json:"topic"`
	Title   string      `json:"title"`
	Doc     string      `json:"doc"`
	Judges  bool        `json:"judges"`
	Inputs  []inputLine `json:"inputs"`
	Sources []string    `json:"sources"`
}

type inputLine struct {
	Name      string   `json:"name"`
	Kind      string   `json:"kind"`
	Dimension string   `json:"dimension,omitempty"`
	Options   []string `json:"options,omitempty"`
	Optional  bool     `json:"optional"`
	Card      string   `json:"card,omitempty"`
	Doc       string   `json:"doc"`
}

func topicOf(c checks.Check) topicLine {
	t := topicLine{Topic: c.Name, Title: c.Title, Doc: c.Doc, Judges: !c.Reckons, Sources: c.Sources}
	for _, in := range c.Inputs {
		t.Inputs = append(t.Inputs, inputLine{in.Name, string(in.Kind), string(in.Dimension), in.Options, in.Optional, in.Fact, in.Doc})
	}
	return t
}

func listTopics(w *world, asJSON bool) error {
	if asJSON {
		lines := []topicLine{}
		for _, c := range checks.All() {
			lines = append(lines, topicOf(c))
		}
		return w.sayJSON(lines)
	}
	for _, c := range checks.All() {
		w.say("%s  %s", c.Name, c.Title)
		w.say("    %s", strings.Join(shortInputs(c), " "))
	}
	return nil
}

// shortInputs lists the inputs, those that may be left out in brackets.
func shortInputs(c checks.Check) []string {
	var names []string
	for _, in := range c.Inputs {
		if in.Optional {
			names = append(names, "["+in.Name+"]")
			continue
		}
		names = append(names, in.Name)
	}
	return names
}

func tellTopic(w *world, c checks.Check, asJSON bool) error {
	if asJSON {
		return w.sayJSON(topicOf(c))
	}
	w.say("%s: %s", c.Name, c.Title)
	w.say("%s", c.Doc)
	w.say("Inputs")
	for _, in := range c.Inputs {
		w.say("  %s: %s", in.Name, strings.Join(aboutInput(in), "; "))
	}
	sayLines(w, "Sources", c.Sources)
	return nil
}

func aboutInput(in checks.Input) []string {
	about := []string{in.Doc, string(in.Kind)}
	if in.Dimension != "" {
		about[1] = string(in.Dimension)
		if in.Kind == checks.KindSeries {
			about[1] = "series of " + about[1]
		}
	}
	if len(in.Options) > 0 {
		about[1] = "one of " + strings.Join(in.Options, ", ")
	}
	if in.Optional {
		about = append(about, "may be left out")
	}
	if in.Fact != "" {
		about = append(about, "from a card: "+in.Fact)
	}
	return about
}

// sayLines prints a list under its title, if there is anything in it.
func sayLines(w *world, title string, lines []string) {
	if len(lines) == 0 {
		return
	}
	w.say("%s", title)
	for _, l := range lines {
		w.say("  %s", l)
	}
}
