package page

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
)

// source reads Go files and finds what they say to people. It knows no types: a
// function or a method is found by its name within its package.
type source struct {
	t     *testing.T
	fset  *token.FileSet
	rooms map[string]*room // by folder, from the root of the module
	found map[string]string
	done  map[string]bool
}

// room is one package.
type room struct {
	funcs   map[string][]*ast.FuncDecl
	values  map[string]ast.Expr // constants and variables
	structs map[string]*ast.StructType
	imports map[string]string // name → folder
}

// place is where an expression stands: what its names mean.
type place struct {
	room string
	fn   *ast.FuncDecl
	args map[string]ast.Expr // of fn's parameters, where one call is looked at
	from *place              // where the arguments stand
	nth  int                 // which of several results is meant, from 1; 0 = any
	deep int
}

// root of the module, seen from this package.
const root = "../.."

func newSource(t *testing.T) *source {
	return &source{t: t, fset: token.NewFileSet(), rooms: map[string]*room{}, found: map[string]string{}, done: map[string]bool{}}
}

// open parses a package.
func (s *source) open(dir string) *room {
	if r := s.rooms[dir]; r != nil {
		return r
	}
	r := &room{map[string][]*ast.FuncDecl{}, map[string]ast.Expr{}, map[string]*ast.StructType{}, map[string]string{}}
	s.rooms[dir] = r
	files, err := filepath.Glob(filepath.Join(root, dir, "*.go"))
	require.NoError(s.t, err)
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		require.NoError(s.t, err)
		f, err := parser.ParseFile(s.fset, name, text, parser.SkipObjectResolution)
		require.NoError(s.t, err)
		for _, i := range f.Imports {
			if in, ok := strings.CutPrefix(unquoted(i.Path.Value), "gapshade/"); ok {
				r.imports[in[strings.LastIndex(in, "/")+1:]] = in
			}
		}
		for _, d := range f.Decls {
			r.declare(d)
		}
	}
	return r
}

func (r *room) declare(d ast.Decl) {
	if f, ok := d.(*ast.FuncDecl); ok && f.Body != nil {
		r.funcs[f.Name.Name] = append(r.funcs[f.Name.Name], f)
		return
	}
	g, ok := d.(*ast.GenDecl)
	if !ok {
		return
	}
	for _, spec := range g.Specs {
		switch spec := spec.(type) {
		case *ast.TypeSpec:
			if st, ok := spec.Type.(*ast.StructType); ok {
				r.structs[spec.Name.Name] = st
			}
		case *ast.ValueSpec:
			for i, v := range spec.Values {
				r.values[spec.Names[i].Name] = v
			}
		}
	}
}

func unquoted(lit string) string {
	s, err := strconv.Unquote(lit)
	if err != nil {
		panic(err)
	}
	return s
}

// says takes down every sentence that an expression may be, and goes on into what is
// put into its places.
func (s *source) says(e ast.Expr, at place) {
	if at.deep++; at.deep > 12 {
		return
	}
	switch e := e.(type) {
	case *ast.BasicLit, *ast.BinaryExpr:
		s.take(s.shape(e, at), e)
	case *ast.ParenExpr:
		s.says(e.X, at)
	case *ast.Ident:
		s.name(e, at)
	case *ast.CallExpr:
		s.call(e, at)
	case *ast.SelectorExpr:
		s.field(e, at)
	case *ast.IndexExpr:
		s.says(e.X, at)
	case *ast.CompositeLit:
		if isName(e.Type, "Line") { // a sentence and its sources, which the page doesn't show
			s.says(e.Elts[0], at)
		}
		for _, el := range e.Elts {
			if _, one := e.Type.(*ast.Ident); !one { // a list; structs are heard by their fields
				s.says(el, at)
			}
		}
	}
}

// shape is a string as a format: what is put together of other than constants leaves
// a place, and is taken down by itself.
func (s *source) shape(e ast.Expr, at place) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind == token.STRING {
			return unquoted(e.Value)
		}
		return ""
	case *ast.ParenExpr:
		return s.shape(e.X, at)
	case *ast.BinaryExpr:
		if e.Op != token.ADD {
			return ""
		}
		left := s.shape(e.X, at)
		if strings.HasSuffix(left, "--") { // the name of a flag
			return left + "%s"
		}
		return left + s.shape(e.Y, at)
	case *ast.Ident:
		if arg := at.args[e.Name]; arg != nil {
			return s.shape(arg, *at.from)
		}
		if v, ok := s.open(at.room).values[e.Name].(*ast.BasicLit); ok && v.Kind == token.STRING {
			return unquoted(v.Value)
		}
	}
	s.says(e, at)
	return "%s"
}

