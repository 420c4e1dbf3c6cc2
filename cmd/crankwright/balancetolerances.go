package main

import (
	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// toleranceFlag is one tolerance of the command line.
type toleranceFlag struct {
	name, usage string
	class       balance.ToleranceClass
	read        func(text string) (float64, error) // [SI]
	into        func(*balance.Tolerances) *float64
}

// toleranceValue reads a text with a unit [SI].
func toleranceValue[D spec.Dimension](text string) (float64, error) {
	q, err := spec.ParseQuantity[D](text)
	return q.SI, err
}

// toleranceFlags lists the tolerances of the command line. Each is a half width.
func toleranceFlags() []toleranceFlag {
	halfStroke := func(text string) (float64, error) {
		v, err := toleranceValue[spec.Length](text)
		return v / 2, err
	}
	return []toleranceFlag{
		{"piston", "mass of each piston, such as '2 g'", balance.PistonMass, toleranceValue[spec.Mass], func(t *balance.Tolerances) *float64 { return &t.PistonMass }},
		{"rod", "mass of each rod, such as '4 g'", balance.RodMass, toleranceValue[spec.Mass], func(t *balance.Tolerances) *float64 { return &t.RodMass }},
		{"rod-cg", "centre of gravity of each rod along it, such as '0.3 mm'", balance.RodCG, toleranceValue[spec.Length], func(t *balance.Tolerances) *float64 { return &t.RodCG }},
		{"stroke", "stroke of each throw, such as '0.1 mm'", balance.CrankRadius, halfStroke, func(t *balance.Tolerances) *float64 { return &t.CrankRadius }},
		{"rod-length", "length of each rod, such as '0.05 mm'", balance.RodLength, toleranceValue[spec.Length], func(t *balance.Tolerances) *float64 { return &t.RodLength }},
		{"pin-angle", "direction of each crankpin, such as '0.25 deg'", balance.PinAngle, toleranceValue[spec.Angle], func(t *balance.Tolerances) *float64 { return &t.PinAngle }},
		{"spacing", "place of each crankpin along the crank, with its cylinders, such as '0.1 mm'", balance.PinPlace, toleranceValue[spec.Length], func(t *balance.Tolerances) *float64 { return &t.PinPlace }},
		{"throw", "unbalance of each throw, such as '50 g mm'", balance.ThrowUnbalance, toleranceValue[spec.Moment], func(t *balance.Tolerances) *float64 { return &t.ThrowUnbalance }},
		{"counterweight", "unbalance of each counterweight, such as '50 g mm'", balance.CounterweightUnbalance, toleranceValue[spec.Moment], func(t *balance.Tolerances) *float64 { return &t.CounterweightUnbalance }},
		{"counterweight-angle", "direction of each counterweight, such as '0.5 deg'", balance.CounterweightAngle, toleranceValue[spec.Angle], func(t *balance.Tolerances) *float64 { return &t.CounterweightAngle }},
		{"shaft", "unbalance of each mass on a balance shaft, such as '20 g mm'", balance.ShaftUnbalance, toleranceValue[spec.Moment], func(t *balance.Tolerances) *float64 { return &t.ShaftUnbalance }},
		{"shaft-angle", "timing of each balance shaft, such as '1 deg'", balance.ShaftAngle, toleranceValue[spec.Angle], func(t *balance.Tolerances) *float64 { return &t.ShaftAngle }},
	}
}

// tolerancesOf fills what no flag gives from common practice, unless only what is given counts.
func tolerancesOf(t *layout.Train, flags *pflag.FlagSet, only bool, spread string) (balance.Tolerances, map[balance.ToleranceClass]bool, error) {
	var tol balance.Tolerances
	if !only {
		tol = balance.UsualTolerances(t)
	}
	switch spread {
	case balance.NormalSpread.String():
		tol.Spread = balance.NormalSpread
	case balance.UniformSpread.String():
		tol.Spread = balance.UniformSpread
	default:
		return tol, nil, usagef("--spread: there is no spread %q; spreads are normal and uniform", spread)
	}
	usual := map[balance.ToleranceClass]bool{}
	for _, f := range toleranceFlags() {
		flag := flags.Lookup(f.name)
		if !flag.Changed {
			usual[f.class] = !only
			continue
		}
		v, err := f.read(flag.Value.String())
		if err != nil {
			return tol, nil, usagef("--%s: %w", f.name, err)
		}
		if v < 0 {
			return tol, nil, usagef("--%s: %s is negative; a tolerance is the largest deviation on either side", f.name, flag.Value.String())
		}
		*f.into(&tol) = v
	}
	return tol, usual, nil
}

func (a *app) balanceTolerancesVerb() *cobra.Command {
	var speed, spread, csvFile string
	var orders []string
	var samples int
	var seed uint64
	var only, strict, asJSON bool
	c := &cobra.Command{
		Use:   "tolerances FILE",
		Short: "say how far the balance scatters because the parts do, and which tolerance matters most",
		Long: `Tolerances builds the engine many times by chance, every part somewhere within its tolerance, and says how
what remains of each order is distributed: as drawn, on the average, and what 50, 90, 95 and 99 of a
hundred engines stay below. Beside the sample stands the linear law of variances, which says what share of
the scatter each tolerance makes.

A tolerance is a half width: '2 g' is ±2 g. One that is not given is taken from common practice, and the
result says so: pistons 0.5 % and rods 1 % of their mass, the rod's centre of gravity 0.25 % of its length,
stroke 0.1 %, rod length 0.05 %, spacing 0.2 % of half the stroke, pins and shafts 0.25 deg, counterweights
1 % and 0.5 deg, throws and shaft masses 1 %. With --only it is none. A crank that was balanced on the
machine keeps only its residual: give --throw '0 g mm' --counterweight-angle '0 deg', and what may remain
of each counterweight with --counterweight. Offsets, knuckle pins and
places of counterweights stay as drawn. The same seed gives the same result.`,
		Example: `  crankwright balance tolerances examples/vee-eight-90-cross.engine.yaml
  crankwright balance tolerances engine.yaml --piston '2 g' --rod '4 g' --only
  crankwright balance tolerances engine.yaml --pin-angle '0.1 deg' --order 1,2 --json`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
	}
	f := c.Flags()
	c.RunE = a.verb(func(args []string) error {
		ω, err := speedOf(speed)
		if err != nil {
			return err
		}
		ks, err := twiceOrders(orders)
		if err != nil {
			return err
		}
		if samples < 1 || samples > balance.MostSamples {
			return usagef("--samples: %d is out of range; 1 to %d are possible", samples, balance.MostSamples)
		}
		if asJSON && csvFile == "-" {
			return usagef("only one of --json and --csv - can go to standard output")
		}
		e, err := a.read(args[0], strict)
		if err != nil {
			return err
		}
		tol, usual, err := tolerancesOf(e.train, f, only, spread)
		if err != nil {
			return err
		}
		r, err := e.evaluate(analysis.Options{Speed: ω})
		if err != nil {
			return err
		}
		d, err := report.NewTolerancesDoc(r.Train, r.Speed, tol, usual, balance.SimOptions{Samples: samples, Seed: seed, Orders: ks})
		if err != nil {
			return commandError{err} // the engine is sound: a tolerance or the orders are not
		}
		if csvFile != "" {
			data, err := report.TolerancesCSV(d)
			if err != nil {
				return err
			}
			if err := a.save(csvFile, data); err != nil || csvFile == "-" {
				return err
			}
		}
		if asJSON {
			return a.json(d)
		}
		return a.text(report.TolerancesText(d, a.screen()))
	})
	for _, t := range toleranceFlags() {
		f.String(t.name, "", "tolerance of the "+t.usage)
	}
	f.BoolVar(&only, "only", false, "hold at its drawn value what no flag gives, instead of common practice")
	f.StringVar(&spread, "spread", balance.NormalSpread.String(), "how parts scatter: normal (the half width is three standard deviations, parts beyond are refused) or uniform")
	f.IntVar(&samples, "samples", 100_000, "engines built by chance")
	f.Uint64Var(&seed, "seed", 1, "seed of the random numbers")
	f.StringSliceVar(&orders, "order", []string{"1", "2"}, "orders per crank revolution, such as 1,2,4")
	f.StringVar(&speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	f.StringVar(&csvFile, "csv", "", "write one line for each residual to this file; - is standard output")
	strictFlag(f, &strict)
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}
