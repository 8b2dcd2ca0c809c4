package page

import (
	"context"
	"net/http"
	"strconv"
	"time"
)

// longestWait is how long a question for news may wait.
const longestWait = 25 * time.Second

// routes are the calls of the page.
func (s *Server) routes() http.Handler {
	m := http.NewServeMux()
	m.HandleFunc("GET /{$}", asset)
	m.HandleFunc("GET /assets/", asset)
	m.HandleFunc("GET /api/panels", func(w http.ResponseWriter, _ *http.Request) {
		reply(w, http.StatusOK, map[string]any{"panels": s.all()})
	})
	m.HandleFunc("POST /api/panels", s.postPhoto)
	m.HandleFunc("POST /api/panels/sample", func(w http.ResponseWriter, r *http.Request) {
		created(w, func() (*panel, error) { return s.sample(r.Context()) })
	})
	m.HandleFunc("GET /api/panels/{id}", s.on(getState))
	m.HandleFunc("DELETE /api/panels/{id}", s.on(deletePanel))
	m.HandleFunc("PATCH /api/panels/{id}/settings", s.on(patchSettings))
	m.HandleFunc("PUT /api/panels/{id}/second", s.on(putSecond))
	m.HandleFunc("DELETE /api/panels/{id}/second", s.on(func(_ http.ResponseWriter, _ *http.Request, p *panel) error { return p.noSecond() }))
	m.HandleFunc("POST /api/panels/{id}/strokes", s.on(postStroke))
	m.HandleFunc("POST /api/panels/{id}/undo", s.on(lightly((*panel).undo)))
	m.HandleFunc("POST /api/panels/{id}/redo", s.on(lightly((*panel).redo)))
	m.HandleFunc("POST /api/panels/{id}/cancel", s.on(func(_ http.ResponseWriter, _ *http.Request, p *panel) error { p.stop(); return nil }))
	m.HandleFunc("GET /api/panels/{id}/pictures/{name}", s.on(getPicture))
	m.HandleFunc("POST /api/panels/{id}/zip", s.on(func(_ http.ResponseWriter, _ *http.Request, p *panel) error { return p.startZip() }))
	m.HandleFunc("GET /api/panels/{id}/zip", s.on(getZip))
	for name := range paperTypes {
		m.HandleFunc("GET /api/panels/{id}/"+name, s.on(func(w http.ResponseWriter, r *http.Request, p *panel) error { return p.paper(w, r, name) }))
	}
	m.HandleFunc("POST /api/chips", s.postChips)
	m.HandleFunc("POST /api/blend", postBlend)
	m.HandleFunc("GET /api/choices", func(w http.ResponseWriter, _ *http.Request) { reply(w, http.StatusOK, choices(s.version)) })
	m.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		fail(w, refuse(http.StatusNotFound, "there is no such page", "open the address that gapshade page printed"))
	})
	return m
}

// on calls a handler with its panel; when the handler has not answered itself, the
// answer is the panel's state.
func (s *Server) on(do func(w http.ResponseWriter, r *http.Request, p *panel) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		p, err := s.panel(r)
		if err != nil {
			fail(w, err)
			return
		}
		a := &answer{ResponseWriter: w}
		switch err := do(a, r, p); {
		case a.begun:
		case err != nil:
			fail(w, err)
		default:
			reply(w, http.StatusOK, p.state())
		}
	}
}

// answer knows whether anything was said.
type answer struct {
	http.ResponseWriter
	begun bool
}

func (a *answer) WriteHeader(status int) { a.begun = true; a.ResponseWriter.WriteHeader(status) }

func (a *answer) Write(b []byte) (int, error) { a.begun = true; return a.ResponseWriter.Write(b) }

// Unwrap lets the server set deadlines through it.
func (a *answer) Unwrap() http.ResponseWriter { return a.ResponseWriter }

func created(w http.ResponseWriter, add func() (*panel, error)) {
	p, err := add()
	if err != nil {
		fail(w, err)
		return
	}
	w.Header().Set("Location", "/api/panels/"+p.sh.id)
	reply(w, http.StatusCreated, p.state())
}

func (s *Server) postPhoto(w http.ResponseWriter, r *http.Request) {
	created(w, func() (p *panel, err error) {
		err = s.uploads.do(r.Context(), func() error {
			f, err := s.readForm(w, r)
			if err != nil {
				return err
			}
			defer f.drop(s.store)
			p, err = s.add(r.Context(), f, plainSettings())
			return err
		})
		return p, err
	})
}

// getState tells how things stand, at once or when there is news.
func getState(_ http.ResponseWriter, r *http.Request, p *panel) error {
	p.wake()
	q := r.URL.Query()
	if !q.Has("after") {
		return nil
	}
	after, err := strconv.Atoi(q.Get("after"))
	if err != nil {
		return refuse(http.StatusBadRequest, "after is no revision", "ask as the page does")
	}
	wait := longestWait
	if q.Has("wait") {
		s, err := strconv.ParseFloat(q.Get("wait"), 64)
		if err != nil || !(s >= 0) {
			return refuse(http.StatusBadRequest, "wait is no number of seconds", "ask as the page does")
		}
		wait = min(wait, time.Duration(min(s, 60)*float64(time.Second)))
	}
	ctx, stop := context.WithTimeout(r.Context(), wait)
	defer stop()
	defer context.AfterFunc(p.s.work, stop)() // a server that ends keeps nobody waiting
	p.wait(ctx, after)
	return nil
}

func deletePanel(w http.ResponseWriter, _ *http.Request, p *panel) error {
	p.s.mu.Lock()
	delete(p.s.panels, p.sh.id)
	p.s.mu.Unlock()
	if err := p.drop(); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func patchSettings(w http.ResponseWriter, r *http.Request, p *panel) error {
	return p.s.light.do(r.Context(), func() error {
		return p.set(func(s *settings) error { return readJSON(w, r, s) })
	})
}

func postStroke(w http.ResponseWriter, r *http.Request, p *panel) error {
	var s stroke
	if err := readJSON(w, r, &s); err != nil {
		return err
	}
	return p.s.light.do(r.Context(), func() error { return p.paint(s) })
}

// lightly does a change among the light work.
func lightly(do func(*panel) error) func(http.ResponseWriter, *http.Request, *panel) error {
	return func(_ http.ResponseWriter, r *http.Request, p *panel) error {
		return p.s.light.do(r.Context(), func() error { return do(p) })
	}
}

func putSecond(w http.ResponseWriter, r *http.Request, p *panel) error {
	return p.s.uploads.do(r.Context(), func() error {
		f, err := p.s.readForm(w, r)
		if err != nil {
			return err
		}
		defer f.drop(p.s.store)
		return p.setSecond(r.Context(), f)
	})
}
