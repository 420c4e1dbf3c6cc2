package checks

import (
	"fmt"
	"math"
	"math/big"

	"crankwright/mechanics/motion"
)

// seriesTerm returns the exact coefficient of λ^{2k−1} in A_{2j}.
//
//	√(1−λ² sin²φ) = Σ_k C(½,k) (−λ²)^k sin^{2k}φ
//	= 2^{−2k} ( C(2k,k) + 2 Σ_j (−1)^j C(2k,k−j) cos 2jφ
//	A_{2j} = 4j² Σ_k C(½,k) (−1)^{k+j} 2^{1−2k} C(2k,k−j) λ^{2k−1}
//
// with
//   - j: half the order [1], from 1
//   - k: number of the term [1], from 1
//
// Result [1]; zero for k < j. Source: DEFINITION, binomial series; it shares no code with motion.
func seriesTerm(j, k int) *big.Rat {
	c := big.NewRat(int64(4*j*j), 1)
	for i := range k {
		c.Mul(c, big.NewRat(int64(1-2*i), int64(2*(i+1))))
	}
	if k < j {
		return new(big.Rat)
	}
	c.Mul(c, new(big.Rat).SetInt(new(big.Int).Binomial(int64(2*k), int64(k-j))))
	c.Mul(c, new(big.Rat).SetFrac(big.NewInt(2), new(big.Int).Lsh(big.NewInt(1), uint(2*k))))
	if (k+j)%2 == 1 {
		c.Neg(c)
	}
	return c
}

// seriesA returns the coefficient A_n of the piston acceleration of a central crank.
//
//   - n: order [1]
//   - λ: ratio of crank radius and rod length [1], below 0.5
//
// Result [1], to rounding. Source: DEFINITION, the sum of seriesTerm.
func seriesA(n int, λ float64) float64 {
	if n == 1 {
		return 1
	}
	if n%2 == 1 {
		return 0
	}
	sum := 0.0
	for k := n / 2; math.Pow(λ, float64(2*k-1)) > 1e-19; k++ { // no coefficient exceeds 1
		c, _ := seriesTerm(n/2, k).Float64()
		sum += c * math.Pow(λ, float64(2*k-1))
	}
	return sum
}

// beyondTwoTerms returns what the two-term series of textbooks leave out.
//
//	Σ A_n cos nφ − cos φ − λ cos 2φ   and   Σ A_n/n sin nφ − sin φ − ½λ sin 2φ
//
// with
//   - φ: crank angle from top dead centre [rad]
//   - λ: ratio of crank radius and rod length [1]
//
// Results [1]: of the acceleration per rω² and of the velocity per rω. Source: DEFINITION.
func beyondTwoTerms(φ, λ float64) (acceleration, velocity float64) {
	acceleration, velocity = -λ*math.Cos(2*φ), -λ/2*math.Sin(2*φ)
	for n := 2; n <= 24; n += 2 {
		a := seriesA(n, λ)
		acceleration += a * math.Cos(float64(n)*φ)
		velocity += a / float64(n) * math.Sin(float64(n)*φ)
	}
	return acceleration, velocity
}

// harmonic returns our coefficient of order n.
func harmonic(n int, λ, offset float64, sine bool) (float64, error) {
	a, b, err := motion.Linkage{Radius: λ, Length: 1, Offset: offset * λ}.Harmonics(8)
	if err != nil {
		return 0, err
	}
	if sine {
		return b[n], nil
	}
	return a[n], nil
}

// fittedTerm returns the coefficient of λ^{2k−1} in our A_{2j}, found by interpolating our exact
// values by a polynomial in λ².
func fittedTerm(j, k int) (float64, error) {
	const nodes, most = 11, 0.25 // λ² at Chebyshev points from 0 to most
	var u, y [nodes]float64
	for i := range u {
		u[i] = most / 2 * (1 - math.Cos(math.Pi*(float64(i)+0.5)/nodes))
		λ := math.Sqrt(u[i])
		a, err := harmonic(2*j, λ, 0, false)
		if err != nil {
			return 0, err
		}
		y[i] = a / math.Pow(λ, float64(2*j-1))
	}
	for d := 1; d < nodes; d++ { // divided differences
		for i := nodes - 1; i >= d; i-- {
			y[i] = (y[i] - y[i-1]) / (u[i] - u[i-d])
		}
	}
	var c [nodes]float64 // Newton's form → powers
	for i := nodes - 1; i >= 0; i-- {
		for p := nodes - 1; p > 0; p-- {
			c[p] = c[p-1] - u[i]*c[p]
		}
		c[0] = y[i] - u[i]*c[0]
	}
	return c[k-j], nil
}

