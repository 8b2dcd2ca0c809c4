package page

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"gapshade/examples"
	"gapshade/preview"
)

// Options say how the page is served.
type Options struct {
	Folder  string // where panels are kept
	Port    int    // 0 = any free one
	Version string // of the program, for people

	// Memory is told how many pixels are in work at most, before they are; nil when
	// nobody minds.
	Memory func(pixels int)
}

// Server is the page, listening on the loopback address.
type Server struct {
	listener net.Listener
	secret   string
	handler  http.Handler
	store    *store
	version  string
	memory   func(pixels int)

	work     context.Context // of what goes on in the background
	stop     context.CancelFunc
	working  sync.WaitGroup
	uploads  *queue // photos on their way in
	decoding *queue // photos that are held whole while they are read
	heavy    *queue // searches and full-size runs
	full     *queue // full-size runs, one at a time
	light    *queue // strokes and pictures, which must not wait for those
	lessons  *queue // what strokes teach

	mu     sync.Mutex
	panels map[string]*panel
}

// How much is done at a time, and how much may wait (ours): two photos in work, one
// of them whole, fill the memory of a small laptop, and a page asks for about a dozen
// pictures at once.
const (
	uploadsAtWork, uploadsWaiting = 4, 12
	decodingWaiting               = 8
	heavyAtWork                   = 2
	lightWaiting                  = 64
)

// awake is how many panels are held ready for strokes; those looked at longest ago
// rest, and wake by a new search.
const awake = 3

// benchPixels are in work when no photo is worked on at full size.
const benchPixels = (awake + heavyAtWork) * workingPx

// Open opens the folder and listens. Errors are *preview.Fault.
func Open(o Options) (*Server, error) {
	st, err := openStore(o.Folder)
	if err != nil {
		return nil, err
	}
	l, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(o.Port)))
	if err != nil {
		st.close()
		return nil, &preview.Fault{Code: preview.CodeUsage, What: fmt.Sprintf("--port %d can't be used", o.Port), Why: plainly(err), Err: err,
			Next: "leave --port out for any free one"}
	}
	s := &Server{listener: l, secret: newSecret(), store: st, version: o.Version, panels: map[string]*panel{},
		uploads: newQueue(uploadsAtWork, uploadsWaiting), decoding: newQueue(1, decodingWaiting), heavy: newQueue(heavyAtWork, 0), full: newQueue(1, 0),
		light: newQueue(runtime.GOMAXPROCS(0), lightWaiting), lessons: newQueue(1, 0)}
	if s.memory = o.Memory; s.memory == nil {
		s.memory = func(int) {}
	}
	s.memory(benchPixels)
	s.work, s.stop = context.WithCancel(context.Background())
	for sh, k := range st.list() {
		s.panels[sh.id] = s.newPanel(sh, *k)
	}
	s.handler = newGuard(l.Addr().(*net.TCPAddr).Port, s.secret, s.routes())
	return s, nil
}

// plainly is what the system says about an address, without the address.
func plainly(err error) string {
	if e, ok := errors.AsType[*net.OpError](err); ok {
		return e.Err.Error()
	}
	return err.Error()
}

// Address is the whole address of the page, with its secret behind the #: browsers
// keep that to themselves.
// With a panel's id it opens that one.
func (s *Server) Address(id string) string {
	a := "http://" + s.listener.Addr().String() + "/#" + s.secret
	if id != "" {
		a += "/" + id
	}
	return a
}

// Limits of a connection (anchors of the design).
const (
	headerTime = 10 * time.Second
	idleTime   = 120 * time.Second
	mostHeader = 32 << 10
	endTime    = 3 * time.Second
)

// Serve answers until ctx ends, then stops what is being done and closes everything.
func (s *Server) Serve(ctx context.Context) error {
	h := &http.Server{Handler: s.handler, ReadHeaderTimeout: headerTime, IdleTimeout: idleTime, MaxHeaderBytes: mostHeader,
		ErrorLog: log.New(io.Discard, "", 0)} // it would name what strangers send
	failed := make(chan error, 1)
	go func() { failed <- h.Serve(s.listener) }()
	var err error
	select {
	case err = <-failed:
	case <-ctx.Done():
	}
	s.stop()
	end, stop := context.WithTimeout(context.Background(), endTime)
	defer stop()
	if h.Shutdown(end) != nil {
		h.Close()
	}
	s.Close()
	return err
}

