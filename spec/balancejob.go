package spec

import (
	"fmt"
	"math"
	"strings"

	"crankwright/mechanics/balance"
	"crankwright/num"
)

// BalanceSuffix ends the names of files with jobs of the balancing shop.
const BalanceSuffix = ".balance.yaml"

// Correction is a job of the balancing shop in SI values.
type Correction struct {
	Name    string
	Grade   string // as the file names it; empty where the planes give amounts
	Limited bool   // the split over the planes met a bound of the standard
	Planes  [2]balance.Plane
	Sites   []balance.Site
}

// ReadBalanceJob reads a job of the balancing shop. file is the name that messages show; the error is
// Errors with everything that is wrong.
func ReadBalanceJob(file string, data []byte) (*Correction, error) {
	c := &collector{file: file}
	var j BalanceJob
	if decodeFile(c, data, &j) == nil {
		return nil, c.sorted()
	}
	r := &jobReader{collector: c, j: &j, out: &Correction{Name: j.Name.Value}}
	r.planes()
	r.sites()
	if err := c.sorted(); err != nil {
		return nil, err
	}
	return r.out, nil
}

type jobReader struct {
	*collector
	j   *BalanceJob
	out *Correction
}

// need reports a key that a map lacks.
func (r *jobReader) need(at Position, key, example string, m Mark) {
	if m.missing() {
		r.fail(at, "write "+key+": "+example, "%s is missing", key)
	}
}

func (r *jobReader) planes() {
	switch {
	case len(r.j.Planes) != 2:
		if len(r.list) == 0 {
			r.fail(r.j.at, "give two, such as - {name: free end, at: -180 mm, unbalance: 1480 g mm, angle: 37 deg}", "planes: %s", thereAre(len(r.j.Planes), "measured plane"))
		}
		return
	case len(r.list) > 0 && !r.j.Planes[0].Given():
		return
	}
	before := len(r.list)
	for i := range r.j.Planes {
		p := &r.j.Planes[i]
		r.need(p.at, "at", "-180 mm", p.At.Mark)
		r.need(p.at, "unbalance", "1480 g mm", p.Unbalance.Mark)
		r.need(p.at, "angle", "37 deg", p.Angle.Mark)
		name := p.Name.Value
		if name == "" {
			name = string(rune('A' + i))
		}
		r.out.Planes[i] = balance.Plane{
			Name: name, At: p.At.SI, Amount: p.Unbalance.SI, Angle: num.Angle(p.Angle.SI), Permissible: p.Permissible.SI,
		}
	}
	if a, b := r.j.Planes[0].At, r.j.Planes[1].At; a.Given() && b.Given() && a.SI == b.SI {
		r.fail(b.at, "give two planes apart", "at: both planes stand at %s", b.Text)
		return
	}
	r.permissible()
	if len(r.list) > before || r.out.Planes[0].Permissible == 0 || r.out.Planes[1].Permissible == 0 {
		return // something could not be read, and that has been said
	}
	for _, p := range r.j.Planes {
		if !p.At.Given() || !p.Unbalance.Given() || !p.Angle.Given() {
			return
		}
	}
	if err := balance.CheckPlanes(r.out.Planes); err != nil {
		at := r.j.Planes[1].at
		if strings.HasPrefix(err.Error(), fmt.Sprintf("plane %q:", r.out.Planes[0].Name)) {
			at = r.j.Planes[0].at
		}
		r.fail(at, "", "%v", err)
	}
}

