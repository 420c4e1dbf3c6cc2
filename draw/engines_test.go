package draw

import (
	"fmt"
	"math"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// build makes a plain train: bore 86, stroke 86, rod 143 mm; each cylinder on its throw.
type build struct {
	name    string
	pins    []float64 // pin angles [deg]
	pinAt   []float64 // axial places [m]
	pair    []int
	banks   []float64    // axes [deg]
	cyl     [][3]float64 // throw, bank, x
	known   bool         // widths and diameters of the crank
	cycle   layout.Cycle
	order   []int
	exhaust []string
}

func (b build) train() *layout.Train {
	t := &layout.Train{Name: b.name, Bore: 0.086, Cycle: b.cycle, FiringOrder: b.order, Speeds: layout.Speeds{Rated: 628}}
	for i, a := range b.pins {
		pair := i
		if b.pair != nil {
			pair = b.pair[i]
		}
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint(i + 1), At: b.pinAt[i], Angle: num.Degrees(a), Radius: 0.043, Unbalance: 0.03, Pair: pair})
	}
	for i, a := range b.banks {
		t.Banks = append(t.Banks, layout.Bank{Name: string(rune('A' + i)), Axis: num.Degrees(a)})
	}
	for i, c := range b.cyl {
		bank := int(c[1])
		cyl := layout.Cylinder{
			Name: fmt.Sprint(i + 1), Throw: int(c[0]), Bank: bank, At: c[2], Axis: num.Degrees(b.banks[bank]),
			Piston: layout.Piston{Mass: 0.42, CompressionHeight: 0.031},
			Rod:    layout.Rod{Length: 0.143, Mass: 0.55, CG: 0.04, Inertia: 0.0021},
		}
		if b.exhaust != nil {
			cyl.Exhaust = b.exhaust[i]
		}
		t.Cylinders = append(t.Cylinders, cyl)
	}
	first, last := math.Inf(1), math.Inf(-1)
	for _, x := range b.pinAt {
		first, last = math.Min(first, x), math.Max(last, x)
	}
	t.Reference = (first + last) / 2
	if b.known {
		t.Crank = layout.CrankGeometry{
			MainJournal: layout.Journal{Diameter: 0.056, Width: 0.026}, Crankpin: layout.Journal{Diameter: 0.048, Width: 0.026},
			Web: layout.Web{Thickness: 0.019, Width: 0.09}, Fillet: 0.002,
		}
	}
	return t
}

func spaced(n int, by float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = by * float64(i)
	}
	return out
}

func inline(name string, pins ...float64) build {
	b := build{name: name, pins: pins, pinAt: spaced(len(pins), 0.098), banks: []float64{0}, known: true}
	for i := range pins {
		b.cyl = append(b.cyl, [3]float64{float64(i), 0, b.pinAt[i]})
	}
	return b
}

func vee(name string, bank float64, pins ...float64) build {
	b := build{name: name, pins: pins, pinAt: spaced(len(pins), 0.106), banks: []float64{bank / 2, -bank / 2}}
	for i := range pins {
		b.cyl = append(b.cyl, [3]float64{float64(i), 0, b.pinAt[i] - 0.011}, [3]float64{float64(i), 1, b.pinAt[i] + 0.011})
	}
	return b
}

func opposed(name string, n int) build {
	b := build{name: name, banks: []float64{90, -90}, known: true}
	for i := range n {
		throw := i / 2
		b.pinAt = append(b.pinAt, 0.115*float64(throw)+0.04*float64(i%2))
		b.pins = append(b.pins, 180*float64(i%2)+360/float64(n/2)*float64(throw))
		b.pair = append(b.pair, 2*throw)
		b.cyl = append(b.cyl, [3]float64{float64(i), float64(i % 2), b.pinAt[i]})
	}
	return b
}

