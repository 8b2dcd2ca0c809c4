package page

import (
	"io"
	"os"
)

// writeAtomic writes one file of a folder so that, whatever happens in between, the
// old one or the new one is there, whole: a temporary file in the same folder,
// synced, renamed, and the folder synced.
func writeAtomic(dir *os.Root, name string, fill func(io.Writer) error) error {
	temp := tempPrefix + randomName()
	f, err := dir.OpenFile(temp, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	err = fill(f)
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = dir.Rename(temp, name)
	}
	if err != nil {
		dir.Remove(temp)
		return err
	}
	return syncFolder(dir)
}

// syncFolder makes renames in a folder last. Where a folder can't be synced (on
// Windows) the system sees to it.
func syncFolder(dir *os.Root) error {
	f, err := dir.Open(".")
	if err != nil {
		return err
	}
	defer f.Close()
	f.Sync()
	return nil
}
