package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

// shaftFlags are the flags of balance shafts as they are written.
type shaftFlags struct {
	orders, take, ratios, planes   []string
	places                         []string
	keep, keepRoll                 string
	speed, radius, density, timing string
	bearingRadius, friction        string
	most                           int
	crank, write, strict, asJSON   bool
}

func (a *app) balanceShaftsVerb() *cobra.Command {
	var f shaftFlags
	c := &cobra.Command{
		Use:   "shafts FILE",
		Short: "find the smallest set of balance shafts that removes or halves what shakes",
		Long: `Shafts finds the smallest set of balance shafts that removes, or brings down to a share, the force, moment or
roll moment of the orders asked for. For every number of shafts all sets of speed ratio and place are tried
and each is solved exactly; no table of layouts is looked up. It says the masses, their size as half-round bars,
what the bearings carry, what friction takes and what a timing error leaves.

Balance shafts that the file has at the orders asked for are left out of the engine, and --write puts the found
set in their stead; shafts at other orders stay.`,
		Example: `  crankwright balance shafts examples/inline-four-flat.engine.yaml
  crankwright balance shafts examples/inline-four-flat.engine.yaml --order 2 --take force,roll --keep-roll '20 %'
  crankwright balance shafts engine.yaml --crank --ratio -1 --place '60 mm, -40 mm' --plane '0 mm,300 mm'
  crankwright balance shafts engine.yaml --order 2 --keep '50 %' --write`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE:              a.verb(func(args []string) error { return a.balanceShafts(args[0], f) }),
	}
	l := c.Flags()
	l.StringSliceVar(&f.orders, "order", nil, "order per crank revolution, several with commas (default: 1 and 2)")
	l.StringSliceVar(&f.take, "take", nil, "what to take: force, moment, roll; several with commas (default: force and moment, of order 2 the force where --order is not given)")
	l.StringVar(&f.keep, "keep", "0 %", "share of the largest resultant that may remain, such as '50 %'")
	l.StringVar(&f.keepRoll, "keep-roll", "", "the same for the roll moment (default: as --keep)")
	l.StringSliceVar(&f.ratios, "ratio", nil, "speed ratios that shafts may have, negative against the crank (default: -1,1,-2,2)")
	l.StringArrayVar(&f.places, "place", nil, "where a shaft may run, y and z, such as '60 mm, -40 mm'; may be given many times (default: six places beside the crank and one below; for a roll moment also two at the heights that take it)")
	l.StringSliceVar(&f.planes, "plane", nil, "axial place where masses may stand, such as '0 mm'; several with commas (default: first and last throw, and midway)")
	l.IntVar(&f.most, "most", 4, "largest number of shafts")
	l.BoolVar(&f.crank, "crank", false, "let counterweights on the crank take what turns with it in order 1")
	l.StringVar(&f.radius, "radius", "", "radius of the half-round bars, such as '20 mm' (default: half the crank radius)")
	l.StringVar(&f.density, "density", "", "density of the bars, such as '7850 kg/m3' (default: steel)")
	l.StringVar(&f.bearingRadius, "bearing-radius", "", "radius of the shaft's bearings (default: that of the bars)")
	l.StringVar(&f.friction, "friction", "", "coefficient of friction of the bearings (default: 0.005)")
	l.StringVar(&f.timing, "timing", "5 deg", "timing error of a shaft")
	l.StringVar(&f.speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	l.BoolVar(&f.write, "write", false, "write the smallest set that meets all targets into the file")
	strictFlag(l, &f.strict)
	l.BoolVar(&f.asJSON, "json", false, "print JSON")
	return c
}

func (a *app) balanceShafts(file string, f shaftFlags) error {
	task, choice, err := f.read()
	if err != nil {
		return err
	}
	if f.write && file == "-" {
		return usagef("--write needs a file; standard input cannot be written to")
	}
	e, err := a.read(file, f.strict)
	if err != nil {
		return err
	}
	if choice.Speed == 0 && e.train.Speeds.Rated == 0 {
		return inputError{spec.Errors{e.src.ErrorAt("speeds.rated", "no speed to evaluate at: speeds.rated is missing", "give it in the file, or give --speed")}}
	}
	answer, err := balance.FindShafts(e.train, task)
	var problems layout.Problems
	switch {
	case errors.As(err, &problems), errors.Is(err, motion.ErrReach), errors.Is(err, inertia.ErrAbrupt):
		return inputError{e.src.Placed(err)}
	case err != nil: // the train is one, so it is the task
		return usagef("%w", err)
	}
	d, err := report.NewShaftsDoc(e.train, answer, choice)
	if err != nil {
		return inputError{err}
	}
	if f.asJSON {
		err = a.json(d)
	} else {
		err = a.text(report.ShaftsText(d, a.screen()))
	}
	if err != nil || !f.write {
		return err
	}
	return a.writeShafts(file, d)
}

// writeShafts puts the found set into the file.
func (a *app) writeShafts(file string, d *report.ShaftsDoc) error {
	if d.Smallest < 0 {
		return inputError{fmt.Errorf("%s is not changed: no set of shafts meets all targets", file)}
	}
	if len(d.Edits) == 0 {
		a.note("%s is not changed: it needs no shafts", file)
		return nil
	}
	return a.editEngine(file, d.Edits)
}

// read turns the flags into values.
func (f shaftFlags) read() (balance.ShaftTask, report.ShaftChoice, error) {
	task := balance.ShaftTask{MostShafts: f.most, Crank: f.crank}
	var c report.ShaftChoice
	if f.most < 1 || f.most > balance.MostShafts {
		return task, c, usagef("--most: %d shafts; 1 to %d can be asked for", f.most, balance.MostShafts)
	}
	var err error
	if task.Targets, err = f.targets(); err != nil {
		return task, c, err
	}
	for _, text := range f.ratios {
		r, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil || r == 0 || r < -16 || r > 16 || 2*r != float64(int(2*r)) {
			return task, c, usagef("--ratio: %q is no speed ratio; they are multiples of 0.5 up to 16, negative against the crank, such as -1", text)
		}
		task.Ratios = append(task.Ratios, r)
	}
	for _, text := range f.places {
		y, z, ok := strings.Cut(text, ",")
		if !ok {
			return task, c, usagef("--place: %q is no place; give y and z, such as '60 mm, -40 mm'", text)
		}
		var p balance.ShaftPlace
		if p.Y, err = quantityOf[spec.Length]("place", y); err != nil {
			return task, c, err
		}
		if p.Z, err = quantityOf[spec.Length]("place", z); err != nil {
			return task, c, err
		}
		task.Places = append(task.Places, p)
	}
	for _, text := range f.planes {
		x, err := quantityOf[spec.Length]("plane", text)
		if err != nil {
			return task, c, err
		}
		task.Planes = append(task.Planes, x)
	}
	c.Speed, err = speedOf(f.speed)
	if err != nil {
		return task, c, err
	}
	if c.Radius, err = positiveOf[spec.Length]("radius", f.radius); err != nil {
		return task, c, err
	}
	if c.BearingRadius, err = positiveOf[spec.Length]("bearing-radius", f.bearingRadius); err != nil {
		return task, c, err
	}
	if c.Density, err = positiveOf[spec.Density]("density", f.density); err != nil {
		return task, c, err
	}
	if c.Friction, err = positiveOf[spec.PureRatio]("friction", f.friction); err != nil {
		return task, c, err
	}
	angle, err := positiveOf[spec.Angle]("timing", f.timing)
	if err != nil {
		return task, c, err
	}
	if angle > float64(num.Degrees(90)) {
		return task, c, usagef("--timing: %s is out of range; a timing error lies above 0 deg and up to 90 deg", f.timing)
	}
	c.Timing = num.Angle(angle)
	return task, c, nil
}

// targets crosses the orders with what to take of them; nil is the usual choice.
func (f shaftFlags) targets() ([]balance.ShaftTarget, error) {
	keep, err := keepOf("keep", f.keep)
	if err != nil {
		return nil, err
	}
	keepRoll := keep
	if f.keepRoll != "" {
		if keepRoll, err = keepOf("keep-roll", f.keepRoll); err != nil {
			return nil, err
		}
	}
	orders, take := f.orders, f.take
	if len(take) == 0 {
		take = []string{"force", "moment"}
	}
	usual := len(f.orders) == 0 && len(f.take) == 0
	if len(orders) == 0 {
		orders = []string{"1", "2"}
	}
	var out []balance.ShaftTarget
	for _, text := range orders {
		k, err := orderOf(text)
		if err != nil {
			return nil, err
		}
		for _, word := range take {
			t := balance.ShaftTarget{K: k, Keep: keep}
			switch strings.TrimSpace(word) {
			case "force":
			case "moment":
				t.Aim = balance.AimMoment
			case "roll":
				t.Aim, t.Keep = balance.AimRoll, keepRoll
			default:
				return nil, usagef("--take: %q; shafts take force, moment or roll", word)
			}
			if usual && k == 4 && t.Aim == balance.AimMoment {
				continue // the usual choice: two shafts more are rarely worth the second-order moment
			}
			for _, o := range out {
				if o.K == t.K && o.Aim == t.Aim {
					return nil, usagef("--order, --take: the %s of order %s is named twice", word, text)
				}
			}
			out = append(out, t)
		}
	}
	return out, nil
}

// keepOf reads a share that may remain.
func keepOf(flag, text string) (float64, error) {
	v, err := quantityOf[spec.Share](flag, text)
	if err == nil && !(v >= 0 && v < 1) {
		err = usagef("--%s: %s is out of range; a share of 0 %% to below 100 %% may remain", flag, text)
	}
	return v, err
}
