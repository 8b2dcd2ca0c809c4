// Package page is the local web page: the main job on this computer, in a browser,
// with strokes, shades and aim tried on the fly.
//
// Open takes a folder for what is kept and gives a Server that listens on the
// loopback address alone. Every photo is a panel: a folder of its own with the
// photo's bytes as they were sent, and panel.json, written anew after each stroke,
// so that a crash loses one stroke at most. The panel itself is worked on at
// workingPx pixels; the zip is a run of the command at full size.
//
//	server.go, assets.go        listening, routes, the files of the page
//	guard.go, read.go, fault.go who may ask, what may be asked, refusals
//	queue.go                    heavy work, a little at a time
//	store.go, atomic.go, lock*  what is kept, and how
//	panel.go, search.go, edit.go one panel: its state, its work, its changes
//	later.go                    what follows a change: strokes teach, the light is read anew
//	settings.go, state.go       the page's words and its answers
//	pictures.go                 pictures, drawn when they are asked for
//	drawing.go                  which are kept, and which are drawn ahead of a stroke's numbers
//	zip.go, marks.go, papers.go files of the full-size run
//	chips.go, choices.go        calls that need no panel
//
// All positions that come in or go out are px of the full upright photo. The
// command calls this package; it calls all other showers.
package page
