// Package folder makes all files of a run: pictures, reports, table and job sheet,
// under the names that a person finds in the output folder.
//
// It takes a preview.Proof and gives every file to a Sink; where the bytes go is the
// sink's business. The command's sink is a folder that appears all at once, the local
// page's is a zip; both hold the same bytes. It calls the other showers (sheet,
// report, job) and keeps nothing.
package folder
