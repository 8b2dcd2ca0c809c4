package page

import (
	"encoding/json"
	"go/ast"
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// speech is what of a package reaches the page in words.
type speech struct {
	calls  map[string][]int // functions: which arguments are sentences; what comes after the last fills places
	fields []string         // of structs, set in a literal or by an assignment
	whole  []string         // functions and constants that are sentences themselves
	silent []string         // functions that only the command calls, left out on purpose
}

// Who speaks.
var speakers = map[string]speech{
	"preview": {calls: map[string][]int{"note": {1}, "usage": {0, 1}, "Errorf": {0}}, fields: []string{"What", "Why", "Next"},
		silent: []string{"OpenMarks", "marksFault"}}, // a painted picture as a file: the page sends strokes
	"preview/said": {calls: map[string][]int{"usage": {0, 1}}, fields: []string{"What", "Next"}},
	"preview/page": {calls: map[string][]int{"refuse": {1, 2}, "misread": {0, 1}}, fields: []string{"What", "Why", "Next"},
		silent: []string{"Open", "openStore"}}, // before there is a page
	"preview/folder":   {fields: []string{"What", "Why", "Next"}},
	"preview/quantity": {calls: map[string][]int{"refuse": {0, 1}, "caution": {0, 2}}, fields: []string{"What", "Next", "Line"}, whole: []string{"Overrule"}},
	"preview/photo": {calls: map[string][]int{"note": {1}, "unreadable": {0}, "unsupported": {0, 1}, "overLimit": {0}, "declined": {1}}, fields: []string{"Why", "Next"},
		silent: []string{"OpenFile"}}, // a file by its path
	"preview/contrast": {fields: []string{"Name", "Where"}, whole: []string{"Reason"}},
	"preview/grout": {calls: map[string][]int{"Errorf": {0}},
		silent: []string{"Choose", "pick", "read", "columns", "fromLab", "fromHex", "Named"}}, // a file of shades, a shade by its name: the page sends colours
	"preview/chips": {whole: []string{"ErrNoSheet", "ErrNoChips", "ErrTooMany", "ErrOff", "ErrSmall", "ErrNoColour"}},
	"preview/light": {whole: []string{"ErrOff", "ErrClipped", "ErrSmall"}},
	"segment":       {fields: []string{"Why"}, whole: []string{"errStroke"}},
	"colormath":     {whole: []string{"errNoMap"}},
	"colormath/icc": {calls: map[string][]int{"broken": {0}}, fields: []string{"Text"}},
}

// hear takes down all that a package says on the page.
func (s *source) hear(dir string, what speech) {
	for name, fns := range s.open(dir).funcs {
		if slices.Contains(what.silent, name) {
			continue
		}
		for _, fn := range fns {
			at := place{room: dir, fn: fn}
			ast.Inspect(fn.Body, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.CallExpr:
					s.hearCall(n, what.calls[called(n)], at)
				case *ast.CompositeLit:
					if list, ok := n.Type.(*ast.ArrayType); ok {
						for _, row := range n.Elts {
							if lit, ok := row.(*ast.CompositeLit); ok && lit.Type == nil {
								lit.Type = list.Elt
							}
						}
					}
					s.hearLiteral(n, what.fields, at)
				case *ast.AssignStmt:
					for i, l := range n.Lhs {
						if sel, ok := l.(*ast.SelectorExpr); ok && slices.Contains(what.fields, sel.Sel.Name) {
							s.says(n.Rhs[min(i, len(n.Rhs)-1)], at)
						}
					}
				}
				return true
			})
		}
	}
	for _, name := range what.whole {
		s.says(&ast.CallExpr{Fun: ast.NewIdent(name)}, place{room: dir})
		s.says(ast.NewIdent(name), place{room: dir})
	}
}

