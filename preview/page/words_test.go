package page

import (
	"encoding/json"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// catalogue reads the words of a language.
func catalogue(t *testing.T, language string) map[string]string {
	t.Helper()
	b, err := fs.ReadFile(assets, "assets/words/"+language+".json")
	require.NoError(t, err)
	words := map[string]string{}
	require.NoError(t, json.Unmarshal(b, &words))
	return words
}

var placeholder = regexp.MustCompile(`\{\w+\}`)

// A sentence has the same key and the same figures in it in both languages.
func TestWordsAreTheSameInBothLanguages(t *testing.T) {
	en, de := catalogue(t, "en"), catalogue(t, "de")
	assert.Equal(t, slices.Sorted(maps.Keys(en)), slices.Sorted(maps.Keys(de)))
	for key, text := range en {
		assert.NotEmpty(t, de[key], key)
		assert.ElementsMatch(t, placeholder.FindAllString(text, -1), placeholder.FindAllString(de[key], -1), key)
	}
}

var (
	named   = regexp.MustCompile(`data-word(?:-label|-placeholder)?="([^"]+)"`)                      // in the page
	spoken  = regexp.MustCompile(`\b(?:say|has)\(\s*'([^']+)'`)                                      // say('key'
	pieced  = regexp.MustCompile("(?:say|has)\\(\\s*`([^`]+)`|wordLabel: `([^`]+)`|word: `([^`]+)`") // say(`step.${name}`
	hole    = regexp.MustCompile(`\$\{[^}]+\}`)
	literal = regexp.MustCompile(`'([a-z]+(?:\.[a-z_A-Z0-9-]+)+)'`) // any other 'a.b' that is a key
)

// asked collects the keys that the page's files ask for: whole ones, and patterns
// where a part is put in by the program.
func asked(t *testing.T) (whole map[string]string, patterns map[string]*regexp.Regexp, all string) {
	t.Helper()
	whole, patterns = map[string]string{}, map[string]*regexp.Regexp{}
	var text strings.Builder
	require.NoError(t, fs.WalkDir(assets, "assets", func(name string, d fs.DirEntry, err error) error {
		if ext := path.Ext(name); err != nil || ext != ".js" && ext != ".html" {
			return err
		}
		b, err := fs.ReadFile(assets, name)
		text.Write(b)
		for _, re := range []*regexp.Regexp{named, spoken} {
			for _, m := range re.FindAllStringSubmatch(string(b), -1) {
				whole[m[1]] = name
			}
		}
		for _, m := range pieced.FindAllStringSubmatch(string(b), -1) {
			p := m[1] + m[2] + m[3]
			parts := hole.Split(p, -1)
			for i := range parts {
				parts[i] = regexp.QuoteMeta(parts[i])
			}
			patterns[p] = regexp.MustCompile("^" + strings.Join(parts, ".*") + "$")
		}
		return err
	}))
	return whole, patterns, text.String()
}

// plural says that a key stands for one and for many.
func plural(words map[string]string, key string) bool { return words[key+".other"] != "" }

func TestPageAsksForNoWordThatIsMissing(t *testing.T) {
	words := catalogue(t, "en")
	whole, patterns, _ := asked(t)
	require.Greater(t, len(whole), 100, "the keys are found at all")
	require.NotEmpty(t, patterns)
	for key, file := range whole {
		// has('job.x') asks whether there is one, and then says the same.
		assert.True(t, words[key] != "" || plural(words, key), "%s asks for %q", file, key)
	}
	for text, re := range patterns {
		assert.True(t, slices.ContainsFunc(slices.Collect(maps.Keys(words)), re.MatchString), "no key is like %q", text)
	}
}

func TestCatalogueHasNoWordThatNobodyAsksFor(t *testing.T) {
	words := catalogue(t, "en")
	whole, patterns, text := asked(t)
	for _, m := range literal.FindAllStringSubmatch(text, -1) {
		whole[m[1]] = "" // keys kept in tables
	}
	// Patterns that are all hole match everything and say nothing.
	maps.DeleteFunc(patterns, func(p string, _ *regexp.Regexp) bool {
		return hole.ReplaceAllString(p, "") == "" || strings.HasPrefix(p, "${")
	})
	faults := regexp.MustCompile(`^fault\.\w+\.(what|why|next)$`) // put together in fault.js
	for key := range words {
		stem := strings.TrimSuffix(strings.TrimSuffix(key, ".one"), ".other")
		_, known := whole[key]
		_, many := whole[stem]
		like := false
		for _, re := range patterns {
			like = like || re.MatchString(key) || re.MatchString(stem)
		}
		assert.True(t, known || many || like || faults.MatchString(key), "nobody asks for %q", key)
	}
}
