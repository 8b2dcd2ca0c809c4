// Package report writes down what a Proof found: report.json for machines,
// report.html and a table for people, contrast.csv for spreadsheets.
//
// FromProof turns a preview.Proof into a Report, the one struct that mirrors
// report.json; JSON, Text and HTML print it, so all three say the same. CSV
// goes back to the proof because it holds every tile.
//
// Lengths are millimetres when the panel's size is known, else pixels of the
// frame, and the name of every field says which; colours are CIELAB D50;
// shares are 0…1. Everything is written to an io.Writer, never to a path. The
// command and the local page call it.
package report
