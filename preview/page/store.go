package page

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"gapshade/preview"
)

// Names inside a store. All are ours; nothing that a request says becomes a path.
const (
	lockName   = "lock"
	panelsName = "panels"
	tempPrefix = ".temp-"
	photoName  = "photo"
	secondName = "second"
	keptName   = "panel.json"
	zipName    = "run.zip"
)

// store is the folder in which panels are kept, each in a folder of its own.
type store struct {
	path   string
	root   *os.Root // of the panels
	lock   *os.File
	panels string // path of root
}

// errLocked says that another process has the lock.
var errLocked = errors.New("another process has it")

// openStore opens a folder, makes it when it is not there, locks it and sweeps what
// a crash has left. Errors are *preview.Fault.
func openStore(path string) (*store, error) {
	s := &store{path: path, panels: filepath.Join(path, panelsName)}
	if err := os.MkdirAll(s.panels, 0o700); err != nil {
		return nil, storeFault(path, err)
	}
	var err error
	if s.lock, err = openLock(filepath.Join(path, lockName)); errors.Is(err, errLocked) {
		return nil, &preview.Fault{Code: preview.CodeOutput, What: "another gapshade page works in " + path, Err: err,
			Next: "use the page that is open already, or end that program first"}
	} else if err != nil {
		return nil, storeFault(path, err)
	}
	if s.root, err = os.OpenRoot(s.panels); err != nil {
		s.lock.Close()
		return nil, storeFault(path, err)
	}
	if err := s.sweep(); err != nil {
		s.close()
		return nil, storeFault(path, err)
	}
	return s, nil
}

func (s *store) close() {
	s.root.Close()
	s.lock.Close()
}

// storeFault is a folder that can't be written.
func storeFault(path string, err error) error {
	why := err.Error()
	if pe, ok := errors.AsType[*fs.PathError](err); ok {
		why = pe.Err.Error()
	}
	return &preview.Fault{Code: preview.CodeOutput, What: "can't keep panels in " + path, Why: why, Err: err, Next: "make room, or make the folder writable"}
}

// fault dresses an error of writing.
func (s *store) fault(err error) error {
	if err == nil {
		return nil
	}
	return storeFault(s.path, err)
}

// sweep removes temporary files, and panels that were not finished or not wholly
// deleted: those without panel.json.
func (s *store) sweep() error {
	entries, err := fs.ReadDir(s.root.FS(), ".")
	if err != nil {
		return err
	}
	for _, e := range entries {
		name := e.Name()
		if strings.HasPrefix(name, tempPrefix) {
			if err := s.root.RemoveAll(name); err != nil {
				return err
			}
			continue
		}
		if !isID(name) {
			continue
		}
		if _, err := s.root.Stat(name + "/" + keptName); errors.Is(err, fs.ErrNotExist) {
			if err := s.root.RemoveAll(name); err != nil {
				return err
			}
			continue
		}
		if err := s.sweepPanel(name); err != nil {
			return err
		}
	}
	return nil
}

func (s *store) sweepPanel(id string) error {
	entries, err := fs.ReadDir(s.root.FS(), id)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), tempPrefix) {
			if err := s.root.RemoveAll(id + "/" + e.Name()); err != nil {
				return err
			}
		}
	}
	return nil
}

// randomName is 128 random bits in letters that every file system takes.
func randomName() string { return strings.ToLower(rand.Text()) }

// isID says whether a name has the form of an id of ours.
func isID(name string) bool {
	return len(name) == 26 && !strings.ContainsFunc(name, func(r rune) bool { return (r < 'a' || r > 'z') && (r < '2' || r > '7') })
}

// temp makes a temporary file for what is being sent.
func (s *store) temp() (*os.File, error) {
	f, err := s.root.OpenFile(tempPrefix+randomName(), os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	return f, s.fault(err)
}

func (s *store) dropTemp(f *os.File) {
	f.Close()
	s.root.Remove(filepath.Base(f.Name()))
}

// shelf is one panel's folder.
type shelf struct {
	store *store
	id    string
	dir   *os.Root
}

// create makes the folder of a new panel out of a photo that was sent; panel.json
// comes last, and makes it a panel.
func (s *store) create(photo *os.File, k *kept) (*shelf, error) {
	id := randomName()
	if err := s.root.Mkdir(id, 0o700); err != nil {
		return nil, s.fault(err)
	}
	sh, err := s.open(id)
	if err != nil {
		return nil, err
	}
	if err = sh.adopt(photo, photoName); err == nil {
		err = sh.write(k)
	}
	if err == nil {
		err = s.fault(syncFolder(s.root))
	}
	if err != nil {
		sh.remove()
		return nil, err
	}
	return sh, nil
}

// open opens the folder of a panel that is there.
func (s *store) open(id string) (*shelf, error) {
	dir, err := s.root.OpenRoot(id)
	if err != nil {
		return nil, s.fault(err)
	}
	return &shelf{store: s, id: id, dir: dir}, nil
}

// list reads all panels that are kept. One that can't be read is left alone and
// left out.
func (s *store) list() map[*shelf]*kept {
	out := map[*shelf]*kept{}
	entries, _ := fs.ReadDir(s.root.FS(), ".")
	for _, e := range entries {
		if !isID(e.Name()) {
			continue
		}
		sh, err := s.open(e.Name())
		if err != nil {
			continue
		}
		if k, err := sh.read(); err == nil {
			out[sh] = k
		} else {
			sh.dir.Close()
		}
	}
	return out
}

// adopt moves a file that was sent into the panel's folder.
func (s *shelf) adopt(sent *os.File, name string) error {
	err := sent.Sync()
	if e := sent.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = s.store.root.Rename(filepath.Base(sent.Name()), s.id+"/"+name)
	}
	if err == nil {
		err = syncFolder(s.dir)
	}
	return s.store.fault(err)
}

// write keeps a panel.
func (s *shelf) write(k *kept) error {
	return s.store.fault(writeAtomic(s.dir, keptName, func(w io.Writer) error { return json.NewEncoder(w).Encode(k) }))
}

// read reads it back.
func (s *shelf) read() (*kept, error) {
	b, err := s.dir.ReadFile(keptName)
	if err != nil {
		return nil, err
	}
	k := &kept{}
	if err := json.Unmarshal(b, k); err != nil {
		return nil, err
	}
	if k.Version != keptVersion {
		return nil, errors.New("panel of another version")
	}
	return k, nil
}

// remove deletes the panel, panel.json first: without it, it is no panel any more.
func (s *shelf) remove() error {
	s.dir.Remove(keptName)
	s.dir.Close()
	return s.store.fault(s.store.root.RemoveAll(s.id))
}
