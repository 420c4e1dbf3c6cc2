package torque

import (
	"errors"
	"fmt"
	"math"

	"crankwright/num"
)

// Rotor is what turns: its energy ½ I ω² and how its moment of inertia changes over two revolutions.
type Rotor struct {
	Inertia float64   // J of all that turns with the crank: crank, flywheel, driven machine [kg m²]
	Energy  []float64 // E(θ) of pistons and rods per ω² [kg m²], Mechanism.Energy; nil: none
	Torque  []float64 // their inertia torque −E'(θ) per ω² [kg m²], Mechanism.Unit; nil: none
}

// Rotor returns what turns in a mechanism.
//
//   - inertia: J of all that turns with the crank: crank, flywheel, driven machine [kg m²]
//
// Result [kg m²]; it shares the curves of the mechanism. Definition.
func (m *Mechanism) Rotor(inertia float64) Rotor {
	return Rotor{Inertia: inertia, Energy: m.Energy, Torque: m.Unit}
}

// MostFluctuation is the coefficient of fluctuation above which no speed is given [1]. Definition: beyond it
// the crank almost stops in the cycle, and the angles no longer resolve its speed.
const MostFluctuation = 1.5

// ErrStall is returned where the crank would stop, or almost stop, within the cycle.
var ErrStall = errors.New("torque: the crank would almost stop within the cycle; more moment of inertia or a higher mean speed is needed")

// Speed is the crank speed over two revolutions of steady running.
type Speed struct {
	At           []float64 // crank speed at every angle [rad/s]
	Acceleration []float64 // angular acceleration at every angle [rad/s²]

	Mean, Least, Most float64   // [rad/s]; Mean is that over time
	LeastAt, MostAt   num.Angle // crank angles where they occur [rad]
	Fluctuation       float64   // coefficient of fluctuation (most − least)/mean [1]

	Load      float64 // mean of the load torque, which is that of the driving torque [N m]
	GasExcess float64 // ΔE of the driving torque alone: range of its work above the load [J]
	Excess    float64 // ΔE of driving and inertia torque at the mean speed [J]
	Classic   float64 // ΔE/(J ω²) with the mean moment of inertia, the textbook value [1]

	work, sum []float64 // scratch
}

// Solve computes how fast the crank turns at every angle.
//
//	½ I(θ) ω² = C + ∫ (T − T_load) dθ      I = J + 2E
//	mean = 4π / ∮ dθ/ω                     met by the choice of C
//	α = (T − T_load − E' ω²)/I
//
// with
//   - r: what turns; J greater than zero
//   - drive: driving torque T [N m] at equal angles over two revolutions, at least 8: the gas torque, without
//     inertia, which is in E
//   - load: load torque at the same angles [N m]; nil: constant. Only its course counts: its mean is
//     set to that of the drive, for otherwise the engine would speed up or run down
//   - mean: mean speed over time [rad/s], greater than zero
//
// Result [rad/s], in s itself, whose slices are reused; extremes are refined between the angles. The energy
// equation is exact: no assumption that the fluctuation is small. Errors: ErrStall above MostFluctuation;
// slices of different lengths and impossible values. Source: DEFINITION, conservation of energy; the
// textbook value after KG, ch. 16.
func (s *Speed) Solve(r Rotor, drive, load []float64, mean float64) error {
	if err := checkRotor(r, drive, load, mean); err != nil {
		return err
	}
	s.prepare(r, drive, load, mean)
	if err := s.meet(r, mean); err != nil {
		return err
	}
	s.accelerate(r)
	return nil
}

// prepare finds what does not depend on the moment of inertia: work and excess, and the torque that accelerates.
func (s *Speed) prepare(r Rotor, drive, load []float64, mean float64) {
	n := len(drive)
	h := 4 * math.Pi / float64(n)
	s.At, s.Acceleration = grown(s.At, n), grown(s.Acceleration, n)
	s.work, s.sum = grown(s.work, n), grown(s.sum, n)
	torque := s.sum
	for j, v := range drive {
		torque[j] = v
		if load != nil {
			torque[j] -= load[j]
		}
	}
	surplus := accumulated(s.work, torque, h) // mean of drive less mean of load
	s.Load = meanOf(drive)
	s.Mean = mean
	for j := range torque {
		s.Acceleration[j] = torque[j] - surplus
	}
	s.excess(r, mean)
}

// accelerate makes accelerations of the torques that prepare left in their place.
func (s *Speed) accelerate(r Rotor) {
	for j, ω := range s.At {
		if r.Torque != nil {
			s.Acceleration[j] += ω * ω * r.Torque[j]
		}
		s.Acceleration[j] /= r.at(j)
	}
}

