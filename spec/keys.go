package spec

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/invopop/jsonschema"
)

// FileKey is one key of a kind of file, as its reader takes it.
type FileKey struct {
	Path  string   // such as layout.throws[].angle
	Takes string   // what may stand there, in words; empty: keys of its own
	Range string   // which values are refused, in words; empty: none by themselves
	For   []string // arrangements that have it; nil: all
	Help  string   // what it is
}

// FileKind is a kind of file with its keys in the sequence of its type.
type FileKind struct {
	Word   string   // by which the files are named, such as engine
	Needed []string // paths that may not be left out
	Keys   []FileKey
}

// The keys that a file needs, beside those that follow from others.
var (
	engineNeeds = []string{"name", "cycle", "layout"}
	layoutNeeds = []string{"arrangement", "cylinders"}
	briefNeeds  = []string{"name", "priorities"}
	studyNeeds  = []string{"name", "base", "vary"}
	pricesNeeds = []string{"name", "reference", "prices"}
	jobNeeds    = []string{"planes", "sites"}
)

// FileKinds lists what may stand in every kind of file that people write, from the types that the readers fill. The error
// says that the doc comments of these types cannot be read.
func FileKinds() ([]FileKind, error) {
	help := map[string]string{}
	if err := fieldComments(help); err != nil {
		return nil, err
	}
	var out []FileKind
	for _, k := range []struct {
		word   string
		of     reflect.Type
		needed []string
	}{
		{"engine", reflect.TypeFor[Engine](), engineNeeded()},
		{"brief", reflect.TypeFor[BriefFile](), briefNeeds},
		{"study", reflect.TypeFor[StudyFile](), studyNeeds},
		{"prices", reflect.TypeFor[PriceTable](), pricesNeeds},
		{"balance", reflect.TypeFor[BalanceJob](), jobNeeds},
	} {
		w := keyWalk{help: help}
		if err := w.structure(k.of, "", nil); err != nil {
			return nil, err
		}
		out = append(out, FileKind{k.word, k.needed, w.list})
	}
	return out, nil
}

// engineNeeded are the paths that an engine file needs.
func engineNeeded() []string {
	out := slices.Clone(engineNeeds)
	for _, name := range layoutNeeds {
		out = append(out, "layout."+name)
	}
	return out
}

type keyWalk struct {
	help map[string]string
	list []FileKey
}

// structure lists the keys of a map.
func (w *keyWalk) structure(t reflect.Type, at string, only []string) error {
	fields := fieldsOf(t)
	for _, name := range fields.names {
		def := t.Field(fields.index[name])
		k := FileKey{
			Path: strings.TrimPrefix(at+"."+name, "."), For: only,
			Help: w.help["crankwright/spec."+t.Name()+"."+def.Name],
		}
		if f := def.Tag.Get("for"); f != "" {
			k.For = strings.Fields(f)
		}
		switch def.Tag.Get("limit") {
		case "size":
			k.Range = "1 mm to 5 m"
		case "positive":
			k.Range = "above 0"
		case "not negative":
			k.Range = "0 or more"
		}
		if err := w.value(def.Type, k); err != nil {
			return err
		}
	}
	return nil
}

// value lists one key, and those below it.
func (w *keyWalk) value(t reflect.Type, k FileKey) error {
	described, leaf := reflect.New(t).Elem().Interface().(interface{ JSONSchema() *jsonschema.Schema })
	switch {
	case t == reflect.TypeFor[StudyMeasures]():
		k.Takes = "a list of measures"
		w.list = append(w.list, k)
		return nil
	case leaf:
		var err error
		if k.Takes, err = takes(described.JSONSchema()); err != nil {
			return fmt.Errorf("%s: %w", k.Path, err)
		}
		w.list = append(w.list, k)
		return w.below(t, k)
	case t.Kind() == reflect.Slice:
		k.Takes = "a list"
		w.list = append(w.list, k)
		return w.structure(t.Elem(), k.Path+"[]", k.For)
	default:
		w.list = append(w.list, k)
		return w.structure(t, k.Path, k.For)
	}
}

// below lists what stands inside a value that can be a list or a map as well as a word.
func (w *keyWalk) below(t reflect.Type, k FileKey) error {
	switch t {
	case reflect.TypeFor[Cylinders]():
		return w.structure(reflect.TypeFor[Cylinder](), k.Path+"[]", []string{"custom"})
	case reflect.TypeFor[Counterweights]():
		factor := FileKey{Path: k.Path + ".balance_factor", For: k.For, Help: "Share of the sliding masses that the counterweights take."}
		if err := w.value(reflect.TypeFor[Quantity[Share]](), factor); err != nil {
			return err
		}
		return w.structure(reflect.TypeFor[Unbalance](), k.Path+"[]", k.For)
	}
	return nil
}

// takes says in words what a schema allows.
func takes(s *jsonschema.Schema) (string, error) {
	switch {
	case s.Comments != "":
		return s.Comments, nil
	case len(s.Enum) > 0:
		return typed(s.Enum), nil
	case s.Type == "integer":
		return "a whole number", nil
	case s.Type == "boolean":
		return "true or false", nil
	case s.Type == "array":
		of, err := takes(s.Items)
		return "a list: " + of, err
	case s.Type == "object" || s.Ref != "":
		return "a map", nil
	case s.Type == "string" || s.Type == "" && len(s.OneOf) > 0:
		return "a text", nil
	}
	var parts []string
	for _, one := range s.AnyOf {
		if one.Pattern != "" {
			continue // a list in quotes, for editors
		}
		text, err := takes(one)
		if err != nil {
			return "", err
		}
		parts = append(parts, text)
	}
	if len(parts) == 0 {
		return "", fmt.Errorf("there are no words for what it takes")
	}
	return strings.Join(parts, "; or "), nil
}

// typed lists words as they are typed; a number beside them is for editors.
func typed(words []any) string {
	var list []string
	for _, word := range words {
		if text, ok := word.(string); ok {
			list = append(list, "`"+text+"`")
		}
	}
	return strings.Join(list, ", ")
}
