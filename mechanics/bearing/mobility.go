package bearing

import (
	"fmt"
	"math"
	"math/cmplx"
)

//go:generate go run ../../tools/mobility

// Touch is the thinnest film that is followed, as a share of the clearance: 0.1 µm in a clearance of 50 µm. Below
// it the surfaces touch.
const Touch = 0.002

// Mobility is how fast a journal without rotation gives way to a load, for one width of bearing:
//
//	dε/dt = |W| (c/R)²/(μ L D) M      M = Mobility.At(ε vector, direction of the load)
//
// Booker's method. It holds for a circular rigid bearing full of oil whose film is nowhere under tension; the film may
// begin anywhere. Make one with NewMobility or ShortMobility.
type Mobility struct {
	width float64 // L/D
	// over −ln(1−ε) and the fanned direction of the load: logarithm of the size, and by how much the velocity
	// turns from the load
	size, turn []float64
}

const (
	fineE, fineA = 53, 49             // points of the map over eccentricity and direction
	coarseE      = 14                 // of the corrections, over eccentricity
	coarseA      = 25                 // and over direction
	rangeE       = 6.2146080984221914 // −ln Touch
	stepE, stepA = rangeE / (fineE - 1), math.Pi / (fineA - 1)
)

// TableWidths returns the widths of land for which corrections are tabulated.
//
// Result [L/D, -]: rising. Definition.
func TableWidths() []float64 { return []float64{0.125, 0.25, 0.375, 0.5, 0.75, 1, 1.5} }

// ShortMobility returns the mobility of a bearing much narrower than its diameter (Ocvirk's limit), in closed form.
// With
//
//   - width: width of a land over its diameter L/D [-], 0.01 to 1.5
//
// it lets a bearing carry too much: by a fifth at L/D = 0.25 and ε = 0.8, by three times at L/D = 1.
//
// Result [-]: an error outside the range. Source: BOOKER
func ShortMobility(width float64) (*Mobility, error) { return newMobility(width, true) }

// NewMobility returns the mobility of a bearing of finite width: that of the short bearing times a correction from a
// table, computed once by Reynolds. With
//
//   - width: width of a land over its diameter L/D [-], 0.01 to 1.5; below 0.125 the correction fades to none
//
// Result [-]: within 2 % of Reynolds up to ε = 0.99 from L/D = 0.125 on, worst seen 1.2 %. An error outside the range. Source: BOOKER
func NewMobility(width float64) (*Mobility, error) { return newMobility(width, false) }

func newMobility(width float64, short bool) (*Mobility, error) {
	if !(width >= 0.01 && width <= 1.5) {
		return nil, fmt.Errorf("a land %g diameters wide: 0.01 to 1.5 are possible, such as 0.35", width)
	}
	m := &Mobility{width: width, size: make([]float64, fineE*fineA), turn: make([]float64, fineE*fineA)}
	c := correctionsFor(width)
	for i := range fineE {
		ecc := -math.Expm1(-float64(i) * stepE)
		for j := range fineA {
			load := unfan(float64(j)*stepA, ecc)
			v := shortMobility(ecc, load)
			size, turn := math.Log(cmplx.Abs(v)/(width*width)), cmplx.Phase(v)-load
			if !short {
				s, t := c.at(ecc, load)
				size, turn = size+s, turn+t
			}
			m.size[i*fineA+j], m.turn[i*fineA+j] = size, turn
		}
	}
	return m, nil
}

// Width returns the width for which the mobility holds.
//
// Result [L/D, -]. Definition.
func (m *Mobility) Width() float64 { return m.width }

// At returns the velocity of the journal without rotation. With
//
//   - ecc: eccentricity over clearance [-], a plane vector; taken at 1 − Touch where it is larger
//   - load: direction of the load on the journal [-], a plane vector of any length but 0
//
// Result [(c/R)² |W|/(μ L D)]: a plane vector; 0 without a load. Source: BOOKER
func (m *Mobility) At(ecc, load complex128) complex128 {
	w := math.Hypot(real(load), imag(load))
	if !(w > 0) {
		return 0
	}
	load /= complex(w, 0)
	e := math.Hypot(real(ecc), imag(ecc))
	if e < 1e-12 {
		e, ecc = 1e-12, complex(1e-12, 0)
	}
	rel := load * complex(real(ecc)/e, -imag(ecc)/e) // the load seen from the eccentricity
	e = min(e, 1-Touch)
	phi := math.Atan2(math.Abs(imag(rel)), real(rel))
	size, turn := spline(m.size, m.turn, fineE, fineA, -math.Log1p(-e)/stepE, fan(phi, e)/stepA)
	v := cmplx.Rect(math.Exp(size), turn)
	if imag(rel) < 0 {
		v = cmplx.Conj(v)
	}
	return v * load
}

