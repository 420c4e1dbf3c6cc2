package bearing

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Material is a bearing lining with the peak specific load that it is known to carry.
type Material struct {
	Name      string
	Low, High float64 // guidance for the peak specific load: safe up to Low, up to High with care [Pa]
	Hardness  float64 // of the journal that it asks for, Vickers [1]; 0: not stated
	Source    string  // key in docs/sources.toml
}

// Materials returns bearing linings with their guidance for the peak specific load, from white metal to sputtered layers.
//
// Result [Pa]. NEALE's values hold for medium and large diesels; smaller engines go considerably higher, which the
// values of PRACTICE (from memory) show. Source: NEALE, PRACTICE.
func Materials() []Material {
	return []Material{
		{"tin white metal Sn89 with cadmium", 12e6, 15e6, 160, "NEALE"},
		{"tin white metal Sn87 above 0.1 mm", 12e6, 14e6, 160, "NEALE"},
		{"tin white metal Sn87 up to 0.1 mm", 14e6, 17e6, 160, "NEALE"},
		{"sintered copper-lead with overlay 0.05 mm", 21e6, 23e6, 230, "NEALE"},
		{"sintered copper-lead with overlay 0.025 mm", 28e6, 31e6, 280, "NEALE"},
		{"sintered lead-bronze with overlay 0.025 mm", 28e6, 31e6, 400, "NEALE"},
		{"cast copper-lead with overlay 0.025 mm", 31e6, 31e6, 300, "NEALE"},
		{"aluminium-tin AlSn20", 35e6, 45e6, 0, "PRACTICE"},
		{"aluminium-tin-silicon", 50e6, 60e6, 0, "PRACTICE"},
		{"lead-bronze in small engines", 31e6, 51.7e6, 0, "NEALE"},
		{"polymer overlay", 60e6, 80e6, 0, "PRACTICE"},
		{"sputtered three-layer", 100e6, 120e6, 0, "PRACTICE"},
	}
}

// Use returns how much of a material's guidance a load takes.
//
//	use = p/High
//
// with
//   - peak: peak specific load p [Pa]
//
// Result [1]: 1 at the upper end of the guidance. Definition.
func (m Material) Use(peak float64) float64 { return peak / m.High }

// Specific is a bearing load over the projected area of the bearing.
type Specific struct {
	Force     float64   // largest resultant [N]
	MeanForce float64   // mean of the resultant over the cycle [N]
	Peak      float64   // largest specific load [Pa]
	Mean      float64   // mean specific load [Pa]
	PeakAt    num.Angle // crank angle of the largest [rad]
}

// ErrNoArea is returned for a bearing without area.
var ErrNoArea = errors.New("bearing: a bearing needs a diameter and a width greater than zero")

// SpecificLoad returns the load of a bearing over its projected area.
//
//	p = |F|/(d b)
//
// with
//   - force: at equal crank angles over two revolutions [N]
//   - bearing: diameter d and width b [m], greater than zero
//
// Result [Pa]; the largest of the samples. Errors: ErrNoArea, no samples. Source: DEFINITION, projected area.
func SpecificLoad(force []complex128, bearing layout.Journal) (Specific, error) {
	d, b := bearing.Diameter, bearing.Width
	if !(d > 0) || !(b > 0) || d > 100 || b > 100 {
		return Specific{}, ErrNoArea
	}
	if len(force) == 0 {
		return Specific{}, errors.New("bearing: a specific load needs the force at some crank angle, there is none")
	}
	var s Specific
	for j, f := range force {
		v := cmplx.Abs(f)
		if !(v <= math.MaxFloat64) {
			return Specific{}, fmt.Errorf("bearing: the force at sample %d is no number", j+1)
		}
		s.MeanForce += v / float64(len(force))
		if v > s.Force {
			s.Force, s.PeakAt = v, 2*num.Turn*num.Angle(j)/num.Angle(len(force))
		}
	}
	s.Peak, s.Mean = s.Force/(d*b), s.MeanForce/(d*b)
	return s, nil
}

// MainBearing returns the bearing of a main journal: the journal less its two fillets.
//
//	b = width − 2 r
//
// with
//   - t: a train
//   - m: one of its mains
//
// Result [m]; ErrNoWidths where it is unknown, ErrNoArea where the fillets leave nothing. Source: PRACTICE, a bearing
// keeps clear of the fillets; grooves and chamfers are left out.
func MainBearing(t *layout.Train, m Main) (layout.Journal, error) {
	fillet := t.Crank.JournalFillet
	if fillet == 0 {
		fillet = t.Crank.Fillet
	}
	return clearOfFillets(layout.Journal{Diameter: m.Diameter, Width: m.Width}, fillet, 1)
}

func clearOfFillets(j layout.Journal, fillet float64, rods int) (layout.Journal, error) {
	if j.Diameter <= 0 || j.Width <= 0 {
		return layout.Journal{}, ErrNoWidths
	}
	j.Width = (j.Width - 2*math.Max(0, fillet)) / float64(rods)
	if !(j.Width > 0) {
		return layout.Journal{}, ErrNoArea
	}
	return j, nil
}
