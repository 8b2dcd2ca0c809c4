package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"gapshade/preview"
	"gapshade/preview/folder"
)

// outFolder is the output folder of one run. Files are written into a hidden
// folder beside it and moved in by rename when all are done, so a failed or
// interrupted run leaves nothing behind and no half file is ever seen.
type outFolder struct {
	path, temp string
	stale      []string // files of an earlier run that go unless this one writes them anew
	made       []string // parents that this run made, outermost first
	done       bool     // committed
}

// openFolder checks, before any work, that the run may write these names there.
// With force older files of the same names are replaced at the end; the sources,
// photos or a report, never are. A job sheet of an earlier run does not outlive
// a forced run that makes none: its clock and amounts would be taken for this
// one's.
func openFolder(path string, sources, names []string, force bool) (*outFolder, error) {
	f := &outFolder{path: path, stale: folder.JobNames()}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return f, nil
	case err != nil:
		return nil, outputFault(path, err)
	case !info.IsDir():
		return nil, &preview.Fault{Code: preview.CodeOutput, What: "can't write into " + path, Why: "it is a file, not a folder",
			Next: "name another folder with --out"}
	}
	var from []os.FileInfo
	for _, name := range sources {
		if info, err := os.Stat(name); err == nil { // a missing one is told of later
			from = append(from, info)
		}
	}
	for _, n := range names {
		out := filepath.Join(path, n)
		old, err := os.Stat(out)
		if err == nil && slices.ContainsFunc(from, func(f os.FileInfo) bool { return os.SameFile(old, f) }) {
			return nil, &preview.Fault{Code: preview.CodeOutput, What: out + " is what is read from",
				Next: "name another folder with --out"}
		}
		if _, err := os.Lstat(out); err == nil && !force {
			return nil, &preview.Fault{Code: preview.CodeOutput, What: out + " exists already",
				Next: "add --force to replace the earlier run, or name another folder with --out"}
		}
	}
	return f, nil
}

// begin makes the hidden folder, and the parents of the output folder where
// they are missing.
func (f *outFolder) begin() error {
	parent := filepath.Dir(f.path)
	for p := parent; ; p = filepath.Dir(p) {
		if _, err := os.Stat(p); err == nil || p == filepath.Dir(p) {
			break
		}
		f.made = append([]string{p}, f.made...)
	}
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return outputFault(parent, err)
	}
	temp, err := os.MkdirTemp(parent, ".gapshade-")
	if err != nil {
		return outputFault(parent, err)
	}
	f.temp = temp
	return nil
}

// write makes one file in the hidden folder. It may be called at the same time
// for different names.
func (f *outFolder) write(name string, fill func(io.Writer) error) error {
	file, err := os.OpenFile(filepath.Join(f.temp, name), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return outputFault(filepath.Join(f.path, name), err)
	}
	err = fill(file)
	if e := file.Close(); err == nil {
		err = e
	}
	if err != nil {
		return outputFault(filepath.Join(f.path, name), err)
	}
	return nil
}

// commit moves the files into place.
func (f *outFolder) commit() error {
	entries, err := os.ReadDir(f.temp)
	if err != nil {
		return outputFault(f.path, err)
	}
	if err := os.MkdirAll(f.path, 0o755); err != nil {
		return outputFault(f.path, err)
	}
	for _, e := range entries {
		if err := os.Rename(filepath.Join(f.temp, e.Name()), filepath.Join(f.path, e.Name())); err != nil {
			return outputFault(filepath.Join(f.path, e.Name()), err)
		}
	}
	f.done = true
	return f.clear(entries)
}

// clear removes what an earlier run left and this one did not write.
func (f *outFolder) clear(written []fs.DirEntry) error {
	for _, n := range f.stale {
		if slices.ContainsFunc(written, func(e fs.DirEntry) bool { return e.Name() == n }) {
			continue
		}
		if err := os.Remove(filepath.Join(f.path, n)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return outputFault(filepath.Join(f.path, n), err)
		}
	}
	return nil
}

// end removes what is left of the hidden folder and, after a run that failed,
// the parents that were made for it.
func (f *outFolder) end() {
	if f.temp != "" {
		os.RemoveAll(f.temp)
	}
	for i := len(f.made) - 1; i >= 0 && !f.done; i-- {
		os.Remove(f.made[i]) // only if empty: somebody else may have moved in
	}
}
