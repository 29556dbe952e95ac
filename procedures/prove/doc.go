// Package prove shows of a procedure, before anybody works by it, that no order of events leads a job by it to a hazardous
// step without its gate, or to a place it cannot be brought to an end from. Where it cannot show that, it tells the
// shortest way there, step by step, with line numbers.
//
// # What may happen
//
// The proof follows every answer, every way and choice, every step that is skipped or gone by, every lapse by any cause,
// the loss of any safeguards, interruption, handover, a return to any earlier step by correction, and an early close, at
// any moment. Where it is not exact it lets more happen than can. It is a reading of the procedure of its own: it shares
// the model with the engine, and no rule.
//
// # What is shown
//
// The rules are the constants of Rule. Each is held against the whole procedure by the cheapest means that settles it: a
// walk over the main line for one safeguard, value or make-safe step at a time with the choices that matter to it; a
// dominator tree of the main line for values; the order of undoing for holds and closes, with a search of every state of
// the safeguards concerned where that order goes round. A walk is breadth first, so that what it finds is shortest.
//
// A walk that finds nothing has shown its rule. What it finds is tried with all that stands, for a walk lets more happen than can:
// it does a gate again that the job goes past. Only what a trial comes to is told, with the way of the trial. Where there is more
// than a trial follows, and for values, holds and what a cause undoes, what was found is told as it was found.
//
// # What the core does besides
//
// The engine holds a job at a step until what it needs stands, whatever the page says. So a page that leads past a gate does
// not lead past it at the bench; it fails here nonetheless, because a page is also read, drawn and printed, and because one
// layer of safety must not lean on another. Two things are left to the hold on purpose: to bring back what fell by a cause, a
// loss or an interruption, and to ask for a gate that no path of the main line passes (a Doubt tells which these are).
//
// # What is not shown
//
//   - That a step needs what the work needs: what the author wrote neither as a need, a lapse or a cause nor under dangers cannot
//     be missed. What is stated on one of the two sides alone fails; where no dangers are named, what can be derived from the
//     rest of the procedure is told as a Doubt, and a doubt fails nothing.
//   - That a measurement can be within its limits, that a check can pass, that an instrument or a witness is to be had.
//   - How long work takes, beyond the least times that the procedure writes.
//   - What happens where the paper is right and the person does something else.
//   - That a handover comes to its end where two gates that it owes undo one another; keeping the job ends it.
//   - A job that follows a locked one starts with every make-safe step due; a value that such a step uses may be missing
//     there, and the step is then put on the line of what was left.
//   - Returns by correction can use up the rounds of a step that may be entered only so often; that is a Doubt where no
//     other way leads to an end.
//   - A change of a choice on the sheet, or of an answer, is followed as the job that had it so from the start: the engine
//     returns to what applies then.
package prove
