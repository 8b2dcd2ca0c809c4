package page

import (
	"archive/zip"
	"context"
	"errors"
	"image"
	"image/png"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync/atomic"

	"gapshade/preview"
	"gapshade/preview/folder"
	"gapshade/preview/grout"
	"gapshade/preview/photo"
	"gapshade/segment"
)

// Names in the zip beside those of a run.
const (
	commandName = "command.txt"
	marksName   = "marks.png"
	shadesName  = "shades.csv"
)

// startZip begins the run at full size, as the command does it.
func (p *panel) startZip() error {
	p.edit.Lock()
	defer p.edit.Unlock()
	p.mu.Lock()
	busy := p.task != nil
	p.mu.Unlock()
	if busy {
		return refuse(http.StatusConflict, "something else is being done on this panel", "wait until it is done, or cancel it")
	}
	ctx, t := p.begin("zip")
	p.s.working.Go(func() {
		k := p.now()
		err := p.s.full.await(ctx, func() error {
			return p.s.heavy.await(ctx, func() error { return p.pack(ctx, t, &k) })
		})
		if err == nil {
			err = p.zipped(t)
		}
		if err != nil {
			p.end(t, func() {
				if !errors.Is(err, context.Canceled) {
					f, _, _ := show(err)
					p.fault = &f
				}
			})
		}
	})
	return nil
}

// zipped says that the zip lies there, if nothing has changed meanwhile.
func (p *panel) zipped(t *task) error {
	p.edit.Lock()
	defer p.edit.Unlock()
	if p.overtaken(t) {
		return context.Canceled
	}
	k := p.now()
	k.Zip = true
	if err := p.keep(k, false); err != nil {
		return err
	}
	p.end(t, func() {})
	return nil
}

// pack runs the job and packs its files.
func (p *panel) pack(ctx context.Context, t *task, k *kept) error {
	p.s.memory(benchPixels + k.Photo.Width*k.Photo.Height)
	defer p.s.memory(benchPixels)
	p.progress(t, "reading", 0)
	w, err := k.Settings.words()
	if err != nil {
		return err
	}
	s, err := w.Settings()
	if err != nil {
		return err
	}
	dir := tempPrefix + randomName() // swept at the next start if this one is killed
	if err := p.sh.dir.Mkdir(dir, 0o700); err != nil {
		return p.s.store.fault(err)
	}
	defer p.sh.dir.RemoveAll(dir)
	run := &fullRun{p: p, k: k, t: t, dir: dir}
	if err := run.files(ctx, s); err != nil {
		return err
	}
	if k.Second == nil {
		w.SecondBed = ""
	}
	args := w.Args(shadesName)
	if k.Second != nil {
		args = append(args, "--second", fileArg(k.Second.Name))
	}
	if len(k.Strokes) > 0 {
		args = append(args, "--marks", marksName)
	}
	if err := run.text(commandName, commandLine(k.Photo.Name, args)+"\n"); err != nil {
		return err
	}
	if w.NeedsFile() {
		if err := run.sink(shadesName, func(to io.Writer) error { return grout.WriteShades(to, w.Own) }); err != nil {
			return err
		}
	}
	p.progress(t, "writing", .95)
	return p.s.store.fault(writeAtomic(p.sh.dir, zipName, run.zip))
}

// fullRun is a run at full size on its way into a zip.
type fullRun struct {
	p   *panel
	k   *kept
	t   *task
	dir string // of its files, in the panel's folder
}

