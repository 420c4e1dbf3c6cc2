package bearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/layout"
)

// Main is a main journal with its bearing.
type Main struct {
	At        float64 // axial place of its middle [m]
	Width     float64 // of the journal between its webs [m]; 0: unknown
	Diameter  float64 // [m]; 0: unknown
	Stiffness float64 // of bearing and housing [N/m]; 0: that of Options; +Inf: rigid
}

// Bay is a stretch of the crank between two main journals: the pins of one throw.
type Bay struct {
	Throws []int   // indices of its throws, along the crank
	Lo, Hi float64 // places of its first and last pin [m]
}

// Bays returns the throws of a crank by the bay in which they stand.
//
//   - t: any train; pins of one Pair, and throws whose places along the crank overlap, share a bay
//
// Result from the free end to the drive end, places [m]. Definition.
func Bays(t *layout.Train) []Bay {
	var bays []Bay
	order := make([]int, len(t.Throws))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(t.Throws[a].At, t.Throws[b].At) })
	last := map[int]float64{} // by pair: place of its last pin
	for _, i := range order {
		last[t.PairOf(i)] = t.Throws[i].At
	}
	for _, i := range order {
		at := t.Throws[i].At
		if n := len(bays); n > 0 && at <= bays[n-1].Hi {
			bays[n-1].Throws = append(bays[n-1].Throws, i)
			bays[n-1].Hi = max(bays[n-1].Hi, last[t.PairOf(i)])
			continue
		}
		bays = append(bays, Bay{Throws: []int{i}, Lo: at, Hi: last[t.PairOf(i)]})
	}
	return bays
}

// Mains returns the main journals of a crank with one on each side of every throw.
//
//	inner: x = midway between the pins of two bays
//	outer: x = x_pin ∓ (pin width/2 + web thickness + journal width/2)
//
// with
//   - t: any train
//
// Result: places [m], one more than there are bays. Where a width is unknown an outer main stands as far from its pin
// as the nearest inner one, and beside a single bay one throw's radius. A crank with fewer mains, such as an inline
// four on three, gives its own list. Source: PRACTICE, a main bearing on each side of every throw.
func Mains(t *layout.Train) []Main {
	bays := Bays(t)
	if len(bays) == 0 {
		return nil
	}
	j := t.Crank.MainJournal
	main := func(at float64) Main { return Main{At: at, Width: j.Width, Diameter: j.Diameter} }
	n := len(bays)
	away := [2]float64{t.Throws[bays[0].Throws[0]].Radius, t.Throws[bays[n-1].Throws[0]].Radius}
	if n > 1 {
		away[0], away[1] = (bays[1].Lo-bays[0].Hi)/2, (bays[n-1].Lo-bays[n-2].Hi)/2
	}
	if pin, web := t.Crank.Crankpin.Width, t.Crank.Web.Thickness; pin > 0 && web > 0 && j.Width > 0 {
		away[0] = pin/2 + web + j.Width/2
		away[1] = away[0]
	}
	out := []Main{main(bays[0].Lo - away[0])}
	for i := 1; i < n; i++ {
		out = append(out, main((bays[i-1].Hi+bays[i].Lo)/2))
	}
	return append(out, main(bays[n-1].Hi+away[1]))
}

// StandardGravity is the acceleration of free fall [m/s²]. Definition.
const StandardGravity = 9.80665

