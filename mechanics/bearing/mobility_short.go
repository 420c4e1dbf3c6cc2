package bearing

import (
	"math"
	"math/cmplx"
)

// shortForce returns the load that a film much narrower than the journal carries, for a journal moving towards γ from
// its eccentricity; the film carries over the half of the ring that is being squeezed. In units of μRL³V/c³:
//
//	∫ n (n·v) / (1 − ε cos a)³ da over γ − π/2 … γ + π/2      n = e^{ia}
//
// with Sommerfeld's angle ψ every integral is elementary: sin a = √(1−ε²) sin ψ/(1+ε cos ψ), cos a = (cos ψ+ε)/(1+ε cos ψ).
func shortForce(ecc, toward float64) complex128 {
	k := math.Sqrt((1 + ecc) / (1 - ecc))
	sin, cos := math.Sincos(toward/2 - math.Pi/4)
	sin2, cos2 := math.Sincos(toward/2 + math.Pi/4)
	from, to := 2*math.Atan2(k*sin, cos), 2*math.Atan2(k*sin2, cos2)
	if to < from {
		to += 2 * math.Pi
	}
	s1, c1 := math.Sincos(from)
	s2, c2 := math.Sincos(to)
	d := to - from
	w := 1 - ecc*ecc
	// ∫(cos ψ+ε)², ∫sin ψ(cos ψ+ε), ∫sin² ψ
	cc := d/2 + (s2*c2-s1*c1)/2 + 2*ecc*(s2-s1) + ecc*ecc*d
	sc := (s2*s2-s1*s1)/2 - ecc*(c2-c1)
	ss := d/2 - (s2*c2-s1*c1)/2
	root := math.Sqrt(w)
	cc, sc, ss = cc/(w*w*root), sc/(w*w), ss/(w*root)
	vy, vz := math.Cos(toward), math.Sin(toward)
	return complex(cc*vy+sc*vz, sc*vy+ss*vz)
}

// shortMobility is the mobility of a short bearing times (L/D)²: the velocity for a load towards φ from the eccentricity,
// 0 ≤ φ ≤ π.
func shortMobility(ecc, load float64) complex128 {
	toward := root(func(a float64) float64 { return cmplx.Phase(shortForce(ecc, a)) }, load, 1e-12)
	return cmplx.Rect(1/(2*cmplx.Abs(shortForce(ecc, toward))), toward)
}

// root finds where f takes a value, for an f that rises from f(0) = 0 to f(π) = π: false position whose idle end is
// halved (Illinois).
func root(f func(float64) float64, value, tol float64) float64 {
	lo, hi, flo, fhi := 0.0, math.Pi, -value, math.Pi-value
	if flo >= 0 || fhi <= 0 {
		return min(max(value, 0), math.Pi)
	}
	x, side := value, 0
	for range 80 {
		y := f(x) - value
		if math.Abs(y) <= tol || hi-lo < 1e-14 {
			break
		}
		if y < 0 {
			lo, flo = x, y
			if side < 0 {
				fhi /= 2
			}
			side = -1
		} else {
			hi, fhi = x, y
			if side > 0 {
				flo /= 2
			}
			side = 1
		}
		x = (lo*fhi - hi*flo) / (fhi - flo)
	}
	return x
}

// SqueezeFilm returns the squeeze number of a short bearing with a film over half the ring,
//
//	J = [(1 + 2ε²) arccos(−ε) + 3ε√(1−ε²)] / (1−ε²)^{5/2}      W = μ L³ R ε̇/c² J
//
// with
//
//   - ecc: eccentricity ε [-], more than −1 and less than 1; negative: towards the wide gap
//
// Result [-]: NaN never; infinite where the journal touches. Source: BOOKER
func SqueezeFilm(ecc float64) float64 {
	if !(math.Abs(ecc) < 1) {
		return math.Inf(1)
	}
	w := 1 - ecc*ecc
	return ((1+2*ecc*ecc)*math.Acos(-ecc) + 3*ecc*math.Sqrt(w)) / (w * w * math.Sqrt(w))
}
