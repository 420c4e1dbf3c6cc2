package main

import (
	"crankwright/analysis"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) mountsVerb() *cobra.Command {
	var p point
	var as form
	var find bool
	var move, sag, lean, separation, order, softest, stiffest string
	var seed uint64
	var c *cobra.Command
	c = &cobra.Command{
		Use:   "mounts FILE",
		Short: "say how the engine swings on its mounts, what reaches the structure, and find better mounts",
		Long: `Mounts takes the engine as a rigid body on its mounts: mass and inertia from its parts (or as weighed, mounts:
engine), with the gearbox of the file; the six natural modes with their energy shares, the torque roll axis and
which mode a torque excites; the sag; and from idle to the highest speed what all orders of shaking force,
shaking moment and torque reaction put into each mount, and what people feel who are named in the file.
Without mounts in the file four usual ones are assumed, and said.

--find looks for places and stiffnesses within bounds that keep the modes below the excitation at idle and
decouple the roll, and prints them as lines for the file.`,
		Example: `  crankwright mounts examples/inline-four-flat.engine.yaml
  crankwright mounts engine.yaml --find --move '40 mm' --most-sag '6 mm'
  crankwright mounts engine.yaml --csv > forces.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			w := analysis.UsualWish()
			w.Seed = seed
			wished, err := mountWish(&w, move, sag, lean, separation, order, softest, stiffest)
			if err != nil {
				return err
			}
			if wished && !find {
				return usagef("--move, --lean, --most-sag, --separation, --order, --softest and --stiffest are for --find")
			}
			if err := needs(c, "find", "seed"); err != nil {
				return err
			}
			e, d, r, err := a.mounted(args[0], p)
			if err != nil {
				return err
			}
			doc := report.NewMountsDoc(r, as.full())
			if find {
				f, try, err := r.Find(d, w)
				if err != nil {
					return e.driveFailure(err)
				}
				doc.Find(r, f, try, w)
			}
			return give(a, as, doc, report.MountsCSV, report.MountsText)
		}),
	}
	p.flags(c, false)
	f := c.Flags()
	f.BoolVar(&find, "find", false, "look for places and stiffnesses of the mounts")
	f.StringVar(&move, "move", "", "by how much each mount may move either way along each axis (default: 60 mm)")
	f.StringVar(&lean, "lean", "", "by how much its axes may lean further either way (default: 45 deg)")
	f.StringVar(&softest, "softest", "", "least factor on its stiffness (default: 0.25)")
	f.StringVar(&stiffest, "stiffest", "", "largest factor on its stiffness (default: 3)")
	f.StringVar(&sag, "most-sag", "", "largest deflection of a mount under the weight (default: 8 mm)")
	f.StringVar(&separation, "separation", "", "least ratio of the excitation at idle to the fastest mode (default: 2)")
	f.StringVar(&order, "order", "", "order of that excitation (default: the one with the largest torque)")
	f.Uint64Var(&seed, "seed", 0, "seed of the search; the same seed gives the same mounts")
	as.flags(c, "forces over speed", "forces and what is felt over speed")
	return c
}

// mountWish reads the flags of the search, and tells whether any was given.
func mountWish(w *analysis.MountWish, move, sag, lean, separation, order, softest, stiffest string) (bool, error) {
	wished := false
	within := &w.Within
	for _, q := range []struct {
		flag, text string
		put        func(float64)
		read       func(flag, text string) (float64, error)
	}{
		{"move", move, func(v float64) { within.X, within.Y, within.Z = v, v, v }, orZero[spec.Length]},
		{"most-sag", sag, func(v float64) { w.MostSag = v }, positiveOf[spec.Length]},
		{"lean", lean, func(v float64) { within.Lean = v }, orZero[spec.Angle]},
		{"separation", separation, func(v float64) { w.Separation = v }, positiveOf[spec.PureRatio]},
		{"order", order, func(v float64) { w.Order = v }, positiveOf[spec.PureRatio]},
		{"softest", softest, func(v float64) { within.Softest = v }, positiveOf[spec.PureRatio]},
		{"stiffest", stiffest, func(v float64) { within.Stiffest = v }, positiveOf[spec.PureRatio]},
	} {
		v, err := q.read(q.flag, q.text)
		if err != nil {
			return false, err
		}
		if q.text != "" {
			wished = true
			q.put(v)
		}
	}
	if within.Softest > within.Stiffest {
		return false, usagef("--softest: it is above --stiffest")
	}
	return wished, nil
}

// mounted reads an engine and swings it on its mounts.
func (a *app) mounted(file string, p point) (engine, *analysis.Driver, *analysis.Mounts, error) {
	e, d, opt, err := a.driver(file, p, []analysis.Chapter{analysis.OfMounts})
	if err != nil {
		return e, nil, nil, err
	}
	if opt.Light {
		return e, nil, nil, usagef("--load: the sweep is found at a load above 0 %%; idle runs light in any case")
	}
	r, err := d.Mounts(opt.Load)
	if err != nil {
		return e, nil, nil, e.driveFailure(err)
	}
	return e, d, r, nil
}

func (a *app) peopleVerb() *cobra.Command {
	var p point
	var as form
	c := &cobra.Command{
		Use:   "people FILE",
		Short: "say what hands and seats feel of the engine, by the published weightings",
		Long: `People says what is felt at the points that the file names (people: points): accelerations by order through
the mounts and the structure, weighted by ISO 2631-1 for seat and feet and by ISO 5349-1 for the hand, the exposure
of a day against the action and limit values of the directive on vibration at work, and what softer mounts or
balance shafts would change. A structure is a rigid mass, or has a mobility: the velocity of the place over the
force of a mount, magnitudes added because the phases of the paths are not known.

Only measurement decides whether people are safe.`,
		Example: `  crankwright people examples/inline-four-flat-shafts.engine.yaml
  crankwright people engine.yaml --load '60 %' --json`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			e, _, r, err := a.mounted(args[0], p)
			if err != nil {
				return err
			}
			if len(r.Train.Mounting.Receivers) == 0 {
				return inputError{spec.Errors{e.src.ErrorAt("people", "the file names nobody who feels the engine",
					"give people: {points: [{name: seat, felt_by: seat, on: structure, mass: 4000 kg}]}")}}
			}
			return give(a, as, report.NewMountsDoc(r, as.full()), report.MountsCSV, report.PeopleText)
		}),
	}
	p.flags(c, false)
	as.flags(c, "what is felt over speed", "forces and what is felt over speed")
	return c
}

// orZero reads a flag that may be zero but not negative.
func orZero[D spec.Dimension](flag, text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	v, err := quantityOf[D](flag, text)
	if err == nil && v < 0 {
		err = usagef("--%s: %s; it must not be negative", flag, text)
	}
	return v, err
}
