// Package rehearsal plays a whole job from a script, unattended, through the same session and core as live work.
//
// The rule kept here: a rehearsal has no way past the core that live work has not. A script moves a clock and makes up
// people, values and files; every line becomes commands that the core takes or refuses. The first refusal that the
// script did not expect ends the rehearsal, and so does a line that names a step which is not the current one. Every
// line of its record says rehearsal, and it is never bound to a terminal, so it cannot pass for live work.
//
// A script is strict YAML; the head of the shipped script sensor-swap-plain explains every field.
//
// Under the folder it is given, a rehearsal keeps
//
//	keys/NAME, NAME.pub   keys made up for the script's people, in OpenSSH's format, without a passphrase
//	roster                those people
//	files/                the made-up evidence
//	store/                a store of its own: the open job, then its signed record
//
// With the same script and the same random source the journal is the same, byte for byte.
package rehearsal