// files makes all files of the run.
func (f *fullRun) files(ctx context.Context, s preview.Settings) error {
	ph, err := f.p.readKept(ctx, photoName, f.k.Photo.Name)
	if err != nil {
		return err
	}
	if f.k.Second != nil {
		if s.Second, err = f.p.readKept(ctx, secondName, f.k.Second.Name); err != nil {
			return err
		}
	} else {
		s.SecondBed = preview.Bed{}
	}
	if len(f.k.Strokes) > 0 {
		if s.Marks, err = f.marks(ctx, ph); err != nil {
			return err
		}
	}
	f.p.progress(f.t, "finding", .1)
	proof, err := preview.Make(ctx, ph, s)
	if err != nil {
		return err
	}
	run, err := folder.New(proof)
	if err != nil {
		return err
	}
	f.p.progress(f.t, "drawing", .5)
	drawn := atomic.Int64{}
	return run.Write(ctx, f.sink, func(string) {
		f.p.progress(f.t, "drawing", .5+.4*float64(drawn.Add(1))/float64(len(s.Shades)+1))
	})
}

// marks writes the strokes as a picture and reads them as the command will.
func (f *fullRun) marks(ctx context.Context, ph *photo.Photo) (_ []segment.Stroke, err error) {
	img := paintMarks(ph.RGBA(), f.k.Strokes)
	if err := f.sink(marksName, func(w io.Writer) error { return encodeMarks(w, img) }); err != nil {
		return nil, err
	}
	return preview.OpenMarks(ctx, filepath.Join(f.p.s.store.panels, f.p.sh.id, f.dir, marksName), ph, photo.Limits{Lean: true})
}

func encodeMarks(w io.Writer, img *image.RGBA) error {
	return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(w, img)
}

// sink takes one file of the run.
func (f *fullRun) sink(name string, fill func(io.Writer) error) error {
	file, err := f.p.sh.dir.OpenFile(f.dir+"/"+name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return f.p.s.store.fault(err)
	}
	err = fill(file)
	if e := file.Close(); err == nil {
		err = e
	}
	return f.p.s.store.fault(err)
}

func (f *fullRun) text(name, text string) error {
	return f.sink(name, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
}

// zip packs the files in the order of their names; equal files give equal zips.
// Pictures are packed already and are stored as they are.
func (f *fullRun) zip(to io.Writer) error {
	dir, err := f.p.sh.dir.OpenRoot(f.dir)
	if err != nil {
		return err
	}
	defer dir.Close()
	entries, err := fs.ReadDir(dir.FS(), ".") // sorted
	if err != nil {
		return err
	}
	z := zip.NewWriter(to)
	for _, e := range entries {
		h := &zip.FileHeader{Name: e.Name(), Method: zip.Deflate}
		if ext := filepath.Ext(e.Name()); ext == ".jpg" || ext == ".png" {
			h.Method = zip.Store
		}
		w, err := z.CreateHeader(h)
		if err != nil {
			return err
		}
		file, err := dir.Open(e.Name())
		if err != nil {
			return err
		}
		_, err = io.Copy(w, file)
		file.Close()
		if err != nil {
			return err
		}
	}
	return z.Close()
}

// getZip answers with the zip.
func getZip(w http.ResponseWriter, _ *http.Request, p *panel) error {
	none := refuse(http.StatusConflict, "there is no zip of this panel as it is now", "make one first")
	if !p.now().Zip {
		return none
	}
	f, err := p.sh.dir.Open(zipName)
	if err != nil {
		return none
	}
	defer f.Close()
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="gapshade.zip"`)
	io.Copy(w, f)
	return nil
}

// plainWord needs no quotes in any shell.
var plainWord = regexp.MustCompile(`^[A-Za-z0-9_./,:=@%+-]+$`)

// quoted writes a word so that a POSIX shell reads it back as it is.
func quoted(word string) string {
	if plainWord.MatchString(word) {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// fileArg is a file's name where a flag can't be meant.
func fileArg(name string) string {
	if strings.HasPrefix(name, "-") {
		return "./" + name
	}
	return name
}

// commandLine is the command that does the same, typed beside the photo with the
// zip's files there.
func commandLine(photo string, args []string) string {
	words := slices.Concat([]string{"gapshade", "preview", fileArg(photo)}, args)
	for i := range words {
		words[i] = quoted(words[i])
	}
	return strings.Join(words, " ")
}
