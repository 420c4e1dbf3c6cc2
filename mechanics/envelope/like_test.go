package envelope

import (
	"reflect"
	"testing"

	"crankwright/mechanics/layout"
)

// TestSizeIsOf holds what is taken over from another engine against what is computed anew, to the last digit.
func TestSizeIsOf(t *testing.T) {
	like, err := Size(leaning(), nil)
	if err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*layout.Train){
		"nothing":      func(*layout.Train) {},
		"the throws":   func(u *layout.Train) { u.Throws[0].Angle += 0.3 },
		"the lean":     func(u *layout.Train) { u.Cylinders[0].Axis += 0.3 },
		"the rod":      func(u *layout.Train) { u.Cylinders[0].Rod.Length *= 1.01 },
		"the wall":     func(u *layout.Train) { u.Block.Wall *= 1.4 },
		"the skirt":    func(u *layout.Train) { u.Block.SkirtDepth *= 1.2 },
		"the big end":  func(u *layout.Train) { u.Block.BigEndWidth *= 1.1 },
		"the bores":    func(u *layout.Train) { u.Block.BoreLength *= 0.9 },
		"the crankpin": func(u *layout.Train) { u.Crank.Crankpin.Diameter += 0.002 },
		"the rotation": func(u *layout.Train) { u.Rotation = layout.Clockwise },
		"a weight": func(u *layout.Train) {
			u.Counterweights, u.Block.CounterweightRadius = []layout.Unbalance{{Amount: 0.01}}, 0.1
		},
	} {
		u := leaning()
		change(u)
		want, err := Of(u)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		got, err := Size(u, like)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if want.Clearances == nil || got.Clearances != nil {
			t.Errorf("%s: clearances %v, of Size %v", name, want.Clearances, got.Clearances)
		}
		shared := got.round == like.round
		if may := name == "nothing" || name == "the throws" || name == "the rotation"; shared != may {
			t.Errorf("%s: the crankcase of the other engine serves: %v", name, shared)
		}
		want.Clearances = nil
		if !reflect.DeepEqual(want, got) {
			t.Errorf("%s: Size is not Of", name)
		}
	}
}
