package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gapshade/preview/quantity"
)

type object = map[string]any

func decode(t *testing.T, b []byte) any {
	t.Helper()
	var v any
	require.NoError(t, json.Unmarshal(b, &v))
	return v
}

// checker applies the keywords that the schema uses, as JSON Schema draft
// 2020-12 defines them, and refuses any other.
type checker struct{ root object }

// keyword checks one value against one keyword of its schema.
type keyword func(c *checker, s object, v any) error

func keywords() map[string]keyword {
	return map[string]keyword{
		"$ref": func(c *checker, s object, v any) error {
			return c.check(c.root["$defs"].(object)[strings.TrimPrefix(s["$ref"].(string), "#/$defs/")].(object), v)
		},
		"const": func(_ *checker, s object, v any) error { return must(v == s["const"], "is %v, not %v", v, s["const"]) },
		"enum": func(_ *checker, s object, v any) error {
			return must(slices.Contains(s["enum"].([]any), v), "%v is not listed", v)
		},
		"type": func(_ *checker, s object, v any) error {
			return must(hasType(s["type"], v), "%v is no %v", v, s["type"])
		},
		"pattern": func(_ *checker, s object, v any) error {
			text, ok := v.(string)
			return must(!ok || regexp.MustCompile(s["pattern"].(string)).MatchString(text), "%q does not match", text)
		},
		"minimum": func(_ *checker, s object, v any) error {
			n, ok := v.(float64)
			return must(!ok || n >= s["minimum"].(float64), "%g is too small", n)
		},
		"exclusiveMinimum": func(_ *checker, s object, v any) error {
			n, ok := v.(float64)
			return must(!ok || n > s["exclusiveMinimum"].(float64), "%g is too small", n)
		},
		"maximum": func(_ *checker, s object, v any) error {
			n, ok := v.(float64)
			return must(!ok || n <= s["maximum"].(float64), "%g is too large", n)
		},
		"minItems": func(_ *checker, s object, v any) error {
			a, ok := v.([]any)
			return must(!ok || float64(len(a)) >= s["minItems"].(float64), "too short")
		},
		"maxItems": func(_ *checker, s object, v any) error {
			a, ok := v.([]any)
			return must(!ok || float64(len(a)) <= s["maxItems"].(float64), "too long")
		},
		"items": func(c *checker, s object, v any) error {
			a, _ := v.([]any)
			for i, e := range a {
				if err := c.check(s["items"].(object), e); err != nil {
					return fmt.Errorf("[%d] %w", i, err)
				}
			}
			return nil
		},
		"required": func(_ *checker, s object, v any) error {
			o, ok := v.(object)
			for _, k := range s["required"].([]any) {
				if _, has := o[k.(string)]; ok && !has {
					return fmt.Errorf("%v is missing", k)
				}
			}
			return nil
		},
		"properties": func(c *checker, s object, v any) error {
			o, _ := v.(object)
			props := s["properties"].(object)
			for _, k := range slices.Sorted(maps.Keys(props)) {
				if e, has := o[k]; has {
					if err := c.check(props[k].(object), e); err != nil {
						return fmt.Errorf("%s: %w", k, err)
					}
				}
			}
			return nil
		},
	}
}

// silent keywords say nothing about validity.
var silent = []string{"$schema", "$id", "$defs", "title", "description"}

func (c *checker) check(s object, v any) error {
	for _, k := range slices.Sorted(maps.Keys(s)) {
		if slices.Contains(silent, k) {
			continue
		}
		if k == "not" {
			if c.check(s["not"].(object), v) == nil {
				return fmt.Errorf("matches what it must not")
			}
			continue
		}
		apply, ok := keywords()[k]
		if !ok {
			return fmt.Errorf("keyword %q is not known to this checker", k)
		}
		if err := apply(c, s, v); err != nil {
			return err
		}
	}
	return nil
}

func must(ok bool, format string, args ...any) error {
	if ok {
		return nil
	}
	return fmt.Errorf(format, args...)
}

func hasType(want, v any) bool {
	if list, ok := want.([]any); ok {
		return slices.ContainsFunc(list, func(w any) bool { return hasType(w, v) })
	}
	switch x := v.(type) {
	case nil:
		return want == "null"
	case string:
		return want == "string"
	case float64:
		return want == "number" || want == "integer" && x == math.Trunc(x)
	case bool:
		return want == "boolean"
	case []any:
		return want == "array"
	case object:
		return want == "object"
	}
	return false
}

func schemaChecker(t *testing.T) *checker {
	return &checker{root: decode(t, Schema()).(object)}
}

func reportValue(t *testing.T, r Report) object {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, JSON(&buf, r))
	return decode(t, buf.Bytes()).(object)
}

