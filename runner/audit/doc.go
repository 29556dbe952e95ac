// Package audit judges finished records from files alone: a record and its signature, and a roster that the auditor
// trusts. It has no second copy of any rule of the work: every line is replayed through the core that wrote it.
//
// For each record it says one of
//
//	sound       every byte is signed, every line follows from the rules, everybody who signed may sign
//	look here   the same, and something deserves a person's eyes; each finding comes with an innocent explanation
//	rejected    the files contradict themselves, the rules or the roster; the record proves nothing as it stands
//
// A finding that is only worth knowing is a note and leaves the verdict alone. Practice and rehearsal are named as such
// wherever a verdict is given, so that they never read as live work.
//
// # What is rejected, and what is looked at
//
// Rejected: a broken chain of lines, a line not written as this program writes it, a line that the rules would not give, a
// missing or wrong signature, a closing key or witness that the auditor's roster does not know by that name and in that
// role, a live job without a terminal. Two records that claim the same place in one key's chain, and a record whose next one
// was linked to other bytes, are rejected both: they cannot both be the history of that store. (A store restored from an
// old backup makes such a pair too, so the finding says so; which of the two holds is for a person to find out.)
//
// Looked at: a hole in a chain, because the missing record may be kept elsewhere; an expired or revoked key, because a
// closing time is self-declared; a key that signed stretches and is not on the auditor's roster; evidence that was changed
// beside the record; and what package-level thresholds call implausible.
//
// # What this cannot show
//
// A person who holds a key can sign a lie with it. Witnesses, the chain across jobs, the replay and the plausibility
// findings make a lie expensive, not impossible. Records removed from the end of a chain show only against a head kept
// elsewhere: Report.Heads are the heads to keep.
package audit
