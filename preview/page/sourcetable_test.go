package page

import "go/ast"

// Sentences that stand in tables of structs; the rest of reading the source is in
// source_test.go.

// field follows x.f where x goes through a table of structs.
func (s *source) field(e *ast.SelectorExpr, at place) {
	x, ok := e.X.(*ast.Ident)
	if !ok {
		return
	}
	if dir, ok := s.open(at.room).imports[x.Name]; ok {
		s.says(e.Sel, place{room: dir, deep: at.deep})
		return
	}
	if at.fn == nil {
		return
	}
	ast.Inspect(at.fn.Body, func(n ast.Node) bool {
		if r, ok := n.(*ast.RangeStmt); ok && isName(r.Value, x.Name) {
			s.rows(r.X, e.Sel.Name, at)
		}
		return true
	})
}

func isName(e ast.Expr, name string) bool {
	id, ok := e.(*ast.Ident)
	return ok && id.Name == name
}

// rows takes down one field of every row of a table: a literal, or a variable or a
// function of the package that gives one.
func (s *source) rows(table ast.Expr, field string, at place) {
	r := s.open(at.room)
	switch t := table.(type) {
	case *ast.Ident:
		if v := r.values[t.Name]; v != nil {
			s.rows(v, field, at)
			return
		}
		ast.Inspect(at.fn.Body, func(n ast.Node) bool {
			if a, ok := n.(*ast.AssignStmt); ok && isName(a.Lhs[0], t.Name) {
				if lit, ok := a.Rhs[0].(*ast.CompositeLit); ok {
					s.rows(lit, field, at)
				}
			}
			return true
		})
	case *ast.CallExpr:
		if id, ok := t.Fun.(*ast.Ident); ok {
			for _, fn := range r.funcs[id.Name] {
				ast.Inspect(fn.Body, func(n ast.Node) bool {
					if ret, ok := n.(*ast.ReturnStmt); ok && len(ret.Results) == 1 {
						s.rows(ret.Results[0], field, at)
					}
					return true
				})
			}
		}
	case *ast.CompositeLit:
		list, ok := t.Type.(*ast.ArrayType)
		if !ok {
			return
		}
		st, ok := list.Elt.(*ast.StructType)
		if id, named := list.Elt.(*ast.Ident); named {
			st, ok = r.structs[id.Name], r.structs[id.Name] != nil
		}
		if !ok {
			return
		}
		for _, row := range t.Elts {
			if lit, ok := row.(*ast.CompositeLit); ok {
				s.says(cell(lit, st, field), at)
			}
		}
	}
}

// cell is one field of a row.
func cell(row *ast.CompositeLit, st *ast.StructType, field string) ast.Expr {
	i := 0
	for _, f := range st.Fields.List {
		names := f.Names
		if id, ok := f.Type.(*ast.Ident); ok && names == nil { // embedded
			names = []*ast.Ident{id}
		}
		for _, n := range names {
			if n.Name == field && i < len(row.Elts) {
				if _, keyed := row.Elts[i].(*ast.KeyValueExpr); !keyed {
					return row.Elts[i]
				}
			}
			i++
		}
	}
	for _, el := range row.Elts {
		if kv, ok := el.(*ast.KeyValueExpr); ok && isName(kv.Key, field) {
			return kv.Value
		}
	}
	return nil
}