func called(c *ast.CallExpr) string {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

func (s *source) hearCall(c *ast.CallExpr, sentences []int, at place) {
	if len(sentences) == 0 || len(c.Args) <= slices.Max(sentences) {
		return
	}
	for _, i := range sentences {
		s.says(c.Args[i], at)
	}
	if more := c.Args[slices.Max(sentences)+1:]; len(more) > 0 && called(c) != "caution" { // whose more are sources
		for _, i := range sentences {
			if format := s.shape(c.Args[i], at); format != "%s" && verb.MatchString(format) {
				s.saysAll(append([]ast.Expr{c.Args[i]}, more...), at)
			}
		}
	}
}

func (s *source) hearLiteral(lit *ast.CompositeLit, fields []string, at place) {
	st := &ast.StructType{Fields: &ast.FieldList{}} // of another package: its fields are always named
	if id, ok := lit.Type.(*ast.Ident); ok && s.open(at.room).structs[id.Name] != nil {
		st = s.open(at.room).structs[id.Name]
	}
	if isName(lit.Type, "Caution") || isName(lit.Type, "Dispute") { // the first is heard where it is made; the second stands on the job sheet only
		return
	}
	for _, f := range fields {
		if e := cell(lit, st, f); e != nil {
			s.says(e, at)
		}
	}
}

// sentencesOf reads the German of the program's sentences.
func sentencesOf(t *testing.T) map[string]string {
	t.Helper()
	b, err := fs.ReadFile(assets, "assets/words/sentences.de.json")
	require.NoError(t, err)
	table := map[string]string{}
	require.NoError(t, json.Unmarshal(b, &table))
	return table
}

// Every sentence of the program that can stand on the page has a German pattern, and
// every pattern is still said by somebody.
//
// The test reads the packages' source: in each, the arguments of the calls and the
// fields named in speakers, with all that flows into them: through variables, functions
// of the module, tables and what is put into formats. What is put together leaves a
// place (%s). Left out are: what only the command says (silent); names of flags, and
// whatever a person typed (%q); what the operating system or a library says; and the
// words of the job sheet, which is a paper of its own (its steps stand on the page by
// their keys, see TestEveryStepOfTheClockHasItsWords).
func TestEverySentenceHasItsGerman(t *testing.T) {
	s := newSource(t)
	for dir, what := range speakers {
		s.hear(dir, what)
	}
	require.Greater(t, len(s.found), 400, "the sentences are found at all")
	table := sentencesOf(t)
	for text, where := range s.found {
		if table[text] == "" {
			t.Errorf("no German for %q, said in %s", text, where)
		}
	}
	for text := range table {
		if s.found[text] == "" {
			t.Errorf("nobody says %q any more", text)
		}
	}
}

var numbered = regexp.MustCompile(`\{(\d)!?\}`)

// Names of flags stand in these, and the page has its own for them.
var unsaid = []string{"--%s is longer than %d letters", "--%s holds a control character", "such as --%s %s"}

func TestGermanSentencesHaveThePlacesOfTheEnglish(t *testing.T) {
	for english, german := range sentencesOf(t) {
		assert.NotEmpty(t, german, english)
		assert.NotContains(t, german, "--", english)
		var want, got []string
		for i := range verb.FindAllString(strings.ReplaceAll(english, "%%", ""), -1) {
			want = append(want, strconv.Itoa(i+1))
		}
		for _, m := range numbered.FindAllStringSubmatch(german, -1) {
			got = append(got, m[1])
		}
		if slices.Contains(unsaid, english) {
			assert.Subset(t, want, got, english)
			continue
		}
		assert.ElementsMatch(t, want, got, english)
	}
}

// The clock's steps come as keys, and the page words them itself.
func TestEveryStepOfTheClockHasItsWords(t *testing.T) {
	s := newSource(t)
	s.hear("preview/quantity", speech{fields: []string{"Key"}})
	require.Len(t, s.found, 13) // nine of a round by either clock, four of the days after
	for _, language := range []string{"en", "de"} {
		words := catalogue(t, language)
		for step := range s.found {
			assert.NotEmpty(t, words["clock."+step], step)
			assert.NotEmpty(t, words["clock."+step+".do"], step)
		}
	}
}
