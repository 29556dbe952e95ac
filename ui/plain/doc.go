// Package plain is the line mode: the whole of a job in lines of text, one after another, as a screen reader follows
// them. There is no cursor addressing, no box, no colour and no spinner; a line that was written never changes.
//
// The rule kept here: the line mode decides nothing. It asks session.Session for what is wanted next, sends it what was
// typed as a command, and says what came of it. Every line it writes passes console.say, which shows control characters
// instead of sending them on, and wraps at words.
//
// # What is typed
//
// An answer is a value, an observed word or a number from a list; never a bare yes. A word that begins with a full stop
// and a letter is a command, taken at every prompt; a command drops the question that was open, which is asked again.
//
// Prompts differ by what hangs on them, because a reply that is always the same is soon given without looking:
//
//   - an item of the briefing is answered with "read";
//   - a statement of an ordinary step is answered with "true";
//   - a statement of a gate, or of a step that runs beside the work, is answered with its own last word. The prompt does
//     not spell that word out: whoever answers has read or heard the statement to its end. It costs one short word, it is
//     another one nearly every time, and no one reply that is given over and over, or piped in, fits it. A program could
//     still be written that reads the statements: that is why live work needs a terminal, and why witnesses exist;
//   - the signature is given with "sign" and the outcome, and a stop is ended with "clear".
package plain
