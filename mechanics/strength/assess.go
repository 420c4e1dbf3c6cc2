package strength

import (
	"fmt"
	"math"
)

// Required is the acceptability factor that the rule demands [1]. Source: IACSM53, from memory.
const Required = 1.15

// Loads are the alternating loads of a throw: half of largest less smallest over the cycle.
type Loads struct {
	Bending       float64 // M_BRF, bending moment in the middle plane of the web by the radial forces [N m]
	Radial        float64 // Q_RF, radial force on the web [N]
	OilBore       float64 // M_BO, bending moment of the pin that stresses the mouth of the oil bore [N m]
	PinTorque     float64 // M_T in the pin [N m]
	JournalTorque float64 // M_T in the journal [N m]
}

// Steel is what a crank is made of.
type Steel struct {
	Tensile float64 // tensile strength σ_B [Pa]
	Factor  float64 // K by the make of the crank [1]: 1.05 grain flow or drop forged, 1 free form forged, 0.93 cast steel with cold rolled fillets
}

// Setting says what kind of engine the crank serves.
type Setting struct {
	TwoStroke bool
	Crosshead bool // with crossheads; else trunk pistons
	Beyond    bool // hold ratios outside the range of the rule at its end and label the result, instead of refusing it
}

// Nominal are the nominal alternating stresses of a throw [Pa].
type Nominal struct {
	Bending        float64 // σ_BFN in the web
	Shear          float64 // σ_QFN in the web
	OilBore        float64 // σ_BON in the pin
	PinTorsion     float64 // τ_N
	JournalTorsion float64 // τ_N
}

// Point is a place where a crack may start.
type Point struct {
	Name       string
	Bending    float64 // local alternating stress by bending, and by shear at the journal [Pa]
	Torsion    float64 // by torsion [Pa]
	Twisted    float64 // σ_v if torsion were alone [Pa]: √3 of it at a fillet, itself at an oil bore
	Equivalent float64 // σ_v [Pa]
	Fatigue    float64 // fatigue strength σ_DW there [Pa]
	Q          float64 // acceptability factor σ_DW/σ_v [1]; +Inf where nothing alternates
}

// TorsionShare returns how much of a point's equivalent stress torsion alone would be.
//
//	share = √3 τ/σ_v at a fillet, τ/σ_v at an oil bore
//
// Result [1], 0 to 1; 0 where nothing alternates. Definition.
func (p *Point) TorsionShare() float64 {
	if p.Equivalent == 0 {
		return 0
	}
	return p.Twisted / p.Equivalent
}

// Assessment is the strength of one throw.
type Assessment struct {
	Throw   Throw
	Ratios  Ratios // as they are
	Factors Factors
	Nominal Nominal
	Points  []Point  // pin fillet, journal fillet, oil bore where there is one
	Outside []Excess // ratios outside the range of the rule, held at its end: the result is an approximation
}

// tie is the share by which a later point must be weaker, so that of equal ones the first is named.
const tie = 1e-9

// Worst returns the point with the smallest acceptability factor, the first of equal ones [1]. Definition.
func (a *Assessment) Worst() Point {
	worst := a.Points[0]
	for _, p := range a.Points[1:] {
		if p.Q < (1-tie)*worst.Q {
			worst = p
		}
	}
	return worst
}

// Use returns how much of what the rule allows a throw takes.
//
//	use = 1.15/Q
//
// Result [1]: 1 at the rule's limit. Definition.
func (a *Assessment) Use() float64 { return Required / a.Worst().Q }

// NominalStresses returns the nominal alternating stresses of a throw.
//
//	σ_BFN = K_e M_BRF/(B W²/6)   σ_QFN = K_e Q_RF/(B W)   σ_BON = K_e M_BO/(π/32 (D⁴ − D_BH⁴)/D)   τ_N = M_T/(π/16 (D⁴ − d⁴)/D)
//
// with
//   - t: the throw
//   - l: its alternating loads
//   - two: K_e = 0.8 for a two-stroke engine, 1 for a four-stroke one
//
// Result [Pa]. Source: IACSM53, calculation of stresses.
func NominalStresses(t Throw, l Loads, two bool) Nominal {
	ke := 1.0
	if two {
		ke = 0.8
	}
	polar := func(d, bore float64) float64 { return math.Pi / 16 * (math.Pow(d, 4) - math.Pow(bore, 4)) / d }
	return Nominal{
		Bending:        ke * l.Bending / (t.WebWidth * t.Web * t.Web / 6),
		Shear:          ke * l.Radial / (t.WebWidth * t.Web),
		OilBore:        ke * l.OilBore / (polar(t.Pin, t.PinBore) / 2),
		PinTorsion:     l.PinTorque / polar(t.Pin, t.PinBore),
		JournalTorsion: l.JournalTorque / polar(t.Journal, t.JournalBore),
	}
}

