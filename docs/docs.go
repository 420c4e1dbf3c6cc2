// Package docs holds the list of sources that every formula, proportion and published value names by its
// key: docs/sources.toml, as values.
package docs

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
)

//go:embed sources.toml
var text []byte

// Source is one entry of the list of sources.
type Source struct {
	Key     string `json:"key" toml:"-" jsonschema_description:"under which the program names it"`
	Title   string `json:"title" toml:"title" jsonschema_description:"of the text or library"`
	Authors string `json:"authors,omitempty" toml:"authors" jsonschema_description:"as the text prints them; left out: none is named"`
	Year    string `json:"year,omitempty" toml:"-" jsonschema_description:"of publication; left out: unknown"`
	Kind    string `json:"kind" toml:"kind" jsonschema_description:"how far it was seen: read, memory, common practice, definition, independent library"`
	Note    string `json:"note,omitempty" toml:"note" jsonschema_description:"where it was read, and how far"`
}

// Cite names the source in one line: authors, title, year.
func (s Source) Cite() string {
	parts := []string{}
	for _, p := range []string{s.Authors, s.Title, s.Year} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}

// Sources returns the whole list, sorted by key. The list is part of the program: an error in it is a
// mistake of ours, found by the tests.
var Sources = sync.OnceValue(func() []Source {
	list, err := read(text)
	if err != nil {
		panic(fmt.Sprintf("docs/sources.toml: %v", err))
	}
	return list
})

// Find returns the source of a key; ok is false where the list has none.
func Find(key string) (s Source, ok bool) {
	i, ok := slices.BinarySearchFunc(Sources(), key, func(s Source, k string) int { return strings.Compare(s.Key, k) })
	if !ok {
		return Source{}, false
	}
	return Sources()[i], true
}

// Cited returns the sources of keys, each once, sorted by key. Keys without an entry are left out.
func Cited(keys []string) []Source {
	keys = slices.Compact(slices.Sorted(slices.Values(keys)))
	out := []Source{}
	for _, k := range keys {
		if s, ok := Find(k); ok {
			out = append(out, s)
		}
	}
	return out
}

func read(data []byte) ([]Source, error) {
	var tables map[string]struct {
		Source
		Year any `toml:"year"`
	}
	if err := toml.Unmarshal(data, &tables); err != nil {
		return nil, err
	}
	var list []Source
	for key, t := range tables {
		s := t.Source
		s.Key = key
		if t.Year != nil {
			s.Year = fmt.Sprint(t.Year)
		}
		list = append(list, s)
	}
	slices.SortFunc(list, func(a, b Source) int { return strings.Compare(a.Key, b.Key) })
	return list, nil
}
