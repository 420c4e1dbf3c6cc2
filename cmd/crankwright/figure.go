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
	var order, of, angle, speed, out string
	var scale float64
	var list bool
	c := &cobra.Command{
		Use:   "figure FILE NAME",
		Short: "draw one figure of an engine as SVG, PNG or PDF",
		Long: `Figure draws one figure of an engine: SVG on standard output, or the format that the ending of the output
file names (.svg, .png, .pdf). A figure that compares takes several files before its name. The figures
are

` + figureList(),
		Example: `  crankwright figure --list
  crankwright figure engine.yaml phasor-star --order 2 --of moment -o star.svg
  crankwright figure engine.yaml end-view --angle '30 deg' -o end.png
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
			opt, err := figureOptions(entry, order, of, angle)
			if err != nil {
				return err
			}
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			if scale < 0.1 || scale > 10 {
				return usagef("--scale: %g is out of range; 0.1 to 10 are possible", scale)
			}
			write, err := figureFormat(out, scale)
			if err != nil {
				return err
			}
			rs, err := a.results(files, false, analysis.Options{Speed: ω})
			if err != nil {
				return err
			}
			return a.saveFigure(entry.Draw(opt, rs...), write, out)
		}),
	}
	f := c.Flags()
	f.BoolVar(&list, "list", false, "list the figures")
	f.StringVar(&order, "order", "", "order per crank revolution, such as 2 (default: 1)")
	f.StringVar(&of, "of", "", "force or moment (default: force)")
	f.StringVar(&angle, "angle", "", "crank angle, such as '30 deg' (default: 0 deg)")
	f.StringVar(&speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	f.Float64Var(&scale, "scale", 2, "pixels of a PNG per unit of the drawing")
	f.StringVarP(&out, "output", "o", "", "write to this .svg, .png or .pdf file instead of standard output")
	return c
}

// figureOptions reads the options of a figure; one that it does not take is an error.
func figureOptions(e draw.Entry, order, of, angle string) (draw.Options, error) {
	o := e.Defaults
	for _, given := range []struct {
		option draw.Option
		text   string
	}{{draw.TakesOrder, order}, {draw.TakesQuantity, of}, {draw.TakesAngle, angle}} {
		if given.text != "" && !slices.Contains(e.Takes, given.option) {
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
		q, err := spec.ParseQuantity[spec.Angle](angle)
		if err != nil {
			return o, usagef("--angle: %w", err)
		}
		o.Angle = num.Angle(q.SI)
	}
	return o, nil
}

func taken(e draw.Entry) string {
	if len(e.Takes) == 0 {
		return "nothing"
	}
	var out []string
	for _, t := range e.Takes {
		out = append(out, optionFlag(t))
	}
	return strings.Join(out, " and ")
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
		var flags []string
		for _, t := range e.Takes {
			flags = append(flags, optionFlag(t))
		}
		takes := ""
		if len(flags) > 0 {
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
