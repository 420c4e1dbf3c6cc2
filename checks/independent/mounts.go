package independent

import (
	"embed"
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/mount"
)

//go:embed mounts/*.mount.txt
var mountFiles embed.FS

// Mounted is a body on mounts with loads at its centre of gravity.
type Mounted struct {
	Stem   string
	System mount.System
	Loads  []MountedLoad
}

// MountedLoad is a load at a frequency.
type MountedLoad struct {
	Frequency float64 // [rad/s]
	Load      mount.Load
}

// MountedBodies returns the bodies whose modes and forces are computed twice: the plane-symmetric case of the handbook,
// and one with products of inertia on three leaning mounts that differ.
//
// Result [kg], [m], [N/m], [rad/s]. Definition.
func MountedBodies() []Mounted {
	four := mount.System{Body: mount.Body{Name: "four", Mass: 200, Inertia: mount.Tensor{{8, 0, 0}, {0, 14, 0}, {0, 0, 12}}}}
	for _, x := range []float64{-0.25, 0.25} {
		for _, y := range []float64{-0.2, 0.2} {
			four.Mounts = append(four.Mounts, mount.Mount{At: r3.Vec{X: x, Y: y, Z: -0.15}, Axes: mount.Leaning(0), Stiffness: [3]float64{100e3, 100e3, 200e3}, Loss: 0.1})
		}
	}
	skew := mount.System{Body: mount.Body{Name: "skew", Mass: 187, Centre: r3.Vec{X: 0.03, Y: -0.01, Z: 0.09}, Inertia: mount.Tensor{{15.8, -1.1, -0.6}, {-1.1, 11.6, 0.3}, {-0.6, 0.3, 15.6}}}}
	skew.Mounts = []mount.Mount{
		{At: r3.Vec{X: -0.21, Y: -0.3, Z: -0.05}, Axes: mount.Leaning(-0.6), Stiffness: [3]float64{90e3, 120e3, 240e3}, Loss: 0.08},
		{At: r3.Vec{X: -0.18, Y: 0.28, Z: 0.02}, Axes: mount.Leaning(0.4), Stiffness: [3]float64{70e3, 60e3, 180e3}, Loss: 0.15},
		{At: r3.Vec{X: 0.44, Y: 0.02, Z: -0.11}, Axes: mount.Leaning(0), Stiffness: [3]float64{110e3, 130e3, 300e3}, Loss: 0.05},
	}
	loads := func(centre r3.Vec) []MountedLoad {
		var out []MountedLoad
		for _, f := range []float64{5, 38, 60, 188, 1200} {
			out = append(out, MountedLoad{f, mount.Load{Force: [3]complex128{12, 30 - 40i, 100i}, Moment: [3]complex128{55 + 5i, -20, 8i}, Point: centre}})
		}
		return out
	}
	return []Mounted{{"four-mounts", four, loads(four.Body.Centre)}, {"three-leaning", skew, loads(skew.Body.Centre)}}
}

// DescribeMounted writes a body on mounts as mounts.py reads it.
//
//   - m: one of MountedBodies
//
// Result in SI units [kg, m, N/m]: see README.md. Definition.
func DescribeMounted(m Mounted) []byte {
	var b strings.Builder
	line := func(word string, values ...float64) { writeRow(&b, word, values...) }
	b.WriteString("name " + m.Stem + "\n")
	o := m.System.Body
	j := o.Inertia
	line("body", o.Mass, o.Centre.X, o.Centre.Y, o.Centre.Z, j[0][0], j[1][1], j[2][2], j[0][1], j[0][2], j[1][2])
	for _, t := range m.System.Mounts {
		values := []float64{t.At.X, t.At.Y, t.At.Z}
		for _, a := range t.Axes {
			values = append(values, a.X, a.Y, a.Z)
		}
		line("mount", append(values, t.Stiffness[0], t.Stiffness[1], t.Stiffness[2], t.Loss)...)
	}
	for _, l := range m.Loads {
		values := []float64{l.Frequency}
		for _, c := range append(l.Load.Force[:], l.Load.Moment[:]...) {
			values = append(values, real(c), imag(c))
		}
		line("load", values...)
	}
	return []byte(b.String())
}

// RawMounted is what mounts.py printed for one body.
type RawMounted struct {
	Modes  []float64                // [rad/s]
	Forces map[[2]int][3]complex128 // by load and mount [N]
}

// CommittedMounted returns the committed output of mounts.py for one body [rad/s], [N]; an error where there is none.
// Definition.
func CommittedMounted(stem string) (*RawMounted, error) {
	text, err := mountFiles.ReadFile("mounts/" + stem + ".mount.txt")
	if err != nil {
		return nil, fmt.Errorf("independent: no raw output of the mounts %s: make independent writes it", stem)
	}
	return ParseMounted(string(text))
}

// ParseMounted reads the output of mounts.py.
//
//   - text: header lines that start with #, lines of modes and forces
//
// Result [rad/s], [N]; an error that names the line. Definition.
func ParseMounted(text string) (*RawMounted, error) {
	r := &RawMounted{Forces: map[[2]int][3]complex128{}}
	_, err := readRows(text, "mounts", "mode or force", func(word string, v []float64) bool {
		switch {
		case len(v) == 2 && word == "mode":
			r.Modes = append(r.Modes, v[1])
		case len(v) == 8 && word == "force":
			r.Forces[[2]int{int(v[0]), int(v[1])}] = [3]complex128{complex(v[2], v[3]), complex(v[4], v[5]), complex(v[6], v[7])}
		default:
			return false
		}
		return true
	})
	if err != nil {
		return nil, err
	}
	if len(r.Modes) != 6 || len(r.Forces) == 0 {
		return nil, fmt.Errorf("independent: modes or forces of the mounts are missing")
	}
	return r, nil
}

// CompareMounted measures how far mechanics/mount is from the output of mounts.py.
//
//   - m: the body
//   - raw: of the same body
//
// Result [1]: the largest gap of a frequency over the fastest, and of a force over the largest of its load; an error where
// the two do not hold the same. Definition.
func CompareMounted(m Mounted, raw *RawMounted) (float64, error) {
	modes, err := mount.Modes(&m.System)
	if err != nil {
		return 0, err
	}
	gap := 0.0
	for i := range modes {
		gap = max(gap, math.Abs(modes[i].Frequency-raw.Modes[i])/modes[5].Frequency)
	}
	v, err := mount.NewSolver(&m.System)
	if err != nil {
		return 0, err
	}
	for n, l := range m.Loads {
		q, err := v.Respond(l.Frequency, l.Load)
		if err != nil {
			return 0, err
		}
		most, apart := 0.0, 0.0
		for i, f := range v.Forces(q) {
			other, ok := raw.Forces[[2]int{n, i}]
			if !ok {
				return 0, fmt.Errorf("independent: no force of mount %d under load %d", i, n)
			}
			for k := range f {
				most, apart = max(most, cmplx.Abs(other[k])), max(apart, cmplx.Abs(other[k]-f[k]))
			}
		}
		gap = max(gap, apart/most)
	}
	return gap, nil
}