// FatigueStrength returns the alternating stress that a crank endures.
//
//	σ_DW = K (0.42 σ_B + 39.3) [ 0.264 + 1.073 D^−0.2 + (785 − σ_B)/4900 + 196/σ_B √(1/R) ]      σ in N/mm², D and R in mm
//
// with
//   - steel: its tensile strength and factor of make; a factor above 1 counts only where rolled or forged grain runs, in a
//     fillet: give 1 for an oil bore
//   - diameter: of pin or journal [m]
//   - notch: fillet radius, or half the oil bore [m]
//
// Result [Pa]. Structure and constants were read in a class rule, the signs are from memory. Source: IACSM53,
// fatigue strength.
func FatigueStrength(steel Steel, diameter, notch float64) float64 {
	b, d, r := steel.Tensile/1e6, 1e3*diameter, 1e3*notch
	return 1e6 * steel.Factor * (0.42*b + 39.3) * (0.264 + 1.073*math.Pow(d, -0.2) + (785-b)/4900 + 196/b*math.Sqrt(1/r))
}

// Additional returns the bending stress by misalignment and by the deformation of the bedplate that the rule adds.
//
// Result [Pa]: ±10 N/mm² for trunk pistons, ±30 N/mm² for crossheads. Source: IACSM53.
func Additional(crosshead bool) float64 {
	if crosshead {
		return 30e6
	}
	return 10e6
}

// Assess assesses a throw.
//
//	pin fillet      √( (α_B σ_BFN + σ_add)² + 3 (α_T τ_N)² )
//	journal fillet  √( (β_B σ_BFN + β_Q σ_QFN + σ_add)² + 3 (β_T τ_N)² )
//	oil bore        σ_BO/3 [ 1 + 2 √( 1 + 9/4 (σ_TO/σ_BO)² ) ]
//
// with
//   - t: the throw
//   - l: its alternating loads, none negative
//   - steel: 100 to 3000 N/mm², factor 0.5 to 1.5
//   - set: the kind of engine
//
// Result [Pa]. Errors: sizes or loads that cannot be; *RangeError where a ratio lies outside the range of the rule and
// Beyond is not asked for. For concept work. Source: IACSM53.
func Assess(t Throw, l Loads, steel Steel, set Setting) (*Assessment, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	if !(steel.Tensile >= 100e6 && steel.Tensile <= 3000e6) || !(steel.Factor >= 0.5 && steel.Factor <= 1.5) {
		return nil, fmt.Errorf("strength: a tensile strength of %.4g MPa with a factor of make of %.3g: 100 to 3000 MPa and 0.5 to 1.5 are possible, such as 850 MPa and 1.05", steel.Tensile/1e6, steel.Factor)
	}
	for _, v := range []float64{l.Bending, l.Radial, l.OilBore, l.PinTorque, l.JournalTorque} {
		if !(v >= 0 && v <= 1e12) {
			return nil, fmt.Errorf("strength: an alternating load of %g N or N m: half of largest less smallest is never negative", v)
		}
	}
	a := &Assessment{Throw: t, Ratios: t.Ratios(), Outside: t.Outside()}
	if len(a.Outside) > 0 && !set.Beyond {
		return nil, &RangeError{a.Outside}
	}
	a.Factors = FactorsOf(a.Ratios.held())
	a.Nominal = NominalStresses(t, l, set.TwoStroke)
	n, f := &a.Nominal, &a.Factors
	fillet := func(name string, bending, torsion, diameter, radius float64) Point {
		p := Point{Name: name, Bending: bending, Torsion: torsion, Twisted: math.Sqrt(3) * torsion}
		p.Equivalent = math.Hypot(bending+Additional(set.Crosshead), p.Twisted)
		p.Fatigue = FatigueStrength(steel, diameter, radius)
		p.Q = p.Fatigue / p.Equivalent
		return p
	}
	a.Points = []Point{
		fillet("pin fillet", f.PinBending*n.Bending, f.PinTorsion*n.PinTorsion, t.Pin, t.PinFillet),
		fillet("journal fillet", f.JournalBending*n.Bending+f.JournalShear*n.Shear, f.JournalTorsion*n.JournalTorsion, t.Journal, t.JournalFillet),
	}
	if t.OilBore > 0 {
		p := Point{Name: "oil bore", Bending: f.OilBending * n.OilBore, Torsion: f.OilTorsion * n.PinTorsion}
		p.Twisted = p.Torsion
		// σ/3 (1 + 2 √(1 + 9/4 τ²/σ²)) without dividing by a bending stress of zero
		p.Equivalent = (p.Bending + 2*math.Hypot(p.Bending, 1.5*p.Torsion)) / 3
		plain := steel
		plain.Factor = math.Min(1, steel.Factor)
		p.Fatigue = FatigueStrength(plain, t.Pin, t.OilBore/2)
		p.Q = math.Inf(1)
		if p.Equivalent > 0 {
			p.Q = p.Fatigue / p.Equivalent
		}
		a.Points = append(a.Points, p)
	}
	for _, p := range a.Points {
		if math.IsNaN(p.Q) || p.Fatigue <= 0 || p.Equivalent < 0 {
			return nil, fmt.Errorf("strength: the rule gives no strength at the %s of this throw; its sizes or its steel are far from those of crankshafts", p.Name)
		}
	}
	return a, nil
}
