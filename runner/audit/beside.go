package audit

// The rule of this file: what lies beside a record is held to what the record says of it. It is not the record that is
// wrong where they differ, so a difference deserves a look and rejects nothing; but for a file that a check judged. What
// such a check found rests on that file, and another in its place vouches for nothing.

import (
	"bytes"
	"path/filepath"
	"slices"

	"fenderside/checks"
	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
	"fenderside/runner/session"
	"fenderside/runner/store"
)

// evidence compares the copies of attached files with the digests in the record.
func (c *examined) evidence(replay *record.Replay) {
	for _, l := range c.lines {
		for _, e := range l.Events {
			if e, ok := e.(runner.Attached); ok {
				c.copyOf(l.Seq+1, e.File, record.Judging(replay.Job.Procedure, e.Item))
				c.fileTimes(l, e.File)
			}
		}
	}
}

// kept reads the copy that is kept of one file. That its digest is one, the core has seen to.
func (c *examined) kept(file runner.File) content {
	return read(filepath.Join(c.dir, store.EvidenceDir, record.CopyName(file)), session.LargestEvidence)
}

// attached gives the core a file to judge again, from the copy beside the record.
func (c *examined) attached(file runner.File) (checks.Data, bool) {
	got := c.kept(file)
	if got.err != nil {
		return checks.Data{}, false
	}
	return record.Copy(file, got.data)
}

// copyOf looks at the copy of one file. Check is the name of the check that judges it, if one does.
func (c *examined) copyOf(line int, file runner.File, check string) {
	got := c.kept(file)
	_, same := record.Copy(file, got.data)
	switch {
	case got.missing() && check != "":
		c.look(line, "the folder of evidence was not handed over with the record", "ask for the folder "+store.EvidenceDir+" that lies beside the record on the laptop that wrote it, and audit again",
			"there is no copy of %q beside the record, so check %s cannot be reckoned again; the file's digest is %s", file.Name, check, file.SHA256)
	case got.missing():
		c.note(line, "there is no copy of %q beside the record; its digest is %s", file.Name, file.SHA256)
	case got.err != nil:
		c.look(line, "the file's permissions or the disk", "read it as somebody who may", "the copy of %q cannot be read: %v", file.Name, got.err)
	case !same && check != "":
		c.reject(line, "ask for the file as it was attached; only that file bears out what the check found",
			"check %s judged %q, and the copy beside the record is not that file: its digest is %s, not %s", check, file.Name, record.Digest(got.data), file.SHA256)
	case !same:
		c.look(line, "a picture program saved the copy again, or the disk is failing", "ask for the file as it was attached; the record itself is untouched by this",
			"the copy of %q is not the file that was attached: its digest is %s, not %s", file.Name, record.Digest(got.data), file.SHA256)
	}
}

// beside compares the roster of the record with its copy and with the auditor's.
func (c *examined) beside(a auditor, f files) {
	bound := []byte(c.opening.Roster.Text)
	if f.roster.err == nil && !bytes.Equal(f.roster.data, bound) {
		c.look(1, "somebody brought the copy up to date", "verify with the auditor's roster, not with that copy",
			"the file %q beside the record is not the roster that the job was opened with", store.RosterFile)
	}
	if bytes.Equal(bound, a.roster.Text()) {
		return
	}
	own, err := roster.Parse(bound)
	if err != nil {
		return // the replay has said so
	}
	seen := map[string]bool{}
	for _, s := range append([]Signature{{Who: c.By.Name, Fingerprint: c.By.Fingerprint}}, c.Signatures...) {
		mine, ok := a.roster.Find(s.Fingerprint)
		theirs, has := own.Find(s.Fingerprint)
		if ok && has && !seen[s.Fingerprint] && !sameLine(mine, theirs) {
			c.note(1, "the record's roster gives %s (key %s) other names, roles or dates than the auditor's", s.Who, s.Fingerprint)
		}
		seen[s.Fingerprint] = true
	}
}

func sameLine(a, b roster.Entry) bool {
	roles := func(e roster.Entry) []bool {
		var out []bool
		for _, n := range seal.Namespaces() {
			out = append(out, slices.Contains(e.Namespaces, n))
		}
		return out
	}
	return slices.Equal(a.Principals, b.Principals) && slices.Equal(roles(a), roles(b)) &&
		a.ValidAfter.Equal(b.ValidAfter) && a.ValidBefore.Equal(b.ValidBefore)
}
