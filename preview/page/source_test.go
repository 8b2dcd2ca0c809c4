package page

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

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
