// Command vectors writes fixed vectors for the front end's unit tests: for a handful of engines the
// drawing's geometry, the result, and where parts are and what shakes at some crank angles, computed by
// mechanics/motion and analysis. It runs from anywhere inside the module:
//
//	go run ./tools/vectors
//
// A file in which nothing but rounding would change stays as it is, so that the last digits of another processor, or
// of a sum in another order, are no change.
package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
	"crankwright/report"
	"crankwright/spec"
	"crankwright/tools/root"
)

// engines are the example engines that the vectors cover, and what each is for.
func engines() []source {
	return []source{
		{name: "inline-four", file: "inline-four-flat-shafts"},                // inline, balance shafts
		{name: "vee-six-split", file: "vee-six-90-split"},                     // two pins a throw
		{name: "vee-eight", file: "vee-eight-90-cross"},                       // cross-plane
		{name: "opposed-four", file: "opposed-four-own-pins"},                 // horizontal axes
		{name: "radial-five", file: "radial-five"},                            // master and linked rods
		{name: "offset-pair", file: "offset-pair"},                            // offsets, unequal throws, odd shafts
		{name: "offset-pair-clockwise", file: "offset-pair", clockwise: true}, // its mirror image
		{name: "vee-six-clockwise", file: "vee-six-90-split", clockwise: true},
	}
}

type source struct {
	name, file string
	clockwise  bool
}

// vector is one file.
type vector struct {
	Made     string           `json:"made"`
	Geometry *report.Geometry `json:"geometry"`
	Document *report.Document `json:"document"`
	Poses    []pose           `json:"poses"`
	Forces   []forces         `json:"forces"`
}

type place [2]float64 // y, z [m]

// pose is where everything is at one crank angle.
type pose struct {
	AngleDeg  float64        `json:"angle_deg"`
	Pins      []place        `json:"pins"` // by throw
	Cylinders []cylinderPose `json:"cylinders"`
}

type cylinderPose struct {
	Pin     place `json:"pin"`    // driving pin: crankpin or knuckle pin
	Piston  place `json:"piston"` // piston pin
	RodUnit place `json:"rod"`    // unit vector from the driving pin to the piston pin
}

// forces are what shakes at one crank angle: the sum of the orders that the document has, and the whole
// curve with those that it leaves out.
type forces struct {
	AngleDeg    float64 `json:"angle_deg"`
	ForceN      place   `json:"force_N"`
	MomentNm    place   `json:"moment_Nm"`
	RollNm      float64 `json:"roll_Nm"`
	TorqueNm    float64 `json:"torque_Nm"`
	WholeForceN place   `json:"whole_force_N"`
}

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "vectors:", err)
		os.Exit(1)
	}
}

func run() error {
	dir, err := root.Find()
	if err != nil {
		return err
	}
	folder := filepath.Join(dir, "web", "tests", "unit", "vectors")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for _, e := range engines() {
		v, err := vectorOf(dir, e)
		if err != nil {
			return fmt.Errorf("%s: %w", e.name, err)
		}
		text, err := report.Encode(v)
		if err != nil {
			return err
		}
		path := filepath.Join(folder, e.name+".json")
		if before, err := os.ReadFile(path); err == nil && same(before, text) {
			continue
		}
		if err := spec.WriteFileAtomic(path, text); err != nil {
			return err
		}
	}
	return nil
}

func vectorOf(root string, e source) (*vector, error) {
	path := filepath.Join(root, "examples", e.file+".engine.yaml")
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if e.clockwise {
		text = append(bytes.TrimRight(text, "\n"), []byte("\nrotation: clockwise\n")...)
	}
	t, _, err := spec.ReadEngine(path, text, spec.Options{})
	if err != nil {
		return nil, err
	}
	r, err := analysis.Run(t, analysis.Options{})
	if err != nil {
		return nil, err
	}
	v := &vector{
		Made:     "by tools/vectors from examples/" + e.file + ".engine.yaml",
		Geometry: report.NewGeometry(r),
		Document: report.NewDocument(r, report.Detail{Contributions: true}),
	}
	for _, deg := range []float64{0, 17, 90, 133.7, 180, 271.25, 359, 540, 719.5, -45} {
		p, err := poseAt(t, deg)
		if err != nil {
			return nil, err
		}
		v.Poses = append(v.Poses, p)
	}
	for j := 0; j < len(r.Angles); j += 45 {
		v.Forces = append(v.Forces, forcesAt(r, j))
	}
	return v, nil
}

// seen mirrors what a clockwise engine shows.
func seen(t *layout.Train, w complex128) place {
	if t.Rotation == layout.Clockwise {
		return place{-real(w), imag(w)}
	}
	return place{real(w), imag(w)}
}

func poseAt(t *layout.Train, deg float64) (pose, error) {
	p := pose{AngleDeg: deg}
	θ := num.Degrees(deg)
	for _, th := range t.Throws {
		p.Pins = append(p.Pins, seen(t, complex(0, th.Radius)*(th.Angle+θ).Unit()))
	}
	for i, c := range t.Cylinders {
		link, _, phase := motion.LinkageOf(t, i)
		s, err := link.At(θ + phase)
		if err != nil {
			return p, err
		}
		u := 1i * c.Axis.Unit()
		p.Cylinders = append(p.Cylinders, cylinderPose{
			Pin: seen(t, u*s.Pin.Pos), Piston: seen(t, u*s.Piston.Pos), RodUnit: seen(t, u*s.Rod.Direction),
		})
	}
	return p, nil
}

func forcesAt(r *analysis.Result, j int) forces {
	θ := float64(r.Angles[j])
	f := forces{AngleDeg: r.Angles[j].Deg(), WholeForceN: place{r.Curves.ForceY[j], r.Curves.ForceZ[j]}}
	sense := 1.0
	if r.Train.Rotation == layout.Clockwise {
		sense = -1
	}
	var force, moment complex128
	for _, o := range r.Orders {
		sin, cos := math.Sincos(o.N() * θ)
		with, against := complex(cos, sense*sin), complex(cos, -sense*sin)
		force += o.Force.With*with + o.Force.Against*against
		moment += o.Moment.With*with + o.Moment.Against*against
		f.RollNm += real(o.Roll)*cos - imag(o.Roll)*sin
		f.TorqueNm += real(o.Torque)*cos - imag(o.Torque)*sin
	}
	f.ForceN = place{real(force), imag(force)}
	f.MomentNm = place{real(moment), imag(moment)}
	return f
}