// permissible settles what may stay in each plane.
func (r *jobReader) permissible() {
	a, b, q := &r.j.Planes[0], &r.j.Planes[1], &r.j.Permissible
	switch {
	case q.missing():
		for _, p := range []*JobPlane{a, b} {
			if p.Permissible.missing() {
				r.fail(p.at, "write permissible: 500 g mm in each plane, or permissible: {grade: G16, mass: 28 kg, speed: 3000 rpm} for the whole crank", "it is not said what may stay in this plane")
			}
		}
		return
	case !q.Given():
		return
	case !a.Permissible.missing() || !b.Permissible.missing():
		r.fail(q.at, "leave one of the two", "what may stay is said for the whole crank and for a plane")
		return
	}
	r.need(q.at, "grade", "G16", q.Grade.Mark)
	r.need(q.at, "mass", "28 kg", q.Mass.Mark)
	r.need(q.at, "speed", "3000 rpm", q.Speed.Mark)
	if !q.Grade.Given() || !q.Mass.Given() || !q.Speed.Given() || !a.At.Given() || !b.At.Given() {
		return
	}
	grade, err := balance.GradeNamed(q.Grade.Value)
	if err != nil {
		r.fail(q.Grade.at, "", "grade: %v", err)
		return
	}
	whole, err := balance.PermissibleUnbalance(grade, q.Mass.SI, q.Speed.SI)
	if err != nil {
		r.fail(q.at, "", "%v", err)
		return
	}
	centre := q.CentreOfGravity.or((a.At.SI + b.At.SI) / 2)
	sign := math.Copysign(1, b.At.SI-a.At.SI)
	ua, ub, limited, err := balance.SplitUnbalance(whole.Unbalance, sign*(centre-a.At.SI), sign*(b.At.SI-centre))
	if err != nil {
		at := q.at
		if q.CentreOfGravity.Given() {
			at = q.CentreOfGravity.at
		}
		r.fail(at, "", "%v", err)
		return
	}
	r.out.Planes[0].Permissible, r.out.Planes[1].Permissible = ua, ub
	r.out.Grade, r.out.Limited = grade.Name, limited
}

func (r *jobReader) sites() {
	if len(r.j.Sites) == 0 && len(r.list) == 0 {
		r.fail(r.j.at, "give places where metal may go or come, such as - {name: web 1, way: radial hole, at: -180 mm, angle: 30 deg, radius: 92 mm, diameter: 14 mm, deepest: 25 mm, density: 7850 kg/m3}", "sites is missing")
		return
	}
	if len(r.j.Sites) > balance.MaxSites {
		r.fail(r.j.Sites[balance.MaxSites].at, fmt.Sprintf("%d are the most", balance.MaxSites), "sites: there are %d", len(r.j.Sites))
		return
	}
	for i := range r.j.Sites {
		r.site(&r.j.Sites[i])
	}
}

func (r *jobReader) site(s *JobSite) {
	if !s.Given() {
		return
	}
	before := len(r.list)
	r.need(s.at, "way", "radial hole", s.Way.Mark)
	r.need(s.at, "at", "-180 mm", s.At.Mark)
	r.need(s.at, "angle", "30 deg", s.Angle.Mark)
	r.need(s.at, "radius", "92 mm", s.Radius.Mark)
	if !s.Way.Given() {
		return
	}
	kind := map[string]balance.SiteKind{
		"radial hole": balance.RadialHole, "radial slug": balance.RadialHole,
		"axial hole": balance.AxialHole, "axial slug": balance.AxialHole,
		"mass off": balance.PlainMass, "mass on": balance.PlainMass,
	}[s.Way.Value]
	adds := s.Way.Value == "radial slug" || s.Way.Value == "axial slug" || s.Way.Value == "mass on"
	hole := []struct {
		key, example string
		Mark
	}{{"diameter", "14 mm", s.Diameter.Mark}, {"deepest", "25 mm", s.Deepest.Mark}, {"density", "7850 kg/m3", s.Density.Mark}}
	if kind == balance.PlainMass {
		r.need(s.at, "most", "40 g", s.Most.Mark)
		for _, k := range hole {
			if !k.missing() {
				r.fail(k.at, "leave it out", "%s: a mass without a hole has none", k.key)
			}
		}
	} else {
		for _, k := range hole {
			r.need(s.at, k.key, k.example, k.Mark)
		}
		if !s.Most.missing() {
			r.fail(s.Most.at, "leave it out; deepest limits a hole", "most: this is a hole")
		}
	}
	if len(r.list) > before || !s.complete(kind) {
		return
	}
	site := balance.Site{
		Name: s.Name.Value, At: s.At.SI, Angle: num.Angle(s.Angle.SI), Kind: kind, Adds: adds, Radius: s.Radius.SI,
		Diameter: s.Diameter.SI, Deepest: s.Deepest.SI, Density: s.Density.SI, Most: s.Most.SI,
	}
	if err := site.Check(); err != nil {
		r.fail(s.at, "", "%v", err)
		return
	}
	r.out.Sites = append(r.out.Sites, site)
}

// complete reports whether every value that the kind needs could be read.
func (s *JobSite) complete(kind balance.SiteKind) bool {
	if !s.At.Given() || !s.Angle.Given() || !s.Radius.Given() {
		return false
	}
	if kind == balance.PlainMass {
		return s.Most.Given()
	}
	return s.Diameter.Given() && s.Deepest.Given() && s.Density.Given()
}