func TestReportsMatchTheSchema(t *testing.T) {
	c := schemaChecker(t)
	assert.NoError(t, c.check(c.root, reportValue(t, FromProof(canned(), cannedFiles))))
	p := canned()
	p.Frame.MmPerPx, p.Notes, p.Trials = 0, nil, nil
	assert.NoError(t, c.check(c.root, reportValue(t, FromProof(p, nil))))
	full := FromProof(canned(), nil)
	full.Shades[0].DampLab, full.Shades[0].AfarLab = &[3]float64{1, 2, 3}, &[3]float64{1, 2, 3}
	full.Shades[0].At = []Seen{{DistanceM: 2, MergedGroups: 1}}
	r, _ := planned(t)
	assert.NoError(t, c.check(c.root, reportValue(t, r)))
	full.Job = r.Job
	full.Job.NarrowShare = new(.1)
	full.Job.Given = quantity.Given{Title: "t", SizeMm: &[2]float64{2, 1}, TileMm: &[2]float64{2, 1}, JointMm: 1, ThicknessMm: 1, SizeVariationMm: 1, EdgeMm: 1,
		PotLifeMin: 1, Kind: quantity.Sanded, Material: quantity.Metal, Place: quantity.Wet, Clock: quantity.ByTouch, Units: quantity.US, Start: "2026-05-04T10:00"}
	v := reportValue(t, full)
	v["added_later"] = "fields are only added"
	assert.NoError(t, c.check(c.root, v))
}

// Each damage must be seen, or the schema says nothing.
func TestSchemaRefusesDamage(t *testing.T) {
	shade := func(o object) object { return o["shades"].([]any)[0].(object) }
	job := func(o object) object { return o["job"].(object) }
	whole, _ := planned(t)
	for name, damage := range map[string]func(o object){
		"other version":    func(o object) { o["schema"] = "gapshade.report/2" },
		"no notes":         func(o object) { delete(o, "notes") },
		"short hash":       func(o object) { o["photo"].(object)["sha256"] = "00" },
		"eight numbers":    func(o object) { o["frame"].(object)["photo_to_frame"] = make([]any, 8) },
		"no scale":         func(o object) { delete(o["frame"].(object), "mm_per_px") },
		"scale of nothing": func(o object) { o["frame"].(object)["mm_per_px"] = 0. },
		"two widths":       func(o object) { g := o["gaps"].(object); g["width_px"] = g["width_mm"] },
		"share over one":   func(o object) { o["gaps"].(object)["share"] = 1.5 },
		"half a tile":      func(o object) { o["tiles"].(object)["count"] = 1.5 },
		"capital id":       func(o object) { shade(o)["id"] = "Mid" },
		"rank zero":        func(o object) { shade(o)["rank"] = 0. },
		"no median":        func(o object) { delete(shade(o)["contrast"].(object)["hyab"].(object), "p50") },
		"no list":          func(o object) { shade(o)["at"] = nil },
		"odd depth":        func(o object) { shade(o)["depth"] = "medium" },
		"no powder":        func(o object) { delete(job(o)["powder_kg"].(object), "net") },
		"negative powder":  func(o object) { job(o)["powder_kg"].(object)["buy"] = -1. },
		"odd kind":         func(o object) { job(o)["kind"] = "auto" },
		"odd schedule":     func(o object) { job(o)["schedule"] = "soon" },
		"half a minute":    func(o object) { job(o)["clock"].([]any)[0].(object)["start"] = .5 },
		"odd time":         func(o object) { job(o)["clock"].([]any)[0].(object)["start_time"] = "10:00" },
		"no cautions":      func(o object) { delete(job(o), "cautions") },
		"no units":         func(o object) { delete(job(o)["given"].(object), "units") },
		"small is a word":  func(o object) { job(o)["powder_kg"].(object)["small"] = "yes" },
	} {
		c, v := schemaChecker(t), reportValue(t, whole)
		require.NoError(t, c.check(c.root, v))
		damage(v)
		assert.Error(t, c.check(c.root, v), name)
	}
}

// The struct and the schema name the same fields, at every depth.
func TestSchemaMirrorsTheStruct(t *testing.T) {
	root := schemaChecker(t).root
	mirror(t, "report", root, root, reflect.TypeFor[Report]())
}

func mirror(t *testing.T, path string, root, s object, typ reflect.Type) {
	if ref, ok := s["$ref"].(string); ok {
		s = root["$defs"].(object)[strings.TrimPrefix(ref, "#/$defs/")].(object)
	}
	switch typ.Kind() {
	case reflect.Pointer:
		mirror(t, path, root, s, typ.Elem())
	case reflect.Slice, reflect.Array:
		mirror(t, path+"[]", root, s["items"].(object), typ.Elem())
	case reflect.Struct:
		props := s["properties"].(object)
		var names []string
		for i := range typ.NumField() {
			tag := typ.Field(i).Tag.Get("json")
			name, _, optional := strings.Cut(tag, ",")
			names = append(names, name)
			if assert.Contains(t, props, name, path) {
				mirror(t, path+"."+name, root, props[name].(object), typ.Field(i).Type)
			}
			assert.Equal(t, !optional, slices.Contains(s["required"].([]any), any(name)), "%s.%s required", path, name)
		}
		assert.ElementsMatch(t, names, slices.Collect(maps.Keys(props)), path)
	}
}
