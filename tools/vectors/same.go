package main

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
)

// rounding is how much two numbers may differ and still be the same, of the greater of them and at least of one.
const rounding = 1e-10

// same reports whether two texts of JSON say the same but for the rounding of numbers.
func same(a, b []byte) bool {
	var x, y any
	return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && alike(x, y)
}

func alike(a, b any) bool {
	switch x := a.(type) {
	case float64:
		y, ok := b.(float64)
		return ok && math.Abs(x-y) <= rounding*max(1, math.Abs(x), math.Abs(y))
	case []any:
		y, ok := b.([]any)
		return ok && slices.EqualFunc(x, y, alike)
	case map[string]any:
		y, ok := b.(map[string]any)
		return ok && maps.EqualFunc(x, y, alike)
	}
	return a == b
}
