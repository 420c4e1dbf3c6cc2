package main

import (
	"fmt"
	"math/cmplx"
	"os"
	"slices"
	"strconv"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

// counterweightFlags are the flags of balance counterweights, as they were typed.
type counterweightFlags struct {
	policy, factor, forceWeight, momentWeight, length, limit string
	factors, unbalance                                       []string
	radius, inner, thickness, density, skirt, clearance      string
}

func (a *app) counterweightsVerb() *cobra.Command {
	var flags counterweightFlags
	var speed string
	var write, asJSON bool
	c := &cobra.Command{
		Use:   "counterweights FILE",
		Short: "choose the counterweights of a crank, their metal and their room",
		Long: `Counterweights puts masses on the webs of a crank and says what they take of the free force and moment,
what they leave, and why nothing on the crank can take the rest. The policies are

  none       no counterweights
  factor     one balance factor, the share of the reciprocating mass, for the whole crank (--factor)
  per-throw  a balance factor for each throw (--factors)
  per-web    an unbalance for each web, opposite its pin or at a given angle (--unbalance)
  optimum    the least weighted mean square of force and moment over the cycle (--force-weight, --moment-weight)

With --radius and --thickness it gives every counterweight the form of a sector, its mass and inertia, and the
clearance to the piston skirts at bottom dead centre; what does not fit is said with what would. The optimum
then keeps to what fits. The counterweights of the file are replaced; --write puts the new ones into it.`,
		Example: `  crankwright balance counterweights engine.yaml --policy optimum
  crankwright balance counterweights engine.yaml --policy factor --factor '50 %' --radius '70 mm' --thickness '18 mm'
  crankwright balance counterweights engine.yaml --policy per-web --unbalance '11 kg mm, 9 kg mm @ 170 deg'
  crankwright balance counterweights engine.yaml --policy optimum --force-weight 1,4 --write`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			if write && args[0] == "-" {
				return usagef("--write needs a file; standard input cannot be written")
			}
			e, err := a.read(args[0], false)
			if err != nil {
				return err
			}
			r, err := e.evaluate(analysis.Options{Speed: ω})
			if err != nil {
				return err
			}
			q, err := flags.request(e.train)
			if err != nil {
				return err
			}
			d, err := report.Counterweights(r, q)
			if err != nil {
				return usagef("%w", err)
			}
			if write {
				if err := a.writeCounterweights(args[0], d.Edits); err != nil {
					return err
				}
			}
			if asJSON {
				return a.json(d)
			}
			return a.text(report.CounterweightsText(d, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringVar(&flags.policy, "policy", string(balance.ByOptimum), "none, factor, per-throw, per-web or optimum")
	f.StringVar(&flags.factor, "factor", "", "balance factor of the policy factor (default: 50 %)")
	f.StringSliceVar(&flags.factors, "factors", nil, "balance factors of the policy per-throw, one for each throw, such as '50 %, 40 %'")
	f.StringSliceVar(&flags.unbalance, "unbalance", nil, "unbalances of the policy per-web, one for each web along the crank, such as '11 kg mm, 9 kg mm @ 170 deg'")
	f.StringVar(&flags.forceWeight, "force-weight", "", "optimum: weights of the force across and upright (default: 1,1)")
	f.StringVar(&flags.momentWeight, "moment-weight", "", "optimum: weights of the moment about y and about z (default: 1,1)")
	f.StringVar(&flags.length, "length", "", "optimum: length by which moments are divided (default: between the outermost cylinders)")
	f.StringVar(&flags.limit, "limit", "", "optimum: largest unbalance of a web (default: what fits into the form, else none)")
	f.StringVar(&flags.radius, "radius", "", "radius limit of the counterweights, such as '70 mm'; asks for their form")
	f.StringVar(&flags.inner, "inner", "", "inner radius of the counterweights (default: that of the main journal)")
	f.StringVar(&flags.thickness, "thickness", "", "thickness of the counterweights (default: that of the webs)")
	f.StringVar(&flags.density, "density", "", "density of the counterweights (default: steel, 7850 kg/m3)")
	f.StringVar(&flags.skirt, "skirt", "", "how far piston skirts reach below the piston pin (default: 30 % of the bore)")
	f.StringVar(&flags.clearance, "clearance", "", "clearance wanted between counterweights and skirts (default: 2 mm)")
	f.StringVar(&speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	f.BoolVar(&write, "write", false, "put the counterweights into the file")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	_ = c.RegisterFlagCompletionFunc("policy", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		var names []string
		for _, p := range balance.Policies() {
			names = append(names, string(p))
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	})
	return c
}

// steel is the density of the steel that crankshafts are made of [kg/m³], and usualRoom the clearance that
// counterweights get to piston skirts [m]: common practice, from memory.
const (
	steel     = 7850
	usualRoom = 2e-3
)

// request reads the flags.
func (f *counterweightFlags) request(t *layout.Train) (balance.Request, error) {
	q := balance.Request{Policy: balance.Policy(f.policy), Room: usualRoom}
	if !slices.Contains(balance.Policies(), q.Policy) {
		return q, usagef("--policy: there is no policy %q; the policies are none, factor, per-throw, per-web and optimum", f.policy)
	}
	if err := f.foreign(q.Policy); err != nil {
		return q, err
	}
	if err := f.policyValues(t, &q); err != nil {
		return q, err
	}
	for _, v := range []struct {
		flag, text string
		to         *float64
	}{{"skirt", f.skirt, &q.Skirt}, {"clearance", f.clearance, &q.Room}, {"radius", f.radius, &q.Cheek.Outer}} {
		if err := readFlag[spec.Length](v.flag, v.text, v.to); err != nil {
			return q, err
		}
	}
	if f.radius == "" {
		for flag, text := range map[string]string{"inner": f.inner, "thickness": f.thickness, "density": f.density} {
			if text != "" {
				return q, usagef("--%s: the form of the counterweights needs --radius too, such as '70 mm'", flag)
			}
		}
		return q, nil
	}
	q.Cheek.Inner, q.Cheek.Thickness, q.Cheek.Density = t.Crank.MainJournal.Diameter/2, t.Crank.Web.Thickness, steel
	if err := readFlag[spec.Length]("inner", f.inner, &q.Cheek.Inner); err != nil {
		return q, err
	}
	if err := readFlag[spec.Length]("thickness", f.thickness, &q.Cheek.Thickness); err != nil {
		return q, err
	}
	if q.Cheek.Thickness == 0 {
		return q, usagef("--thickness: give the thickness of the counterweights, such as '18 mm'; the file does not give that of the webs")
	}
	return q, readFlag[spec.Density]("density", f.density, &q.Cheek.Density)
}

// foreign refuses flags of another policy, which would do nothing.
func (f *counterweightFlags) foreign(policy balance.Policy) error {
	for _, v := range []struct {
		flag   string
		given  bool
		policy balance.Policy
	}{
		{"factor", f.factor != "", balance.ByFactor},
		{"factors", f.factors != nil, balance.ByThrow},
		{"unbalance", f.unbalance != nil, balance.ByWeb},
		{"force-weight", f.forceWeight != "", balance.ByOptimum},
		{"moment-weight", f.momentWeight != "", balance.ByOptimum},
		{"length", f.length != "", balance.ByOptimum},
		{"limit", f.limit != "", balance.ByOptimum},
	} {
		if v.given && v.policy != policy {
			return usagef("--%s belongs to --policy %s, the policy is %s", v.flag, v.policy, policy)
		}
	}
	return nil
}

// policyValues reads what the policy needs.
func (f *counterweightFlags) policyValues(t *layout.Train, q *balance.Request) error {
	switch q.Policy {
	case balance.ByFactor:
		q.Factors = []float64{0.5}
		return readFactor("factor", f.factor, &q.Factors[0])
	case balance.ByThrow:
		if len(f.factors) != len(t.Throws) {
			return usagef("--factors: there are %d; give one for each of the %d throws, such as '50 %%, 40 %%'", len(f.factors), len(t.Throws))
		}
		q.Factors = make([]float64, len(f.factors))
		for i, text := range f.factors {
			if err := readFactor("factors", text, &q.Factors[i]); err != nil {
				return err
			}
		}
	case balance.ByWeb:
		webs := balance.Webs(t)
		if len(f.unbalance) != len(webs) {
			return usagef("--unbalance: there are %d; give one for each of the %d webs along the crank, such as '11 kg mm, 9 kg mm @ 170 deg'", len(f.unbalance), len(webs))
		}
		for i, text := range f.unbalance {
			u, err := unbalanceOf(text, webs[i].Opposite)
			if err != nil {
				return err
			}
			q.Unbalance = append(q.Unbalance, u)
		}
	case balance.ByOptimum:
		q.Measure = balance.EqualMeasure()
		if err := readWeights("force-weight", f.forceWeight, &q.Measure.ForceY, &q.Measure.ForceZ); err != nil {
			return err
		}
		if err := readWeights("moment-weight", f.momentWeight, &q.Measure.MomentY, &q.Measure.MomentZ); err != nil {
			return err
		}
		if q.Measure == (balance.Measure{}) {
			return usagef("--force-weight and --moment-weight: all weights are 0; give at least one a value, such as 1")
		}
		if err := readFlag[spec.Length]("length", f.length, &q.Measure.Length); err != nil {
			return err
		}
		return readFlag[spec.Moment]("limit", f.limit, &q.Limit)
	}
	return nil
}

// readFlag reads a quantity that lies above zero; an empty text leaves the value as it is. The inner radius
// and the clearance may be zero.
func readFlag[D spec.Dimension](flag, text string, to *float64) error {
	if text == "" {
		return nil
	}
	v, err := spec.ParseQuantity[D](text)
	if err != nil {
		return usagef("--%s: %w", flag, err)
	}
	if v.SI < 0 || v.SI == 0 && flag != "inner" && flag != "clearance" {
		return usagef("--%s: %s is out of range; it must lie above zero", flag, text)
	}
	*to = v.SI
	return nil
}

// readFactor reads a balance factor.
func readFactor(flag, text string, to *float64) error {
	if text == "" {
		return nil
	}
	v, err := spec.ParseQuantity[spec.Share](strings.TrimSpace(text))
	if err != nil {
		return usagef("--%s: %w", flag, err)
	}
	if v.SI < 0 || v.SI > 2 {
		return usagef("--%s: %s is out of range; a balance factor lies between 0 %% and 200 %%", flag, text)
	}
	*to = v.SI
	return nil
}

// readWeights reads two weights, y first.
func readWeights(flag, text string, y, z *float64) error {
	if text == "" {
		return nil
	}
	parts := strings.Split(text, ",")
	if len(parts) != 2 {
		return usagef("--%s: %q is no pair of weights; write that of y and that of z, such as 1,4", flag, text)
	}
	for i, to := range []*float64{y, z} {
		v, err := strconv.ParseFloat(strings.TrimSpace(parts[i]), 64)
		if err != nil || !(v >= 0) || v > 1e6 {
			return usagef("--%s: %q is no weight; a weight is a number from 0 to 1000000", flag, strings.TrimSpace(parts[i]))
		}
		*to = v
	}
	return nil
}

// unbalanceOf reads an unbalance such as 11 kg mm or 11 kg mm @ 170 deg.
func unbalanceOf(text string, opposite num.Angle) (complex128, error) {
	amount, direction, turned := strings.Cut(text, "@")
	v, err := spec.ParseQuantity[spec.Moment](strings.TrimSpace(amount))
	if err != nil {
		return 0, usagef("--unbalance: %w", err)
	}
	if turned {
		angle, err := spec.ParseQuantity[spec.Angle](strings.TrimSpace(direction))
		if err != nil {
			return 0, usagef("--unbalance: %w", err)
		}
		opposite = num.Angle(angle.SI)
	}
	u := complex(v.SI, 0) * opposite.Unit()
	if cmplx.Abs(u) == 0 {
		return 0, nil
	}
	return u, nil
}

// writeCounterweights makes the changes in the engine file.
func (a *app) writeCounterweights(path string, edits []report.CounterweightEdit) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return fmt.Errorf("%s: cannot be read: %w", path, err)
	}
	var changes []spec.Change
	for _, e := range edits {
		changes = append(changes, spec.Change{Path: e.Path, Text: &e.Text})
	}
	if data, err = spec.Edit(data, changes); err != nil {
		return inputError{fmt.Errorf("%s: the counterweights cannot be written: %w", path, err)}
	}
	return a.save(path, data)
}
