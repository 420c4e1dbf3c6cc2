package analysis_test

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
)

// FuzzRun breaks trains at random: whatever stands in a field, Validate and Run must refuse it or give
// a result without NaN or infinity, and never panic.
func FuzzRun(f *testing.F) { f.Fuzz(rapid.MakeFuzz(brokenTrain)) }

// TestBrokenTrains is the same as a property, so that every run of the tests tries some.
func TestBrokenTrains(t *testing.T) { rapid.Check(t, brokenTrain) }

func brokenTrain(t *rapid.T) {
	train := anyTrain(t)
	var floats, ints []reflect.Value
	collect(reflect.ValueOf(train).Elem(), &floats, &ints)
	special := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e300, 1e-300, 1e9, -1e9, 1e-9, 5e-324}
	for range rapid.IntRange(0, 3).Draw(t, "breaks") {
		v := floats[rapid.IntRange(0, len(floats)-1).Draw(t, "field")]
		v.SetFloat(rapid.OneOf(rapid.SampledFrom(special), rapid.Float64()).Draw(t, "value"))
	}
	if rapid.Bool().Draw(t, "break an index") {
		v := ints[rapid.IntRange(0, len(ints)-1).Draw(t, "index")]
		v.SetInt(int64(rapid.IntRange(-3, 70).Draw(t, "to")))
	}
	if rapid.Bool().Draw(t, "give an order") {
		train.FiringOrder = rapid.SliceOfN(rapid.IntRange(-1, 8), 0, 8).Draw(t, "order")
	}
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		if err.Error() == "" {
			t.Fatal("an error without words")
		}
		return
	}
	finite(t, "result", reflect.ValueOf(*r), map[uintptr]bool{})
	for _, f := range r.Figures() {
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
			t.Fatalf("%s is %g", f.Key, f.Value)
		}
	}
}

// collect gathers every number of a value that can be set.
func collect(v reflect.Value, floats, ints *[]reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		*floats = append(*floats, v)
	case reflect.Int:
		*ints = append(*ints, v)
	case reflect.Struct:
		for i := range v.NumField() {
			collect(v.Field(i), floats, ints)
		}
	case reflect.Slice:
		for i := range v.Len() {
			collect(v.Index(i), floats, ints)
		}
	}
}

// finite walks a result and fails on the first number that is not finite.
func finite(t *rapid.T, path string, v reflect.Value, seen map[uintptr]bool) {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			t.Fatalf("%s is %g", path, f)
		}
	case reflect.Complex128:
		c := v.Complex()
		if s := real(c) + imag(c); math.IsNaN(s) || math.IsInf(s, 0) {
			t.Fatalf("%s is %v", path, c)
		}
	case reflect.Pointer:
		if !v.IsNil() && !seen[v.Pointer()] {
			seen[v.Pointer()] = true
			finite(t, path, v.Elem(), seen)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finite(t, path+"."+v.Type().Field(i).Name, v.Field(i), seen)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			finite(t, path+"[]", v.Index(i), seen)
		}
	}
}
