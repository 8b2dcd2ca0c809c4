package page

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"os"
	"strconv"
)

// What a request may hold (anchors of the design; the photo as for the command).
const (
	mostJSON   = 1 << 20
	mostDepth  = 64
	mostParts  = 20
	mostPhoto  = 100_000_000
	mostFields = 1 << 12 // bytes of a part that is no photo
)

// readJSON reads the body into v: JSON alone, of known fields, not too deep.
func readJSON(w http.ResponseWriter, r *http.Request, v any) error {
	if t, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || t != "application/json" {
		return refuse(http.StatusUnsupportedMediaType, "the request is no JSON", "send application/json")
	}
	b, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostJSON))
	if err != nil {
		return bodyError(err)
	}
	if depth(b) > mostDepth {
		return refuse(http.StatusBadRequest, "the request is nested too deep", "send what the page sends")
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		f := refuse(http.StatusBadRequest, "the request can't be read", "send what the page sends")
		f.Why = err.Error()
		return f
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return refuse(http.StatusBadRequest, "the request goes on behind its end", "send what the page sends")
	}
	return nil
}

// depth is how deep the brackets of a JSON text go.
func depth(b []byte) (deepest int) {
	now, text := 0, false
	for i := 0; i < len(b); i++ {
		switch c := b[i]; {
		case text && c == '\\':
			i++
		case c == '"':
			text = !text
		case text:
		case c == '[' || c == '{':
			now++
			deepest = max(deepest, now)
		case c == ']' || c == '}':
			now--
		}
	}
	return deepest
}

// bodyError tells a body that is too large from one that broke off.
func bodyError(err error) error {
	if _, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return refuse(http.StatusRequestEntityTooLarge, "the request is too large", "reduce the photo, or export it as JPEG")
	}
	return refuse(http.StatusBadRequest, "the request broke off", "send it again")
}

// form is what a multipart request held.
type form struct {
	photo  *os.File // a file of ours without the sender's name, to be closed and removed
	name   string   // the photo's name as sent, for people to read only
	fields map[string]string
}

// readForm reads a photo and short fields of the given names. The photo goes to a
// temporary file of the store, never through memory.
func (s *Server) readForm(w http.ResponseWriter, r *http.Request, fields ...string) (*form, error) {
	bad := refuse(http.StatusBadRequest, "the request holds no photo", "send one photo as JPEG, PNG or HEIC")
	if n, err := strconv.ParseInt(r.Header.Get("Content-Length"), 10, 64); err == nil && n > mostPhoto+mostJSON {
		return nil, refuse(http.StatusRequestEntityTooLarge, "the photo is larger than 100 MB", "reduce the photo, or export it as JPEG")
	}
	r.Body = http.MaxBytesReader(w, r.Body, mostPhoto+mostJSON)
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, bad
	}
	f := &form{fields: map[string]string{}}
	for n := 0; ; n++ {
		part, err := parts.NextPart()
		switch {
		case errors.Is(err, io.EOF) && f.photo != nil:
			return f, nil
		case errors.Is(err, io.EOF):
			err = bad
		case err != nil:
			err = bodyError(err)
		case n >= mostParts:
			err = refuse(http.StatusBadRequest, "the request has too many parts", "send one photo")
		default:
			err = f.take(s.store, part, fields)
		}
		if err != nil {
			f.drop(s.store)
			return nil, err
		}
	}
}

// take reads one part.
func (f *form) take(st *store, part *multipart.Part, fields []string) error {
	name := part.FormName()
	if name == "photo" && f.photo == nil {
		file, err := st.temp()
		if err != nil {
			return err
		}
		f.photo, f.name = file, part.FileName()
		if n, err := io.Copy(file, io.LimitReader(part, mostPhoto+1)); err != nil {
			return bodyError(err)
		} else if n > mostPhoto {
			return refuse(http.StatusRequestEntityTooLarge, "the photo is larger than 100 MB", "reduce the photo, or export it as JPEG")
		}
		_, err = file.Seek(0, io.SeekStart)
		return err
	}
	for _, known := range fields {
		if name == known {
			b, err := io.ReadAll(io.LimitReader(part, mostFields))
			f.fields[name] = string(b)
			return err
		}
	}
	return refuse(http.StatusBadRequest, "the request holds something that was not asked for", "send one photo")
}

// drop forgets what was sent.
func (f *form) drop(st *store) {
	if f.photo != nil {
		st.dropTemp(f.photo)
	}
}
