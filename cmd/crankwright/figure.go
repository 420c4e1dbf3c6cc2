package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/num"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) figureVerb() *cobra.Command {
	var ask figureWish
	var speed, load, out string
	var scale float64
	var list, light bool
	var c *cobra.Command
	c = &cobra.Command{
		Use:   "figure FILE NAME",
		Short: "draw one figure of an engine as SVG, PNG or PDF",
		Long: `Figure draws one figure of an engine: SVG on standard output, or the format that the ending of the output
file names (.svg, .png, .pdf). A figure that compares takes several files before its name. Figures of gas
and torque stand at full load unless --load or --light says otherwise. The figures are

` + figureList(),
		Example: `  crankwright figure --list
  crankwright figure engine.yaml phasor-star --order 2 --of moment -o star.svg
  crankwright figure engine.yaml end-view --angle '30 deg' -o end.png
  crankwright figure engine.yaml torque --speed '3000 rpm' --load '50 %' --by-cylinder -o torque.svg
  crankwright figure examples/*.engine.yaml comparison-bars -o bars.pdf`,
		ValidArgsFunction: completeFigure,
		RunE: a.verb(func(args []string) error {
			if list {
				if len(args) > 0 {
					return usagef("--list takes no file")
				}
				return a.text(figureList())
			}
			if len(args) < 2 {
				return usagef("give a file and the name of a figure; 'crankwright figure --list' lists them")
			}
			files, name := args[:len(args)-1], args[len(args)-1]
			entry, err := draw.Find(name)
			if err != nil {
				return usagef("%w", err)
			}
			if len(files) > 1 && !entry.Several {
				return usagef("%s shows one engine, and there are %d files", name, len(files))
			}
			opt, err := figureOptions(entry, ask)
			if err != nil {
				return err
			}
			point, err := drivePoint(entry, speed, load, light)
			if err != nil {
				return err
			}
			if scale < 0.1 || scale > 10 {
				return usagef("--scale: %g is out of range; 0.1 to 10 are possible", scale)
			}
			if c.Flags().Changed("scale") && !strings.EqualFold(filepath.Ext(out), ".png") {
				return usagef("--scale is for a .png file; other figures have no pixels")
			}
			write, err := figureFormat(out, scale)
			if err != nil {
				return err
			}
			rs, err := a.results(files, false, point)
			if err != nil {
				return err
			}
			if err := drawable(entry, rs[0]); err != nil {
				return err
			}
			return a.saveFigure(entry.Draw(opt, rs...), write, out)
		}),
	}
	f := c.Flags()
	f.BoolVar(&list, "list", false, "list the figures")
	f.StringVar(&ask.order, "order", "", "order per crank revolution, such as 2 (default: 1)")
	f.StringVar(&ask.of, "of", "", "force or moment (default: force)")
	f.StringVar(&ask.angle, "angle", "", "crank angle, such as '30 deg' (default: 0 deg)")
	f.BoolVar(&ask.cylinders, "by-cylinder", false, "each cylinder too")
	f.StringVar(&load, "load", "", "brake torque over that of full load, such as '50 %' (default: 100 %)")
	f.BoolVar(&light, "light", false, "the engine runs without load")
	f.StringVar(&speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	f.Float64Var(&scale, "scale", 2, "pixels of a PNG per unit of the drawing")
	f.StringVarP(&out, "output", "o", "", "write to this .svg, .png or .pdf file instead of standard output")
	return c
}

// figureWish is what the flags ask of a figure.
type figureWish struct {
	order, of, angle string
	cylinders        bool
}

// drivePoint reads at which speed and load a figure stands.
func drivePoint(e draw.Entry, speed, load string, light bool) (analysis.Options, error) {
	opt := analysis.Options{Drive: e.Drive, Light: light}
	var err error
	if opt.Speed, err = speedOf(speed); err != nil {
		return opt, err
	}
	switch {
	case !e.Drive && (load != "" || light):
		return opt, usagef("%s does not depend on the load; --load and --light belong to figures of gas and torque", e.Name)
	case load != "" && light:
		return opt, usagef("--load and --light exclude each other")
	case load != "":
		if opt.Load, err = quantityOf[spec.Share]("load", load); err != nil {
			return opt, err
		}
		if !(opt.Load > 0 && opt.Load <= 1) {
			return opt, usagef("--load: %s is out of range; a load is greater than 0 and at most 100 %%; without load is --light", load)
		}
	}
	return opt, nil
}

