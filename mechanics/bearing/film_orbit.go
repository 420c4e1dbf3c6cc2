package bearing

import (
	"fmt"
	"math"
	"math/cmplx"
)

// Orbit is the path of the journal's centre over a cycle.
type Orbit struct {
	Ecc   []complex128 // eccentricity over clearance [-], in the frame of the duty
	Film  []float64    // thinnest film at each angle [m]
	Power []float64    // turned into heat [W]

	MinFilm   float64 // [m]
	MinAt     int     // sample at which it is thinnest
	MinToward float64 // where on the sleeve [rad], from +z about +x in the frame of the duty
	MaxEcc    float64 // [-]
	MeanFilm  float64 // [m]
	MeanPower float64 // [W]
	Viscosity float64 // with which it was computed [Pa s]

	Touches int     // samples with the film at its limit: surfaces touch, the film means nothing more
	Cycles  int     // followed until it repeated
	Settled bool    // it repeats
	Open    float64 // between the ends of the last cycle [clearances]
}

// The orbit repeats when its ends are this close, against the film left.
const (
	closed    = 2e-4
	maxCycles = 200
	maxSteps  = 300_000
	// after so many cycles a film that touches at more than half of the angles is lost
	lostCycles = 3
	// the shortest step: this share of a cycle, or the load is beyond what any film carries
	shortest = 1e-5
	// relative error of a step, against the film left
	stepError = 2e-4
)

// FindOrbit follows the journal's centre until its path repeats,
//
//	dε/dt = |W| (c/R)²/(μ L D) M(ε, W) + i ½(ω_journal + ω_sleeve) ε
//
// with
//
//   - m: mobility for the width of a land, Gap.Ratio
//   - g: geometry of the film
//   - d: loads and speeds over the cycle
//   - viscosity: of the oil in the film [Pa s]
//   - start: eccentricity to start from [-]; anything inside 1 gives the same orbit, a good guess gives it sooner
//
// in steps that the film left rules (Bogacki and Shampine, order 3 with 2). The journal never passes the wall: where the
// film falls to Touch of the clearance it stays there and the orbit counts a touch. Where it has not repeated after 200
// cycles, or 300 000 steps, or touches at more than half of the angles, Settled is false, as with a load so light that the film never rules.
// For concept work: circular, rigid, one temperature, full of oil. The power is
//
//	H = W·(dε/dt without rotation)·c + 2π μ R³ L (ω_journal − ω_sleeve)²/(c √(1−ε²))
//
// which is the work on a film that fills the whole ring; without load it is Petroff's.
//
// Result [-, m, W]: an error for impossible input. Source: BOOKER
func FindOrbit(m *Mobility, g Gap, d Duty, viscosity float64, start complex128) (Orbit, error) {
	if err := checkFilm(m, g, viscosity); err != nil {
		return Orbit{}, err
	}
	if err := d.Validate(); err != nil {
		return Orbit{}, err
	}
	if !(cmplx.Abs(start) < 1) {
		return Orbit{}, fmt.Errorf("a start at an eccentricity of %g: it must be below 1", cmplx.Abs(start))
	}
	n := len(d.Load)
	t := &tracker{
		m: m, d: d, n: n, time: 2 * math.Pi * d.Turns / d.Speed / float64(n), size: 0.5,
		least: min(0.1, shortest*float64(n)),
		gain:  squareOf(g.Clearance/g.Diameter*2) / (viscosity * g.Width * g.Diameter * g.lands()),
	}
	o := Orbit{Ecc: make([]complex128, n), Film: make([]float64, n), Power: make([]float64, n), Viscosity: viscosity}
	at := inside(start)
	for o.Cycles = 1; ; o.Cycles++ {
		first := at
		o.Touches = 0
		for k := range n {
			o.Ecc[k] = at
			if cmplx.Abs(at) >= 1-Touch*1.0001 {
				o.Touches++
			}
			at = t.across(k, at)
		}
		o.Open = cmplx.Abs(at - first)
		lost := o.Cycles >= lostCycles && 2*o.Touches > n
		if o.Settled = o.Open < closed*(1-cmplx.Abs(at)); o.Settled || lost || o.Cycles == maxCycles || t.steps > maxSteps {
			break
		}
	}
	o.measure(t, g)
	return o, nil
}

