package search

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
)

func example(t testing.TB, file string) *layout.Train {
	t.Helper()
	tr, _, err := spec.ReadEngineFile(filepath.Join("..", "examples", file), spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

// TestKernelAgainstAnalysis turns every angle of every example at random and compares with the whole analysis.
func TestKernelAgainstAnalysis(t *testing.T) {
	files, _ := filepath.Glob("../examples/*.engine.yaml")
	rng := rand.New(rand.NewPCG(9, 1))
	for _, file := range files {
		ref := example(t, filepath.Base(file))
		place := make([]int, len(ref.Throws))
		for i := range place {
			place[i] = i
		}
		ω := ref.Speeds.Rated
		var s inertia.Solver
		k, err := newKernel(&s, ref, []int{1, 2, 4}, place, len(place), ω)
		if err != nil {
			t.Fatal(err)
		}
		const steps = 24
		u := newUnits(steps)
		for range 3 {
			tr := *ref
			tr.Throws = append([]layout.Throw(nil), ref.Throws...)
			tr.Cylinders = append([]layout.Cylinder(nil), ref.Cylinders...)
			tr.Counterweights = append([]layout.Unbalance(nil), ref.Counterweights...)
			axes := make([]float64, len(ref.Banks))
			for i := range axes {
				axes[i] = rng.Float64()
			}
			digits := make([]int, len(place))
			for i := range tr.Throws {
				digits[i] = rng.IntN(steps)
				tr.Throws[i].Angle += num.Angle(turn * float64(digits[i]) / steps)
			}
			for i := range tr.Cylinders {
				j := i
				if ref.Cylinders[i].Rod.Linked {
					j = ref.Cylinders[i].Rod.Master
				}
				tr.Cylinders[i].Axis += num.Angle(axes[ref.Cylinders[j].Bank])
			}
			for i := range tr.Counterweights {
				if c := &tr.Counterweights[i]; c.Throw > 0 {
					c.Angle += tr.Throws[c.Throw-1].Angle - ref.Throws[c.Throw-1].Angle
				}
			}
			tr.FiringOrder, tr.Making.Heads = nil, "" // banks turned apart have no head in common
			for i := range tr.Cylinders {
				tr.Cylinders[i].FiresGiven = false
			}
			by, ok := turningOf(ref, &tr)
			if !ok {
				t.Fatalf("%s: not turned", file)
			}
			gained := make([]float64, len(tr.Cylinders))
			for i := range gained {
				gained[i] = by.throw[tr.Cylinders[i].Throw] - by.axis[i]
			}
			clear(by.throw)
			k.load(by)
			k.phase(u, digits)
			r, err := analysis.Run(&tr, analysis.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for o, n := range k.orders {
				order := r.Order(2 * n)
				f, m := k.spreads[o][0], k.spreads[o][1]
				fa, ma := k.against(o)
				near(t, file, k.force(o), order.Force.Ellipse.Major, f)
				near(t, file, k.moment(o), order.Moment.Ellipse.Major, m)
				near(t, file, fa, math.Hypot(real(order.Force.Against), imag(order.Force.Against)), f)
				near(t, file, ma, math.Hypot(real(order.Moment.Against), imag(order.Moment.Against)), m)
			}
			top, err := firing.TopDeadCentres(ref)
			if err != nil {
				t.Fatal(err)
			}
			g := newFirings(ref.Cycle, top)
			g.turn(gained)
			g.evenest()
			near(t, file+" evenness", g.evenness(), r.Measures.Evenness, 1)
		}
	}
}

func near(t *testing.T, what string, got, want, scale float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-12*scale) {
		t.Errorf("%s: %.17g, want %.17g of %g", what, got, want, scale)
	}
}

// TestFiringsAgainstChapter compares every schedule and every order of random cranks with package firing.
func TestFiringsAgainstChapter(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 2))
	for range 400 {
		n := 1 + rng.IntN(7)
		cycle := []layout.Cycle{layout.FourStroke, layout.TwoStroke}[rng.IntN(2)]
		tdc, zero := make([]num.Angle, n), make([]float64, n)
		for i := range tdc {
			tdc[i] = num.Degrees(float64(rng.IntN(8)) * 45)
		}
		f := newFirings(cycle, tdc)
		f.turn(zero)
		best := math.Inf(1)
		for s := range f.schedules() {
			m := f.mask(s)
			f.set(m)
			best = min(best, f.sum)
			sum, zeros, spare, longest, shortest := f.sum, f.zeros, f.spare, f.longest, f.shortest
			order := f.order(nil, m)
			want, err := firing.Assign(tdc, cycle, order)
			ok := f.assign(order)
			if ok != (err == nil) {
				t.Fatalf("%v %v %v: assigned %v, package firing says %v", tdc, cycle, order, ok, err)
			}
			if !ok {
				continue
			}
			near(t, "evenness of an order", f.evenness(), want.Evenness(), 1)
			f.set(m)
			if spare && zeros <= f.fewest {
				if got, want := f.named(m), f.namedBySearch(m); got != want {
					t.Errorf("%v, schedule %b: named by its order %v, package firing says %v", tdc, m, got, want)
				}
			}
			f.assign(order)
			if zeros <= f.fewest && !spare {
				near(t, "squares of a schedule", sum, f.sum, 1e3)
				near(t, "longest interval", longest, f.longest, 10)
				near(t, "shortest interval", shortest, f.shortest, 10)
			}
		}
		f.evenest()
		near(t, "most even", f.sum, best, 1e3)
	}
}
