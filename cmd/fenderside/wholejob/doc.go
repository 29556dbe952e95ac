// Package wholejob holds tests of whole jobs, live, on the real program in a real terminal: from the trouble code to the signed
// record on every demonstration vehicle, each early ending, and a swap by somebody who tries every key at every gate and whose
// laptop dies twice. It stands in a package of its own because a job takes minutes at a person's pace.
//
// A journey is the answers of one person on one vehicle, by the ids of the procedure; what is asked when, and by which key it is
// answered, is read off the state of the job and the screen.
package wholejob
