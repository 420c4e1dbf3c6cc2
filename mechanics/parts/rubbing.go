package parts

import (
	"errors"
	"math"

	"crankwright/mechanics/torque"
)

// Rub is the friction of one kind of part.
type Rub struct {
	Name  string
	Count int     // of the parts that rub
	MEP   float64 // friction mean effective pressure by the model of the parts [Pa]
	Share float64 // of the whole [1]
	OfAll float64 // of the engine's friction: its share of it [Pa]
}

// PumpDrives is the number of drives that turn pumps: oil, and water or fan [1]. Source: PRACTICE.
const PumpDrives = 2

// Rubbed splits the friction of an engine over the parts that rub.
//
//	share_i = p_i / Σ p        OfAll_i = share_i · whole
//	drives by their number: balance shafts, two for pumps, and the rest for camshafts
//
// with
//   - by: friction of the parts by the model of the chapter torque [Pa]
//   - whole: friction of the engine, from wherever it is taken [Pa]
//   - rub: the counts from which by was found
//   - shafts: balance shafts among the drives [1]
//
// Result [Pa], which sums to whole; parts without any are left out. Shaft seals are in no part of the model. Errors: friction
// that is not positive, or counts that do not go together. Definition.
func Rubbed(by torque.Losses, whole float64, rub torque.Rubbing, shafts int) ([]Rub, error) {
	if shafts < 0 || shafts > rub.Drives {
		return nil, errors.New("parts: there must be from no balance shaft up to as many as there are drives")
	}
	sum := by.Mains + by.Pins + by.Rings + by.Skirts + by.Valves + by.Drives
	if !(sum > 0) || math.IsInf(sum, 0) || !(whole >= 0) || math.IsInf(whole, 0) {
		return nil, errors.New("parts: friction can be split only where the sizes of bearings, bore and stroke are known")
	}
	pumps := min(PumpDrives, rub.Drives-shafts)
	drive := 0.0
	if rub.Drives > 0 {
		drive = by.Drives / float64(rub.Drives)
	}
	swinging := 0.0
	if p := rub.Pins; p.Swing > 0 {
		swinging = by.Pins * p.Swing / (float64(p.Count) + p.Swing)
	}
	var out []Rub
	for _, r := range []Rub{
		{Name: "main bearings", Count: rub.Mains.Count, MEP: by.Mains},
		{Name: "big ends", Count: rub.Pins.Count, MEP: by.Pins - swinging},
		{Name: "knuckle pins", Count: rub.Cylinders - rub.Pins.Count, MEP: swinging},
		{Name: "piston rings", Count: rub.Cylinders, MEP: by.Rings},
		{Name: "piston skirts", Count: rub.Cylinders, MEP: by.Skirts},
		{Name: "valves", Count: rub.Valves, MEP: by.Valves},
		{Name: "camshaft drives", Count: rub.Drives - shafts - pumps, MEP: drive * float64(rub.Drives-shafts-pumps)},
		{Name: "pumps", Count: pumps, MEP: drive * float64(pumps)},
		{Name: "balance shafts", Count: shafts, MEP: drive * float64(shafts)},
	} {
		if r.MEP == 0 {
			continue
		}
		r.Share = r.MEP / sum
		r.OfAll = r.Share * whole
		out = append(out, r)
	}
	return out, nil
}