// series lists the coefficients of the piston acceleration of a central crank.
func (l *list) series() {
	for _, row := range []struct {
		λ    float64
		text string
		a    [4]string
	}{
		{0.20, "0.20", [4]string{"0.20203840", "-0.00206180", "2.367e-5", "-2.7e-7"}},
		{0.25, "0.25", [4]string{"0.25402504", "-0.00409811", "7.438e-5", "-1.33e-6"}},
		{0.30, "0.30", [4]string{"0.30705066", "-0.00723769", "1.9194e-4", "-5.03e-6"}},
		{1.0 / 3, "1:3", [4]string{"0.34310858", "-0.01009908", "3.3443e-4", "-1.094e-5"}},
	} {
		for i, printed := range row.a {
			n := 2 * (i + 1)
			l.add(Check{
				ID: fmt.Sprintf("series/λ=%s/A%d", row.text, n), Chapter: "motion", Kind: ClosedForm, Source: "BIEZENO",
				Place: "series of the piston acceleration; table recomputed by transform of the exact motion", Seen: Recomputed,
				What:    fmt.Sprintf("coefficient A%d of the piston acceleration, central crank", n),
				Printed: printed, Want: number(printed),
				Ours: func() (float64, error) { return harmonic(n, row.λ, 0, false) },
			})
			l.add(Check{
				ID: fmt.Sprintf("series/λ=%s/A%d-exact", row.text, n), Chapter: "motion", Kind: ClosedForm, Source: "DEFINITION",
				Place: "binomial series in exact fractions, summed until a term sinks below 1e-19", Seen: Recomputed,
				What:    fmt.Sprintf("coefficient A%d of the piston acceleration, to rounding", n),
				Printed: fmt.Sprintf("%.15g", seriesA(n, row.λ)), Want: seriesA(n, row.λ), Tol: 4e-15,
				TolWhy: "rounding of a transform of values of size 1",
				Ours:   func() (float64, error) { return harmonic(n, row.λ, 0, false) },
			})
		}
		l.add(Check{
			ID: fmt.Sprintf("series/λ=%s/odd", row.text), Chapter: "motion", Kind: ClosedForm, Source: "TAYLOR2", Seen: Memory,
			Place: "series of the piston acceleration", What: "largest of A3, A5, A7, which a central crank does not have",
			Printed: "0", Tol: 4e-15,
			Ours: func() (float64, error) {
				a, _, err := motion.Linkage{Radius: row.λ, Length: 1}.Harmonics(8)
				if err != nil {
					return 0, err
				}
				return max(math.Abs(a[3]), math.Abs(a[5]), math.Abs(a[7])), nil
			},
		})
	}
	for j, row := range [][]string{
		{"1/1", "1/4", "15/128", "35/512", "735/16384", "2079/65536"},
		{"-1/4", "-3/16", "-35/256", "-105/1024"},
		{"9/128", "45/512", "2835/32768"},
		{"-5/256", "-35/1024"},
	} {
		for i, printed := range row {
			k := i + j + 1 // number of the term
			want := number(printed)
			l.add(Check{
				ID: fmt.Sprintf("series/A%d/term-%d", 2*j+2, 2*k-1), Chapter: "motion", Kind: ClosedForm, Source: "BIEZENO", Seen: Recomputed,
				Place:   "series to λ⁵ printed in most texts, higher terms derived in exact fractions",
				What:    fmt.Sprintf("coefficient of λ^%d in A%d", 2*k-1, 2*j+2),
				Printed: printed, Want: want, Tol: 0.005 * math.Abs(want),
				TolWhy: "ours is found by interpolating exact values at eleven ratios; the interpolation is good to a few parts in a thousand for the highest terms",
				Ours:   func() (float64, error) { return fittedTerm(j+1, k) },
			})
		}
	}
}