// engines are the trains of the snapshots, by short name.
func engines(tb testing.TB) map[string]*analysis.Result {
	tb.Helper()
	trains := map[string]*layout.Train{
		"single":      inline("Single", 0).train(),
		"i4":          inline("Inline four, flat-plane", 0, 180, 180, 0).train(),
		"v8":          vee("V8 90°, cross-plane <test> & \"co\"", 90, 0, 90, 270, 180).train(),
		"boxer4":      opposed("Opposed four, own pins", 4).train(),
		"twin":        counterweighted(),
		"shafts":      shafted(),
		"radial5":     radial(5),
		"marine56":    huge(),
		"bare-single": bare(),
	}
	out := map[string]*analysis.Result{}
	for name, t := range trains {
		r, err := analysis.Run(t, analysis.Options{})
		if err != nil {
			tb.Fatalf("%s: %v", name, err)
		}
		out[name] = r
	}
	return out
}

func counterweighted() *layout.Train {
	t := vee("V-twin 90°, one pin, counterweighted", 90, 0).train()
	for _, x := range []float64{-0.037, 0.037} {
		t.Counterweights = append(t.Counterweights, layout.Unbalance{At: x, Angle: num.Turn / 2, Amount: 0.032, Throw: 1})
	}
	return t
}

func shafted() *layout.Train {
	t := inline("Inline four with two second-order balance shafts, a name that is far too long to stand in one line", 0, 180, 180, 0).train()
	t.Cylinders[2].Piston.Mass = 0.5
	t.Rotation = layout.Clockwise
	for i, y := range []float64{-0.11, 0.11} {
		ratio := 2.0
		if i == 1 {
			ratio = -2
		}
		t.Shafts = append(t.Shafts, layout.Shaft{
			SpeedRatio: ratio, Y: y, Z: 0.03,
			Masses: []layout.Unbalance{{At: 0.147, Angle: num.Turn / 2, Amount: 0.0034}},
		})
	}
	return t
}

func radial(n int) *layout.Train {
	b := build{name: "Radial five, master and link rods", pins: []float64{0}, pinAt: []float64{0}}
	for i := range n {
		b.banks = append(b.banks, 360/float64(n)*float64(i))
		b.cyl = append(b.cyl, [3]float64{0, float64(i), 0})
	}
	t := b.train()
	for i := range t.Cylinders {
		t.Cylinders[i].Rod.Length = 0.19
		if i > 0 {
			rod := &t.Cylinders[i].Rod
			rod.Linked, rod.Master, rod.KnuckleRadius = true, 0, 0.045
			rod.KnuckleAngle = t.Cylinders[i].Axis
			rod.Length = 0.145
		}
	}
	return t
}

// huge has 56 cylinders of 0.6 m bore.
func huge() *layout.Train {
	pins := make([]float64, 28)
	for i := range pins {
		pins[i] = float64(i*90%360) + 7*float64(i%3)
	}
	t := vee("Marine vee fifty-six", 50, pins...).train()
	t.Bore = 0.6
	for i := range t.Throws {
		t.Throws[i].Radius, t.Throws[i].At = 0.35, t.Throws[i].At*12
	}
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		c.At *= 12
		c.Rod = layout.Rod{Length: 1.4, Mass: 700, CG: 0.4, Inertia: 180}
		c.Piston = layout.Piston{Mass: 500}
		c.Exhaust = fmt.Sprint("pipe ", i/7+1)
	}
	t.Reference *= 12
	t.Speeds.Rated = 50
	return t
}

// bare knows nothing but what the inertia needs, and is very small.
func bare() *layout.Train {
	t := build{name: "", pins: []float64{0}, pinAt: []float64{0}, banks: []float64{0}, cyl: [][3]float64{{0, 0, 0}}, cycle: layout.TwoStroke}.train()
	t.Bore = 0
	t.Throws[0].Radius, t.Throws[0].Unbalance = 0.004, 0
	t.Cylinders[0].Piston = layout.Piston{Mass: 1e-6}
	t.Cylinders[0].Rod = layout.Rod{Length: 0.014, Mass: 1e-6, CG: 0.004, Inertia: 1e-12}
	t.Speeds.Rated = 1
	return t
}
