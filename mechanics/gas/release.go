package gas

import (
	"fmt"
	"math"

	"crankwright/num"
)

// Wiebe is one part of the release of heat.
type Wiebe struct {
	Share    float64   // of the heat [1]; the shares of a Release add up to 1
	Start    num.Angle // crank angle from firing top dead centre [rad]
	Duration num.Angle // [rad], greater than zero
	A        float64   // efficiency factor a [1]: 5 burns 99.3 % in the duration, 6.908 burns 99.9 %
	M        float64   // form factor m [1]: low burns early
}

// Burned returns the share of this part's heat that has been released.
//
//	x = 1 − e^{−a z^{m+1}},  z = (θ − θ₀)/Δθ in 0 … 1;  beyond the duration x stays at 1 − e^{−a}
//
// with
//   - θ: crank angle from firing top dead centre [rad]
//
// Result [1]. Source: HEYWOOD, eq. 9.30.
func (w Wiebe) Burned(θ num.Angle) float64 {
	z := float64((θ - w.Start) / w.Duration)
	if z <= 0 {
		return 0
	}
	return -math.Expm1(-w.A * math.Pow(math.Min(z, 1), w.M+1))
}

// burns says whether this part is burning at a crank angle.
func (w Wiebe) burns(θ num.Angle) bool { return θ > w.Start && θ < w.Start+w.Duration }

// rate returns dx/dθ [1/rad] of a part that is burning.
func (w Wiebe) rate(θ num.Angle) float64 {
	z := min(1, max(0, float64((θ-w.Start)/w.Duration)))
	zm := math.Pow(z, w.M)
	return w.A * (w.M + 1) / float64(w.Duration) * zm * math.Exp(-w.A*zm*z)
}

// Release is the release of heat: the sum of its parts. One part does for spark ignition, a premixed and a
// diffusion part for compression ignition.
type Release []Wiebe

// SparkRelease returns the usual release of spark ignition: one part with a = 5 and m = 2.
//
//   - start: begin of combustion from firing top dead centre [rad]
//   - duration: [rad], commonly 40 to 70 degrees
//
// Result [1] by Burned. Source: HEYWOOD, sec. 9.2, from memory.
func SparkRelease(start, duration num.Angle) Release {
	return Release{{Share: 1, Start: start, Duration: duration, A: 5, M: 2}}
}

// DieselRelease returns a release of compression ignition: a premixed and a diffusion part that start together.
//
//   - start: begin of combustion from firing top dead centre [rad]
//   - premixed: share of the heat in the premixed part [1], 0 to 1, commonly 0.05 to 0.4
//   - short, long: durations of the two parts [rad], commonly 8 and 65 degrees
//
// The form factors m = 2 (premixed) and 0.9 (diffusion) with a = 6.908 are common practice and from memory: give
// your own parts where you have them. Result [1] by Burned. Source: PRACTICE.
func DieselRelease(start num.Angle, premixed float64, short, long num.Angle) Release {
	return Release{
		{Share: premixed, Start: start, Duration: short, A: 6.908, M: 2},
		{Share: 1 - premixed, Start: start, Duration: long, A: 6.908, M: 0.9},
	}
}

// Burned returns the share of all heat that has been released.
//
//	x = Σ share x_i
//
// with
//   - θ: crank angle from firing top dead centre [rad]
//
// Result [1]. Source: HEYWOOD, eq. 9.30, summed.
func (r Release) Burned(θ num.Angle) float64 {
	x := 0.0
	for _, w := range r {
		x += w.Share * w.Burned(θ)
	}
	return x
}

// Reaches returns the crank angle at which a share of all heat has been released, as 0.5 for the half.
//
//   - share: of the heat that is given in [1], above 0 and below 1
//
// Result [rad] from firing top dead centre; ok is false where so much is never released. Found by bisection.
// Definition.
func (r Release) Reaches(share float64) (θ num.Angle, ok bool) {
	lo, hi := r.span()
	if !(share > 0) || !(r.Burned(hi) >= share) {
		return 0, false
	}
	for range 60 {
		if mid := (lo + hi) / 2; r.Burned(mid) < share {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, true
}

// Phased returns the release shifted so that half the heat has been released at a crank angle.
//
//   - half: where half the heat shall have been released, from firing top dead centre [rad]
//
// Result [1] by Burned. Error: the release never comes to the half. Definition.
func (r Release) Phased(half num.Angle) (Release, error) {
	at, ok := r.Reaches(0.5)
	if !ok {
		return nil, fmt.Errorf("gas: the release of heat never comes to one half, so it cannot be placed by it")
	}
	moved := append(Release(nil), r...)
	for i := range moved {
		moved[i].Start += half - at
	}
	return moved, nil
}

// span returns where the first part starts and the last ends.
func (r Release) span() (start, end num.Angle) {
	for i, w := range r {
		if i == 0 || w.Start < start {
			start = w.Start
		}
		if i == 0 || w.Start+w.Duration > end {
			end = w.Start + w.Duration
		}
	}
	return start, end
}

// MinDuration is the shortest accepted duration of a part of the release [rad]. Definition: a thousandth of a
// degree, which no test of the limit of instantaneous heat undercuts.
const MinDuration num.Angle = 1.7e-5

func (r Release) check() error {
	sum := 0.0
	for i, w := range r {
		switch {
		case !(w.Share >= 0 && w.Share <= 1):
			return fmt.Errorf("gas: part %d of the release has the share %.4g; it must lie between 0 and 1", i+1, w.Share)
		case !(w.Duration >= MinDuration && w.Duration <= num.Turn/2):
			return fmt.Errorf("gas: part %d of the release lasts %.4g deg; it must lie between 0.001 and 180 deg", i+1, w.Duration.Deg())
		case !(w.Start >= -num.Turn/2 && w.Start+w.Duration <= num.Turn/2):
			return fmt.Errorf("gas: part %d of the release runs from %.4g to %.4g deg; it must lie between −180 and 180 deg from firing top dead centre",
				i+1, w.Start.Deg(), (w.Start + w.Duration).Deg())
		case !(w.A >= 0.1 && w.A <= 50):
			return fmt.Errorf("gas: part %d of the release has a = %.4g; it must lie between 0.1 and 50, such as 5", i+1, w.A)
		case !(w.M >= 0 && w.M <= 20):
			return fmt.Errorf("gas: part %d of the release has m = %.4g; it must lie between 0 and 20, such as 2", i+1, w.M)
		}
		sum += w.Share
	}
	if math.Abs(sum-1) > 1e-6 {
		return fmt.Errorf("gas: the shares of the release add up to %.6g; they must add up to 1", sum)
	}
	return nil
}
