// Package said turns what a person says into settings: the words of the command's
// flags and of the page's form, which are the same.
//
// It takes text and gives preview.Settings; lengths carry their units in the text.
// Files that are named are opened elsewhere, but for a CSV of shades. Errors are
// *preview.Fault with the usage code, and name the flag. The command and the local
// page call it.
package said
