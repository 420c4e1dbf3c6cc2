package main

import (
	"errors"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

// point are the flags that say where an engine works.
type point struct {
	speed, load string
	off         []string
	strict      bool
}

func (p *point) flags(c *cobra.Command, withSpeed bool) {
	f := c.Flags()
	if withSpeed {
		f.StringVar(&p.speed, "speed", "", "crank speed, such as '3000 rpm', or idle, rated or limit (default: the rated speed of the file)")
	}
	f.StringVar(&p.load, "load", "", "brake torque over that of full load at this speed, such as '60 %', or light for running without load (default: full load)")
	f.StringSliceVar(&p.off, "off", nil, "cylinders that are switched off or misfire, besides those of the file, such as 3 or 2,5")
	strictFlag(f, &p.strict)
}

// loadOf reads the value of --load.
func loadOf(text string) (load float64, light bool, err error) {
	switch strings.TrimSpace(text) {
	case "", "full":
		return 1, false, nil
	case "light":
		return 0, true, nil
	}
	q, err := spec.ParseQuantity[spec.Share](text)
	if err != nil {
		return 0, false, usagef("--load: %w; or write light for running without load", err)
	}
	if q.SI == 0 {
		return 0, true, nil
	}
	if !(q.SI > 0 && q.SI <= 1) {
		return 0, false, usagef("--load: %s is out of range; a load lies from 0 to 100 %%", text)
	}
	return q.SI, false, nil
}

// namedSpeed reads a speed, or one of the words for the speeds of the file.
func namedSpeed(text string, s layout.Speeds) (float64, error) {
	var named float64
	switch word := strings.TrimSpace(text); word {
	case "idle":
		named = s.Idle
	case "rated":
		named = s.Rated
	case "limit":
		named = s.Limit
	default:
		return speedOf(text)
	}
	if named == 0 {
		return 0, usagef("--speed: the file does not say %s speed; give a speed such as '3000 rpm'", strings.TrimSpace(text))
	}
	return named, nil
}

// driver reads an engine file and prepares how it pushes, for results of some chapters. The keys of the file that flags
// replace are named; they count as given.
func (a *app) driver(file string, p point, of []analysis.Chapter, replaced ...string) (engine, *analysis.Driver, analysis.DriveOptions, error) {
	var opt analysis.DriveOptions
	load, light, err := loadOf(p.load)
	if err != nil {
		return engine{}, nil, opt, err
	}
	opt.Load, opt.Light = load, light
	e, err := a.read(file, p.strict)
	if err != nil {
		return e, nil, opt, err
	}
	analysis.Replace(e.train, replaced...)
	if err := e.given(of...); err != nil {
		return e, nil, opt, err
	}
	if opt.Speed, err = namedSpeed(p.speed, e.train.Speeds); err != nil {
		return e, nil, opt, err
	}
	for _, name := range p.off {
		at := slices.IndexFunc(e.train.Cylinders, func(c layout.Cylinder) bool { return c.Name == strings.TrimSpace(name) })
		if at < 0 {
			return e, nil, opt, usagef("--off: there is no cylinder %q in %s", name, e.file)
		}
		if !slices.Contains(e.train.Gas.Off, at) {
			e.train.Gas.Off = append(e.train.Gas.Off, at)
		}
	}
	d, err := analysis.NewDriver(e.train)
	if err != nil {
		return e, nil, opt, e.driveFailure(err)
	}
	return e, d, opt, nil
}

// driveFailure gives what cannot be computed a place in the file.
func (e engine) driveFailure(err error) error {
	if problems := layout.Problems(nil); errors.As(err, &problems) {
		return inputError{e.src.Placed(err)}
	}
	return inputError{spec.Errors{e.src.ErrorAt(analysis.Concerns(err), analysis.Said(err), "")}}
}

// drive is driver, and the engine at the point that the flags say.
func (a *app) drive(file string, p point, of analysis.Chapter) (*analysis.Drive, error) {
	e, d, opt, err := a.driver(file, p, []analysis.Chapter{of})
	if err != nil {
		return nil, err
	}
	r, err := d.At(opt)
	if err != nil {
		return nil, e.driveFailure(err)
	}
	return r, nil
}

func (a *app) torqueVerb() *cobra.Command {
	var p point
	var as form
	c := &cobra.Command{
		Use:   "torque FILE",
		Short: "say how one engine pushes: torque of gas and inertia, speed within the cycle",
		Long: `Torque says how an engine pushes: the torque of gas and of inertia on the crank, by order and over the
cycle; how much of what makes it uneven is inertia, and not combustion, and at which speed the two are
equal; how far the crank speed swings with the flywheel of the file, from the exact energy equation; and
the pushes that the drive end feels, with their gaps and peaks.

The gas follows a model of the working cycle ('crankwright gas' shows it), or a measured pressure that
the file names. Torque counts in the sense of rotation.`,
		Example: `  crankwright torque examples/inline-four-flat.engine.yaml
  crankwright torque engine.yaml --speed idle --load light
  crankwright torque engine.yaml --speed '3000 rpm' --load '50 %' --json
  crankwright torque engine.yaml --off 3 --curves --csv > misfire.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			r, err := a.drive(args[0], p, analysis.OfTorque)
			if err != nil {
				return err
			}
			d := report.NewTorqueDoc(r, as.full())
			text := func(d *report.TorqueDoc, s report.Screen) string {
				return report.TorqueText(d, report.NewFrictionDoc(r), s)
			}
			return give(a, as, d, report.TorqueCSV, text)
		}),
	}
	p.flags(c, true)
	as.flags(c, "the curves over two revolutions", "the curves over two revolutions")
	return c
}

func (a *app) gasVerb() *cobra.Command {
	var p point
	var as form
	c := &cobra.Command{
		Use:   "gas FILE",
		Short: "say how the gas works in the cylinders: pressure, heat, exchange of the charge",
		Long: `Gas computes the working cycle in the cylinders of an engine: one zone with temperature-dependent
properties, heat release by Wiebe's function (premixed and diffusion parts for compression ignition), heat
to the walls after Woschni, and valves or ports between manifolds at constant pressure. A file that wants a
mean effective pressure (gas: {imep: 11 bar}) has it met, and the result says by what.

The first law closes to a millionth of the heat, and the result says how well. A file that names a measured
pressure (gas: {trace: FILE.csv}) has that taken instead, with a warning where its top dead centre looks
wrong.`,
		Example: `  crankwright gas examples/inline-four-flat.engine.yaml
  crankwright gas engine.yaml --speed '2000 rpm' --load '30 %'
  crankwright gas engine.yaml --off 2 --json --curves
  crankwright gas engine.yaml --csv > cycle.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			r, err := a.drive(args[0], p, analysis.OfGas)
			if err != nil {
				return err
			}
			d := report.NewGasDoc(r, as.full())
			return give(a, as, d, report.GasCSV, report.GasText)
		}),
	}
	p.flags(c, true)
	as.flags(c, "the cycles by crank angle", "the cycles by crank angle")
	return c
}

