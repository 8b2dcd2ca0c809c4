package page

import (
	"go/ast"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

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