// Close ends a server that does not serve. Work that doesn't hear of it soon is left
// to itself: whatever it writes, it writes whole.
func (s *Server) Close() {
	s.stop()
	s.listener.Close()
	done := make(chan struct{})
	go func() { s.working.Wait(); close(done) }()
	select {
	case <-done:
	case <-time.After(endTime):
	}
	s.store.close()
}

// Add makes a panel of a photo and gives its id; name is only for people. Errors are *preview.Fault.
func (s *Server) Add(ctx context.Context, name string, r io.Reader) (id string, err error) {
	f, err := s.store.temp()
	if err != nil {
		return "", err
	}
	defer s.store.dropTemp(f)
	if _, err := io.Copy(f, io.LimitReader(r, mostPhoto+1)); err != nil {
		return "", s.store.fault(err)
	}
	p, err := s.add(ctx, &form{photo: f, name: name}, plainSettings())
	if err != nil {
		return "", err
	}
	return p.sh.id, nil
}

// add makes a panel of what was sent and begins to look for its gaps.
func (s *Server) add(ctx context.Context, f *form, as settings) (*panel, error) {
	var p *panel
	err := s.decoding.do(ctx, func() error {
		if _, err := f.photo.Seek(0, io.SeekStart); err != nil {
			return s.store.fault(err)
		}
		ph, err := readPhoto(ctx, cmp.Or(f.name, "photo"), f.photo)
		if err != nil {
			return err
		}
		k := kept{Version: keptVersion, Updated: time.Now().UTC().Truncate(time.Second), Photo: factsOf(ph), Settings: as}
		sh, err := s.store.create(f.photo, &k)
		if err != nil {
			return err
		}
		p = s.newPanel(sh, k)
		if s.heavy.quiet() { // in a crowd it is read again when its turn comes
			p.small = ph.Smaller(workingPx)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	s.panels[p.sh.id] = p
	s.mu.Unlock()
	p.wake()
	return p, nil
}

// sample makes a panel of the bundled photo.
func (s *Server) sample(ctx context.Context) (*panel, error) {
	f, err := s.store.temp()
	if err != nil {
		return nil, err
	}
	defer s.store.dropTemp(f)
	if _, err := io.Copy(f, bytes.NewReader(examples.Lemons)); err != nil {
		return nil, s.store.fault(err)
	}
	as := plainSettings()
	as.Size, as.Bed, as.Title = fmt.Sprintf("%dx%dmm", examples.LemonsWidthMm, examples.LemonsHeightMm), "white", "Lemons, laid dry"
	return s.add(ctx, &form{photo: f, name: "lemons.jpg"}, as)
}

func noPanel() error {
	return refuse(http.StatusNotFound, "there is no such panel", "go back to the list of panels")
}

// panel finds the panel that a request names.
func (s *Server) panel(r *http.Request) (*panel, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if p := s.panels[r.PathValue("id")]; p != nil {
		return p, nil
	}
	return nil, noPanel()
}

// all panels, those changed last first.
func (s *Server) all() []listed {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := []listed{}
	for _, p := range s.panels {
		out = append(out, p.listed())
	}
	slices.SortFunc(out, func(a, b listed) int {
		return cmp.Or(strings.Compare(b.Updated, a.Updated), strings.Compare(a.ID, b.ID))
	})
	return out
}

// others lets those panels rest that were looked at longest ago.
func (s *Server) others(but *panel) {
	type last struct {
		p  *panel
		at time.Time
	}
	var open []last
	s.mu.Lock()
	for _, p := range s.panels {
		p.mu.Lock()
		if p != but && (p.seen.report != nil || p.small != nil) && p.task == nil {
			open = append(open, last{p, p.used})
		}
		p.mu.Unlock()
	}
	s.mu.Unlock()
	slices.SortFunc(open, func(a, b last) int { return b.at.Compare(a.at) })
	for i := awake - 1; i < len(open); i++ {
		open[i].p.rest()
	}
}
