package balance

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/num"
)

// Plane is a plane in which the balancing machine measures, and what it found there.
type Plane struct {
	Name        string
	At          float64   // axial place x [m]
	Amount      float64   // measured unbalance, mass × radius [kg m]
	Angle       num.Angle // where the rotor is too heavy, from +z about +x [rad]
	Permissible float64   // residual unbalance that may stay [kg m]
}

// SiteKind says how metal goes or comes at a site.
type SiteKind int

// The kinds of sites.
const (
	RadialHole SiteKind = iota // a hole from the surface towards the axis
	AxialHole                  // a hole along x
	PlainMass                  // a mass at a radius: ground off, or bolted on
)

// Site is a place where the rotor may be corrected.
type Site struct {
	Name   string
	At     float64   // axial place x of its middle [m]
	Angle  num.Angle // direction, from +z about +x [rad]
	Kind   SiteKind
	Adds   bool    // heavy metal goes into the hole, or the mass is put on; otherwise metal is taken off
	Radius float64 // of the surface for a radial hole, else of the centre of hole or mass [m]

	Diameter float64 // of the hole [m]
	Deepest  float64 // largest depth of the hole, or length of a slug [m]
	Density  float64 // of the metal that goes; for a slug, by how much it is heavier than the rotor's [kg/m³]
	Most     float64 // largest plain mass [kg]
}

// area returns the cross-section of the hole times the density [kg/m].
func (s Site) area() float64 { return s.Density * math.Pi / 4 * s.Diameter * s.Diameter }

// Amount returns the unbalance that a depth or a mass makes.
//
//	radial hole  U = ρ π d²/4 (R h − h²/2)      axial hole  U = ρ π d²/4 h R      mass  U = m R
//
// with
//   - size: depth h [m] of a hole with a flat bottom, or mass m [kg]; not negative
//
// Result [kg m]. The point of a drill takes as much as another third of its length; a 118° drill is
// stopped 0.1 d earlier at full diameter for the same mass. Source: DEFINITION, first moment of the
// cylinder of metal.
func (s Site) Amount(size float64) float64 {
	switch s.Kind {
	case RadialHole:
		return s.area() * size * (s.Radius - size/2)
	case AxialHole:
		return s.area() * size * s.Radius
	default:
		return size * s.Radius
	}
}

// Size returns the depth or mass that an unbalance asks for, the reverse of Amount.
//
//	radial hole  h = R − √(R² − 2U/(ρ π d²/4))
//
// with
//   - amount: unbalance [kg m], from 0 to that of the largest size
//
// Result [m] for holes, [kg] for a plain mass, never more than the limit of the site. Definition.
func (s Site) Size(amount float64) float64 {
	size := amount / s.Radius
	switch s.Kind {
	case RadialHole:
		size = 2 * amount / s.area() / (s.Radius + math.Sqrt(math.Max(0, s.Radius*s.Radius-2*amount/s.area())))
	case AxialHole:
		size /= s.area()
	case PlainMass:
	}
	return math.Min(size, s.Limit())
}

// Mass returns the mass that goes or comes at a size.
//
//   - size: depth [m] or mass [kg]
//
// Result [kg]; for a slug the difference to the metal it replaces. Definition.
func (s Site) Mass(size float64) float64 {
	if s.Kind == PlainMass {
		return size
	}
	return s.area() * size
}

// Limit returns the largest depth [m] of a hole, or the largest mass [kg]. Definition.
func (s Site) Limit() float64 {
	if s.Kind == PlainMass {
		return s.Most
	}
	return s.Deepest
}

// effect returns the direction in which the site makes the rotor heavier.
func (s Site) effect() complex128 {
	if s.Adds {
		return s.Angle.Unit()
	}
	return -s.Angle.Unit()
}

// Use is what is done at one site.
type Use struct {
	Site   int     // its index
	Size   float64 // depth [m] or mass [kg]
	Amount float64 // unbalance [kg m]
	Mass   float64 // metal that goes or comes [kg]
}

