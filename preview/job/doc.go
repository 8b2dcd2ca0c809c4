// Package job prints the job sheet: what to buy, how to mix, when to wipe, and
// how to come out of it unharmed.
//
// It takes a Sheet, that is a quantity.Plan with a title, the shade in words and
// perhaps a start time, and writes job.html (one self-contained file that prints
// on A4 and Letter), job.pdf (embedded font, text selectable) and clock.ics (RFC
// 5545, with alarms; only when a start is known), and a shorter text for a
// terminal. HTML and PDF walk the same document, so both say the same words in the
// same order: cautions first, the source of every figure in the notes at the end.
// The words themselves are quantity's.
//
// Everything goes to an io.Writer and depends on the Sheet alone: no date but
// the start, no path, no random id, so equal sheets give equal bytes. The
// command and the local page call it.
package job
