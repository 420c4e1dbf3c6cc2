package bearing

import (
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Force and moment of the mains balance what loads the crank at every angle, whatever the method and the supports.
func TestMainsBalanceTheCrank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		opt := Options{
			Method:   Method(rapid.IntRange(0, 1).Draw(t, "method")),
			Support:  rapid.SampledFrom([]float64{0, 1e6, 1e9, math.Inf(1)}).Draw(t, "support"),
			Overhung: []Overhung{{At: rapid.Float64Range(-0.3, 0.8).Draw(t, "flywheel"), Mass: 25}},
		}
		m, _, pressure, ω := anyMechanism(t, opt)
		l, err := m.Loads(nil, pressure, 1e5, ω)
		if err != nil {
			t.Fatal(err)
		}
		train := m.train
		for j := range m.n {
			var force, moment complex128
			gross := 1.0
			add := func(f complex128, x float64) {
				force += f
				moment += complex(x, 0) * f
				gross += cmplx.Abs(f)
			}
			turn := 1i * m.Angle(j).Unit() * complex(ω*ω, 0)
			for _, th := range train.Throws {
				add(turn*complex(th.Unbalance, 0)*th.Angle.Unit(), th.At)
			}
			for _, c := range train.Counterweights {
				add(turn*complex(c.Amount, 0)*c.Angle.Unit(), c.At)
			}
			if train.Rotation == layout.Clockwise {
				force, moment = -cmplx.Conj(force), -cmplx.Conj(moment)
			}
			for i, of := range l.Of {
				if !train.Cylinders[i].Rod.Linked {
					add(of.BigEnd[j], train.Cylinders[i].At)
				}
			}
			add(complex(0, -25*StandardGravity), opt.Overhung[0].At)
			for k, main := range l.Mains {
				add(-main[j], m.Mains[k].At)
			}
			if cmplx.Abs(force) > 1e-10*gross || cmplx.Abs(moment) > 1e-10*gross {
				t.Fatalf("at %d force %v and moment %v are left of %g N", j, force, moment, gross)
			}
		}
	})
}

// The mains of a crank that fills its spacing stand a spacing apart; pins of a split throw share a bay.
func TestPlacesOfMains(t *testing.T) {
	for i, m := range Mains(veeEight()) {
		near(t, "main", m.At, -0.05+0.1*float64(i), 1e-12, 1)
		if m.Width != 0.024 || m.Diameter != 0.06 {
			t.Errorf("main %d has %v", i+1, m)
		}
	}
	split := pilotBoat([]float64{0, 180, 120, 300}, 0)
	split.Throws[1].Pair, split.Throws[3].Pair = 0, 2
	split.Throws[2].At, split.Throws[3].At = 0.3, 0.4
	split.Throws[0], split.Throws[1] = split.Throws[1], split.Throws[0] // the order of the list does not matter
	split.Throws[0].Pair, split.Throws[1].Pair = 0, 0
	bays, mains := Bays(split), Mains(split)
	if len(bays) != 2 || len(mains) != 3 {
		t.Fatalf("%d bays and %d mains", len(bays), len(mains))
	}
	if b := bays[0]; b.Lo != 0 || b.Hi != 0.1 || b.Throws[0] != 1 || b.Throws[1] != 0 {
		t.Errorf("first bay %v", b)
	}
	near(t, "middle main", mains[1].At, 0.2, 1e-12, 1)
	bare := pilotBoat([]float64{0, 90, 180}, 0)
	bare.Crank = layout.CrankGeometry{}
	for i, m := range Mains(bare) {
		near(t, "main of a crank without widths", m.At, -0.05+0.1*float64(i), 1e-12, 1)
	}
	if Mains(&layout.Train{}) != nil {
		t.Error("a crank without throws has mains")
	}
}

func uniform(spans int, span, stiffness, compliance float64) ([]Section, []Support) {
	var supports []Support
	for i := range spans + 1 {
		supports = append(supports, Support{span * float64(i), compliance})
	}
	return []Section{{-span, span * float64(spans+1), stiffness}}, supports
}

