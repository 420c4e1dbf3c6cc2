package bearing

import (
	"math"
	"math/cmplx"
	"testing"
)

// pilotBigEnd is an invented big end: a harbour pilot boat's diesel of 100 mm bore, in the rod's frame.
func pilotBigEnd(angles int, rpm float64) (Gap, Duty) {
	g := Gap{Diameter: 0.062, Width: 0.024, Clearance: 31e-6}
	d := Duty{Turns: 2, Speed: rpm * math.Pi / 30}
	for k := range angles {
		a := 4 * math.Pi * float64(k) / float64(angles)
		gas := 55e3 * math.Exp(-math.Pow(math.Mod(a+2*math.Pi, 4*math.Pi)-2*math.Pi-0.15, 2)/0.08)
		rod := math.Asin(0.29 * math.Sin(a))
		inertia := 1.9 * 0.055 * d.Speed * d.Speed * (math.Cos(a) + 0.29*math.Cos(2*a))
		turning := complex(0, 1.1*0.055*d.Speed*d.Speed) * cmplx.Rect(1, a+rod)
		d.Load = append(d.Load, complex(0, inertia-gas)+turning)
		d.Journal = append(d.Journal, d.Speed*(1+0.29*math.Cos(a)/math.Cos(rod)))
	}
	return g, d
}

func BenchmarkOrbitBigEnd720(b *testing.B) {
	g, d := pilotBigEnd(720, 2400)
	m, err := NewMobility(g.Ratio())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := FindOrbit(m, g, d, 0.009, 0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewMobility(b *testing.B) {
	for b.Loop() {
		if _, err := NewMobility(0.37); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSteadyReynolds(b *testing.B) {
	for b.Loop() {
		if _, err := SteadyReynolds(0.5, 0.8, AtWidest); err != nil {
			b.Fatal(err)
		}
	}
}
