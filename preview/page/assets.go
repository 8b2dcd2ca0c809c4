package page

import (
	"embed"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

//go:embed assets
var assets embed.FS

// types of the page's files; what the system thinks of them doesn't matter.
var types = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".json": "application/json; charset=utf-8", ".png": "image/png", ".woff2": "font/woff2",
}

// asset answers with one of the page's files, / with the page.
func asset(w http.ResponseWriter, r *http.Request) {
	name := "assets/index.html"
	if r.URL.Path != "/" {
		name = strings.TrimPrefix(r.URL.Path, "/")
	}
	b, err := fs.ReadFile(assets, name)
	kind := types[path.Ext(name)]
	if err != nil || kind == "" {
		fail(w, refuse(http.StatusNotFound, "there is no such page", "open the address that gapshade page printed"))
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Write(b)
}
