package layout

import (
	"fmt"
	"math"
)

// Bearings say how a crank is carried and oiled. A value of zero is unknown, unless its comment says otherwise.
type Bearings struct {
	Sharing Sharing
	Support float64 // common stiffness of a main bearing with its housing [N/m]
	Main    Seat
	BigEnd  Seat
	Oil     string  // grade, as bearing.OilNamed knows it
	Feed    float64 // temperature of the oil that arrives [K]
	Rise    float64 // of the oil from feed to outlet [K]
}

// Seat is what the bearings of one kind have in common.
type Seat struct {
	Clearance float64 // diametral [m]
	Lining    string  // as bearing.Materials names it
	Grooved   bool    // with an oil groove all round
}

// Sharing is how the loads of the throws are shared among the mains.
type Sharing string

// The two ways of sharing.
const (
	SharedByBeam Sharing = "continuous"  // the crank bends as a continuous beam on elastic supports
	SharedByBays Sharing = "determinate" // every bay is a simple beam between its two mains
)

// Steel is what a crank is made of.
type Steel struct {
	Tensile float64 // tensile strength [Pa]
	Make    Make
	Yield   float64 // yield strength [Pa]
}

// Make is how a crank is made.
type Make string

// The makes that the rule for crankshafts tells apart.
const (
	GrainFlow  Make = "grain-flow" // continuous grain flow forged, or drop forged
	FreeForged Make = "free-form"  // free form forged
	CastSteel  Make = "cast"       // cast steel with approved cold rolling of the fillets
)

// Twisting says how a crank winds up beyond what its geometry tells.
type Twisting struct {
	Formula   Formula
	Magnifier float64 // dynamic magnifier of the first mode that winds the crank up, without damper [1]
	Damper    Damper
	FreeEnd   []ShaftPart // from the crank outwards
	Driven    []ShaftPart // from the flywheel outwards
}

// Formula names how the stiffness of a throw is found.
type Formula string

// The formulas for the stiffness of a throw.
const (
	ByMean      Formula = "mean" // of the two
	ByCarter    Formula = "carter"
	ByKerWilson Formula = "ker-wilson"
)

// Damper is a damper of torsional vibration on the free end of the crank.
type Damper struct {
	Kind      DamperKind
	Ring      float64 // moment of inertia of its ring [kg m²]
	Hub       float64 // moment of inertia of its hub or housing [kg m²]; 0 is a value
	Stiffness float64 // of the rubber [N m/rad]; 0: the published optimum
	Damping   float64 // viscous, between ring and hub [N m s/rad]; 0: the published optimum
}

// DamperKind is how a damper takes energy out.
type DamperKind string

// The kinds of damper.
const (
	NoDamper DamperKind = "none"
	Rubber   DamperKind = "rubber"
	Viscous  DamperKind = "viscous"
)

// ShaftPart is a disc beyond the crank with the shaft that leads to it, as they are, not as the crank feels them.
type ShaftPart struct {
	Name      string
	Inertia   float64 // [kg m²]
	Stiffness float64 // of the shaft that leads to it [N m/rad]
	Damping   float64 // against the block [N m s/rad]; 0 is a value
	Ratio     float64 // turns of the part per turn of the crank [1]; 0: 1
	Diameter  float64 // of the shaft that leads to it, for its stress [m]; 0: not asked for
}

// Limits of bearings, steel and shafts. Definition: beyond what engines have, so that a wrong unit is told from an engine.
const (
	MaxSupport   = 1e12   // [N/m]
	MinTensile   = 100e6  // [Pa]
	MaxTensile   = 3000e6 // [Pa]
	MinFeed      = 233.15 // [K]
	MaxFeed      = 473.15 // [K]
	MaxRise      = 150.0  // [K]
	MaxMagnifier = 1e4
	MaxPartRatio = 100.0
	MaxPart      = 1e6  // moment of inertia [kg m²]
	MaxPartSpan  = 1e12 // [N m/rad]
)

