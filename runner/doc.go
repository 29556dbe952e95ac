// Package runner is the interlock: the one pure core that decides what may happen in a job.
//
//	Decide(state, command, now) → events | refusal
//	Evolve(state, event, at)    → state
//
// It has no clock, no file and no terminal. The screens, the line mode, the rehearsal and the audit all drive this
// core, and none of them holds a second copy of a rule. Time reaches it only as a Moment, signatures only as text that
// it verifies itself.
//
// # What stands, and what is current
//
// The cursor is a step of the main line. The current step is derived, never stored: it is the cursor's step, unless one
// of its needs does not stand; then it is the gate that secures that need, or the gate that gate needs, and so on. So a
// job cannot be argued past a gate: while the need is missing there is no other current step, and nothing but the
// current step (and a pinned step whose time is up) takes entries.
//
// A safeguard stands from the completion of its gate until a step releases it, its cause of lapse happens, something it
// rests on falls (what its gate needed as things were), or somebody reports it lost. It is engaged from its gate's first
// entry until a step releases it on purpose, because a battery that is no longer known to be isolated is still
// disconnected: that is what the make-safe steps of every close undo.
package runner
