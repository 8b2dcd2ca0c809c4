package page

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"fmt"
	"net/http"
	"path"
	"strings"
)

// secretHeader carries the secret. A cookie would not do: browsers send a cookie of
// one loopback port to every other.
const secretHeader = "Gapshade-Secret"

// newSecret is 128 random bits in hex.
func newSecret() string {
	b := make([]byte, 16)
	rand.Read(b) // never fails (Go 1.24)
	return hex.EncodeToString(b)
}

// policy lets the page use its own files and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; " +
	"base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// guard decides who may ask at all, before anything else runs.
type guard struct {
	secret string
	hosts  map[string]bool // names by which this server may be called, with the port
	origin *http.CrossOriginProtection
	next   http.Handler
}

func newGuard(port int, secret string, next http.Handler) *guard {
	g := &guard{secret: secret, hosts: map[string]bool{}, origin: http.NewCrossOriginProtection(), next: next}
	// An exact list. A name that merely ends in localhost may belong to anybody, and
	// any name may be made to point here.
	for _, name := range []string{"127.0.0.1", "localhost", "[::1]"} {
		g.hosts[fmt.Sprintf("%s:%d", name, port)] = true
	}
	return g
}

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
	if err := g.check(r); err != nil {
		fail(w, err)
		return
	}
	g.next.ServeHTTP(w, r)
}

// check refuses strangers. What it says is the same for each of them, but for who
// has merely lost the secret.
func (g *guard) check(r *http.Request) error {
	stranger := refuse(http.StatusForbidden, "this request does not come from the page", "open the address that gapshade page printed")
	if !g.hosts[r.Host] {
		return stranger
	}
	// Fetch metadata, on reading too: another site must not even learn what is here.
	if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
		return stranger
	}
	if from := r.Header.Get("Origin"); from != "" && from != "http://"+r.Host {
		return stranger
	}
	if g.origin.Check(r) != nil {
		return stranger
	}
	if !plainPath(r) {
		return refuse(http.StatusNotFound, "there is no such page", "open the address that gapshade page printed")
	}
	if strings.HasPrefix(r.URL.Path, "/api/") && !g.knows(r.Header.Values(secretHeader)) {
		return refuse(http.StatusForbidden, "the secret of this page is missing or an old one", "open the address that gapshade page printed last")
	}
	return nil
}

// knows compares in constant time.
func (g *guard) knows(said []string) bool {
	return len(said) == 1 && subtle.ConstantTimeCompare([]byte(said[0]), []byte(g.secret)) == 1
}

// plainPath refuses paths that mean something else than they say: escapes, dots,
// doubled strokes, backslashes, control characters.
func plainPath(r *http.Request) bool {
	p := r.URL.Path
	return r.URL.RawPath == "" && p != "" && p[0] == '/' && path.Clean(p) == p && !strings.ContainsFunc(p, func(c rune) bool {
		return c <= ' ' || c == '\\' || c == '%' || c >= 0x7f
	})
}