func (a *app) powerVerb() *cobra.Command {
	var p point
	var speeds string
	var as form
	c := &cobra.Command{
		Use:   "power FILE",
		Short: "say torque, power, friction and the share of inertia over speed",
		Long: `Power sweeps the crank speed: brake torque and power, friction, volumetric efficiency, largest pressure,
how inertia compares with the gas in the uneven torque, and the coefficient of fluctuation of speed with the
flywheel of the file. Friction comes from a published correlation, scaled by what rubs in this layout;
the result says from which and how far engines scatter about it.`,
		Example: `  crankwright power examples/inline-four-flat.engine.yaml
  crankwright power engine.yaml --speeds '1000..6000:500 rpm' --load '50 %'
  crankwright power engine.yaml --csv > power.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			sweep, err := speedsOf(speeds)
			if err != nil {
				return err
			}
			e, d, opt, err := a.driver(args[0], p, []analysis.Chapter{analysis.OfTorque})
			if err != nil {
				return err
			}
			if sweep == nil {
				if sweep = analysis.UsualSpeeds(e.train.Speeds); sweep == nil {
					return usagef("--speeds: the file gives no speeds; write from..to:step, such as '1000..6000:500 rpm'")
				}
			}
			points, err := d.Sweep(sweep, opt)
			if err != nil {
				return e.driveFailure(err)
			}
			doc := report.NewPowerDoc(d, points, opt.Load)
			return give(a, as, doc, report.PowerCSV, report.PowerText)
		}),
	}
	p.flags(c, false)
	f := c.Flags()
	f.StringVar(&speeds, "speeds", "", "crank speeds, such as '1000..6000:500 rpm' (default: twelve from idle to the limit of the file)")
	as.flags(c, "torque and power over speed", "")
	return c
}

func (a *app) flywheelVerb() *cobra.Command {
	var p point
	var fluctuation, diameter, width, density string
	var asJSON, write bool
	c := &cobra.Command{
		Use:   "flywheel FILE",
		Short: "size a flywheel for a wanted fluctuation of speed, with its rim stress",
		Long: `Flywheel finds the moment of inertia that holds the crank speed within a wanted coefficient of fluctuation,
(largest − smallest)/mean, from the exact energy equation with the varying inertia of pistons and rods; and
the disc or rim of a given material and diameter that has it, with rim speed and hoop stress at the highest
permitted speed. Give the speed and load that matter: idle for smooth running, rated for a generator.

--write puts the moment of inertia into the file, and diameter, density and fluctuation where they were asked for.`,
		Example: `  crankwright flywheel examples/single.engine.yaml --fluctuation '3 %'
  crankwright flywheel engine.yaml --speed idle --load light --fluctuation '8 %'
  crankwright flywheel engine.yaml --fluctuation '1 %' --diameter '320 mm' --rim-width '40 mm' --density '7850 kg/m3'`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if write && args[0] == "-" {
				return usagef("--write needs a file; standard input cannot be written to")
			}
			var want report.FlywheelWish
			var err error
			if want.Fluctuation, err = positiveOf[spec.Share]("fluctuation", fluctuation); err != nil {
				return err
			}
			if want.Diameter, err = positiveOf[spec.Length]("diameter", diameter); err != nil {
				return err
			}
			if want.Width, err = positiveOf[spec.Length]("rim-width", width); err != nil {
				return err
			}
			if want.Density, err = positiveOf[spec.Density]("density", density); err != nil {
				return err
			}
			if want.Fluctuation >= 1 {
				return usagef("--fluctuation: %s is out of range; a coefficient of fluctuation lies above 0 and below 100 %%: write a percentage, such as '1 %%'", fluctuation)
			}
			e, d, opt, err := a.driver(args[0], p, []analysis.Chapter{analysis.OfFlywheel}, want.Keys()...)
			if err != nil {
				return err
			}
			want.Put(e.train)
			r, err := d.At(opt)
			if err != nil {
				return e.driveFailure(err)
			}
			doc := report.NewFlywheelDoc(r, want)
			if asJSON {
				err = a.json(doc)
			} else {
				err = a.text(report.FlywheelText(doc, a.screen()))
			}
			if err != nil || !write {
				return err
			}
			if len(doc.Edits) == 0 {
				a.note("%s is not changed: it needs no flywheel for this", args[0])
				return nil
			}
			return a.writeEdits(args[0], doc.Edits)
		}),
	}
	p.flags(c, true)
	f := c.Flags()
	f.StringVar(&fluctuation, "fluctuation", "", "wanted coefficient of fluctuation of speed, such as '2 %' (default: of the file)")
	f.StringVar(&diameter, "diameter", "", "outer diameter, such as '300 mm' (default: of the file)")
	f.StringVar(&width, "rim-width", "", "size a rim of this width too, such as '40 mm'")
	f.StringVar(&density, "density", "", "density of the material, such as '7200 kg/m3' of cast iron (default: of the file)")
	f.BoolVar(&write, "write", false, "write the flywheel into the file: its moment of inertia, and what else was asked for but a rim")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}
