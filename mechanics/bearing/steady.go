package bearing

import (
	"fmt"
	"math"
	"math/cmplx"
)

// Steady is a film under a load that stays.
type Steady struct {
	Ecc        float64 // ε [-]
	Attitude   float64 // from the load to the line of centres, with the rotation [rad]
	Sommerfeld float64 // S = μN/P (R/c)², N turns a second of the journal with the sleeve at rest, P = W/(LD) [-]
	Film       float64 // h_min/c = 1 − ε [-]
	Friction   float64 // f R/c, of the journal [-], with oil all round
}

// SteadyAt returns the steady state at an eccentricity,
//
//	S = |M|/(π ε)      f R/c = 2π² S/√(1−ε²) + ½ ε sin φ
//
// the point where the velocity without rotation is across the line of centres. With
//
//   - m: mobility for the width of a land
//   - ecc: eccentricity ε [-], 0.001 to 1 − Touch
//
// Result [-, rad]: an error outside the range. Within 2 % of the tables of Raimondi and Boyd but for the attitude of
// wide bearings at small ε, which is up to 5 % larger: the tables let the film begin at the widest gap, SteadyReynolds does too.
// Source: BOOKER
func SteadyAt(m *Mobility, ecc float64) (Steady, error) {
	if m == nil {
		return Steady{}, fmt.Errorf("no mobility: make one with NewMobility")
	}
	if !(ecc >= 0.001 && ecc <= 1-Touch) {
		return Steady{}, fmt.Errorf("an eccentricity of %g: 0.001 to %g are possible", ecc, 1-Touch)
	}
	// the load turns from the line of centres until the journal moves square to it
	lo, hi := 0.0, math.Pi
	for range 60 {
		mid := (lo + hi) / 2
		if real(m.At(complex(ecc, 0), cmplx.Rect(1, mid))) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	attitude := (lo + hi) / 2
	return steady(ecc, attitude, cmplx.Abs(m.At(complex(ecc, 0), cmplx.Rect(1, attitude)))), nil
}

func steady(ecc, attitude, mobility float64) Steady {
	s := mobility / (math.Pi * ecc)
	return Steady{
		Ecc: ecc, Attitude: attitude, Sommerfeld: s, Film: 1 - ecc,
		Friction: 2*math.Pi*math.Pi*s/math.Sqrt(1-ecc*ecc) + ecc/2*math.Sin(attitude),
	}
}

// SteadyFor returns the steady state at a Sommerfeld number. With
//
//   - m: mobility for the width of a land
//   - sommerfeld: S [-], in the range of the eccentricities of SteadyAt
//
// Result [-, rad]: an error outside the range. Source: BOOKER
func SteadyFor(m *Mobility, sommerfeld float64) (Steady, error) {
	thick, err := SteadyAt(m, 0.001)
	if err != nil {
		return Steady{}, err
	}
	thin, err := SteadyAt(m, 1-Touch)
	if err != nil {
		return Steady{}, err
	}
	if !(sommerfeld <= thick.Sommerfeld && sommerfeld >= thin.Sommerfeld) {
		return Steady{}, fmt.Errorf("a Sommerfeld number of %g: %.3g (the film at its limit) to %.3g (hardly loaded) are possible",
			sommerfeld, thin.Sommerfeld, thick.Sommerfeld)
	}
	lo, hi := 0.001, 1-Touch
	for range 50 {
		mid := (lo + hi) / 2
		if s, _ := SteadyAt(m, mid); s.Sommerfeld > sommerfeld {
			lo = mid
		} else {
			hi = mid
		}
	}
	return SteadyAt(m, (lo+hi)/2)
}

// SteadyShort returns the steady state of a bearing much narrower than its diameter (Ocvirk),
//
//	S (L/D)² = (1−ε²)²/(π ε √(π²(1−ε²) + 16ε²))      tan φ = π√(1−ε²)/(4ε)
//
// with
//
//   - width: L/D [-], 0.01 to 4
//   - ecc: eccentricity ε [-], 1e-6 up to just below 1
//
// Result [-, rad]: an error outside the range. Source: OCVIRK
func SteadyShort(width, ecc float64) (Steady, error) {
	if !(width >= 0.01 && width <= widest && ecc >= 1e-6 && ecc < 1-1e-9) {
		return Steady{}, fmt.Errorf("a width of %g diameters at an eccentricity of %g: 0.01 to %d, and 0 to 1, are possible", width, ecc, widest)
	}
	w := 1 - ecc*ecc
	s := w * w / (math.Pi * ecc * math.Sqrt(math.Pi*math.Pi*w+16*ecc*ecc)) / (width * width)
	return steady(ecc, math.Atan2(math.Pi*math.Sqrt(w), 4*ecc), s*math.Pi*ecc), nil
}

// SteadyReynolds returns the steady state from Reynolds itself. With
//
//   - width: L/D [-], as Reynolds
//   - ecc: eccentricity ε [-], 0.001 to 0.998
//   - start: AtWidest as the tables of Raimondi and Boyd, FilmAnywhere as the mobility
//
// Result [-, rad]: within 1.3 % of those tables; takes some milliseconds. An error outside the range. Source: RAIMONDI
func SteadyReynolds(width, ecc float64, start Start) (Steady, error) {
	if !(ecc >= 0.001 && ecc <= 0.998) {
		return Steady{}, fmt.Errorf("an eccentricity of %g: 0.001 to 0.998 are possible", ecc)
	}
	fine := UsualMesh()
	f, err := Reynolds(width, ecc, -math.Pi/2, start, fine)
	if err != nil {
		return Steady{}, err
	}
	coarse, err := Reynolds(width, ecc, -math.Pi/2, start, Mesh{Around: fine.Around / 2, Across: fine.Across / 2})
	if err != nil {
		return Steady{}, err
	}
	f = (4*f - coarse) / 3
	return steady(ecc, -cmplx.Phase(f), width/(3*cmplx.Abs(f))), nil
}
