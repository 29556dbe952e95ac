package main

// The rule kept here: a page is laid out as man-pages(7) asks, and no word of a help text is read as a request of man(7).

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"fenderside/runner/home"
)

// manualPage is the page of one command, in the requests of man(7). It bears no date, so that a version always gives the same
// pages.
func manualPage(c *cobra.Command) string {
	var p page
	p.request("TH", strings.ToUpper(pageName(c)), "1", "", "Fenderside "+home.Version(), "Fenderside")
	p.request("SH", "NAME")
	p.line(pageName(c) + ` \- ` + plainRoff(c.Short))
	p.request("SH", "SYNOPSIS")
	p.line(`\fB` + dashes(plainRoff(c.UseLine())) + `\fP`)
	p.request("SH", "DESCRIPTION")
	p.text(described(c))
	p.flags("OPTIONS", c.NonInheritedFlags())
	p.flags("OPTIONS OF EVERY COMMAND", c.InheritedFlags())
	if c.HasExample() {
		p.request("SH", "EXAMPLES")
		p.asItStands(c.Example)
	}
	p.seeAlso(c)
	return p.String()
}

func pageName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

func described(c *cobra.Command) string {
	if c.Long != "" {
		return c.Long
	}
	return c.Short + "."
}

// page is a page being written.
type page struct{ strings.Builder }

// request writes a request with its arguments in quotes.
func (p *page) request(name string, args ...string) {
	p.WriteString("." + name)
	for _, a := range args {
		fmt.Fprintf(p, ` "%s"`, strings.ReplaceAll(plainRoff(a), `"`, `\(dq`))
	}
	p.WriteString("\n")
}

// line writes a line of text whose backslashes are already requests.
func (p *page) line(s string) {
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	p.WriteString(s + "\n")
}

// text writes paragraphs, which blank lines part; lines that are set in stand as they are.
func (p *page) text(s string) {
	for i, paragraph := range strings.Split(strings.TrimSpace(s), "\n\n") {
		if i > 0 {
			p.request("PP")
		}
		if strings.HasPrefix(paragraph, " ") {
			p.asItStands(paragraph)
			continue
		}
		for l := range strings.Lines(paragraph) {
			p.line(plainRoff(strings.TrimSpace(l)))
		}
	}
}

func (p *page) asItStands(s string) {
	p.request("nf")
	for l := range strings.Lines(s) {
		p.line(dashes(plainRoff(strings.TrimRight(l, "\n"))))
	}
	p.request("fi")
}

func (p *page) flags(title string, set *pflag.FlagSet) {
	if !set.HasAvailableFlags() {
		return
	}
	p.request("SH", title)
	set.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		argument, usage := pflag.UnquoteUsage(f)
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		p.request("TP")
		p.line(strings.TrimSpace(`\fB` + dashes(plainRoff(name)) + `\fP ` + italic(argument)))
		p.line(plainRoff(usage))
	})
}

func italic(s string) string {
	if s == "" {
		return ""
	}
	return `\fI` + plainRoff(s) + `\fP`
}

// seeAlso names the pages above and below.
func (p *page) seeAlso(c *cobra.Command) {
	var near []string
	if c.HasParent() {
		near = append(near, pageName(c.Parent()))
	}
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() && !sub.IsAdditionalHelpTopicCommand() {
			near = append(near, pageName(sub))
		}
	}
	if len(near) == 0 {
		return
	}
	p.request("SH", "SEE ALSO")
	for i, name := range near {
		comma := ","
		if i == len(near)-1 {
			comma = ""
		}
		p.line(`\fB` + dashes(name) + `\fP(1)` + comma)
	}
}

// plainRoff makes text that man(7) prints as it is.
func plainRoff(s string) string { return strings.ReplaceAll(s, `\`, `\e`) }

// dashes keeps the minus signs of what is typed, which would be printed as hyphens.
func dashes(s string) string { return strings.ReplaceAll(s, "-", `\-`) }
