package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
)

// CounterweightWish says which counterweights are wanted, in the texts that people write. An empty text takes
// the default.
type CounterweightWish struct {
	Policy       string   `json:"policy" jsonschema:"enum=none,enum=factor,enum=per-throw,enum=per-web,enum=optimum" jsonschema_description:"how the counterweights are chosen: none, one balance factor, one a throw, an unbalance a web, or the best that there are"`
	Factor       string   `json:"factor,omitempty" jsonschema_description:"factor: balance factor, such as 50 %; default 50 %"`
	Factors      []string `json:"factors,omitempty" jsonschema_description:"per-throw: a balance factor for each throw"`
	Unbalance    []string `json:"unbalance,omitempty" jsonschema_description:"per-web: an unbalance for each web along the crank, such as 11 kg mm, or 9 kg mm @ 170 deg"`
	ForceWeight  string   `json:"force_weight,omitempty" jsonschema_description:"optimum: weights of the force across and upright, such as 1,4; default 1,1"`
	MomentWeight string   `json:"moment_weight,omitempty" jsonschema_description:"optimum: weights of the moment about y and about z; default 1,1"`
	Length       string   `json:"length,omitempty" jsonschema_description:"optimum: length by which moments are divided; default: between the outermost cylinders"`
	Limit        string   `json:"limit,omitempty" jsonschema_description:"optimum: largest unbalance of a web; default: what fits into the form, else none"`
	Radius       string   `json:"radius,omitempty" jsonschema_description:"radius limit, such as 70 mm; asks for the form of the counterweights"`
	Inner        string   `json:"inner,omitempty" jsonschema_description:"inner radius; default: that of the main journal"`
	Thickness    string   `json:"thickness,omitempty" jsonschema_description:"default: that of the webs"`
	Density      string   `json:"density,omitempty" jsonschema_description:"default: steel, 7850 kg/m3"`
	Skirt        string   `json:"skirt,omitempty" jsonschema_description:"how far piston skirts reach below the piston pin; default: 30 % of the bore"`
	Clearance    string   `json:"clearance,omitempty" jsonschema_description:"wanted between counterweights and skirts; default 2 mm"`
}

// WishError says what is wrong with one part of a wish.
type WishError struct {
	Part string // as the flag of the command is called, such as force-weight
	What string // what is wrong, and what would be right
}

// Error returns the error as one sentence.
func (e *WishError) Error() string { return e.Part + ": " + e.What }

func wishErrorf(part, format string, args ...any) error {
	return &WishError{part, fmt.Sprintf(format, args...)}
}

// crankSteel is the density of the steel that crankshafts are made of [kg/m³], and skirtRoom the clearance that
// counterweights get to piston skirts [m]: common practice, from memory.
const (
	crankSteel = 7850
	skirtRoom  = 2e-3
)

// Request reads a wish for a crank. The error is a *WishError.
func (w *CounterweightWish) Request(t *layout.Train) (balance.Request, error) {
	q := balance.Request{Policy: balance.Policy(w.Policy), Room: skirtRoom}
	if !slices.Contains(balance.Policies(), q.Policy) {
		return q, wishErrorf("policy", "there is no policy %q; the policies are none, factor, per-throw, per-web and optimum", w.Policy)
	}
	if err := w.foreign(q.Policy); err != nil {
		return q, err
	}
	if err := w.policyValues(t, &q); err != nil {
		return q, err
	}
	for _, v := range []struct {
		part, text string
		to         *float64
	}{{"skirt", w.Skirt, &q.Skirt}, {"clearance", w.Clearance, &q.Room}, {"radius", w.Radius, &q.Cheek.Outer}} {
		if err := wishedQuantity[spec.Length](v.part, v.text, v.to); err != nil {
			return q, err
		}
	}
	if w.Radius == "" {
		for _, v := range [][2]string{{"inner", w.Inner}, {"thickness", w.Thickness}, {"density", w.Density}} {
			if v[1] != "" {
				return q, wishErrorf(v[0], "the form of the counterweights needs a radius too, such as '70 mm'")
			}
		}
		return q, nil
	}
	q.Cheek.Inner, q.Cheek.Thickness, q.Cheek.Density = t.Crank.MainJournal.Diameter/2, t.Crank.Web.Thickness, crankSteel
	if err := wishedQuantity[spec.Length]("inner", w.Inner, &q.Cheek.Inner); err != nil {
		return q, err
	}
	if err := wishedQuantity[spec.Length]("thickness", w.Thickness, &q.Cheek.Thickness); err != nil {
		return q, err
	}
	if q.Cheek.Thickness == 0 {
		return q, wishErrorf("thickness", "give the thickness of the counterweights, such as '18 mm'; the file does not give that of the webs")
	}
	return q, wishedQuantity[spec.Density]("density", w.Density, &q.Cheek.Density)
}

