package balance

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"

	"crankwright/mechanics/layout"
)

// ResidualKind is what remains of an order: one of its vectors, or the longest of the ellipse.
type ResidualKind int

// The residuals of one order.
const (
	ForceWith     ResidualKind = iota // |W⁺|, a counterweight could take it
	ForceAgainst                      // |W⁻|
	MomentWith                        // |M⁺|
	MomentAgainst                     // |M⁻|
	ForceMajor                        // |W⁺| + |W⁻|, the largest force
	MomentMajor                       // |M⁺| + |M⁻|, the largest moment
	residualKinds
)

// String returns the residual in words [-]. Definition.
func (r ResidualKind) String() string {
	names := [...]string{"force with the crank", "force against the crank", "moment with the crank", "moment against the crank", "largest force", "largest moment"}
	if r < 0 || int(r) >= len(names) {
		return "unknown"
	}
	return names[r]
}

// IsMoment says whether the residual is a moment [kg m²] and not a force [kg m], per ω². Definition.
func (r ResidualKind) IsMoment() bool {
	return r == MomentWith || r == MomentAgainst || r == MomentMajor
}

// SimOptions say how tolerances are sampled.
type SimOptions struct {
	Samples int    // engines built, from 1 to 1,000,000; 0: 100,000
	Seed    uint64 // of the random numbers
	Orders  []int  // twice the orders; nil: 2 and 4, the first and the second order
}

// MostSamples is the largest number of samples [1]: beyond it percentiles gain nothing. Definition.
const MostSamples = 1_000_000

// Percentile is the value that a share of the samples does not exceed.
type Percentile struct {
	Share float64 // [1]
	Value float64 // per ω² [kg m] or [kg m²]
}

// Scatter is the distribution of one residual over the samples, per ω² [kg m] or [kg m²].
type Scatter struct {
	K           int // twice the order
	Kind        ResidualKind
	Nominal     float64
	Mean, Sigma float64
	Percentiles []Percentile // of 50, 90, 95 and 99 %
	Largest     float64
	// Deviation is the root mean square distance of the vector from its nominal value; 0 for ForceMajor
	// and MomentMajor, which are no vectors.
	Deviation float64
	sorted    []float64
}

// Samples returns how many samples the distribution has [1]. Definition.
func (s *Scatter) Samples() int { return len(s.sorted) }

// Histogram counts the samples in equal bins from the smallest to the largest.
//
//   - bins: number of bins [1], at least 1
//
// Results: edges per ω² [kg m] or [kg m²], one more than bins, and counts [1]. Where all samples are
// equal there is one bin of no width. Definition.
func (s *Scatter) Histogram(bins int) (edges []float64, counts []int) {
	n := len(s.sorted)
	if n == 0 || bins < 1 {
		return nil, nil
	}
	lo, hi := s.sorted[0], s.sorted[n-1]
	if !(hi-lo > 1e-13*hi) { // rounding alone
		return []float64{lo, hi}, []int{n}
	}
	counts = make([]int, bins)
	for _, v := range s.sorted {
		counts[min(bins-1, int(float64(bins)*((v-lo)/(hi-lo))))]++
	}
	for i := range bins + 1 {
		edges = append(edges, lo+(hi-lo)*float64(i)/float64(bins))
	}
	return edges, counts
}

