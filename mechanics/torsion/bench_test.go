package torsion

import "testing"

// A crank of eight throws with pulley, flywheel, damper and a driven line: 12 discs.
func eightThrows(b *testing.B) (*Model, *Excitation) {
	train := pilotBoat([]float64{0, 180, 90, 270, 270, 90, 180, 0}, 0)
	c := crank(b, train, CrankSetting{
		Loss: 0.02, CylinderDamping: 2, FreeEnd: []Part{{Name: "pulley", Inertia: 0.01}},
		Drive: []Part{{Name: "propeller", Inertia: 0.3, Stiffness: 5e4}},
	})
	d, err := ViscousDamper(0.2, 1500, 0.4)
	if err != nil {
		b.Fatal(err)
	}
	m, err := c.With(0, d, 0)
	if err != nil {
		b.Fatal(err)
	}
	e := excited(b, c, train, 300, 24)
	e.Gas, e.Inertia = append(e.Gas, nil), append(e.Inertia, nil)
	return m, e
}

// 200 speeds and 24 orders with synthesis over the cycle, one excitation for all speeds.
func BenchmarkSweep(b *testing.B) {
	m, e := eightThrows(b)
	speeds := make([]float64, 200)
	for i := range speeds {
		speeds[i] = 60 + 3*float64(i)
	}
	for b.Loop() {
		if _, err := Run(m, speeds, []*Excitation{e}, 24); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkModes(b *testing.B) {
	m, _ := eightThrows(b)
	for b.Loop() {
		if _, err := Modes(m); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewCrank(b *testing.B) {
	train := crossVee()
	for b.Loop() {
		if _, err := NewCrank(train, CrankSetting{}); err != nil {
			b.Fatal(err)
		}
	}
}
