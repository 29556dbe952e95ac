package audit

// The rule of this file: a report reads aloud. Plain lines, no boxes, words and not colour; what a record or a path says is
// printed only so that every character of it is seen; and no verdict stands without saying what kind of work it is about: the words "live work" stand with live work alone.

import (
	"fmt"
	"strings"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
)

// Text is the report for a person to read, with a line feed at its end.
func (r Report) Text() string {
	var b strings.Builder
	for _, rec := range r.Records {
		rec.text(&b)
		b.WriteByte('\n')
	}
	practice := 0
	for _, rec := range r.Records {
		if rec.Practice {
			practice++
		}
	}
	fmt.Fprintf(&b, "%d record(s): %d sound, %d to look at, %d rejected; %d of them practice or rehearsal only.\n",
		len(r.Records), r.Count(Sound), r.Count(LookHere), r.Count(Rejected), practice)
	fmt.Fprintf(&b, "Pairs of records compared for twins and for one person in two jobs: %d.\n", r.Compared)
	for _, h := range r.Heads {
		fmt.Fprintf(&b, "Head to keep: store %s, %s, key %s, number %d, %s\n", show(h.Store), show(h.Who), show(h.Fingerprint), h.Number, h.Digest)
	}
	for _, l := range r.Limits {
		fmt.Fprintf(&b, "Mind: %s\n", l)
	}
	return b.String()
}

// VerdictLine is the verdict in words, with what kind of work it is about.
func (r Record) VerdictLine() string {
	switch {
	case r.Mode == "":
		return string(r.Verdict)
	case r.Mode == runner.Live:
		return string(r.Verdict) + ", live work"
	case r.Mode == runner.Practice || r.Mode == runner.Rehearsal:
		return fmt.Sprintf("%s, %s only", r.Verdict, r.Mode)
	}
	return fmt.Sprintf("%s, unknown mode %s", r.Verdict, show(string(r.Mode)))
}

func (r Record) text(b *strings.Builder) {
	fmt.Fprintf(b, "%s: %s\n", r.VerdictLine(), show(r.Path))
	if r.Job != "" {
		fmt.Fprintf(b, "  job %s, %s revision %d, by %s\n", show(r.Job), show(r.Procedure), r.Revision, show(r.Performer.Name))
	}
	if r.Outcome != "" {
		fmt.Fprintf(b, "  %s, closed by %s on %s\n", show(string(r.Outcome)), show(r.By.Name), clock(r.Closed))
	}
	for _, s := range r.Signatures {
		s.text(b)
	}
	for _, f := range r.Findings {
		f.text(b)
	}
}

func (s Signature) text(b *strings.Builder) {
	key, when := show(s.Fingerprint), ""
	if !s.At.IsZero() {
		when = " on " + clock(s.At)
	}
	switch {
	case !s.Good:
		fmt.Fprintf(b, "  signature DOES NOT HOLD: it claims key %s (%s)\n", key, show(s.Namespace))
	case s.Known:
		fmt.Fprintf(b, "  signature holds: %s %s%s (%s, key %s)\n", show(s.Who), show(s.Meaning), when, show(s.Namespace), key)
	case s.Who == "":
		fmt.Fprintf(b, "  signature holds for key %s, which neither the record nor your roster names: %s%s (%s)\n", key, show(s.Meaning), when, show(s.Namespace))
	default:
		fmt.Fprintf(b, "  signature holds for key %s, which the record calls %s; not on your roster by that name: %s%s (%s)\n",
			key, show(s.Who), show(s.Meaning), when, show(s.Namespace))
	}
}

func (f Finding) text(b *strings.Builder) {
	where := ""
	if f.Line > 0 {
		where = fmt.Sprintf(", line %d", f.Line)
	}
	fmt.Fprintf(b, "  %s%s: %s.", f.Severity, where, show(f.What))
	if f.Innocent != "" {
		fmt.Fprintf(b, " It may be innocent: %s.", show(f.Innocent))
	}
	if f.Next != "" {
		fmt.Fprintf(b, " Next: %s.", show(f.Next))
	}
	b.WriteByte('\n')
}

func show(s string) string { return plaintext.Show(s) }
