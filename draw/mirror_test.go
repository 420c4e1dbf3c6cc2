package draw

import (
	"math"
	"math/cmplx"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// turned returns a crank train that a mirror changes, turning one way or the other.
func turned(t *testing.T, rotation layout.Rotation) *analysis.Result {
	t.Helper()
	train := inline("offset", 30).train()
	train.Cylinders[0].Offset = 0.012
	train.Rotation = rotation
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// An engine that turns clockwise is the mirror image: parts at mirrored places, the same magnitudes.
func TestClockwiseIsTheMirrorImage(t *testing.T) {
	a, b := turned(t, layout.Anticlockwise), turned(t, layout.Clockwise)
	for θ := num.Angle(0); θ < num.Turn; θ += 0.3 {
		p, _ := poseOf(a.Train, 0, θ)
		q, _ := poseOf(b.Train, 0, θ)
		if cmplx.Abs(q.piston+cmplx.Conj(p.piston)) > 1e-12 || cmplx.Abs(q.pin+cmplx.Conj(p.pin)) > 1e-12 {
			t.Errorf("at %v: %v and %v are no mirror images", θ, p.piston, q.piston)
		}
	}
	for _, title := range []string{"order 1", "order 2", "all orders"} {
		x, y := curveOf(Resultant(a, Force).nodes, title), curveOf(Resultant(b, Force).nodes, title)
		if len(x) < 10 || len(x) != len(y) {
			t.Fatalf("%s: curves of %d and %d points", title, len(x), len(y))
		}
		for i := range x {
			if x[i].minus(y[i]).length() > 0.01 {
				t.Fatalf("%s: the magnitudes differ at point %d", title, i)
			}
		}
	}
}

// The piston stands where the geometry says: at the crank angle of top dead centre, radius and rod lie in line.
func TestPoseAtTopDeadCentre(t *testing.T) {
	r := engines(t)["v8"]
	for i := range r.Train.Cylinders {
		p, ok := poseOf(r.Train, i, r.Cylinders[i].TopDeadCentre)
		if got, want := cmplx.Abs(p.piston), 0.043+0.143; !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("cylinder %d: the piston pin stands %g m from the crank, want %g", i+1, got, want)
		}
	}
}

func curveOf(nodes []node, title string) []point {
	for _, n := range nodes {
		switch n := n.(type) {
		case shape:
			if g, ok := n.geometry.(polygon); ok && n.title == title {
				return g.points
			}
		case *group:
			if p := curveOf(n.nodes, title); p != nil {
				return p
			}
		}
	}
	return nil
}
