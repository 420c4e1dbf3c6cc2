package checks

import (
	"crankwright/mechanics/layout"
	"crankwright/mechanics/parts"
)

// counted lists the textbook's belts and chains, and what every engineer knows of heads, drives and bearings.
func (l *list) counted() {
	belt := func(id, what, printed string, want float64, wheels ...parts.Wheel) {
		l.add(Check{
			ID: "parts/belt/" + id, Chapter: "parts", Kind: ClosedForm, Source: "SHIGLEY", Place: "open belt, √(4C² − (D − d)²) + ½(D θ_D + d θ_d), θ = π ± 2 asin((D − d)/2C)",
			Seen: Recomputed, What: what, Unit: "m", Printed: printed, Want: want, Note: "formula from memory, value by hand",
			Ours: func() (float64, error) { return parts.Loop(wheels) },
		})
	}
	belt("open", "belt about pulleys of 200 and 400 mm, 600 mm apart", "2.159183", 2.159183, parts.Wheel{Radius: 0.1}, parts.Wheel{At: 0.6, Radius: 0.2})
	belt("equal", "belt about two pulleys of 200 mm, 600 mm apart: 2C + πd", "1.828319", 1.828319, parts.Wheel{Radius: 0.1}, parts.Wheel{At: 0.6i, Radius: 0.1})
	belt("corners", "belt about three pulleys of 100 mm on a triangle of 300, 400 and 500 mm: 1.2 + πd", "1.514159", 1.514159,
		parts.Wheel{Radius: 0.05}, parts.Wheel{At: 0.3, Radius: 0.05}, parts.Wheel{At: 0.3 + 0.4i, Radius: 0.05})
	l.add(Check{
		ID: "parts/chain/links", Chapter: "parts", Kind: ClosedForm, Source: "SHIGLEY", Place: "L/p = 2C/p + (z₁ + z₂)/2 + ((z₂ − z₁)/2π)² p/C", Seen: Recomputed,
		What: "links of a chain of 12.7 mm about 21 and 42 teeth, 250 mm apart, before they are rounded up", Unit: "1", Printed: "71.4376", Want: 71.4376,
		Tol: 0.02, TolWhy: "the textbook's formula is the first term of a series; the exact tangents differ by 0.01 links", Note: "formula from memory, value by hand",
		Ours: func() (float64, error) {
			const pitch, turn = 0.0127, 2 * 3.141592653589793
			length, err := parts.Loop([]parts.Wheel{{Radius: 21 * pitch / turn}, {At: 0.25, Radius: 42 * pitch / turn}})
			return length / pitch, err
		},
	})
	trade := func(id, place, what, printed string, want float64, t *layout.Train, of func(*parts.List) float64) {
		l.add(Check{
			ID: "parts/trade/" + id, Chapter: "parts", Kind: CommonPractice, Source: "PRACTICE", Place: place, Seen: Memory, What: what, Unit: "1", Printed: printed, Want: want,
			Ours: func() (float64, error) {
				found, err := parts.Count(t)
				if err != nil {
					return 0, err
				}
				return of(found), nil
			},
		})
	}
	heads := func(l *parts.List) float64 { return float64(l.Heads) }
	drives := func(l *parts.List) float64 { return float64(len(l.Drives)) }
	mains := func(l *parts.List) float64 { return float64(l.Mains) }
	four, vee := inline(0, 180, 180, 0).train(), vee(90, 0, 0).train()
	trade("inline-head", "an in-line has one head", "heads of an in-line four", "1", 1, four, heads)
	trade("inline-drive", "an in-line has one camshaft drive", "camshaft drives of an in-line four", "1", 1, four, drives)
	trade("inline-mains", "a four with a main on each side of every throw has five", "main bearings of an in-line four", "5", 5, four, mains)
	trade("vee-heads", "a vee has two heads", "heads of a 90° vee twin", "2", 2, vee, heads)
	trade("vee-drives", "a vee has two camshaft drives", "camshaft drives of a 90° vee twin", "2", 2, vee, drives)
	trade("vee-mains", "a vee twin on one throw has two mains", "main bearings of a 90° vee twin", "2", 2, vee, mains)
}
