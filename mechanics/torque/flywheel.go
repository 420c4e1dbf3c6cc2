package torque

import (
	"errors"
	"fmt"
	"math"
)

// ExcessOf returns the excess of energy of a torque over its mean: what a flywheel has to take up and give
// back.
//
//	ΔE = max D − min D,   D(θ) = ∫ (T − mean) dθ
//
// with
//   - torque: torque [N m] at equal angles over one period, at least 8
//   - period: length of the period [rad], greater than zero
//
// Results: ΔE [J] and the mean torque [N m]; extremes are refined between the angles. Errors: too few values,
// values that are not finite. Source: KG, ch. 16, turning moment diagram.
func ExcessOf(torque []float64, period float64) (excess, mean float64, err error) {
	if len(torque) < 8 || !finite(torque...) || !(period > 0 && period < 1e6) {
		return 0, 0, fmt.Errorf("torque: an excess of energy needs 8 or more finite torques over a period greater than zero; there are %d over %g rad", len(torque), period)
	}
	work := make([]float64, len(torque))
	mean = accumulated(work, torque, period/float64(len(torque)))
	return spread(work), mean, nil
}

// ExcessOfAreas returns the excess of energy from the areas of a turning moment diagram.
//
//	ΔE = max Σ − min Σ of the running sums, zero among them
//
// with
//   - areas: areas between torque and mean line in sequence, above positive and below negative [J]; over a
//     whole period they add up to about zero
//
// Result [J]. Errors: an area that is not finite. Source: KG, ch. 16.
func ExcessOfAreas(areas []float64) (float64, error) {
	if !finite(areas...) {
		return 0, errors.New("torque: the areas must be finite numbers; one is not")
	}
	sum, lo, hi := 0.0, 0.0, 0.0
	for _, a := range areas {
		sum += a
		lo, hi = min(lo, sum), max(hi, sum)
	}
	return hi - lo, nil
}

// ClassicInertia returns the moment of inertia for a coefficient of fluctuation by the textbook rule.
//
//	J = ΔE/(C_s ω²)
//
// with
//   - excess: ΔE [J], not negative
//   - fluctuation: C_s = (ω_max − ω_min)/ω_mean [1], greater than zero
//   - mean: mean speed [rad/s], greater than zero
//
// Result [kg m²]. Valid where C_s is small and the moment of inertia of pistons and rods hardly changes;
// FindFlywheel needs neither. Errors: impossible values. Source: KG, ch. 16.
func ClassicInertia(excess, fluctuation, mean float64) (float64, error) {
	j := excess / (fluctuation * mean * mean)
	if !(excess >= 0) || !(fluctuation > 0) || !(mean > 0) || !finite(j) {
		return 0, fmt.Errorf("torque: an excess of %g J, a coefficient of %g and a speed of %g rad/s give no flywheel; the first must not be negative, the others greater than zero", excess, fluctuation, mean)
	}
	return j, nil
}

// ClassicFluctuation returns the coefficient of fluctuation by the textbook rule.
//
//	C_s = ΔE/(J ω²)
//
// with
//   - excess: ΔE [J], not negative
//   - inertia: J [kg m²], greater than zero
//   - mean: mean speed [rad/s], greater than zero
//
// Result [1]. Errors: impossible values. Source: KG, ch. 16.
func ClassicFluctuation(excess, inertia, mean float64) (float64, error) {
	c := excess / (inertia * mean * mean)
	if !(excess >= 0) || !(inertia > 0) || !(mean > 0) || !finite(c) {
		return 0, fmt.Errorf("torque: an excess of %g J, a moment of inertia of %g kg m² and a speed of %g rad/s give no fluctuation; the first must not be negative, the others greater than zero", excess, inertia, mean)
	}
	return c, nil
}

// GeneratorFluctuation returns the coefficient of fluctuation that an alternating-current generator bears.
//
//	C_s = n/(6p)
//
// with
//   - impulses: n, tractive impulses in a revolution [1], greater than zero
//   - poles: p, poles of the generator [1], at least 2
//
// Result [1]: the rotor stays within about 2.4 electrical degrees. Errors: impossible values. Source: BEV,
// ex. 12.7.
func GeneratorFluctuation(impulses, poles float64) (float64, error) {
	if !(impulses > 0 && impulses < 1e3) || !(poles >= 2 && poles < 1e4) {
		return 0, fmt.Errorf("torque: %g impulses in a revolution and %g poles are no generating set; such as 3 and 28", impulses, poles)
	}
	return impulses / (6 * poles), nil
}

