package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// arrows says who may import whom. Each line is a room, what it may import of
// this project, and what from outside beyond the standard library. A room may
// only name rooms above its own line, so the arrows can't turn round. Capitals
// stand for the group of rooms that is spelled out below the table.
//
//	cmd → page → folder → {sheet, report, job} → preview → {photo, light, grout, contrast, quantity} → segment → colormath
const arrows = `
colormath         : -                         : go-colorful
colormath/icc     : colormath                 : -
colormath/imgdiff : colormath                 : -
segment/net       : -                         : -
segment/score     : -                         : -
segment/pair      : colormath                 : -
segment           : METHOD                    : -
preview/photo     : colormath colormath/icc   : heic x/image
preview/light     : colormath segment         : -
preview/grout     : colormath segment LIGHT   : -
preview/contrast  : colormath segment LIGHT   : -
preview/quantity  : colormath                 : -
preview/chips     : colormath LIGHT           : -
preview           : colormath segment MAKERS  : -
preview/sheet     : BELOW                     : imaging x/image
preview/report    : BELOW                     : -
preview/job       : BELOW                     : fpdf golang-ical x/image
preview/folder    : BELOW SHEETS              : -
preview/said      : BELOW                     : -
examples          : -                         : -
preview/page      : BELOW PAPERS SAMPLES      : -
cmd/gapshade      : BELOW PAPERS SAMPLES PAGE : cobra pflag

METHOD  = colormath segment/net segment/pair
LIGHT   = preview/light
MAKERS  = preview/photo preview/light preview/grout preview/contrast preview/quantity
BELOW   = preview colormath segment MAKERS
SHEETS  = preview/sheet preview/report preview/job
PAPERS  = SHEETS preview/folder preview/said
SAMPLES = preview/chips examples
PAGE    = preview/page
`

// onlyShowers are the parts of the standard library that make pages.
var onlyShowers = []string{"net/http", "html/template"}

// forTests may be used by any test: the assertions, the script engine, the
// libraries that serve as second opinions, and the rooms that compare pictures
// and maps.
var forTests = []string{"testify", "go-internal", "go-colorful", "imaging", "x/image", "colormath/imgdiff", "segment/score"}

// short names of the modules from outside, as the table has them.
var modules = map[string]string{
	"github.com/lucasb-eyer/go-colorful": "go-colorful", "github.com/gen2brain/heic": "heic", "golang.org/x/image": "x/image",
	"github.com/disintegration/imaging": "imaging", "codeberg.org/go-pdf/fpdf": "fpdf", "github.com/arran4/golang-ical": "golang-ical",
	"github.com/spf13/cobra": "cobra", "github.com/spf13/pflag": "pflag", "github.com/stretchr/testify": "testify",
	"github.com/rogpeppe/go-internal": "go-internal",
}

// room is one line of the table, groups spelled out.
type room struct{ own, outside []string }

// rooms reads the table.
func rooms(t *testing.T) (map[string]room, []string) {
	t.Helper()
	groups, out, order := map[string][]string{}, map[string]room{}, []string(nil)
	for line := range strings.Lines(arrows) {
		if name, list, ok := strings.Cut(line, "="); ok {
			groups[strings.TrimSpace(name)] = strings.Fields(list)
		}
	}
	var spell func(names []string) []string
	spell = func(names []string) (all []string) {
		for _, n := range names {
			switch g, ok := groups[n]; {
			case ok:
				all = append(all, spell(g)...)
			case n != "-":
				all = append(all, n)
			}
		}
		return all
	}
	for line := range strings.Lines(arrows) {
		if f := strings.Split(line, ":"); len(f) == 3 {
			name := strings.TrimSpace(f[0])
			out[name] = room{spell(strings.Fields(f[1])), spell(strings.Fields(f[2]))}
			order = append(order, name)
		}
	}
	require.Len(t, out, 22)
	return out, order
}

// listed is what the go command says about a package.
type listed struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
	CgoFiles                           []string
	Standard                           bool
	Error                              *struct{ Err string }
}

func goList(t *testing.T, cgo string, args ...string) []listed {
	t.Helper()
	c := exec.Command("go", append([]string{"list", "-json=ImportPath,Imports,TestImports,XTestImports,CgoFiles,Standard,Error"}, args...)...)
	c.Dir = filepath.Join("..", "..")
	c.Env = append(os.Environ(), "CGO_ENABLED="+cgo)
	var errOut bytes.Buffer
	c.Stderr = &errOut
	b, err := c.Output()
	require.NoError(t, err, errOut.String())
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(b)); d.More(); {
		var p listed
		require.NoError(t, d.Decode(&p))
		all = append(all, p)
	}
	return all
}

