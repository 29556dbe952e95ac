// Package journal keeps the durable, append-only file of one job. It knows
// nothing of what a line says, only how lines are chained and made to last.
//
// # Format
//
// The file is UTF-8 text. Each line is one JSON object and ends with one LF.
// The last member of the object is
//
//	"prev":"<64 lower-case hexadecimal digits>"
//
// written without white space: the SHA-256 of the bytes of the line before,
// without its LF. The first line has no line before it and names 64 zeros.
// A line is at most 4 MiB and a file at most 64 MiB.
//
// A worked example of three lines:
//
//	{"seq":1,"event":"opened","who":"asha","prev":"0000000000000000000000000000000000000000000000000000000000000000"}
//	{"seq":2,"event":"reading","value":"31 °C","prev":"1f1110c2ef45c1d9127bd0442fd8a729006569acdfa1652e9d1771f00664acca"}
//	{"seq":3,"event":"closed","prev":"aaacaaf27b6f09891f01043b1cd7475779a085314bd75731305c211d7a2c721a"}
//
// What the second line names is what any tool gives for the first:
//
//	head -n 1 journal.jsonl | tr -d '\n' | sha256sum
//
// and a fourth line would name the digest of the third, the head:
//
//	565f43843f8ff04c864c7c3326973f841dfa413afc22e74dbd1f89f3c679d456
//
// # What the chain shows
//
// To change, drop, swap or add a line breaks the chain at the next one. The
// last line has no next one: a well-formed change to it, and the loss of whole
// lines from the end, show only against a head that is kept elsewhere, such as
// a signature over the finished file.
//
// # What lasts
//
// Append returns nil only when the line is on disk. After a power loss the
// last line may be torn: without its LF, not an object, or without its "prev".
// Open keeps the file as found beside it, as journal.jsonl.torn-1 and so on,
// and cuts the torn line off. That line was never acknowledged. A whole line
// that was written but not acknowledged is kept. A last line that is whole at
// its end and names another line than the one before it cannot come from an
// interrupted append; it is corruption, like an unsound line anywhere else,
// and Open then changes nothing.
//
// One process holds a job at a time, by a kernel lock on the empty file
// journal.jsonl.lock, which is never removed. The lock dies with its process.
package journal