func checkFilm(m *Mobility, g Gap, viscosity float64) error {
	if err := g.Validate(); err != nil {
		return err
	}
	if m == nil || math.Abs(m.width-g.Ratio()) > 1e-9*m.width {
		return fmt.Errorf("the mobility is for another width than %g diameters: make one with NewMobility(%g)", g.Ratio(), g.Ratio())
	}
	return checkViscosity(viscosity)
}

func squareOf(x float64) float64 { return x * x }

// inside keeps a film of Touch.
func inside(e complex128) complex128 {
	if r := cmplx.Abs(e); r > 1-Touch {
		return e * complex((1-Touch)/r, 0)
	}
	return e
}

// tracker follows the journal.
type tracker struct {
	m    *Mobility
	d    Duty
	n    int
	time float64 // from sample to sample [s]
	gain float64 // (c/R)²/(μ L D), of all lands [1/(N s)]
	size float64 // of the next step [samples]

	least float64 // the shortest [samples]
	steps int
}

// rate returns the velocity at a share of the way from sample k to the next [clearances a sample].
func (t *tracker) rate(k int, share float64, e complex128) complex128 {
	next := k + 1
	if next == t.n {
		next = 0
	}
	w := t.d.Load[k] + complex(share, 0)*(t.d.Load[next]-t.d.Load[k])
	turning := (1-share)*(speed(t.d.Journal, k)+speed(t.d.Sleeve, k)) + share*(speed(t.d.Journal, next)+speed(t.d.Sleeve, next))
	squeeze := t.m.At(e, w) * complex(t.gain*math.Hypot(real(w), imag(w)), 0)
	return (squeeze + complex(0, turning/2)*e) * complex(t.time, 0)
}

// across follows the journal from sample k to the next.
func (t *tracker) across(k int, e complex128) complex128 {
	at := 0.0
	r1 := t.rate(k, 0, e)
	for at < 1 {
		h := min(t.size, 1-at)
		t.steps++
		x := complex(h, 0)
		r2 := t.rate(k, at+h/2, inside(e+x/2*r1))
		r3 := t.rate(k, at+h*3/4, inside(e+x*3/4*r2))
		next := e + x/9*(2*r1+3*r2+4*r3)
		end := inside(next)
		r4 := t.rate(k, at+h, end)
		miss := cmplx.Abs(x * (-5.0/72*r1 + 1.0/12*r2 + 1.0/9*r3 - 1.0/8*r4))
		left := max(1-cmplx.Abs(e), Touch)
		bad := miss / (stepError * left)
		if cmplx.Abs(next) > 1-left/3 {
			bad = max(bad, 8) // never more than two thirds of the film in one step
		}
		if touching := left < 1.01*Touch && cmplx.Abs(end) > 1-1.01*Touch; bad > 1 && h > t.least && !touching {
			t.size = max(t.least, h*max(0.2, 0.9/math.Cbrt(bad)))
			continue
		}
		at += h
		if 1-at < 1e-12 {
			at = 1
		}
		e, r1 = end, r4
		if grown := h * min(4, 0.9/math.Cbrt(max(bad, 1e-3))); h == t.size || grown < t.size {
			t.size = min(max(grown, t.least), 1)
		}
	}
	return e
}

// measure fills in what follows from the path.
func (o *Orbit) measure(t *tracker, g Gap) {
	o.MinFilm = math.Inf(1)
	petroff := 2 * math.Pi * o.Viscosity * math.Pow(g.Diameter/2, 3) * g.Width * g.lands() / g.Clearance
	for k, e := range o.Ecc {
		r := cmplx.Abs(e)
		w := t.d.Load[k]
		give := t.m.At(e, w)
		slip := speed(t.d.Journal, k) - speed(t.d.Sleeve, k)
		o.Power[k] = petroff*slip*slip/math.Sqrt(1-r*r) +
			t.gain*g.Clearance*cmplx.Abs(w)*(real(w)*real(give)+imag(w)*imag(give))
		o.Film[k] = g.Clearance * (1 - r)
		o.MeanFilm += o.Film[k] / float64(t.n)
		o.MeanPower += o.Power[k] / float64(t.n)
		if o.Film[k] < o.MinFilm {
			o.MinFilm, o.MinAt, o.MaxEcc = o.Film[k], k, r
			o.MinToward = cmplx.Phase(e * complex(0, -1)) // e = i e^{ia} for direction a
		}
	}
}
