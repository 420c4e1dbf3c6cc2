package main

import (
	"path/filepath"

	"crankwright/analysis"
	"crankwright/decision"
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) roomVerb() *cobra.Command {
	var spacing, stagger string
	var need [4]string
	var strict, asJSON bool
	c := &cobra.Command{
		Use:   "room FILE",
		Short: "say what stands along the crank, and whether bores or crank set the length",
		Long: `Room writes the axial budget of a crank: which main journal, web, crankpin, flying web or flange stands
where, what each needs at least, and what is left over or short; and for every distance of two bays whether
the bores or the crank ask for it. An opposed engine whose rods have pins of their own needs a web between
them; split pins that overlap get a flange.

What the file does not say is estimated to fill the room there is, so that the crank always sets the length
of an estimated engine. Give least widths with --need-… to see what bearings and webs of your own would do.
--spacing and --stagger say what becomes of webs and bearings where you wish for a shorter engine or for
less stagger of the banks, and what that costs: specific loads, the thinnest oil film and the least
acceptability factor of the crank at rated speed and full load, as if the file gave those widths.`,
		Example: `  crankwright room examples/opposed-four-own-pins.engine.yaml
  crankwright room examples/vee-six-60.engine.yaml --stagger '16 mm'
  crankwright room engine.yaml --need-main '22 mm' --need-web '17 mm' --json`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			var wish report.RoomWish
			var err error
			if wish.Spacing, err = positiveOf[spec.Length]("spacing", spacing); err != nil {
				return err
			}
			if wish.Stagger, err = positiveOf[spec.Length]("stagger", stagger); err != nil {
				return err
			}
			var needs bearing.Needs
			for i, at := range []*float64{&needs.Main, &needs.Pin, &needs.Web, &needs.Wall} {
				if *at, err = positiveOf[spec.Length]([]string{"need-main", "need-pin", "need-web", "need-wall"}[i], need[i]); err != nil {
					return err
				}
			}
			e, err := a.read(args[0], strict)
			if err != nil {
				return err
			}
			budget, bays, err := analysis.Room(e.train, needs)
			if err != nil {
				return inputError{spec.Errors{e.src.ErrorAt("crank", analysis.Said(err), "")}}
			}
			if wish.Spacing > 0 || wish.Stagger > 0 {
				of := decision.Candidate{File: e.file, Data: []byte(e.src.Whole()), Read: spec.FilesIn(filepath.Dir(e.file))}
				if wish.Engine, err = decision.NewRecut(of, analysis.DriveOptions{}); err != nil {
					wish.Engine, wish.NoEngine = nil, analysis.Said(err)
				}
			}
			d, err := report.NewRoomDoc(e.train, budget, bays, wish)
			if err != nil {
				return usagef("%s", analysis.Said(err))
			}
			if asJSON {
				return a.json(d)
			}
			return a.text(report.RoomText(d, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringVar(&spacing, "spacing", "", "say what another distance of the mains of a bay would do, such as '95 mm'")
	f.StringVar(&stagger, "stagger", "", "say what another stagger of the two cylinders of a throw would do, such as '16 mm'")
	f.StringVar(&need[0], "need-main", "", "least width of a main journal, such as '22 mm' (default: its own)")
	f.StringVar(&need[1], "need-pin", "", "least width of a crankpin (default: its own)")
	f.StringVar(&need[2], "need-web", "", "least thickness of a web beside a main (default: its own)")
	f.StringVar(&need[3], "need-wall", "", "least metal between two bores of a bank (default: 8 % of the bore)")
	strictFlag(f, &strict)
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

func (a *app) bearingsVerb() *cobra.Command {
	var p point
	var as form
	var determinate bool
	c := &cobra.Command{
		Use:   "bearings FILE",
		Short: "say what the bearings carry, and on what film of oil",
		Long: `Bearings says what every bearing of the crank train carries round the cycle, from gas, inertia and
counterweights: main bearings and big ends with their specific loads against published guidance for their
lining, piston pins, and the side force of the pistons; what other counterweights would make of the mains;
and the axial budget of the crank.

The mains share the loads as supports of a continuous beam on elastic bearings, or bay by bay
(--determinate; the other way is shown beside). The oil film follows the mobility method for bearings of
finite width: path of the journal, thinnest film, heat, temperature by a rise from feed to outlet, with the
viscosity of the grade at that temperature. Bearings are taken as round, stiff and full of oil: films tell a
kind layout from an unkind one, they do not release a bearing.`,
		Example: `  crankwright bearings examples/vee-eight-90-cross.engine.yaml
  crankwright bearings engine.yaml --speed '2000 rpm' --load '60 %' --determinate
  crankwright bearings engine.yaml --curves --csv > loads.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			var replaced []string
			if determinate {
				replaced = []string{"bearings.sharing"}
			}
			e, d, opt, err := a.driver(args[0], p, []analysis.Chapter{analysis.OfBearings}, replaced...)
			if err != nil {
				return err
			}
			if determinate {
				d.Train.Bearings.Sharing = layout.SharedByBays
			}
			r, err := d.At(opt)
			if err != nil {
				return e.driveFailure(err)
			}
			b, err := d.Bearings(r, analysis.BearingOptions{Films: true, Others: true})
			if err != nil {
				return e.driveFailure(err)
			}
			doc, err := report.NewBearingsDoc(b, as.full())
			if err != nil {
				return e.driveFailure(err)
			}
			return give(a, as, doc, report.BearingsCSV, report.BearingsText)
		}),
	}
	p.flags(c, true)
	f := c.Flags()
	f.BoolVar(&determinate, "determinate", false, "share among the mains bay by bay, instead of as a continuous beam")
	as.flags(c, "the forces over two revolutions", "forces and orbits by crank angle")
	return c
}

func (a *app) strengthVerb() *cobra.Command {
	var p point
	var asJSON, beyond, stiff bool
	c := &cobra.Command{
		Use:   "strength FILE",
		Short: "say whether the throws of the crank last, by the rule for crankshafts",
		Long: `Strength assesses every web beside a main bearing by the rule of the classification societies for
crankshafts (IACS UR M53): nominal stresses from the alternating loads of the rods, stress concentration at
the fillets of pin and journal and at the oil bore, fatigue strength of the steel, and the acceptability
factor, of which the rule demands 1.15; and what a millimetre more of each size would buy.

Torques are the largest of the torsional vibration over the speeds that are run ('crankwright torsion'), or
with --stiff those of this speed as if the shaft were stiff. Outside the ranges in which the rule holds a
web is refused, with the ratio and its range; --beyond holds the ratio at the end of its range and labels
the result as an approximation. The rule is written from memory: hold it against the printed one.`,
		Example: `  crankwright strength examples/inline-six.engine.yaml
  crankwright strength engine.yaml --speed '2000 rpm' --stiff
  crankwright strength engine.yaml --beyond --json`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			e, d, opt, err := a.driver(args[0], p, []analysis.Chapter{analysis.OfStrength})
			if err != nil {
				return err
			}
			r, err := d.At(opt)
			if err != nil {
				return e.driveFailure(err)
			}
			set := analysis.StrengthOptions{Beyond: beyond}
			if !stiff && !opt.Light {
				if set.Torsion, err = d.Torsion(opt.Load); err != nil {
					return e.driveFailure(err)
				}
			}
			s, err := d.Strength(r, set)
			if err != nil {
				return inputError{spec.Errors{e.src.ErrorAt("crank", analysis.Said(err), "")}}
			}
			doc := report.NewStrengthDoc(s)
			if asJSON {
				return a.json(doc)
			}
			return a.text(report.StrengthText(doc, a.screen()))
		}),
	}
	p.flags(c, true)
	f := c.Flags()
	f.BoolVar(&stiff, "stiff", false, "take the torques of this speed as if the shaft were stiff")
	f.BoolVar(&beyond, "beyond", false, "outside the range of the rule hold the ratio at its end, and label the result")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

func (a *app) torsionVerb() *cobra.Command {
	var p point
	var damper, ring string
	var as form
	c := &cobra.Command{
		Use:   "torsion FILE",
		Short: "say how the shaft swings: natural modes, critical speeds, stress, dampers, kind firing orders",
		Long: `Torsion builds the shaft as discs and springs from the geometry (stiffness of a throw by two published
formulas), with flywheel, driven line and damper of the file, and says its natural modes and critical speeds
by order with the phase-vector sums of the firing order; the forced vibration from idle to the highest speed
with all orders summed in their phases, as stress in every span; what a rubber and a viscous damper, sized by
the published optimum, would leave; and which of the firing orders that the crank allows are kind to the mode
that winds it up.

Damping is an input that nobody can compute: the file gives the dynamic magnifier (torsion: {magnifier: 30}).
Gas is found at eight speeds and taken along straight lines between them.`,
		Example: `  crankwright torsion examples/inline-six.engine.yaml
  crankwright torsion engine.yaml --damper viscous --ring '0.008 kg m2'
  crankwright torsion engine.yaml --curves --csv > stress.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			inertia, err := positiveOf[spec.Inertia]("ring", ring)
			if err != nil {
				return err
			}
			kind := layout.DamperKind(damper)
			switch kind {
			case "", layout.NoDamper, layout.Rubber, layout.Viscous:
			default:
				return usagef("--damper: %q is not known; none, rubber or viscous is allowed", damper)
			}
			var replaced []string
			if kind != "" {
				replaced = []string{"torsion.damper.kind"}
			}
			e, d, opt, err := a.driver(args[0], p, []analysis.Chapter{analysis.OfTorsion}, replaced...)
			if err != nil {
				return err
			}
			if opt.Light {
				return usagef("--load: torsional vibration is found at a load above 0 %%")
			}
			at := &d.Train.Twisting.Damper
			if kind != "" && kind != at.Kind {
				*at = layout.Damper{Kind: kind}
			}
			if inertia > 0 {
				if at.Kind != layout.Rubber && at.Kind != layout.Viscous {
					return usagef("--ring needs a damper; give --damper rubber or --damper viscous")
				}
				*at = layout.Damper{Kind: at.Kind, Ring: inertia, Hub: at.Hub}
			}
			r, err := d.Torsion(opt.Load)
			if err != nil {
				return e.driveFailure(err)
			}
			doc := report.NewTorsionDoc(r, as.full())
			return give(a, as, doc, report.TorsionCSV, report.TorsionText)
		}),
	}
	p.flags(c, false)
	f := c.Flags()
	f.StringVar(&damper, "damper", "", "damper on the free end in place of the file's: none, rubber or viscous")
	f.StringVar(&ring, "ring", "", "moment of inertia of its ring, such as '0.008 kg m2' (default: 0.3 of the mode's)")
	as.flags(c, "stresses over speed", "stresses over speed")
	return c
}
