package torsion

import (
	"fmt"
	"math"
)

// ThrowShape is what the stiffness of a crank throw depends on, from the middle of one main journal to the middle
// of the next.
type ThrowShape struct {
	Journal       Section
	JournalLength float64 // between the webs [m]
	Pin           Section
	PinLength     float64 // between the webs [m]
	Radius        float64 // crank radius [m]
	Web           float64 // thickness of a web along the crank [m]
	WebWidth      float64 // across the throw [m]
}

// ThrowStiffness is the stiffness of a throw by both formulas.
type ThrowStiffness struct {
	Carter, KerWilson float64 // [N m/rad]
	Mean              float64 // [N m/rad]
	Spread            float64 // how far apart the two are, over their mean [1]
	Overlap           float64 // of pin and journal, negative where a gap is between them [m]
	Beyond            bool    // so much overlap that the web part of the Ker Wilson formula would be negative; it is taken as 0
}

// Formula names a way to find the stiffness of a throw.
type Formula int

// The two published formulas, and what lies between them.
const (
	MeanOfBoth Formula = iota
	Carter             // for stiff webs and slender pins
	KerWilson          // for stiff pins and slender webs
)

// String returns the formula in the words of people [-]. Definition.
func (f Formula) String() string {
	return [...]string{"mean of both", "Carter", "Ker Wilson"}[max(0, min(f, KerWilson))]
}

// Check says why a throw cannot exist, nil where it can.
//
// Lengths in its message are in [mm]. Definition.
func (t ThrowShape) Check() error {
	if err := t.Journal.Check("main journal"); err != nil {
		return err
	}
	if err := t.Pin.Check("crankpin"); err != nil {
		return err
	}
	for _, v := range []struct {
		name string
		v    float64
	}{{"length of the main journal", t.JournalLength}, {"length of the crankpin", t.PinLength}, {"crank radius", t.Radius}, {"thickness of the web", t.Web}, {"width of the web", t.WebWidth}} {
		if !(v.v >= 1e-4 && v.v <= 10) {
			return fmt.Errorf("torsion: the %s must lie between 0.1 mm and 10 m, it is %.4g mm", v.name, 1e3*v.v)
		}
	}
	return nil
}

// Stiffness returns the stiffness of a throw from mid journal to mid journal.
//
//	k = π G/(32 X)
//	Carter      X = (L_j + 0.8 h)/(D_j⁴ − d_j⁴) + 0.75 L_c/(D_c⁴ − d_c⁴) + 1.5 R/(h b³)
//	Ker Wilson  X = (L_j + 0.4 D_j)/(D_j⁴ − d_j⁴) + (L_c + 0.4 D_c)/(D_c⁴ − d_c⁴) + (R − 0.2 (D_j + D_c))/(h b³)
//
// with
//   - shear: shear modulus G [Pa]
//
// Result [N m/rad]: both and their mean, which the trade often takes. Made for webs that are plain plates and pins that do
// not overlap the journals by much; right to about 10 %. Errors: impossible sizes. Source: KERWILSON.
func (t ThrowShape) Stiffness(shear float64) (ThrowStiffness, error) {
	if err := checkShear(shear); err != nil {
		return ThrowStiffness{}, err
	}
	if err := t.Check(); err != nil {
		return ThrowStiffness{}, err
	}
	s := ThrowStiffness{Overlap: (t.Journal.Outer+t.Pin.Outer)/2 - t.Radius, Beyond: t.kerWilsonWeb() < 0}
	s.Carter = math.Pi / 32 * shear / t.flexibility(Carter)
	s.KerWilson = math.Pi / 32 * shear / t.flexibility(KerWilson)
	s.Mean = (s.Carter + s.KerWilson) / 2
	s.Spread = math.Abs(s.Carter-s.KerWilson) / s.Mean
	return s, nil
}

func (t ThrowShape) kerWilsonWeb() float64 { return t.Radius - 0.2*(t.Journal.Outer+t.Pin.Outer) }

// flexibility is X [1/m³].
func (t ThrowShape) flexibility(f Formula) float64 {
	web := t.Web * t.WebWidth * t.WebWidth * t.WebWidth
	j, c := t.Journal.fourth(), t.Pin.fourth()
	switch f {
	case Carter:
		return (t.JournalLength+0.8*t.Web)/j + 0.75*t.PinLength/c + 1.5*t.Radius/web
	case KerWilson:
		return (t.JournalLength+0.4*t.Journal.Outer)/j + (t.PinLength+0.4*t.Pin.Outer)/c + max(0, t.kerWilsonWeb())/web
	}
	return 2 / (1/t.flexibility(Carter) + 1/t.flexibility(KerWilson))
}