// hold places the mains and computes the shares of everything that loads the crank.
func (m *Mechanism) hold(opt Options) error {
	t := m.train
	m.Mains = slices.Clone(opt.Mains)
	if m.Mains == nil {
		m.Mains = Mains(t)
	}
	if err := checkMains(m.Mains); err != nil {
		return err
	}
	var at []float64
	for i := range t.Cylinders {
		at = append(at, t.Cylinders[i].At)
	}
	for i := range t.Throws {
		at = append(at, t.Throws[i].At)
	}
	for i := range t.Counterweights {
		at = append(at, t.Counterweights[i].At)
	}
	for i, o := range opt.Overhung {
		if !(math.Abs(o.At) < 1e4) || !(o.Mass >= 0) || o.Mass > 1e9 {
			return fmt.Errorf("bearing: overhung mass %d is %.4g kg at %.4g mm; a mass that is not negative at a finite place is needed", i+1, o.Mass, 1e3*o.At)
		}
		at = append(at, o.At)
	}
	var share [][]float64
	var err error
	switch opt.Method {
	case Determinate:
		share, err = SimpleShares(m.Mains, at)
	case Continuous:
		share, err = continuousShares(t, m.Mains, at, opt)
	default:
		err = fmt.Errorf("bearing: there is no method %d of sharing loads among mains; take Continuous or Determinate", opt.Method)
	}
	if err != nil {
		return err
	}
	m.turning, m.weight = make([]complex128, len(m.Mains)), make([]complex128, len(m.Mains))
	for k, row := range share {
		own := slices.Clone(row[:len(t.Cylinders)])
		for i := range own {
			if t.Cylinders[i].Rod.Linked {
				own[i] = 0
			}
		}
		m.Share = append(m.Share, own)
		row = row[len(t.Cylinders):]
		for i, th := range t.Throws {
			m.turning[k] += complex(0, row[i]*th.Unbalance) * th.Angle.Unit()
		}
		row = row[len(t.Throws):]
		for i, c := range t.Counterweights {
			m.turning[k] += complex(0, row[i]*c.Amount) * c.Angle.Unit()
		}
		row = row[len(t.Counterweights):]
		for i, o := range opt.Overhung {
			m.weight[k] -= complex(0, row[i]*o.Mass*StandardGravity)
		}
	}
	return nil
}

// checkMains refuses mains that cannot carry a crank.
func checkMains(mains []Main) error {
	if len(mains) < 2 {
		return fmt.Errorf("bearing: a crank needs at least two main bearings, there are %d", len(mains))
	}
	if most := layout.MaxCylinders + 1; len(mains) > most {
		return fmt.Errorf("bearing: there are %d main bearings; %d is the most", len(mains), most)
	}
	for i, a := range mains {
		if !(math.Abs(a.At) < 1e4) || !(a.Width >= 0) || a.Width > 100 || !(a.Diameter >= 0) || a.Diameter > 100 || !(a.Stiffness >= 0) {
			return fmt.Errorf("bearing: main %d has a place, width, diameter or stiffness that is none: %.4g mm, %.4g mm, %.4g mm, %.4g N/m", i+1, 1e3*a.At, 1e3*a.Width, 1e3*a.Diameter, a.Stiffness)
		}
		if i > 0 && !(a.At-mains[i-1].At >= 1e-6) {
			return fmt.Errorf("bearing: main %d stands at %.4g mm, main %d at %.4g mm; list the mains from the free end to the drive end, each at its own place", i+1, 1e3*a.At, i, 1e3*mains[i-1].At)
		}
	}
	return nil
}

// SimpleShares returns how loads along a crank are shared when each bay is a simple beam between its two mains.
//
//	share of the main at a: (b − x)/(b − a), of the main at b: (x − a)/(b − a)
//
// with
//   - mains: from the free end to the drive end, at least two
//   - at: places x of the loads [m]; beyond the outermost main the last bay is a lever
//
// Result [1] by main and load: force and moment of every load are in balance. Errors: mains or places that cannot be.
// Source: DEFINITION, statics of the simple beam.
func SimpleShares(mains []Main, at []float64) ([][]float64, error) {
	if err := checkMains(mains); err != nil {
		return nil, err
	}
	share := make([][]float64, len(mains))
	for k := range share {
		share[k] = make([]float64, len(at))
	}
	for i, x := range at {
		if !(math.Abs(x) < 1e4) {
			return nil, fmt.Errorf("bearing: load %d stands at %g m; a finite place is needed", i+1, x)
		}
		k := 1
		for k < len(mains)-1 && x > mains[k].At {
			k++
		}
		a, b := mains[k-1].At, mains[k].At
		share[k][i] = (x - a) / (b - a)
		share[k-1][i] = (b - x) / (b - a)
	}
	return share, nil
}
