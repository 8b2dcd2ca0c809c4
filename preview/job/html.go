package job

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
)

//go:embed html/job.html
var pageHTML string

//go:embed html/job.css
var pageCSS string

// HTML writes job.html: one file that needs nothing else, loads nothing, runs
// nothing, and prints on A4 and Letter.
func HTML(w io.Writer, s Sheet) error {
	if err := s.check(); err != nil {
		return err
	}
	t, err := template.New("job").Funcs(template.FuncMap{"marks": marks}).Parse(pageHTML)
	if err != nil {
		return fmt.Errorf("job.html: %w", err)
	}
	d := compose(&s)
	var buf bytes.Buffer // a fault in the template must not leave half a page
	err = t.Execute(&buf, struct {
		*document
		CSS   template.CSS
		W     float64
		Photo template.URL
	}{d, template.CSS(pageCSS), drawingW, photo(s.Panel)})
	if err != nil {
		return fmt.Errorf("job.html: %w", err)
	}
	_, err = w.Write(buf.Bytes())
	return err
}

// photo is the panel's picture as an address that holds it. It was made here,
// so the address can be trusted.
func photo(p *Picture) template.URL {
	if p == nil || !bytes.HasPrefix(p.PNG, []byte("\x89PNG\r\n\x1a\n")) {
		return ""
	}
	return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(p.PNG))
}