// wrong names the imports that the table doesn't allow.
func wrong(all map[string]room, path string, imports []string, test bool) (faults []string) {
	name := strings.TrimPrefix(path, "gapshade/")
	key := name
	if strings.HasPrefix(name, "cmd/") {
		key = "cmd/gapshade" // whatever stands in cmd is a command
	}
	r, known := all[key]
	if !known {
		return []string{name + " is not in the table of arrows"}
	}
	shower := strings.HasPrefix(key, "preview/") && slices.Contains(r.own, "preview")
	for _, imp := range imports {
		own, ok := strings.CutPrefix(imp, "gapshade/")
		switch {
		case imp == "C" || imp == "unsafe":
			ok = false
		case ok:
			ok = slices.Contains(r.own, own) || test && (own == name || slices.Contains(forTests, own))
		case strings.Contains(strings.Split(imp, "/")[0], "."):
			m := outsideName(imp)
			ok = slices.Contains(r.outside, m) || test && slices.Contains(forTests, m)
		default:
			ok = !slices.Contains(onlyShowers, imp) || shower || test
		}
		if !ok {
			faults = append(faults, name+" → "+imp)
		}
	}
	return faults
}

// outsideName is the short name of the module that a package belongs to.
func outsideName(imp string) string {
	for path, name := range modules {
		if imp == path || strings.HasPrefix(imp, path+"/") {
			return name
		}
	}
	return imp
}

func TestArrows(t *testing.T) {
	all, _ := rooms(t)
	seen := 0
	for _, p := range goList(t, "1", "./...") {
		seen++
		assert.Empty(t, wrong(all, p.ImportPath, p.Imports, false))
		assert.Empty(t, wrong(all, p.ImportPath, slices.Concat(p.TestImports, p.XTestImports), true), "tests")
		assert.Empty(t, p.CgoFiles, p.ImportPath)
	}
	require.GreaterOrEqual(t, seen, 14)
}

// The table itself goes one way: a room names only rooms above its line.
func TestArrowsGoOneWay(t *testing.T) {
	all, order := rooms(t)
	for i, name := range order {
		for _, own := range all[name].own {
			assert.Contains(t, order[:i], own, "%s → %s", name, own)
		}
		for _, o := range all[name].outside {
			assert.Contains(t, fmt.Sprint(modules), o)
		}
	}
}

// Without C the whole program still builds, and what lies below the showers
// reaches no network and no page maker, not even by way of others.
func TestNothingBelowReachesTheNetwork(t *testing.T) {
	for _, p := range goList(t, "0", "-deps", "-e", "./cmd/gapshade") {
		assert.Nil(t, p.Error, p.ImportPath)
		assert.Empty(t, p.CgoFiles, p.ImportPath)
	}
	for _, p := range goList(t, "0", "-deps", "./preview", "./preview/quantity") {
		assert.NotContains(t, onlyShowers, p.ImportPath)
	}
}

// The checker sees what it is there for.
func TestArrowCheckerSeesFaults(t *testing.T) {
	all, _ := rooms(t)
	for _, c := range []struct {
		room, imp string
		test      bool
	}{
		{"preview/light", "gapshade/preview", false},                      // a maker imports the parent
		{"preview/report", "gapshade/preview/sheet", false},               // a shower imports another
		{"preview/photo", "gapshade/segment", false},                      // reading needs no finding
		{"segment", "gapshade/preview/photo", false},                      // upwards
		{"colormath", "gapshade/segment", false},                          // upwards
		{"preview/sheet", "gapshade/examples", false},                     // examples are the command's
		{"preview/grout", "html/template", false},                         // pages are the showers'
		{"preview", "net/http", false},                                    //
		{"preview/light", "github.com/disintegration/imaging", false},     // never on the measured path
		{"preview/contrast", "github.com/lucasb-eyer/go-colorful", false}, // colormath's alone
		{"preview/page", "github.com/spf13/pflag", false},                 // flags are the command's
		{"preview/page", "gapshade/cmd/gapshade", true},                   // nobody imports the command
		{"segment/net", "C", false},                                       //
		{"colormath", "gapshade/colormath/imgdiff", false},                // the comparer is for tests
		{"preview/report", "github.com/stretchr/testify/assert", false},   // so are assertions
		{"preview/newroom", "fmt", false},                                 // a room nobody wrote down
	} {
		assert.Len(t, wrong(all, "gapshade/"+c.room, []string{c.imp}, c.test), 1, "%s → %s", c.room, c.imp)
	}
	assert.Empty(t, wrong(all, "gapshade/preview/page", []string{"gapshade/preview/sheet", "net/http"}, false))
	assert.Empty(t, wrong(all, "gapshade/colormath", []string{"gapshade/colormath/imgdiff"}, true))
}