// Closed forms of continuous beams with equal spans: an even load by many small ones, and loads amid the spans.
func TestBeamsOfEqualSpans(t *testing.T) {
	const per = 200
	for spans, want := range map[int][]float64{ // reactions per w·span
		1: {1. / 2, 1. / 2},
		2: {3. / 8, 10. / 8, 3. / 8},
		3: {4. / 10, 11. / 10, 11. / 10, 4. / 10},
		4: {11. / 28, 32. / 28, 26. / 28, 32. / 28, 11. / 28},
		5: {15. / 38, 43. / 38, 37. / 38, 37. / 38, 43. / 38, 15. / 38},
	} {
		var at []float64
		for i := range spans * per {
			at = append(at, 0.1*(float64(i)+0.5)/per)
		}
		sections, supports := uniform(spans, 0.1, 3e4, 0)
		share := shares(t, sections, supports, at)
		for k := range want {
			sum := 0.0
			for _, s := range share[k] {
				sum += s
			}
			near(t, "even load", sum/per, want[k], 2e-5, 1)
		}
	}
	sections, supports := uniform(2, 0.1, 3e4, 0)
	share := shares(t, sections, supports, []float64{0.05, 0.15})
	for k, want := range []float64{5. / 16, 22. / 16, 5. / 16} {
		near(t, "loads amid two spans", share[k][0]+share[k][1], want, 1e-13, 1)
	}
	share = shares(t, sections, supports, []float64{0.05})
	for k, want := range []float64{13. / 32, 22. / 32, -3. / 32} {
		near(t, "load amid the first of two spans", share[k][0], want, 1e-13, 1)
	}
	share = shares(t, sections, supports, []float64{0.3})     // a span beyond the last support
	for k, want := range []float64{1. / 4, -6. / 4, 9. / 4} { // three moments: M1 = −M2/4 = P l/4
		near(t, "load on an overhang", share[k][0], want, 1e-12, 1)
	}
}

// One elastic prop amid a simple beam: its share is that of two springs.
func TestElasticProp(t *testing.T) {
	const l, ei, f = 0.4, 2e4, 3e-9
	supports := []Support{{0, 0}, {l / 2, f}, {l, 0}}
	share := shares(t, []Section{{0, l, ei}}, supports, []float64{l / 2, l / 4})
	soft := l * l * l / (48 * ei)
	near(t, "load on the prop", share[1][0], soft/(soft+f), 1e-13, 1)
	near(t, "load at a quarter", share[1][1], 11./16*soft/(soft+f), 1e-13, 1)
}

// A rigid beam on equal springs: shares fall linearly, as of a pile group.
func TestRigidBeamOnSprings(t *testing.T) {
	sections, supports := uniform(4, 0.1, 1e12, 1e-6)
	at := []float64{0.03, 0.37, -0.08}
	share := shares(t, sections, supports, at)
	for i, x := range at {
		for k := range supports {
			want := 1./5 + (x-0.2)*(supports[k].At-0.2)/0.1 // Σ(x_k − x̄)² = 0.1 m²
			near(t, "share", share[k][i], want, 1e-6, 1)
		}
	}
}

// A crank with a hinge-soft web on one side of every main is shared like simple beams.
func TestSoftMainsAreSimpleBeams(t *testing.T) {
	var sections []Section
	var supports []Support
	var mains []Main
	for i := range 5 {
		x := 0.1 * float64(i)
		supports, mains = append(supports, Support{At: x}), append(mains, Main{At: x})
		if i < 4 {
			sections = append(sections, Section{x, x + 1e-3, 1e-4}, Section{x + 1e-3, x + 0.1, 1e5})
		}
	}
	at := []float64{0.02, 0.17, 0.25, 0.39}
	share := shares(t, sections, supports, at)
	simple, err := SimpleShares(mains, at)
	if err != nil {
		t.Fatal(err)
	}
	for k := range share {
		for i := range at {
			near(t, "share", share[k][i], simple[k][i], 0.02, 1) // the hinge lies a hundredth of a span beside the main
		}
	}
}

