package audit

// The rule of this file: a verdict is the worst of its findings, and it and the exit status are decided here alone.

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"fenderside/procedures"
	"fenderside/runner"
)

// Verdict is the judgement of one record.
type Verdict string

// The verdicts, from best to worst.
const (
	Sound    Verdict = "sound"
	LookHere Verdict = "look here"
	Rejected Verdict = "rejected"
)

// Severity is how much a finding weighs.
type Severity string

// The severities. A note leaves the verdict alone; the others are the verdict they lead to.
const (
	Note    Severity = "note"
	Look    Severity = Severity(LookHere)
	Against Severity = Severity(Rejected)
)

// Finding is one thing found in a record.
type Finding struct {
	Line     int      `json:"line,omitempty"` // of the record, from 1; 0 when no one line is meant
	Severity Severity `json:"severity"`
	What     string   `json:"what"`
	Innocent string   `json:"innocent,omitempty"` // how it can have come about without anybody doing wrong
	Next     string   `json:"next,omitempty"`     // what to do about it
}

// Signature is one signature that belongs to a record, with what it was given for.
type Signature struct {
	Who         string    `json:"who,omitempty"` // as the record calls them
	Fingerprint string    `json:"fingerprint"`
	Namespace   string    `json:"namespace"`
	Meaning     string    `json:"meaning"`
	At          time.Time `json:"at,omitzero"`    // as declared by the signer
	Line        int       `json:"line,omitempty"` // where it stands; 0 for those beside the record
	Good        bool      `json:"good"`           // the key signed exactly these bytes for this purpose
	Known       bool      `json:"known"`          // the auditor's roster has this key by this name
}

// Record is what was found about one record. What could not be read is left empty.
type Record struct {
	Path       string             `json:"path"`
	Verdict    Verdict            `json:"verdict"`
	Practice   bool               `json:"practice"` // it is no live work, whatever the verdict
	Job        string             `json:"job"`
	Store      string             `json:"store"`
	Number     int                `json:"number"` // of the job in its store
	Procedure  string             `json:"procedure"`
	Revision   int                `json:"revision"`
	Mode       runner.Mode        `json:"mode"`
	Outcome    procedures.Outcome `json:"outcome"`
	Performer  runner.Person      `json:"performer"` // who did the work at the end
	By         runner.Person      `json:"by"`        // who closed the job
	Opened     time.Time          `json:"opened,omitzero"`
	Closed     time.Time          `json:"closed,omitzero"`
	Chain      runner.Link        `json:"chain"`
	Digest     string             `json:"digest"` // hex SHA-256 of the record's bytes
	Findings   []Finding          `json:"findings"`
	Signatures []Signature        `json:"signatures"`
}

// Head is the last record of one key's chain in one store, among those given.
type Head struct {
	Store       string `json:"store"`
	Who         string `json:"who"`
	Fingerprint string `json:"fingerprint"`
	Number      int    `json:"number"`
	Digest      string `json:"digest"`
}

// Report is an audit's result, its records in the order in which they were found.
type Report struct {
	Roster   string   `json:"roster"` // hex SHA-256 of the auditor's roster
	Records  []Record `json:"records"`
	Heads    []Head   `json:"heads"`
	Compared int      `json:"pairs_compared"` // pairs of records held against each other for twins and for two jobs at once
	Limits   []string `json:"limits"`
}

// limits is what every report says about itself.
var limits = []string{
	"A person who holds a key can sign a lie with it: witnesses, the chain across jobs, the replay and these findings make that expensive, not impossible.",
	"Records removed from the end of a chain show only against a head kept elsewhere: keep the heads of this report and compare them with the next.",
	"Times are those that the laptop's clock gave.",
}

// add writes a finding down.
func (r *Record) add(f Finding) { r.Findings = append(r.Findings, f) }

// reject adds a finding that speaks against the record.
func (r *Record) reject(line int, next, what string, args ...any) {
	r.add(Finding{Line: line, Severity: Against, What: fmt.Sprintf(what, args...), Next: next})
}

// look adds a finding that deserves a look.
func (r *Record) look(line int, innocent, next, what string, args ...any) {
	r.add(Finding{Line: line, Severity: Look, What: fmt.Sprintf(what, args...), Innocent: innocent, Next: next})
}

// note adds a finding that is worth knowing.
func (r *Record) note(line int, what string, args ...any) {
	r.add(Finding{Line: line, Severity: Note, What: fmt.Sprintf(what, args...)})
}

// judge sorts the findings by line and gives the verdict.
func (r *Record) judge() {
	slices.SortStableFunc(r.Findings, func(a, b Finding) int { return a.Line - b.Line })
	r.Verdict = Sound
	for _, f := range r.Findings {
		switch {
		case f.Severity == Against:
			r.Verdict = Rejected
		case f.Severity == Look && r.Verdict == Sound:
			r.Verdict = LookHere
		}
	}
}

// Count is how many records have a verdict.
func (r Report) Count(v Verdict) int {
	n := 0
	for _, rec := range r.Records {
		if rec.Verdict == v {
			n++
		}
	}
	return n
}

// JSON is the report for a program to read: one indented object and a line feed.
func (r Report) JSON() ([]byte, error) {
	out, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("write the report: %w", err)
	}
	return append(out, '\n'), nil
}

// ErrUsage marks an error of how an audit was asked for; every other error of Run is of something that cannot be read.
var ErrUsage = errors.New("bad usage")

// ExitStatus is what a command that ran an audit exits with: 0 where every record is sound, 1 where any is rejected or
// deserves a look, 2 for bad usage, 3 where the roster, the revocation list or a path could not be read.
func ExitStatus(r Report, err error) int {
	switch {
	case errors.Is(err, ErrUsage):
		return 2
	case err != nil:
		return 3
	case r.Count(Sound) < len(r.Records):
		return 1
	}
	return 0
}