// Flywheel is what must be added to a rotor for a wanted coefficient of fluctuation.
type Flywheel struct {
	Inertia float64 // moment of inertia to add [kg m²]; 0: the rotor is enough
	Classic float64 // the same by the textbook rule, without regard to the fluctuation itself [kg m²]
	Speed   Speed   // the crank speed with it
}

// smallestRotor is the share of the textbook moment of inertia below which no flywheel is looked for [1].
const smallestRotor = 1e-9

// FindFlywheel returns the flywheel that holds the crank speed within a wanted coefficient of fluctuation.
//
//	(ω_max − ω_min)/ω_mean = wanted      on the exact energy equation, see Speed.Solve
//
// with
//   - r: what turns without the flywheel; J may be zero here
//   - drive, load, mean: as Speed.Solve
//   - wanted: coefficient of fluctuation [1], from 1e-6 up to 1
//
// Result [kg m²], good to 1e-13 of all that turns, from where the coefficient is met: the reciprocal of the coefficient is
// almost a straight line over the moment of inertia, which leads there in a few solutions. Errors: those of Speed.Solve, a
// coefficient out of range, one that no flywheel reaches. Source: DEFINITION, conservation of energy.
func FindFlywheel(r Rotor, drive, load []float64, mean, wanted float64) (*Flywheel, error) {
	if !(wanted >= 1e-6 && wanted <= 1) {
		return nil, fmt.Errorf("torque: the coefficient of fluctuation must lie between 1e-6 and 1, such as 0.02; it is %g", wanted)
	}
	if !(r.Inertia >= 0) {
		return nil, fmt.Errorf("torque: the moment of inertia of the crank must not be negative, it is %g kg m²", r.Inertia)
	}
	f := &Flywheel{}
	own := r.Inertia
	r.Inertia = max(own, 1e-6)
	if err := checkRotor(r, drive, load, mean); err != nil {
		return nil, err
	}
	f.Speed.prepare(r, drive, load, mean)
	f.Classic = f.classic(r, own, wanted)
	last := math.NaN()
	with := func(added float64) (float64, error) { // 1/fluctuation above what is wanted: not negative where it is enough
		last, r.Inertia = added, own+added
		if err := checkInertia(r.Inertia); err != nil {
			return 0, err
		}
		err := f.Speed.meet(r, mean)
		if errors.Is(err, ErrStall) {
			return -1 / wanted, nil
		}
		if err == nil && f.Speed.Fluctuation <= wanted {
			return max(0, 1/f.Speed.Fluctuation-1/wanted), nil
		}
		return min(-math.SmallestNonzeroFloat64, 1/f.Speed.Fluctuation-1/wanted), err
	}
	lo, below := 0.0, -1/wanted
	if own > 0 {
		var err error
		if below, err = with(0); err != nil {
			return nil, err
		}
		if below >= 0 {
			f.Speed.accelerate(r)
			return f, nil
		}
	}
	hi := f.Classic
	if !(hi > 0) {
		hi = max(own, 1e-6)
	}
	above, err := with(hi)
	for ; err == nil && above < 0; above, err = with(hi) {
		lo, below, hi = hi, above, 4*hi
	}
	if err != nil {
		return nil, fmt.Errorf("torque: no flywheel up to 1e9 kg m² holds the fluctuation to %g: %w", wanted, err)
	}
	if own == 0 && lo == 0 {
		lo = smallestRotor * hi
	}
	for n := range 100 {
		tolerance := 1e-13 * (own + hi)
		if hi-lo < tolerance {
			break
		}
		next := lo + (hi-lo)*below/(below-above)
		if n >= 20 || !(next > lo && next < hi) { // no straight line at all
			next = (lo + hi) / 2
		}
		next = max(min(next, hi-tolerance/2), lo+tolerance/2)
		g, err := with(next)
		if err != nil {
			return nil, err
		}
		if g >= 0 { // the other end counts half where it stays, so that both ends move
			hi, above, below = next, g, below/2
		} else {
			lo, below, above = next, g, above/2
		}
	}
	if last != hi {
		if _, err := with(hi); err != nil {
			return nil, err
		}
	}
	f.Speed.accelerate(r)
	f.Inertia = hi
	return f, nil
}

// classic is the textbook rule for the last solution.
func (f *Flywheel) classic(r Rotor, own, wanted float64) float64 {
	s, moving := &f.Speed, 0.0
	if r.Energy != nil {
		moving = 2 * meanOf(r.Energy)
	}
	return max(0, s.Excess/(wanted*s.Mean*s.Mean)-own-moving)
}