// lasting checks what the file says of bearings, steel and shafts; zero is unknown.
func (v *validator) lasting() {
	between := func(where string, x, lo, hi, unit float64, limit, in string) {
		// strengths and stiffnesses go beyond what finite lets through
		if x != 0 && !(x >= lo && x <= hi) {
			v.fail(where, limit, "the value is %.4g%s", x/unit, in)
		}
	}
	c := &v.t.Crank
	for _, j := range []struct {
		where string
		of    Journal
	}{{"crank.main_journal", c.MainJournal}, {"crank.crankpin", c.Crankpin}} {
		v.notNegative(j.where+".bore", j.of.Bore)
		if j.of.Diameter > 0 && j.of.Bore >= j.of.Diameter {
			v.fail(j.where+".bore", "it must be smaller than the diameter", "a bore of %.4g mm leaves nothing of a diameter of %.4g mm", j.of.Bore*1e3, j.of.Diameter*1e3)
		}
	}
	v.notNegative("crank.journal_fillet_radius", c.JournalFillet)
	v.notNegative("crank.fillet_recess", c.Recess)
	v.notNegative("crank.oil_bore.diameter", c.OilBore)
	if d := c.Crankpin.Diameter; d > 0 && c.OilBore >= d {
		v.fail("crank.oil_bore.diameter", "it must be smaller than the crankpin", "an oil bore of %.4g mm leaves nothing of a pin of %.4g mm", c.OilBore*1e3, d*1e3)
	}
	v.finite("crank.oil_bore.angle", float64(c.OilBoreAngle))
	between("crank.tensile_strength", v.t.Steel.Tensile, MinTensile, MaxTensile, 1e6, "it must lie between 100 and 3000 MPa, such as 850 MPa", " MPa")
	between("crank.yield_strength", v.t.Steel.Yield, MinTensile/2, MaxTensile, 1e6, "it must lie between 50 and 3000 MPa, such as 600 MPa", " MPa")
	if s := v.t.Steel; s.Tensile > 0 && s.Yield > s.Tensile {
		v.fail("crank.yield_strength", "it must not be above the tensile strength", "it yields at %.4g MPa and breaks at %.4g MPa", s.Yield/1e6, s.Tensile/1e6)
	}

	b := &v.t.Bearings
	between("bearings.support_stiffness", b.Support, 1, MaxSupport, 1e6, "it must lie between 1 N/m and 1000 GN/m, such as 1.2 GN/m", " MN/m")
	for _, s := range []struct {
		where string
		seat  Seat
		of    Journal
	}{{"bearings.main", b.Main, c.MainJournal}, {"bearings.big_end", b.BigEnd, c.Crankpin}} {
		v.notNegative(s.where+".clearance", s.seat.Clearance)
		if d := s.of.Diameter; d > 0 && s.seat.Clearance > 0 && (s.seat.Clearance < 2e-5*d || s.seat.Clearance > 1e-2*d) {
			v.fail(s.where+".clearance", fmt.Sprintf("a thousandth of the diameter is usual, such as %.3g um", d*1e3),
				"a clearance of %.4g mm in a diameter of %.4g mm", s.seat.Clearance*1e3, d*1e3)
		}
	}
	between("bearings.oil_feed", b.Feed, MinFeed, MaxFeed, 1, "it must lie between -40 and 200 degC, such as 90 degC", " K")
	between("bearings.oil_rise", b.Rise, 0.01, MaxRise, 1, "it must lie between 0.01 and 150 K, such as 15 K", " K")

	w := &v.t.Twisting
	between("torsion.magnifier", w.Magnifier, 1, MaxMagnifier, 1, "it must lie between 1 and 10000, such as 30", "")
	for _, q := range []struct {
		where string
		x     float64
	}{{"inertia", w.Damper.Ring}, {"hub_inertia", w.Damper.Hub}, {"stiffness", w.Damper.Stiffness}, {"damping", w.Damper.Damping}} {
		v.notNegative("torsion.damper."+q.where, q.x)
	}
	for _, list := range []struct {
		where string
		parts []ShaftPart
	}{{"torsion.free_end", w.FreeEnd}, {"torsion.driven", w.Driven}} {
		for i, p := range list.parts {
			where := fmt.Sprintf("%s[%d]", list.where, i)
			if v.finite(where+".inertia", p.Inertia) && !(p.Inertia > 0 && p.Inertia <= MaxPart) {
				v.fail(where+".inertia", "it must be greater than 0 and at most 1e6 kg m2", "the value is %.4g kg m2", p.Inertia)
			}
			if !(p.Stiffness > 0 && p.Stiffness <= MaxPartSpan) {
				v.fail(where+".stiffness", "it must be greater than 0 and at most 1e12 N m/rad", "the value is %.4g N m/rad", p.Stiffness)
			}
			v.notNegative(where+".damping", p.Damping)
			v.notNegative(where+".diameter", p.Diameter)
			if v.finite(where+".ratio", p.Ratio) && p.Ratio != 0 && !(math.Abs(p.Ratio) >= 1/MaxPartRatio && math.Abs(p.Ratio) <= MaxPartRatio) {
				v.fail(where+".ratio", "it must lie between 0.01 and 100 turns per turn of the crank", "the value is %.4g", p.Ratio)
			}
		}
	}
}