// Simulate builds a train many times with parts that scatter within their tolerances.
//
//   - t: a train that layout.Validate accepts
//   - tol: half widths in SI, such as [kg]
//   - opt: samples, seed and orders
//
// Result per ω² [kg m] and [kg m²], for each order the residuals in the order of ResidualKind. Masses, pin
// angles and places count exactly, radii and rod lengths to the second order. The p-th percentile is
// the smallest sample that at least the share p does not exceed. The same seed gives the same result,
// to rounding on every machine. Errors: layout.Problems, tolerances or options out of range,
// motion.ErrReach. Source: DEFINITION, Monte Carlo on the sums of package inertia.
func Simulate(t *layout.Train, tol Tolerances, opt SimOptions) ([]Scatter, error) {
	if opt.Samples == 0 {
		opt.Samples = 100_000
	}
	if opt.Samples < 1 || opt.Samples > MostSamples {
		return nil, fmt.Errorf("there are %d samples; the number lies between 1 and %d", opt.Samples, MostSamples)
	}
	m, params, err := prepared(t, tol, opt.Orders)
	if err != nil {
		return nil, err
	}
	dev := make([]float64, m.width())
	nominal := make([]complex128, vectors*len(m.orders))
	m.eval(nominal, dev)
	out := make([]complex128, len(nominal))
	all := make([][]float64, int(residualKinds)*len(m.orders))
	for i := range all {
		all[i] = make([]float64, opt.Samples)
	}
	square := make([]float64, len(nominal))
	random := rand.New(rand.NewPCG(opt.Seed, 0x6372616e6b)) //nolint:gosec // repeatable on purpose
	for j := range opt.Samples {
		for _, p := range params {
			dev[p.at] = tol.Spread.draw(random, p.half)
		}
		m.eval(out, dev)
		for i, w := range out {
			d := w - nominal[i]
			square[i] += real(d)*real(d) + imag(d)*imag(d)
		}
		for o := range m.orders {
			a, r := out[vectors*o:vectors*o+vectors], all[int(residualKinds)*o:]
			var size [vectors]float64
			for i, w := range a {
				size[i] = math.Sqrt(real(w)*real(w) + imag(w)*imag(w))
				r[i][j] = size[i]
			}
			r[ForceMajor][j], r[MomentMajor][j] = size[0]+size[1], size[2]+size[3]
		}
	}
	var scatters []Scatter
	for o, k := range m.orders {
		a := nominal[vectors*o : vectors*o+vectors]
		for kind := range residualKinds {
			s := scatterOf(all[int(residualKinds)*o+int(kind)])
			s.K, s.Kind = k, kind
			switch kind {
			case ForceMajor:
				s.Nominal = cmplx.Abs(a[0]) + cmplx.Abs(a[1])
			case MomentMajor:
				s.Nominal = cmplx.Abs(a[2]) + cmplx.Abs(a[3])
			default:
				s.Nominal = cmplx.Abs(a[kind])
				s.Deviation = math.Sqrt(square[vectors*o+int(kind)] / float64(opt.Samples))
			}
			scatters = append(scatters, s)
		}
	}
	return scatters, nil
}

// draw returns a deviation within the half width.
func (s Spread) draw(random *rand.Rand, half float64) float64 {
	if s == UniformSpread {
		return half * (2*random.Float64() - 1)
	}
	for {
		if x := random.NormFloat64(); x >= -3 && x <= 3 {
			return half / 3 * x
		}
	}
}

// scatterOf sorts the samples and reads them.
func scatterOf(v []float64) Scatter {
	slices.Sort(v)
	n := float64(len(v))
	s := Scatter{sorted: v, Largest: v[len(v)-1]}
	for _, x := range v {
		s.Mean += x / n
	}
	for _, x := range v {
		s.Sigma += (x - s.Mean) * (x - s.Mean) / n
	}
	s.Sigma = math.Sqrt(s.Sigma)
	for _, share := range []float64{0.5, 0.9, 0.95, 0.99} {
		i := max(0, int(math.Ceil(share*n-1e-9))-1)
		s.Percentiles = append(s.Percentiles, Percentile{Share: share, Value: v[i]})
	}
	return s
}

// deviatingPart is one deviation that is not held at zero.
type deviatingPart struct {
	class ToleranceClass
	part  int
	at    int
	half  float64
}

// prepared checks the input and expands the train.
func prepared(t *layout.Train, tol Tolerances, orders []int) (*toleranceModel, []deviatingPart, error) {
	if err := layout.Validate(t); err != nil {
		return nil, nil, err
	}
	if err := tol.check(t); err != nil {
		return nil, nil, err
	}
	m, err := newToleranceModel(t, orders)
	if err != nil {
		return nil, nil, err
	}
	var params []deviatingPart
	for c := range toleranceClasses {
		half := tol.Half(c)
		if half == 0 {
			continue
		}
		for i := range m.counts[c] {
			params = append(params, deviatingPart{class: c, part: i, at: m.first[c] + i, half: half})
		}
	}
	return m, params, nil
}