func shares(t testing.TB, sections []Section, supports []Support, at []float64) [][]float64 {
	t.Helper()
	s, err := BeamShares(sections, supports, at)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// elements solves the same beam by finite elements with deflection and slope at its nodes, nodes at every step,
// support and load.
func elements(sections []Section, supports []Support, at float64) []float64 {
	nodes := []float64{at}
	for _, s := range sections {
		nodes = append(nodes, s.From, s.To)
	}
	for _, s := range supports {
		nodes = append(nodes, s.At)
	}
	nodes = sorted(nodes)
	find := func(x float64) int {
		for i, n := range nodes {
			if n == x {
				return i
			}
		}
		return -1
	}
	k := mat.NewSymDense(2*len(nodes), nil)
	for i := 1; i < len(nodes); i++ {
		mid := (nodes[i] + nodes[i-1]) / 2
		ei := 0.0
		for _, s := range sections {
			if s.From < mid && mid < s.To {
				ei = s.Stiffness
			}
		}
		l := nodes[i] - nodes[i-1]
		c := ei / (l * l * l)
		e := [4][4]float64{
			{12 * c, 6 * l * c, -12 * c, 6 * l * c},
			{6 * l * c, 4 * l * l * c, -6 * l * c, 2 * l * l * c},
			{-12 * c, -6 * l * c, 12 * c, -6 * l * c},
			{6 * l * c, 2 * l * l * c, -6 * l * c, 4 * l * l * c},
		}
		for a := range 4 {
			for b := a; b < 4; b++ {
				k.SetSym(2*(i-1)+a, 2*(i-1)+b, k.At(2*(i-1)+a, 2*(i-1)+b)+e[a][b])
			}
		}
	}
	for _, s := range supports {
		n := 2 * find(s.At)
		k.SetSym(n, n, k.At(n, n)+1/s.Compliance)
	}
	f := mat.NewVecDense(2*len(nodes), nil)
	f.SetVec(2*find(at), 1)
	var v mat.VecDense
	if err := v.SolveVec(k, f); err != nil && !isPoor(err) {
		return nil
	}
	out := make([]float64, len(supports))
	for i, s := range supports {
		out[i] = v.AtVec(2*find(s.At)) / s.Compliance
	}
	return out
}

func sorted(x []float64) []float64 {
	for i := range x {
		for j := i; j > 0 && x[j] < x[j-1]; j-- {
			x[j], x[j-1] = x[j-1], x[j]
		}
	}
	out := x[:1]
	for _, v := range x[1:] {
		if v != out[len(out)-1] {
			out = append(out, v)
		}
	}
	return out
}

// The method of least work agrees with finite elements on any stepped beam. Lengths are whole millimetres: elements far
// shorter than others would cost the elements their digits.
func TestBeamsAgreeWithFiniteElements(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sections []Section
		var supports []Support
		x, mm := 0.0, 0
		for i := range rapid.IntRange(2, 7).Draw(t, "supports") {
			if i > 0 {
				for range rapid.IntRange(1, 3).Draw(t, "steps") {
					mm += rapid.IntRange(10, 100).Draw(t, "length")
					to := float64(mm) / 1000
					sections = append(sections, Section{x, to, math.Exp(rapid.Float64Range(8, 13).Draw(t, "stiffness"))})
					x = to
				}
			}
			supports = append(supports, Support{x, math.Exp(rapid.Float64Range(-22, -17).Draw(t, "compliance"))})
		}
		sections = append(sections, Section{x, float64(mm+200) / 1000, 1e5})
		at := float64(rapid.IntRange(1, mm+200).Draw(t, "load")) / 1000
		got, err := BeamShares(sections, supports, []float64{at})
		if err != nil {
			t.Fatal(err)
		}
		want := elements(sections, supports, at)
		for k := range want {
			if math.Abs(got[k][0]-want[k]) > 1e-6*(1+math.Abs(want[k])) {
				t.Errorf("support %d: %.10g, finite elements give %.10g", k+1, got[k][0], want[k])
			}
		}
	})
}

// The largest crank loses few digits: its middle spans still carry like an endless beam.
func TestManySpans(t *testing.T) {
	sections, supports := uniform(56, 0.1, 3e4, 0)
	share := shares(t, sections, supports, []float64{0.1*28 - 0.05, 0.1*28 + 0.05})
	// Three moments on an endless beam with P amid the spans on both sides of support 0. Beyond support 1 moments fall
	// by −q, q = 2 − √3, so M0 + M1/q = −3 P l/8 and 4 M0 + 2 M1 = −6 P l/8: M0 = −(3 − √3) P l/8.
	m0 := -(3 - math.Sqrt(3)) / 8
	m1 := -3./8 - 2*m0
	near(t, "reaction between the loads", share[28][0]+share[28][1], 1+2*(m1-m0), 1e-9, 1)
	sum := 0.0
	for k := range share {
		sum += share[k][0]
	}
	near(t, "sum", sum, 1, 1e-10, 1)
}

