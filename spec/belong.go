package spec

import (
	"reflect"
	"slices"
	"strings"
)

// Belongs tells whether a key of an engine file can stand in a file with an arrangement, such as layout.bank_angle with vee.
func Belongs(key, arrangement string) bool {
	steps := splitPath(key)
	if len(steps) < 2 || steps[0] != "layout" {
		return true
	}
	fields := fieldsOf(reflect.TypeFor[Layout]())
	k, ok := fields.index[steps[1]]
	if !ok {
		return true
	}
	homes := strings.Fields(reflect.TypeFor[Layout]().Field(k).Tag.Get("for"))
	return len(homes) == 0 || slices.Contains(homes, arrangement)
}

// LayoutKeys lists the keys of the section layout.
func LayoutKeys() []string {
	t := reflect.TypeFor[Layout]()
	var list []string
	for i := range t.NumField() {
		if key := t.Field(i).Tag.Get("yaml"); key != "" && key != "-" {
			list = append(list, "layout."+key)
		}
	}
	return list
}