// Correction is how a measured unbalance is taken away.
type Correction struct {
	Needed bool          // the rotor was not within the permissible unbalance before
	Uses   []Use         // sites that are used, in the sequence given
	Left   [2]complex128 // unbalance left in each plane, Σ U e^{ia}, a from +z about +x [kg m]
	Within [2]bool       // whether it is within the permissible unbalance
	Mass   float64       // sum of all metal that goes and comes [kg]
}

// The steps to which depths and masses are rounded before the rest is worked out. Definition: what a
// drilling machine and a pair of scales are set to.
const (
	DepthStep = 1e-4 // [m]
	MassStep  = 1e-4 // [kg]
)

// MaxSites is the largest number of sites that a correction may have [1]. Definition: far more than any
// crank offers, so that a slip is told from a job.
const MaxSites = 500

// Correct finds what to drill, plug or add so that a measured unbalance disappears.
//
//	Σ U_i e^{ia_i} (x_B − x_i)/(x_B − x_A) = −U_A     Σ U_i e^{ia_i} (x_i − x_A)/(x_B − x_A) = −U_B
//	0 ≤ U_i ≤ U_i,max        the mass Σ U_i/R_i,mean least
//
// with
//   - planes: measured planes A and B [kg m], at different places
//   - sites: where metal may go or come; a site beside the planes counts by its levers to both
//
// Result: sizes [m] or [kg] in whole steps and what they leave [kg m]. What the sites cannot do is left with
// the least sum of squares, each plane measured by its permissible unbalance; at most four sites are
// used in part, the others fully or not at all. R_mean of a radial hole is that of its largest depth.
// A rotor within the permissible unbalance gets no holes. Errors: planes or sites that cannot be.
// Source: DEFINITION, equilibrium of the planes; the solution is tested against a simplex method.
func Correct(planes [2]Plane, sites []Site) (*Correction, error) {
	if err := CheckPlanes(planes); err != nil {
		return nil, err
	}
	if len(sites) > MaxSites {
		return nil, fmt.Errorf("there are %d sites; %d are the most", len(sites), MaxSites)
	}
	for i := range sites {
		if err := sites[i].Check(); err != nil {
			return nil, fmt.Errorf("site %d: %w", i+1, err)
		}
	}
	c := &Correction{Left: planeVectors(planes)}
	c.judge(planes)
	c.Needed = !c.Within[0] || !c.Within[1]
	if !c.Needed || len(sites) == 0 {
		return c, nil
	}
	p := program{columns: make([][rows]float64, len(sites)), top: make([]float64, len(sites)), cost: make([]float64, len(sites))}
	p.aim = weighted(-c.Left[0], -c.Left[1], planes)
	for i, s := range sites {
		p.top[i] = s.Amount(s.Limit())
		p.cost[i] = s.Mass(s.Limit()) / p.top[i]
		a, b := levers(planes, s.At)
		p.columns[i] = weighted(s.effect()*complex(a, 0), s.effect()*complex(b, 0), planes)
	}
	for i, amount := range p.solve() {
		s := sites[i]
		size := rounded(s, amount)
		if size == 0 {
			continue
		}
		u := Use{Site: i, Size: size, Amount: s.Amount(size), Mass: s.Mass(size)}
		a, b := levers(planes, s.At)
		c.Left[0] += s.effect() * complex(u.Amount*a, 0)
		c.Left[1] += s.effect() * complex(u.Amount*b, 0)
		c.Mass += u.Mass
		c.Uses = append(c.Uses, u)
	}
	c.judge(planes)
	return c, nil
}

// rounded returns the size for an amount in whole steps, or the limit of the site where that is nearer.
func rounded(s Site, amount float64) float64 {
	step := DepthStep
	if s.Kind == PlainMass {
		step = MassStep
	}
	size := s.Size(amount)
	if s.Limit()-size < step/2 {
		return s.Limit()
	}
	return math.Round(size/step) / math.Round(1/step)
}

func (c *Correction) judge(planes [2]Plane) {
	for i := range planes {
		c.Within[i] = cmplx.Abs(c.Left[i]) <= planes[i].Permissible
	}
}