// at is the moment of inertia at one angle.
func (r Rotor) at(j int) float64 {
	if r.Energy == nil {
		return r.Inertia
	}
	return r.Inertia + 2*r.Energy[j]
}

// excess fills in the textbook values of the torques; it uses sum as scratch.
func (s *Speed) excess(r Rotor, mean float64) {
	s.GasExcess = spread(s.work)
	for j, w := range s.work {
		s.sum[j] = w
		if r.Energy != nil {
			s.sum[j] -= mean * mean * r.Energy[j]
		}
	}
	s.Excess = spread(s.sum)
}

func spread(x []float64) float64 {
	hi, _ := highest(x)
	lo, _ := lowest(x)
	return hi - lo
}

func meanOf(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// meet finds the energy C at which the mean speed is met: the square of the mean speed grows with C almost
// in proportion, so Newton's steps on it need only a few rounds; they never leave the bracket.
func (s *Speed) meet(r Rotor, mean float64) error {
	n := float64(len(s.work))
	least := math.Inf(1)
	average := 0.0
	for j, w := range s.work {
		least = min(least, w)
		average += r.at(j)
	}
	average /= n
	s.Classic = s.Excess / (average * mean * mean)
	lo, hi := -least, math.Inf(1) // at lo the crank stops somewhere
	c := max(average*mean*mean/2, lo+1e-6*math.Abs(lo))
	for range 100 {
		sum, slope := 0.0, 0.0
		for j, w := range s.work {
			e := c + w
			inverse := math.Sqrt(r.at(j) / (2 * e))
			sum += inverse
			slope -= inverse / (2 * e)
		}
		sum, slope = sum/n, slope/n
		gap := 1/(sum*sum) - mean*mean
		if math.IsNaN(gap) || math.IsInf(slope, 0) {
			return ErrStall
		}
		if gap > 0 {
			hi = c
		} else {
			lo = c
		}
		if math.Abs(gap) <= 4e-15*mean*mean {
			break
		}
		next := c - gap/(-2*slope/(sum*sum*sum))
		if !(next > lo && next < hi) {
			next = (lo + min(hi, 2*math.Abs(c)+1)) / 2
		}
		if next == c {
			break
		}
		c = next
	}
	for j, w := range s.work {
		s.At[j] = math.Sqrt(2 * (c + w) / r.at(j))
	}
	h := num.Angle(4 * math.Pi / n)
	var at float64
	s.Most, at = highest(s.At)
	s.MostAt = num.Angle(at) * h
	s.Least, at = lowest(s.At)
	s.LeastAt = num.Angle(at) * h
	s.Fluctuation = (s.Most - s.Least) / mean
	if !(s.Fluctuation <= MostFluctuation) || !(s.Least > 0) {
		return ErrStall
	}
	return nil
}

func checkRotor(r Rotor, drive, load []float64, mean float64) error {
	n := len(drive)
	switch {
	case n < 8 || n > MostSamples:
		return fmt.Errorf("torque: the driving torque has %d values; 8 to %d over two revolutions are needed", n, MostSamples)
	case load != nil && len(load) != n, r.Energy != nil && len(r.Energy) != n, r.Torque != nil && len(r.Torque) != n:
		return fmt.Errorf("torque: drive, load and inertia need the same number of angles, %d", n)
	case (r.Energy == nil) != (r.Torque == nil):
		return errors.New("torque: a rotor needs both the energy and the inertia torque of its pistons and rods, or neither")
	case checkInertia(r.Inertia) != nil:
		return checkInertia(r.Inertia)
	case !(mean > 0 && mean <= 1e5):
		return fmt.Errorf("torque: the mean speed must lie between 0 and 1e5 rad/s, it is %g rad/s", mean)
	case !finite(drive...) || !finite(load...) || !finite(r.Energy...) || !finite(r.Torque...):
		return errors.New("torque: drive, load and inertia must be finite numbers; one is not")
	}
	for j := range r.Energy {
		if r.Energy[j] < 0 {
			return fmt.Errorf("torque: the kinetic energy at index %d is negative, %g kg m²", j, r.Energy[j])
		}
	}
	return nil
}

func checkInertia(j float64) error {
	if !(j > 0 && j <= 1e9) {
		return fmt.Errorf("torque: the moment of inertia of crank and flywheel must be greater than zero, such as 0.2 kg m²; it is %g kg m²", j)
	}
	return nil
}
