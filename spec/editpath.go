package spec

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

var pathForm = regexp.MustCompile(`^[a-z][a-z0-9_]*(\[[0-9]{1,3}\])*(\.[a-z][a-z0-9_]*(\[[0-9]{1,3}\])*)*$`)

// pathSteps cuts a path into its steps and holds them against the types of a kind of file.
func pathSteps(whole reflect.Type, path string) ([]string, *EditError) {
	if !pathForm.MatchString(path) || len(path) > 200 {
		return nil, &EditError{Path: clip(path), What: "this is no path of " + fileOf(whole), Allowed: "write keys with points, such as rod.length or layout.pins[1]"}
	}
	steps := splitPath(path)
	if key, ok := strings.CutPrefix(path, "vary."); ok && whole == reflect.TypeFor[StudyFile]() {
		steps = []string{"vary", key} // the keys of vary have points themselves
	}
	t := whole
	for i, step := range steps {
		next, near := stepInto(t, step)
		if next == nil {
			e := &EditError{Path: path, What: fmt.Sprintf("there is no %q in %s", step, namedIn(whole, steps[:i]))}
			if near != "" {
				e.Allowed = fmt.Sprintf("did you mean %q?", near)
			}
			return nil, e
		}
		t = next
	}
	return steps, nil
}

// fileOf is what people call a kind of file.
func fileOf(whole reflect.Type) string {
	if whole == reflect.TypeFor[BriefFile]() {
		return "a brief"
	}
	if whole == reflect.TypeFor[StudyFile]() {
		return "a study"
	}
	return "an engine file"
}

func namedIn(whole reflect.Type, steps []string) string {
	if len(steps) == 0 {
		return fileOf(whole)
	}
	return pathOf(steps)
}

// pathOf is the inverse of splitPath.
func pathOf(steps []string) string {
	var b strings.Builder
	for i, s := range steps {
		switch {
		case isIndex(s):
			b.WriteString("[" + s + "]")
		case i > 0:
			b.WriteString("." + s)
		default:
			b.WriteString(s)
		}
	}
	return b.String()
}

func isIndex(step string) bool { return step != "" && step[0] >= '0' && step[0] <= '9' }

// stepInto returns the type that a key or an index leads to, nil where it leads nowhere.
func stepInto(t reflect.Type, step string) (next reflect.Type, near string) {
	if isIndex(step) {
		if t.Kind() == reflect.Slice {
			return t.Elem(), ""
		}
		if t.Kind() == reflect.Struct {
			for _, name := range []string{"List", "Lists"} {
				if f, ok := t.FieldByName(name); ok {
					return f.Type.Elem(), ""
				}
			}
		}
		return nil, ""
	}
	if k, ok := reflect.New(t).Interface().(keyed); ok {
		if k.takes(step) {
			return k.valueType(), ""
		}
		return nil, Nearest(step, k.keys())
	}
	if t == reflect.TypeFor[Counterweights]() {
		t = reflect.TypeFor[balanceFactor]()
	}
	if t.Kind() != reflect.Struct {
		return nil, ""
	}
	fields := fieldsOf(t)
	if i, ok := fields.index[step]; ok {
		return t.Field(i).Type, ""
	}
	return nil, Nearest(step, fields.names)
}

// typeOf returns the type at a path that pathSteps has found right.
func typeOf(whole reflect.Type, steps []string) reflect.Type {
	t := whole
	for _, step := range steps {
		if t, _ = stepInto(t, step); t == nil {
			return nil
		}
	}
	return t
}

// keysBefore returns the keys that stand before a key in the order of the types.
func keysBefore(whole reflect.Type, steps []string) []string {
	t := typeOf(whole, steps[:len(steps)-1])
	if t == nil || t.Kind() != reflect.Struct {
		return nil
	}
	names := fieldsOf(t).names
	if k, ok := reflect.New(t).Interface().(keyed); ok {
		names = k.keys()
	}
	return names[:max(0, slices.Index(names, steps[len(steps)-1]))]
}

func index(step string) int {
	i, err := strconv.Atoi(step)
	if err != nil {
		return -1
	}
	return i
}