// ToleranceShare is how much of the variance of a residual one class of tolerances makes.
type ToleranceShare struct {
	Class ToleranceClass
	Share float64   // of the variance [1]
	Parts []float64 // the same by part: cylinder, throw, counterweight, shaft mass or shaft [1]
}

// Sensitivity is the linear law of the variance of one residual vector.
type Sensitivity struct {
	K         int          // twice the order
	Kind      ResidualKind // one of the four vectors
	Deviation float64      // root mean square distance from the nominal vector, per ω² [kg m] or [kg m²]
	Shares    []ToleranceShare
}

// ToleranceLaw is the linear law of all residuals.
type ToleranceLaw struct {
	Vectors []Sensitivity
	Overall []ToleranceShare // of the sum of all variances, moments divided by Lever, largest first
	Lever   float64          // radius of gyration of the cylinders' places about the reference [m]
}

// LinearTolerances returns how far the residuals scatter and which tolerance makes how much of it, by the
// linear law of variances.
//
//	E|δW|² = Σ_p |∂W/∂p|² σ_p²     σ_p = Spread.Sigma(half width)
//
// with
//   - t: a train that layout.Validate accepts
//   - tol: half widths in SI, such as [kg]
//   - orders: twice the orders; nil: 2 and 4
//
// Result per ω² [kg m] and [kg m²], and shares [1], the largest first; the deviations of the parts are
// independent. Valid for small tolerances: what it leaves out grows with their square, see Simulate
// for the whole. Errors as in Simulate. Source: DEFINITION, propagation of variances.
func LinearTolerances(t *layout.Train, tol Tolerances, orders []int) (*ToleranceLaw, error) {
	m, params, err := prepared(t, tol, orders)
	if err != nil {
		return nil, err
	}
	count := vectors * len(m.orders)
	dev := make([]float64, m.width())
	up, down := make([]complex128, count), make([]complex128, count)
	variance := make([]float64, count)        // of each vector
	byPart := make([]float64, count*len(dev)) // the same by deviation
	const small = 1e-2                        // of a half width: the curvature cancels, the rounding stays far below
	at := func(vector, place int) *float64 { return &byPart[vector*len(dev)+place] }
	for _, p := range params {
		dev[p.at] = small * p.half
		m.eval(up, dev)
		dev[p.at] = -small * p.half
		m.eval(down, dev)
		dev[p.at] = 0
		σ := tol.Spread.Sigma(p.half)
		for i := range up {
			slope := cmplx.Abs(up[i]-down[i]) / (2 * small * p.half) * σ
			*at(i, p.at) = slope * slope
			variance[i] += slope * slope
		}
	}
	law := &ToleranceLaw{Lever: m.length}
	var total float64
	overall := make([]float64, len(dev))
	for i := range count {
		weight := 1.0
		if kind := ResidualKind(i % vectors); kind.IsMoment() {
			weight = 1 / (m.length * m.length)
		}
		total += weight * variance[i]
		for j := range overall {
			overall[j] += weight * *at(i, j)
		}
		law.Vectors = append(law.Vectors, Sensitivity{
			K: m.orders[i/vectors], Kind: ResidualKind(i % vectors), Deviation: math.Sqrt(variance[i]),
			Shares: m.shares(params, byPart[i*len(dev):(i+1)*len(dev)], variance[i]),
		})
	}
	law.Overall = m.shares(params, overall, total)
	return law, nil
}

// shares gathers variances by class, the largest first.
func (m *toleranceModel) shares(params []deviatingPart, variances []float64, total float64) []ToleranceShare {
	var out []ToleranceShare
	if total == 0 {
		return out
	}
	for _, p := range params {
		if len(out) == 0 || out[len(out)-1].Class != p.class {
			out = append(out, ToleranceShare{Class: p.class, Parts: make([]float64, m.counts[p.class])})
		}
		s := &out[len(out)-1]
		s.Parts[p.part] = variances[p.at] / total
		s.Share += s.Parts[p.part]
	}
	slices.SortStableFunc(out, func(a, b ToleranceShare) int {
		return cmp.Compare(b.Share, a.Share)
	})
	return out
}
