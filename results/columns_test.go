package results

import (
	"math"
	"slices"
	"testing"
)

func TestColumnsOfAll(t *testing.T) {
	f := ran(t, usual)
	kept, _ := whole(t, usual)
	c, err := f.Columns(t.Context(), []string{"bank_angle", "counterweights", "firing_evenness"}, 1_000_000)
	if err != nil || !slices.Equal(c.Index, kept.Index) || !c.Whole || c.Kept != uint64(kept.Len()) {
		t.Fatal(err, len(c.Index), kept.Len(), c.Whole, c.Kept)
	}
	for k, column := range []int{0, 1, 5} {
		for i, x := range kept.Values[column] {
			if y := c.Columns[k].Values[i]; y != float32(x) && !(math.IsNaN(x) && y != y) {
				t.Fatalf("%s of %d: %g and %g", c.Columns[k].Key, kept.Index[i], x, y)
			}
		}
	}
	if c.Columns[0].Texts != nil || c.Columns[0].Unit != "deg" || !slices.Equal(c.Columns[1].Texts, inventedWords) {
		t.Error(c.Columns[0].Texts, c.Columns[1].Texts)
	}
}

// Thinned rows are exactly as many as asked for, in sequence, one of every run, and every value of the fastest axis is
// among them in about its share.
func TestColumnsAreThinnedEvenly(t *testing.T) {
	f := ran(t, usual)
	kept, _ := whole(t, usual)
	c, err := f.Columns(t.Context(), []string{"stroke"}, 870)
	if err != nil || len(c.Index) != 870 || len(c.Columns[0].Values) != 870 {
		t.Fatal(err, len(c.Index))
	}
	share := map[float32]int{}
	for i, n := range c.Index {
		at, ok := slices.BinarySearch(kept.Index, n)
		if from, to := i*kept.Len()/870, (i+1)*kept.Len()/870; !ok || at < from || at >= to {
			t.Fatalf("row %d is %d, not of %d to %d", i, at, from, to)
		}
		share[c.Columns[0].Values[i]]++
	}
	for stroke, n := range share {
		if n < 15 || n > 45 { // 29 strokes are kept: 30 each
			t.Errorf("stroke %g is there %d times", stroke, n)
		}
	}
	if len(share) != 29 {
		t.Error(len(share), "strokes")
	}
	if _, err := f.Columns(t.Context(), nil, 0); err == nil {
		t.Error("no points are taken")
	}
}