func planeVectors(planes [2]Plane) [2]complex128 {
	var v [2]complex128
	for i, p := range planes {
		v[i] = complex(p.Amount, 0) * p.Angle.Unit()
	}
	return v
}

// levers returns the shares that an unbalance at x has in the two planes.
func levers(planes [2]Plane, x float64) (a, b float64) {
	b = (x - planes[0].At) / (planes[1].At - planes[0].At)
	return 1 - b, b
}

// weighted sets the vectors of both planes in one column, each measured by its permissible unbalance.
func weighted(a, b complex128, planes [2]Plane) [rows]float64 {
	u, v := planes[0].Permissible, planes[1].Permissible
	return [rows]float64{real(a) / u, imag(a) / u, real(b) / v, imag(b) / v}
}

func between(v, low, high float64) bool { return v >= low && v <= high } // false for what is no number

// CheckPlanes says why measured planes cannot be.
//
//   - planes: measured planes [kg m]
//
// It returns nil for planes that Correct takes. Definition.
func CheckPlanes(planes [2]Plane) error {
	for _, p := range planes {
		switch {
		case !between(p.At, -1e3, 1e3):
			return fmt.Errorf("plane %q: a place of %g m is out of range; at most 1000 m are possible", p.Name, p.At)
		case !between(p.Amount, 0, 1e6):
			return fmt.Errorf("plane %q: an unbalance of %g kg m is not possible; it must lie between 0 and 1e6 kg m", p.Name, p.Amount)
		case !between(float64(p.Angle), -1e6, 1e6):
			return fmt.Errorf("plane %q: an angle of %g rad is not possible; at most 1e6 rad are, and 360 deg are a turn", p.Name, float64(p.Angle))
		case !between(p.Permissible, 1e-12, 1e6):
			return fmt.Errorf("plane %q: a permissible unbalance of %g kg m is not possible; it must lie between 1e-12 and 1e6 kg m", p.Name, p.Permissible)
		}
	}
	if math.Abs(planes[1].At-planes[0].At) < 1e-6 {
		return errors.New("the two planes stand at one place; two planes apart are needed to tell force from moment")
	}
	return nil
}

// Check says why a site cannot be; lengths in the message are in [mm].
//
// It returns nil for a site that Correct takes. Definition.
func (s Site) Check() error {
	wrong := fmt.Errorf
	mm := func(v float64) string { return num.Digits(1e3*v, 5) + " mm" }
	switch {
	case s.Kind != RadialHole && s.Kind != AxialHole && s.Kind != PlainMass:
		return wrong("it is neither a radial hole, an axial hole nor a mass")
	case !between(s.At, -1e3, 1e3) || !between(float64(s.Angle), -1e6, 1e6):
		return wrong("its place or angle is out of range; at most 1000 m and 1e6 rad are possible")
	case !between(s.Radius, 1e-4, 100):
		return wrong("a radius of %s is not possible; it must lie between 0.1 mm and 100 m", mm(s.Radius))
	case s.Kind == PlainMass && !between(s.Most, 1e-9, 1e6):
		return wrong("a largest mass of %g kg is not possible; it must lie between 1e-9 and 1e6 kg", s.Most)
	case s.Kind == PlainMass:
		return nil
	case !between(s.Diameter, 1e-4, 10):
		return wrong("a hole of %s is not possible; its diameter must lie between 0.1 mm and 10 m", mm(s.Diameter))
	case !between(s.Deepest, 1e-5, 100):
		return wrong("a largest depth of %s is not possible; it must lie between 0.01 mm and 100 m", mm(s.Deepest))
	case s.Kind == RadialHole && s.Deepest > s.Radius:
		return wrong("a depth of %s goes past the axis; at most the radius, %s, is possible", mm(s.Deepest), mm(s.Radius))
	case !between(s.Density, 1, 1e5):
		return wrong("a density of %s kg/m3 is not possible; steel has 7850 kg/m3, heavy metal is about 10000 kg/m3 heavier than steel", num.Digits(s.Density, 5))
	}
	return nil
}
