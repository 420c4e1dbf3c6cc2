package independent

import (
	"embed"
	"fmt"
	"math"
	"strconv"
	"strings"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
)

//go:embed beams/*.beam.txt
var beamFiles embed.FS

// Beam is a crank as a stepped beam on its mains, with unit loads.
type Beam struct {
	Stem     string
	Sections []bearing.Section
	Supports []bearing.Support
	Loads    []float64 // places [m]
}

// Beams returns the cranks whose sharing of loads is computed twice: an inline four on five mains, the same on three, a
// vee six with split pins; loads at the cylinders and beyond the last main.
//
// Result [m], [N m²], [m/N]. Errors: none that a test should see. Definition.
func Beams() ([]Beam, error) {
	four, six := inlineFourCross(), veeSixSplit()
	four.Crank, six.Crank = crankOfFour(), crankOfSix()
	var out []Beam
	for _, e := range []struct {
		stem string
		t    *layout.Train
		keep func(i, n int) bool
	}{
		{"inline-four-five-mains", &four, func(int, int) bool { return true }},
		{"inline-four-three-mains", &four, func(i, _ int) bool { return i%2 == 0 }},
		{"vee-six-four-mains", &six, func(int, int) bool { return true }},
	} {
		all := bearing.Mains(e.t)
		var mains []bearing.Main
		for i, m := range all {
			if e.keep(i, len(all)) {
				mains = append(mains, m)
			}
		}
		sections, err := bearing.CrankSections(e.t, mains, bearing.SteelYoung)
		if err != nil {
			return nil, err
		}
		b := Beam{Stem: e.stem}
		for _, s := range sections {
			b.Sections = append(b.Sections, bearing.Section{From: short(s.From), To: short(s.To), Stiffness: short(s.Stiffness)})
		}
		for i, m := range mains {
			stiffness := bearing.SupportStiffness(bearing.SteelYoung, m.Width) * (1 + 0.3*float64(i)) // unequal, so that none stands for another
			b.Supports = append(b.Supports, bearing.Support{At: short(m.At), Compliance: short(1 / stiffness)})
		}
		for i := range e.t.Cylinders {
			b.Loads = append(b.Loads, short(e.t.Cylinders[i].At))
		}
		out = append(out, b)
	}
	return out, nil
}

// short keeps the digits that are written, so that both computations have the same beam.
func short(x float64) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 9, 64), 64)
	return v
}

// DescribeBeam writes a beam as beams.py reads it.
//
// Result [m], [N m²], [m/N]: see README.md. Definition.
func DescribeBeam(b Beam) []byte {
	var s strings.Builder
	fmt.Fprintf(&s, "name %s\n", b.Stem)
	for _, c := range b.Sections {
		fmt.Fprintf(&s, "section %.9g %.9g %.9g\n", c.From, c.To, c.Stiffness)
	}
	for _, c := range b.Supports {
		fmt.Fprintf(&s, "support %.9g %.9g\n", c.At, c.Compliance)
	}
	for _, x := range b.Loads {
		fmt.Fprintf(&s, "load %.9g\n", x)
	}
	return []byte(s.String())
}

// CommittedBeam returns the committed output of beams.py: shares by support and load.
//
//   - b: one of Beams
//
// Result [1]; an error where there is none. Definition.
func CommittedBeam(b Beam) ([][]float64, error) {
	text, err := beamFiles.ReadFile("beams/" + b.Stem + ".beam.txt")
	if err != nil {
		return nil, fmt.Errorf("independent: no raw output of the beam %s: make independent writes it", b.Stem)
	}
	return ParseBeam(string(text), b)
}

// ParseBeam reads the output of beams.py.
//
//   - text: header lines that start with #, lines of shares
//   - b: the beam
//
// Result [1] by support and load; an error that names the line, or a share that is missing. Definition.
func ParseBeam(text string, b Beam) ([][]float64, error) {
	out := make([][]float64, len(b.Supports))
	for i := range out {
		out[i] = make([]float64, len(b.Loads))
		for j := range out[i] {
			out[i][j] = math.NaN()
		}
	}
	for n, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		var i, j int
		var v float64
		if _, err := fmt.Sscanf(line, "share %d %d %g", &i, &j, &v); err != nil || i < 0 || i >= len(out) || j < 0 || j >= len(b.Loads) || v-v != 0 {
			return nil, fmt.Errorf("independent: line %d of the beam is no share: %q", n+1, line)
		}
		out[i][j] = v
	}
	for i := range out {
		for j, v := range out[i] {
			if v != v {
				return nil, fmt.Errorf("independent: the share of support %d in load %d is missing", i, j)
			}
		}
	}
	return out, nil
}

// CompareBeam measures how far mechanics/bearing is from the output of beams.py.
//
//   - b: the beam
//   - raw: of the same beam
//
// Result [1]: largest difference of a share; an error where the beam cannot be solved. Definition.
func CompareBeam(b Beam, raw [][]float64) (float64, error) {
	ours, err := bearing.BeamShares(b.Sections, b.Supports, b.Loads)
	if err != nil {
		return 0, err
	}
	worst := 0.0
	for i := range raw {
		for j := range raw[i] {
			worst = math.Max(worst, math.Abs(raw[i][j]-ours[i][j]))
		}
	}
	return worst, nil
}
