package independent

import (
	"embed"
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/firing"
)

//go:embed films/*.film.txt
var filmFiles embed.FS

// Film is a short bearing under the load of a cycle.
type Film struct {
	Stem      string
	Gap       bearing.Gap
	Viscosity float64 // [Pa s]
	Duty      bearing.Duty
}

// filmSamples is the number of crank angles over two revolutions at which films are loaded [1].
const filmSamples = 144

// Films returns the bearings whose films are computed twice: the second main and the first big end of an inline four under
// a smooth hump of pressure, narrow enough for the short bearing.
//
// Result [m], [Pa s], [N], [rad/s]. Errors: none that a test should see. Definition.
func Films() ([]Film, error) {
	t := inlineFourCross()
	t.Crank = crankOfFour()
	t.Bore = 0.084
	s, err := firing.ForTrain(&t)
	if err != nil {
		return nil, err
	}
	m, err := bearing.NewMechanism(&t, s, bearing.Options{Samples: filmSamples})
	if err != nil {
		return nil, err
	}
	p := make([]float64, m.CycleSamples())
	for j := range p {
		x := math.Remainder(float64(m.Step())*float64(j)-0.25, float64(m.Cycle.Period()))
		p[j] = 1e5 + 45e5*math.Exp(-x*x/0.4)
	}
	l, err := m.Loads(nil, [][]float64{p}, 1e5, 400)
	if err != nil {
		return nil, err
	}
	main, err := m.MainDuty(l, 1)
	if err != nil {
		return nil, err
	}
	big, err := m.BigEndDuty(l, 0)
	if err != nil {
		return nil, err
	}
	out := []Film{
		{"main", bearing.Gap{Diameter: 0.056, Width: 0.014, Lands: 1, Clearance: 28e-6}, 0.012, main},
		{"big-end", bearing.Gap{Diameter: 0.049, Width: 0.014, Lands: 1, Clearance: 24e-6}, 0.012, big},
	}
	for i := range out {
		d := &out[i].Duty
		for j, w := range d.Load {
			d.Load[j] = complex(short(real(w)), short(imag(w)))
		}
		if len(d.Journal) == 1 {
			for range len(d.Load) - 1 {
				d.Journal = append(d.Journal, d.Journal[0])
			}
		}
		for j, v := range d.Journal {
			d.Journal[j] = short(v)
		}
	}
	return out, nil
}

// DescribeFilm writes a film as films.py reads it.
//
// Result [m], [Pa s], [N], [rad/s]: see README.md. Definition.
func DescribeFilm(f Film) []byte {
	var s strings.Builder
	fmt.Fprintf(&s, "name %s\ndiameter %g\nwidth %g\nclearance %g\nviscosity %g\nturns %g\nspeed %g\n",
		f.Stem, f.Gap.Diameter, f.Gap.Width, f.Gap.Clearance, f.Viscosity, f.Duty.Turns, f.Duty.Speed)
	for j, w := range f.Duty.Load {
		fmt.Fprintf(&s, "load %.9g %.9g %.9g\n", real(w), imag(w), f.Duty.Journal[j]/2) // the sleeve is at rest
	}
	return []byte(s.String())
}

// CommittedFilm returns the committed output of films.py: eccentricity at every sample of the cycle.
//
//   - f: one of Films
//
// Result [1]; an error where there is none. Definition.
func CommittedFilm(f Film) ([]complex128, error) {
	text, err := filmFiles.ReadFile("films/" + f.Stem + ".film.txt")
	if err != nil {
		return nil, fmt.Errorf("independent: no raw output of the film %s: make independent writes it", f.Stem)
	}
	return ParseFilm(string(text), len(f.Duty.Load))
}

// ParseFilm reads the output of films.py.
//
//   - text: header lines that start with #, lines of eccentricities
//   - n: how many there must be
//
// Result [1]; an error that names the line, or says how many are missing. Definition.
func ParseFilm(text string, n int) ([]complex128, error) {
	out, seen := make([]complex128, n), 0
	for at, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		var k int
		var x, y float64
		if _, err := fmt.Sscanf(line, "ecc %d %g %g", &k, &x, &y); err != nil || k != seen || k >= n || !(math.Hypot(x, y) < 1) {
			return nil, fmt.Errorf("independent: line %d of the film is no eccentricity of sample %d: %q", at+1, seen, line)
		}
		out[k] = complex(x, y)
		seen++
	}
	if seen != n {
		return nil, fmt.Errorf("independent: the film has %d eccentricities, not %d", seen, n)
	}
	return out, nil
}

// CompareFilm measures how far mechanics/bearing is from the output of films.py.
//
//   - f: the film
//   - raw: of the same film
//
// Result [1]: largest distance of the two paths over the film that is left there, and how far the thinnest films are from
// each other over the thinner; an error where the film cannot be followed. Definition.
func CompareFilm(f Film, raw []complex128) (path, least float64, err error) {
	m, err := bearing.ShortMobility(f.Gap.Ratio())
	if err != nil {
		return 0, 0, err
	}
	o, err := bearing.FindOrbit(m, f.Gap, f.Duty, f.Viscosity, 0)
	if err != nil {
		return 0, 0, err
	}
	ours, theirs := 1.0, 1.0
	for k, e := range raw {
		left := 1 - cmplx.Abs(e)
		path = math.Max(path, cmplx.Abs(o.Ecc[k]-e)/left)
		ours, theirs = math.Min(ours, 1-cmplx.Abs(o.Ecc[k])), math.Min(theirs, left)
	}
	return path, math.Abs(ours-theirs) / math.Min(ours, theirs), nil
}