// corrections are the logarithm of the ratio of two mobilities and the turn between them, over a coarse map.
type corrections struct{ size, turn []float64 }

// at interpolates between the points.
func (c corrections) at(ecc, load float64) (size, turn float64) {
	return spline(c.size, c.turn, coarseE, coarseA,
		-math.Log1p(-ecc)/rangeE*(coarseE-1), fan(load, ecc)/math.Pi*(coarseA-1))
}

// correctionsFor interpolates the table between widths, by the parabola through three of them.
func correctionsFor(width float64) corrections {
	widths := append([]float64{0}, TableWidths()...)
	i := 1 // the middle of three
	for i < len(widths)-2 && widths[i] < width {
		i++
	}
	var weight [3]float64 // of widths i−1, i, i+1
	for a := range weight {
		weight[a] = 1
		for b := range weight {
			if a != b {
				weight[a] *= (width - widths[i-1+b]) / (widths[i-1+a] - widths[i-1+b])
			}
		}
	}
	t := table()
	c := corrections{size: make([]float64, coarseE*coarseA), turn: make([]float64, coarseE*coarseA)}
	for a, w := range weight {
		if i-1+a == 0 {
			continue // nothing to correct at width 0
		}
		for k := range c.size {
			c.size[k] += w * float64(t[i+a-2][k][0]) * tableUnit
			c.turn[k] += w * float64(t[i+a-2][k][1]) * tableUnit
		}
	}
	return c
}

// fan maps the direction of a load, 0 to π, so that equal steps are short towards a near wall, where the answer turns within
// 1−ε: the mean of the angle, of Sommerfeld's and of Sommerfeld's twice over.
func fan(a, ecc float64) float64 {
	sin, cos := math.Sincos(a / 2)
	up, down := 1+ecc, 1-ecc
	return (a + 2*math.Atan2(math.Sqrt(up)*sin, math.Sqrt(down)*cos) + 2*math.Atan2(up*sin, down*cos)) / 3
}

// unfan is the inverse of fan.
func unfan(s, ecc float64) float64 {
	return root(func(a float64) float64 { return fan(a, ecc) }, s, 1e-12)
}

// tableUnit is what one in the table stands for.
const tableUnit = 1e-4

// spline interpolates two maps of rows × columns by cubics through four points (Catmull and Rom). The first map is
// even and the second odd about the first and last column; rows go on as parabolas at either end.
func spline(even, odd []float64, rows, columns int, r, c float64) (x, y float64) {
	r, c = min(max(r, 0), float64(rows-1)), min(max(c, 0), float64(columns-1))
	i, j := min(int(r), rows-2), min(int(c), columns-2)
	wr, wc := cubic(r-float64(i)), cubic(c-float64(j))
	if i == 0 { // a parabola through the first three rows
		wr[1], wr[2], wr[3], wr[0] = wr[1]+3*wr[0], wr[2]-3*wr[0], wr[3]+wr[0], 0
	}
	if i == rows-2 {
		wr[2], wr[1], wr[0], wr[3] = wr[2]+3*wr[3], wr[1]-3*wr[3], wr[0]+wr[3], 0
	}
	for a := range wr {
		if wr[a] == 0 {
			continue
		}
		row := (i - 1 + a) * columns
		for b, w := range wc {
			k, sign := j-1+b, 1.0
			if k < 0 {
				k, sign = -k, -1
			} else if k >= columns {
				k, sign = 2*(columns-1)-k, -1
			}
			x += wr[a] * w * even[row+k]
			y += wr[a] * w * sign * odd[row+k]
		}
	}
	return x, y
}

// cubic returns the weights of the four points round a place between the second and the third.
func cubic(t float64) [4]float64 {
	return [4]float64{
		t * (-1 + t*(2-t)) / 2,
		1 + t*t*(-5+3*t)/2,
		t * (1 + t*(4-3*t)) / 2,
		t * t * (t - 1) / 2,
	}
}
