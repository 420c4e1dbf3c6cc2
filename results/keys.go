package results

import (
	"fmt"
	"slices"
	"strings"

	"crankwright/spec"
)

// find returns the column that a key means: the key itself, its name in Parquet files, or the end of a key where only
// one column has it, such as bank_angle for layout.bank_angle. The error suggests what may have been meant.
func (f *Folder) find(key string) (int, error) {
	if strings.EqualFold(key, candidateField) {
		return candidateColumn, nil
	}
	var ends []int
	for i, c := range f.fields {
		if c.Key == key || c.Field == key {
			return i, nil
		}
		if strings.HasSuffix(strings.ToLower(c.Key), "."+strings.ToLower(key)) || strings.EqualFold(c.Key, key) {
			ends = append(ends, i)
		}
	}
	switch len(ends) {
	case 1:
		return ends[0], nil
	case 0:
		if near := spec.Nearest(key, f.words()); near != "" {
			return 0, fmt.Errorf("there is no %s in this study; is %s meant?", key, near)
		}
		return 0, fmt.Errorf("there is no %s in this study; it has %s", key, f.some())
	}
	names := make([]string, len(ends))
	for i, c := range ends {
		names[i] = f.fields[c].Key
	}
	return 0, fmt.Errorf("%s can be %s; write the whole key", key, strings.Join(names, " or "))
}

// words are all keys, and their short forms.
func (f *Folder) words() []string {
	list := []string{candidateField}
	for i, c := range f.fields {
		list = append(list, c.Key)
		if short := f.short(i); short != c.Key {
			list = append(list, short)
		}
	}
	return list
}

// some names the keys, as many as can be read.
func (f *Folder) some() string {
	const most = 12
	list := []string{}
	for i := range min(len(f.fields), most) {
		list = append(list, f.short(i))
	}
	if len(f.fields) > most {
		return strings.Join(list, ", ") + fmt.Sprintf(" and %d more", len(f.fields)-most)
	}
	return strings.Join(list, ", ")
}

// short returns the last part of a column's key where that means no other column, otherwise the key.
func (f *Folder) short(c int) string {
	key := f.fields[c].Key
	last := key[strings.LastIndexByte(key, '.')+1:]
	for i, other := range f.fields {
		if i != c && (strings.EqualFold(other.Key, last) || strings.HasSuffix(strings.ToLower(other.Key), "."+strings.ToLower(last))) {
			return key
		}
	}
	if strings.EqualFold(last, candidateField) {
		return key
	}
	return last
}

// findAll returns the columns of some keys; none means all.
func (f *Folder) findAll(keys []string) ([]int, error) {
	if len(keys) == 0 {
		list := make([]int, len(f.fields))
		for i := range list {
			list[i] = i
		}
		return list, nil
	}
	list := []int{}
	for _, k := range keys {
		c, err := f.find(strings.TrimSpace(k))
		if err != nil {
			return nil, err
		}
		if !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	return list, nil
}
