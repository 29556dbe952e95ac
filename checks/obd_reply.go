// The rule of this file: every figure of a reply says which controller gave it,
// and what could not be read stands beside what could.

package checks

import (
	"fmt"
	"io"
	"strings"

	"fenderside/checks/obd"
	"fenderside/checks/obd/paste"
)

func obdReply() Check {
	c := Check{
		Name:  "obd-reply",
		Title: "What a diagnostic reply says",
		Doc: "Decodes replies as they are pasted from a terminal or a log: live values, freeze frames, trouble codes, test results, vehicle number. " +
			"Frames that belong together are put together; a message that is not whole is told, never filled up.",
		Reckons: true,
		Inputs: []Input{
			{Name: "reply", Kind: KindText, Optional: true, Doc: "bytes in hexadecimal, such as 41 05 6E, with or without address and length; | between two"},
			{Name: "file", Kind: KindData, Optional: true, Doc: "one reply or frame a line, in the same forms; this or reply"},
		},
		Outputs: []Output{
			{Name: "value", Many: true, Doc: "a figure that a controller gave"},
			{Name: "code", Many: true, Doc: "a trouble code that a controller gave"},
			{Name: "test", Many: true, Doc: "a result of an on-board test"},
			{Name: "vehicle", Many: true, Doc: "what the controller says of the vehicle"},
			{Name: "refused", Many: true, Doc: "what a controller would not answer"},
			{Name: "unread", Many: true, Doc: "what could not be read, and why"},
		},
		Sources: []string{obd.Source, "frames: ISO 15765-2"},
		Example: Arguments{"reply": text("41 05 6E 01 83 33 FF 63 15 A0 78 0C 0A 6B 03 02 00")},
	}
	c.Run = c.runOBDReply
	return c
}

func (c Check) runOBDReply(args Arguments) (Result, error) {
	pasted, err := pastedReplies(args)
	if err != nil {
		return Result{}, err
	}
	report := obd.Read(pasted.Replies)
	f := foldReport(report)
	for _, fault := range pasted.Faults {
		f.add("unread", "message", fault.Error())
	}
	verdict, because := None, fmt.Sprintf("%s read from %s", counted(len(pasted.Replies), "reply", "replies"), counted(len(report.Controllers), "controller", "controllers"))
	if n := len(f.by["unread"]); n > 0 {
		verdict, because = More, fmt.Sprintf("%s; %s could not be read: %s", because, counted(n, "message", "messages"), f.by["unread"][0].words)
	}
	return c.result(verdict, because, f.lines, f.inOrder(c.Outputs)...)
}

// longestPaste is the most that is read of a file of replies.
const longestPaste = 1 << 20

// pastedReplies takes the replies out of the text or the file.
func pastedReplies(args Arguments) (paste.Pasted, error) {
	if args.has("reply") == args.has("file") {
		return paste.Pasted{}, fmt.Errorf("reply, file: give one of the two")
	}
	said := args["reply"].Text
	if args.has("file") {
		from, err := args["file"].Data.Open()
		if err != nil {
			return paste.Pasted{}, err
		}
		defer from.Close()
		all, err := io.ReadAll(io.LimitReader(from, longestPaste+1))
		if err != nil {
			return paste.Pasted{}, err
		}
		if len(all) > longestPaste {
			return paste.Pasted{}, fmt.Errorf("file: longer than %d bytes; take a log with the topic can-log", longestPaste)
		}
		said = string(all)
	}
	p, err := paste.Parse(said)
	if err != nil {
		return p, fmt.Errorf("reply: %w", err)
	}
	return p, nil
}

// folded gathers figures by their output, and workings.
type folded struct {
	by    map[string][]named
	lines []string
}

func (f *folded) add(output, of, text string) {
	if f.by == nil {
		f.by = map[string][]named{}
	}
	f.by[output] = append(f.by[output], stated(output+": "+of, text))
}

func (f *folded) inOrder(outputs []Output) []named {
	var all []named
	for _, o := range outputs {
		all = append(all, f.by[o.Name]...)
	}
	return all
}

func foldReport(report obd.Report) folded {
	var f folded
	for _, c := range report.Controllers {
		who := ""
		if c.ECU != "" {
			who = c.ECU + " "
		}
		for _, a := range c.Answers {
			f.answer(who, a)
		}
		for _, fault := range c.Faults {
			f.add("unread", strings.TrimSpace(who+"reply"), fault.Err.Error())
		}
		if c.Note != "" {
			f.lines = append(f.lines, who+c.Note)
		}
	}
	return f
}

func (f *folded) answer(who string, a obd.Answer) {
	for _, r := range a.Readings {
		for _, figure := range r.Figures {
			f.add("value", who+valueName(r, figure.Name), figure.String())
		}
	}
	for _, code := range a.Codes {
		f.add("code", who+strings.TrimSuffix(a.Title, "s"), code.String())
	}
	for _, t := range a.Tests {
		outcome := ", not judged"
		if t.Judged {
			outcome = map[bool]string{true: ", passed", false: ", failed"}[t.Pass]
		}
		f.add("test", who+t.Title, t.String()+outcome)
	}
	if a.Vehicle != nil {
		for _, item := range a.Vehicle.Items {
			f.add("vehicle", who+a.Vehicle.Kind, item)
		}
	}
	if a.Refusal != nil {
		f.add("refused", who+fmt.Sprintf("service %02X", a.Refusal.Service), a.Refusal.Words)
	}
	for _, line := range a.Workings {
		f.lines = append(f.lines, who+line)
	}
}

// valueName says of what a figure is; a PID of one figure gives it its name.
func valueName(r obd.Reading, figure string) string {
	name := r.Title()
	if r.Frozen {
		name = fmt.Sprintf("frame %d, %s", r.Frame, name)
	}
	if len(r.Figures) == 1 && strings.Contains(r.Name, figure) {
		return name
	}
	return name + ", " + figure
}

func counted(n int, single, several string) string {
	if n == 1 {
		return "1 " + single
	}
	return fmt.Sprintf("%d %s", n, several)
}