// Softer supports hand loads on to their neighbours; rigid ones approach the limit smoothly.
func TestRigidLimitOfSupports(t *testing.T) {
	train := veeEight()
	at := func(support float64) *Mechanism { return prepared(t, train, Options{Support: support}) }
	rigid, hard, soft := at(math.Inf(1)), at(1e15), at(1e7)
	for k := range rigid.Share {
		for i := range rigid.Share[k] {
			near(t, "share", hard.Share[k][i], rigid.Share[k][i], 1e-5, 1)
		}
	}
	if !(soft.Share[4][0]-soft.Share[0][0] > -1 && soft.Share[1][1] < 0.8*rigid.Share[1][1]) {
		t.Errorf("soft supports %v, rigid %v", soft.Share[1], rigid.Share[1])
	}
	// The crank is its own mirror image along x, so its shares are.
	for k := range rigid.Share {
		for i := range rigid.Share[k] {
			near(t, "mirror image", rigid.Share[k][i], rigid.Share[4-k][7-i], 1e-10, 1)
		}
	}
}

// A crank on fewer mains: an inline four on three.
func TestThreeMains(t *testing.T) {
	train := pilotBoat([]float64{0, 180, 180, 0}, 0)
	for i := range train.Throws {
		train.Throws[i].At = []float64{0, 0.09, 0.22, 0.31}[i]
		train.Cylinders[i].At = train.Throws[i].At
	}
	main := Main{Width: 0.03, Diameter: 0.06}
	var mains []Main
	for _, x := range []float64{-0.06, 0.155, 0.37} {
		main.At = x
		mains = append(mains, main)
	}
	m := prepared(t, train, Options{Mains: mains})
	if len(m.Share) != 3 {
		t.Fatal(len(m.Share))
	}
	for i := range 4 {
		near(t, "sum of shares", m.Share[0][i]+m.Share[1][i]+m.Share[2][i], 1, 1e-12, 1)
	}
	sections, err := CrankSections(train, mains, SteelYoung)
	if err != nil {
		t.Fatal(err)
	}
	// main, web, pin, flying web, pin, web, main: 13 stretches of three mains and two bays
	if len(sections) != 13 {
		t.Errorf("%d sections: %v", len(sections), sections)
	}
	near(t, "journal", sections[0].Stiffness, SteelYoung*math.Pi/64*math.Pow(0.06, 4), 1e-12, 1e5)
	apart := 0.09 - 0.4*0.05
	near(t, "flying web", sections[3].Stiffness, SteelYoung*0.05*0.085*math.Pow(0.05, 3)/(9.9*apart), 1e-9, 1e5)
}

// Split pins that overlap join like one pin.
func TestOverlappingPins(t *testing.T) {
	train := pilotBoat([]float64{0, 30}, 0)
	train.Throws[1].At, train.Throws[1].Pair, train.Cylinders[1].At = 0.044, 0, 0.044
	mains := Mains(train)
	sections, err := CrankSections(train, mains, SteelYoung)
	if err != nil {
		t.Fatal(err)
	}
	if len(mains) != 2 || len(sections) != 7 || sections[2].Stiffness != sections[3].Stiffness {
		t.Errorf("%d mains, sections %v", len(mains), sections)
	}
	train.Throws[1].Angle = num.Degrees(180)
	train.Throws[1].At = 0.0402 // apart, and no web between them
	if _, err := CrankSections(train, mains, SteelYoung); err != nil {
		t.Errorf("a thin web is a web: %v", err)
	}
}

// Whatever the numbers, a beam is refused or its reactions are numbers that add up to the load.
func FuzzBeamShares(f *testing.F) {
	f.Add(0.0, 0.1, 0.3, 1e4, 1e5, 1e-9, 0.0, 0.2)
	f.Add(-1.0, 0.0, 1e-9, 1e-12, 1e18, 1e9, 0.0, 1e4)
	f.Fuzz(func(t *testing.T, a, b, c, ei, ej, fa, fb, at float64) {
		share, err := BeamShares([]Section{{a, b, ei}, {b, c, ej}}, []Support{{a, fa}, {b, fb}, {c, fa}}, []float64{at})
		if err != nil {
			return
		}
		sum, size := 0.0, 1.0
		for _, s := range share {
			sum += s[0]
			size += math.Abs(s[0])
		}
		if !(math.Abs(sum-1) <= 1e-10*size) {
			t.Errorf("reactions %v add up to %g", share, sum)
		}
	})
}