// foreign refuses values of another policy, which would do nothing.
func (w *CounterweightWish) foreign(policy balance.Policy) error {
	for _, v := range []struct {
		part   string
		given  bool
		policy balance.Policy
	}{
		{"factor", w.Factor != "", balance.ByFactor},
		{"factors", len(w.Factors) > 0, balance.ByThrow},
		{"unbalance", len(w.Unbalance) > 0, balance.ByWeb},
		{"force-weight", w.ForceWeight != "", balance.ByOptimum},
		{"moment-weight", w.MomentWeight != "", balance.ByOptimum},
		{"length", w.Length != "", balance.ByOptimum},
		{"limit", w.Limit != "", balance.ByOptimum},
	} {
		if v.given && v.policy != policy {
			return wishErrorf(v.part, "it belongs to the policy %s, and the policy is %s", v.policy, policy)
		}
	}
	return nil
}

// policyValues reads what the policy needs.
func (w *CounterweightWish) policyValues(t *layout.Train, q *balance.Request) error {
	switch q.Policy {
	case balance.ByFactor:
		q.Factors = []float64{0.5}
		if w.Factor == "" {
			return nil
		}
		return wishedFactor("factor", w.Factor, &q.Factors[0])
	case balance.ByThrow:
		if len(w.Factors) != len(t.Throws) {
			return wishErrorf("factors", "there are %d; give one for each of the %d throws, such as '50 %%, 40 %%'", len(w.Factors), len(t.Throws))
		}
		q.Factors = make([]float64, len(w.Factors))
		for i, text := range w.Factors {
			if err := wishedFactor("factors", text, &q.Factors[i]); err != nil {
				return err
			}
		}
	case balance.ByWeb:
		webs := balance.Webs(t)
		if len(w.Unbalance) != len(webs) {
			return wishErrorf("unbalance", "there are %d; give one for each of the %d webs along the crank, such as '11 kg mm, 9 kg mm @ 170 deg'", len(w.Unbalance), len(webs))
		}
		for i, text := range w.Unbalance {
			u, err := wishedUnbalance(text, webs[i].Opposite)
			if err != nil {
				return err
			}
			q.Unbalance = append(q.Unbalance, u)
		}
	case balance.ByOptimum:
		q.Measure = balance.EqualMeasure()
		if err := wishedWeights("force-weight", w.ForceWeight, &q.Measure.ForceY, &q.Measure.ForceZ); err != nil {
			return err
		}
		if err := wishedWeights("moment-weight", w.MomentWeight, &q.Measure.MomentY, &q.Measure.MomentZ); err != nil {
			return err
		}
		if q.Measure == (balance.Measure{}) {
			return wishErrorf("force-weight", "all weights of force and moment are 0; give at least one a value, such as 1")
		}
		if err := wishedQuantity[spec.Length]("length", w.Length, &q.Measure.Length); err != nil {
			return err
		}
		return wishedQuantity[spec.Moment]("limit", w.Limit, &q.Limit)
	}
	return nil
}

// wishedQuantity reads a quantity that lies above zero; an empty text leaves the value as it is. The inner radius
// and the clearance may be zero.
func wishedQuantity[D spec.Dimension](part, text string, to *float64) error {
	if text == "" {
		return nil
	}
	v, err := spec.ParseQuantity[D](text)
	if err != nil {
		return wishErrorf(part, "%v", err)
	}
	if v.SI < 0 || v.SI == 0 && part != "inner" && part != "clearance" {
		return wishErrorf(part, "%s is out of range; it must lie above zero", text)
	}
	*to = v.SI
	return nil
}

// wishedFactor reads a balance factor.
func wishedFactor(part, text string, to *float64) error {
	v, err := spec.ParseQuantity[spec.Share](strings.TrimSpace(text))
	if err != nil {
		return wishErrorf(part, "%v", err)
	}
	if v.SI < 0 || v.SI > 2 {
		return wishErrorf(part, "%s is out of range; a balance factor lies between 0 %% and 200 %%", text)
	}
	*to = v.SI
	return nil
}

// wishedWeights reads two weights, y first.
func wishedWeights(part, text string, y, z *float64) error {
	if text == "" {
		return nil
	}
	parts := strings.Split(text, ",")
	if len(parts) != 2 {
		return wishErrorf(part, "%q is no pair of weights; write that of y and that of z, such as 1,4", text)
	}
	for i, to := range []*float64{y, z} {
		v, err := strconv.ParseFloat(strings.TrimSpace(parts[i]), 64)
		if err != nil || !(v >= 0) || v > 1e6 {
			return wishErrorf(part, "%q is no weight; a weight is a number from 0 to 1000000", strings.TrimSpace(parts[i]))
		}
		*to = v
	}
	return nil
}

// wishedUnbalance reads an unbalance such as 11 kg mm or 11 kg mm @ 170 deg.
func wishedUnbalance(text string, opposite num.Angle) (complex128, error) {
	amount, direction, turned := strings.Cut(text, "@")
	v, err := spec.ParseQuantity[spec.Moment](strings.TrimSpace(amount))
	if err != nil {
		return 0, wishErrorf("unbalance", "%v", err)
	}
	if turned {
		angle, err := spec.ParseQuantity[spec.Angle](strings.TrimSpace(direction))
		if err != nil {
			return 0, wishErrorf("unbalance", "%v", err)
		}
		opposite = num.Angle(angle.SI)
	}
	if v.SI == 0 {
		return 0, nil
	}
	return complex(v.SI, 0) * opposite.Unit(), nil
}
