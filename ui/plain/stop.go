package plain

// The rule kept here: a stop is taken at every prompt, whatever else was being asked, and says first what to get clear of.

import (
	"fmt"
	"strconv"
	"strings"

	"fenderside/runner"
)

// stop reports safeguards that are no longer true. What to do first is said for each one that stands before anything is
// asked.
func (d *desk) stop(rest string) error {
	var standing []runner.SafeguardView
	for _, v := range d.s.State().Strip(d.s.Moment()) {
		if v.State == runner.InPlace {
			standing = append(standing, v)
		}
	}
	d.say("STOP. Get clear first.")
	for i, v := range standing {
		d.say("%d: %s.", i+1, v.Safeguard.Title)
		for _, line := range v.Safeguard.IfLost {
			d.say("If this is lost: %s.", strings.TrimRight(line, "."))
		}
	}
	if len(standing) == 0 {
		d.say("No safeguard stands. The stop is written down.")
		return d.do(runner.StopWork{Note: rest})
	}
	for {
		if ids, note, ok := lost(rest, standing); ok {
			return d.do(runner.StopWork{Safeguards: ids, Note: note})
		}
		line, err := d.ask("Which is no longer true? Type its numbers with blanks between, or all; more words are kept as a note.",
			"To stop with every one of them, press Enter.")
		if err != nil {
			return err
		}
		if rest = line; line == "" {
			rest = "all"
		}
	}
}

// lost reads which safeguards are meant: numbers of the list, or all, and then a note in words.
func lost(text string, standing []runner.SafeguardView) (ids []string, note string, ok bool) {
	words := strings.Fields(text)
	for len(words) > 0 {
		n, err := strconv.Atoi(words[0])
		if err != nil || n < 1 || n > len(standing) {
			break
		}
		ids, words = append(ids, standing[n-1].Safeguard.ID), words[1:]
	}
	if len(ids) == 0 && len(words) > 0 && strings.EqualFold(words[0], "all") {
		for _, v := range standing {
			ids = append(ids, v.Safeguard.ID)
		}
		words = words[1:]
	}
	return ids, strings.Join(words, " "), len(ids) > 0
}

// skip passes over an optional step.
func (d *desk) skip(reason string) error {
	st := d.here()
	if st == nil {
		d.say("No step is open.")
		return nil
	}
	if st.Optional && reason == "" {
		var err error
		if reason, err = d.askWords("", fmt.Sprintf("Why is “%s” passed over?", st.Title)); err != nil {
			return err
		}
	}
	return d.do(runner.Skip{Step: st.ID, Reason: reason})
}