// name follows a variable to all that it is ever set to in its function, and a
// constant to its value.
func (s *source) name(id *ast.Ident, at place) {
	if arg := at.args[id.Name]; arg != nil {
		from := *at.from
		from.deep = at.deep
		s.says(arg, from)
		return
	}
	local := false
	if at.fn != nil {
		key := at.room + " " + s.fset.Position(at.fn.Pos()).String() + " " + id.Name
		if at.args == nil && s.done[key] {
			return
		}
		s.done[key] = true
		local = s.set(id.Name, at)
	}
	if v := s.open(at.room).values[id.Name]; v != nil && !local {
		s.says(v, place{room: at.room, deep: at.deep})
	}
}

// set takes down what a local variable is set to.
func (s *source) set(name string, at place) (any bool) {
	ast.Inspect(at.fn.Body, func(n ast.Node) bool {
		a, ok := n.(*ast.AssignStmt)
		if !ok {
			return true
		}
		for i, l := range a.Lhs {
			if id, ok := l.(*ast.Ident); ok && id.Name == name {
				any = true
				if len(a.Rhs) < len(a.Lhs) {
					at.nth, i = i+1, 0
				}
				s.says(a.Rhs[i], at)
				at.nth = 0
			}
		}
		return true
	})
	return any
}

// call follows a call: into functions of this module, with what they are given; any
// other gives back what is put into it, in words.
func (s *source) call(c *ast.CallExpr, at place) {
	dir := at.room
	if sel, ok := c.Fun.(*ast.SelectorExpr); ok {
		if x, ok := sel.X.(*ast.Ident); ok && s.open(at.room).imports[x.Name] != "" {
			dir = s.open(at.room).imports[x.Name]
		}
	}
	fns := s.open(dir).funcs[called(c)]
	switch {
	case called(c) == "line" || called(c) == "Join":
		s.says(c.Args[0], at)
	case len(fns) == 0:
		s.saysAll(c.Args, at)
	}
	for _, fn := range fns {
		if !slices.Contains(speakers[dir].silent, fn.Name.Name) {
			s.returns(fn, place{room: dir, fn: fn, args: given(fn, c.Args), from: &at, nth: at.nth, deep: at.deep})
		}
	}
}

// saysAll takes down a format and what is put into its places, but for what is quoted
// (a person typed it) and names of flags.
func (s *source) saysAll(args []ast.Expr, at place) {
	var verbs [][]int
	format, from := "", len(args)
	for i, a := range args {
		if from == len(args) {
			if format = s.shape(a, at); format != "%s" && verb.MatchString(format) {
				from, verbs = i+1, verb.FindAllStringIndex(format, -1)
			}
		}
		if k := i - from; k >= 0 && k < len(verbs) && (strings.HasSuffix(format[:verbs[k][1]], "q") || strings.HasSuffix(format[:verbs[k][0]], "--")) {
			continue
		}
		s.says(a, at)
	}
}

// A verb of a format that takes an argument.
var verb = regexp.MustCompile(`%(?:\.\d+)?[dfgqsvw]`)

// given names the arguments of a call.
func given(fn *ast.FuncDecl, args []ast.Expr) map[string]ast.Expr {
	out, i := map[string]ast.Expr{}, 0
	for _, p := range fn.Type.Params.List {
		for _, n := range p.Names {
			if i < len(args) {
				out[n.Name] = args[i]
			}
			i++
		}
	}
	return out
}

// returns takes down what a function gives back.
func (s *source) returns(fn *ast.FuncDecl, in place) {
	ast.Inspect(fn.Body, func(n ast.Node) bool {
		r, ok := n.(*ast.ReturnStmt)
		if !ok {
			return true
		}
		for i, e := range r.Results {
			if nth := in.nth; nth == 0 || nth == i+1 || len(r.Results) < nth {
				in.nth = 0
				s.says(e, in)
				in.nth = nth
			}
		}
		if fn.Type.Results != nil && len(r.Results) == 0 {
			for _, res := range fn.Type.Results.List {
				for _, id := range res.Names {
					s.says(id, in)
				}
			}
		}
		return true
	})
}

// What joins sentences and clauses, at the ends of a piece: the page splits there. The
// flag before a value is left out there too, for the value stands in its own field.
var joints = regexp.MustCompile(`^ and $|^--[a-z-]+: |^(?:[.,;:]? |\)|\.$)+|[,;:]? $`)

// Units stay as they are, with their figures.
var units = strings.Fields("mm mm² cm cm² m m² kg g lb oz in in² ft ft² fl US qt mL L min px h C F")

// take keeps a sentence, unless it is all figures, units and places.
func (s *source) take(text string, at ast.Expr) {
	text = joints.ReplaceAllString(text, "")
	words := strings.FieldsFunc(verb.ReplaceAllString(strings.ReplaceAll(text, "%.*f", ""), " "), func(r rune) bool { return !unicode.IsLetter(r) && r != '²' })
	if slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(units, w) }) {
		s.found[text] = s.fset.Position(at.Pos()).String()
	}
}