// drawable says why a figure of gas and torque cannot be drawn.
func drawable(e draw.Entry, r *analysis.Result) error {
	if e.Drive && r.Drive == nil {
		return inputError{fmt.Errorf("%s: %s", r.Train.Name, r.NoDrive)}
	}
	return nil
}

// figureOptions reads the options of a figure; one that it does not take is an error.
func figureOptions(e draw.Entry, ask figureWish) (draw.Options, error) {
	o := e.Defaults
	order, of, angle := ask.order, ask.of, ask.angle
	o.ByCylinder = ask.cylinders
	for _, given := range []struct {
		option draw.Option
		given  bool
	}{{draw.TakesOrder, order != ""}, {draw.TakesQuantity, of != ""}, {draw.TakesAngle, angle != ""}, {draw.TakesCylinders, ask.cylinders}} {
		if given.given && !slices.Contains(e.Takes, given.option) {
			return o, usagef("%s takes no %s; it takes %s", e.Name, optionFlag(given.option), taken(e))
		}
	}
	if order != "" {
		k, err := orderOf(order)
		if err != nil {
			return o, err
		}
		o.K = k
	}
	switch of {
	case "":
	case draw.Force.String():
		o.Quantity = draw.Force
	case draw.Moment.String():
		o.Quantity = draw.Moment
	default:
		return o, usagef("--of: %q is neither force nor moment", of)
	}
	if angle != "" {
		q, err := quantityOf[spec.Angle]("angle", angle)
		if err != nil {
			return o, err
		}
		o.Angle = num.Angle(q)
	}
	return o, nil
}

func taken(e draw.Entry) string {
	if flags := takenFlags(e); len(flags) > 0 {
		return strings.Join(flags, " and ")
	}
	return "nothing"
}

// takenFlags are the flags that a figure takes.
func takenFlags(e draw.Entry) []string {
	var out []string
	for _, t := range e.Takes {
		out = append(out, optionFlag(t))
	}
	if e.Drive {
		out = append(out, "--load", "--light")
	}
	return out
}

// optionFlag is the flag of an option.
func optionFlag(o draw.Option) string {
	if o == draw.TakesQuantity {
		return "--of"
	}
	return "--" + string(o)
}

// writer turns a figure into the bytes of a file.
type writer func(draw.Figure) ([]byte, error)

// figureFormat chooses the format by the ending of the file.
func figureFormat(path string, scale float64) (writer, error) {
	switch end := strings.ToLower(filepath.Ext(path)); {
	case path == "" || path == "-" || end == ".svg":
		return func(f draw.Figure) ([]byte, error) { return f.SVG(), nil }, nil
	case end == ".png":
		return func(f draw.Figure) ([]byte, error) { return f.PNG(scale) }, nil
	case end == ".pdf":
		return draw.Figure.PDF, nil
	default:
		return nil, usagef("%s: a figure can be written as .svg, .png or .pdf", path)
	}
}

func (a *app) saveFigure(f draw.Figure, write writer, path string) error {
	data, err := write(f)
	if err != nil {
		return err
	}
	if path == "" {
		path = "-"
	}
	return a.save(path, data)
}

// orderFigure writes the force vectors of one order as a figure.
func (a *app) orderFigure(r *analysis.Result, k int, path string) error {
	write, err := figureFormat(path, 2)
	if err != nil {
		return err
	}
	return a.saveFigure(draw.PhasorStar(r, k, draw.Force), write, path)
}

func figureList() string {
	var b strings.Builder
	for _, e := range draw.Gallery() {
		takes := ""
		if flags := takenFlags(e); len(flags) > 0 {
			takes = " (" + strings.Join(flags, ", ") + ")"
		}
		fmt.Fprintf(&b, "  %-16s %s%s\n", e.Name, e.Shows, takes)
	}
	return b.String()
}

// completeFigure completes engine files, then the names of figures.
func completeFigure(cmd *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return completeEngines(cmd, args, word)
	}
	var names []string
	for _, e := range draw.Gallery() {
		names = append(names, e.Name+"\t"+e.Shows)
	}
	return names, cobra.ShellCompDirectiveDefault
}
