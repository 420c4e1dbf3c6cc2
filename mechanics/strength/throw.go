package strength

import (
	"fmt"
	"math"
	"strings"
)

// Throw is a crank throw by its sizes.
type Throw struct {
	Pin, PinBore         float64 // outer diameter and bore of the crankpin [m]; 0: solid
	Journal, JournalBore float64 // of the main journal [m]
	Radius               float64 // throw, half the stroke [m]
	Web, WebWidth        float64 // thickness along the crank and width across the throw [m]
	PinFillet            float64 // fillet radius between pin and web [m]
	JournalFillet        float64 // between journal and web [m]
	PinRecess            float64 // depth to which the pin's fillet is cut into the web [m]; 0: not
	JournalRecess        float64 // of the journal's [m]
	OilBore              float64 // diameter of the oil bore in the pin [m]; 0: none
}

// Overlap returns how far pin and journal overlap.
//
//	S = (D + D_G)/2 − E
//
// Result [m]; negative where a gap is between them. Source: IACSM53.
func (t Throw) Overlap() float64 { return (t.Pin+t.Journal)/2 - t.Radius }

// Ratios are the sizes of a throw over the diameter of its crankpin [1].
type Ratios struct {
	S      float64 // overlap
	W, B   float64 // web thickness and width
	RH, RG float64 // fillets of pin and journal
	RJ     float64 // fillet of the journal over the journal's own diameter, for torsion; 0: as RG
	DG, DH float64 // bores of journal and pin
	DO     float64 // oil bore
	TH, TG float64 // recesses
}

// Ratios returns the ratios of a throw.
//
// Result [1], each over the pin's diameter D but for RJ. Source: IACSM53.
func (t Throw) Ratios() Ratios {
	d := t.Pin
	return Ratios{
		S: t.Overlap() / d, W: t.Web / d, B: t.WebWidth / d, RH: t.PinFillet / d, RG: t.JournalFillet / d, RJ: t.JournalFillet / t.Journal,
		DG: t.JournalBore / d, DH: t.PinBore / d, DO: t.OilBore / d, TH: t.PinRecess / d, TG: t.JournalRecess / d,
	}
}

// Limit is the range of a ratio within which the rule holds [1].
type Limit struct {
	Key, Name string
	Low, High float64 // Low −Inf: no lower end
}

// Limits returns the ranges within which the stress concentration factors hold, all over the pin's diameter.
//
// Result [1]. Source: IACSM53.
func Limits() []Limit {
	return []Limit{
		{"s", "overlap of pin and journal", math.Inf(-1), 0.5},
		{"w", "web thickness", 0.2, 0.8},
		{"b", "web width", 1.1, 2.2},
		{"r", "fillet radius of the pin", 0.03, 0.13},
		{"rG", "fillet radius of the journal", 0.03, 0.13},
		{"dG", "bore of the journal", 0, 0.8},
		{"dH", "bore of the pin", 0, 0.8},
		{"dO", "oil bore", 0, 0.2},
	}
}

// at returns the ratio of a limit.
func (r *Ratios) at(key string) *float64 {
	switch key {
	case "s":
		return &r.S
	case "w":
		return &r.W
	case "b":
		return &r.B
	case "r":
		return &r.RH
	case "rG":
		return &r.RG
	case "dG":
		return &r.DG
	case "dH":
		return &r.DH
	default:
		return &r.DO
	}
}

// Excess is a ratio outside the range of the rule [1].
type Excess struct {
	Limit
	Value float64
}

// String says which ratio lies where, and where it would have to [1]. Definition.
func (e Excess) String() string {
	if math.IsInf(e.Low, -1) {
		return fmt.Sprintf("%s over the pin's diameter is %.3g, and the rule holds up to %.3g", e.Name, e.Value, e.High)
	}
	return fmt.Sprintf("%s over the pin's diameter is %.3g, and the rule holds from %.3g to %.3g", e.Name, e.Value, e.Low, e.High)
}

// RangeError refuses a throw outside the range of the rule.
type RangeError struct{ Outside []Excess }

// Error names every ratio that lies outside [1]. Definition.
func (e *RangeError) Error() string {
	var list []string
	for _, x := range e.Outside {
		list = append(list, x.String())
	}
	return "strength: " + strings.Join(list, "; ")
}

// Outside returns the ratios of a throw that lie outside the range of the rule.
//
// Result [1], empty where the rule holds. Ends count as inside, with a rounding of 1e-9. Source: IACSM53.
func (t Throw) Outside() []Excess {
	var out []Excess
	r := t.Ratios()
	for _, l := range Limits() {
		if v := *r.at(l.Key); v < l.Low-1e-9 || v > l.High+1e-9 {
			out = append(out, Excess{l, v})
		}
	}
	return out
}

// held returns the ratios with every one at the end of its range that lies beyond it.
func (r Ratios) held() Ratios {
	for _, l := range Limits() {
		at := r.at(l.Key)
		*at = min(max(*at, l.Low), l.High)
		if l.Key == "rG" && r.RJ > 0 {
			r.RJ = min(max(r.RJ, l.Low), l.High)
		}
	}
	return r
}

// Check says why a throw cannot exist, nil where it can.
//
// Lengths in its message are in [mm]. Definition.
func (t Throw) Check() error {
	for _, v := range []struct {
		name  string
		v, lo float64
	}{
		{"diameter of the crankpin", t.Pin, 1e-3},
		{"diameter of the main journal", t.Journal, 1e-3},
		{"crank radius", t.Radius, 1e-3},
		{"thickness of the web", t.Web, 1e-4},
		{"width of the web", t.WebWidth, 1e-4},
		{"fillet radius of the crankpin", t.PinFillet, 1e-5},
		{"fillet radius of the main journal", t.JournalFillet, 1e-5},
		{"bore of the crankpin", t.PinBore, 0},
		{"bore of the main journal", t.JournalBore, 0},
		{"oil bore", t.OilBore, 0},
		{"recess of the crankpin's fillet", t.PinRecess, 0},
		{"recess of the journal's fillet", t.JournalRecess, 0},
	} {
		if !(v.v >= v.lo && v.v <= 10) {
			return fmt.Errorf("strength: the %s must lie between %.4g mm and 10 m, it is %.4g mm", v.name, 1e3*v.lo, 1e3*v.v)
		}
	}
	switch {
	case t.PinBore >= t.Pin:
		return fmt.Errorf("strength: a bore of %.4g mm leaves nothing of a crankpin of %.4g mm", 1e3*t.PinBore, 1e3*t.Pin)
	case t.JournalBore >= t.Journal:
		return fmt.Errorf("strength: a bore of %.4g mm leaves nothing of a journal of %.4g mm", 1e3*t.JournalBore, 1e3*t.Journal)
	case t.OilBore >= t.Pin:
		return fmt.Errorf("strength: an oil bore of %.4g mm leaves nothing of a crankpin of %.4g mm", 1e3*t.OilBore, 1e3*t.Pin)
	}
	return nil
}

// Of returns the ratio of a limit.
//
//   - key: Limit.Key
//
// Result [1]. Definition.
func (r Ratios) Of(key string) float64 { return *r.at(key) }
