package draw

import (
	"fmt"
	"strings"

	"crankwright/analysis"
	"crankwright/num"
)

// Options are what a figure can be asked for. The zero value is not the default; take Entry.Defaults.
type Options struct {
	K        int       // twice the order [1]
	Quantity Quantity  // force or moment
	Angle    num.Angle // crank angle [rad]

	ByCylinder bool // each cylinder too
}

// Option is a name under which a figure takes one of the Options.
type Option string

// The options that a figure may take: the order, force or moment, the crank angle, and each cylinder by itself.
const (
	TakesOrder    Option = "order"    // Options.K
	TakesQuantity Option = "quantity" // Options.Quantity
	TakesAngle    Option = "angle"    // Options.Angle

	TakesCylinders Option = "by-cylinder" // Options.ByCylinder
)

// Entry is one figure of the gallery.
type Entry struct {
	Name     string   // as the command and the pages call it
	Shows    string   // one line
	Takes    []Option // the options it reads
	Defaults Options
	Several  bool // it compares results; otherwise it shows one
	Drive    bool // it shows gas and torque: results need analysis.Options.Drive
	draw     func(rs []*analysis.Result, o Options) Figure
}

// Draw draws the figure for one result, or for several where the entry compares.
//
//   - o: Defaults, or what a user asked for
//   - results: at least one; an entry that shows one takes the first
//
// Result [-]. Without any result the figure says so. Definition.
func (e Entry) Draw(o Options, results ...*analysis.Result) Figure {
	for _, r := range results {
		if r == nil || r.Train == nil || r.Balance == nil || r.Curves == nil {
			return newSheet(e.Name, e.Shows, nil).empty("There is no result to show")
		}
	}
	if len(results) == 0 {
		return newSheet(e.Name, e.Shows, nil).empty("There is no result to show")
	}
	return e.draw(results, o)
}

// Gallery returns all figures in the order in which a report shows them [-]. The command, the pages and
// the snapshot tests are made from it. Definition.
func Gallery() []Entry {
	one := func(f func(r *analysis.Result, o Options) Figure) func([]*analysis.Result, Options) Figure {
		return func(rs []*analysis.Result, o Options) Figure { return f(rs[0], o) }
	}
	first := Options{K: 2}
	list := []Entry{
		{
			Name: "end-view", Shows: "the crank train seen from the drive end, to scale", Takes: []Option{TakesAngle}, Defaults: first,
			draw: one(func(r *analysis.Result, o Options) Figure { return EndView(r, o.Angle) }),
		},
		{
			Name: "side-view", Shows: "the crank train seen from the side, to scale", Takes: []Option{TakesAngle}, Defaults: first,
			draw: one(func(r *analysis.Result, o Options) Figure { return SideView(r, o.Angle) }),
		},
		{
			Name: "phasor-star", Shows: "how the parts of the engine add up in one order", Takes: []Option{TakesOrder, TakesQuantity}, Defaults: first,
			draw: one(func(r *analysis.Result, o Options) Figure { return PhasorStar(r, o.K, o.Quantity) }),
		},
		{
			Name: "order-bars", Shows: "free forces and moments by order, with and against the crank", Defaults: first,
			draw: one(func(r *analysis.Result, _ Options) Figure { return OrderBars(r) }),
		},
		{
			Name: "resultant", Shows: "shaking force or moment over the cycle", Takes: []Option{TakesQuantity}, Defaults: first,
			draw: one(func(r *analysis.Result, o Options) Figure { return Resultant(r, o.Quantity) }),
		},
		{
			Name: "torque-curve", Shows: "inertia torque and roll moment over the crank angle", Defaults: first,
			draw: one(func(r *analysis.Result, _ Options) Figure { return TorqueCurve(r) }),
		},
		{
			Name: "firing-wheel", Shows: "the firings of one cycle as a circle", Defaults: first,
			draw: one(func(r *analysis.Result, _ Options) Figure { return FiringWheel(r) }),
		},
		{
			Name: "firing-strip", Shows: "the firings of one cycle by cylinder and exhaust group", Defaults: first,
			draw: one(func(r *analysis.Result, _ Options) Figure { return FiringStrip(r) }),
		},
		{
			Name: "sound-orders", Shows: "levels of the exhaust sound by order, at the ear and by exhaust group", Defaults: first,
			draw: one(func(r *analysis.Result, _ Options) Figure { return SoundOrders(r) }),
		},
	}
	return append(append(append(append(append(list, drivenEntries()...), lastingEntries()...), spaceEntries()...), partsEntries()...), Entry{
		Name: "comparison-bars", Shows: "several engines side by side", Defaults: first, Several: true,
		draw: func(rs []*analysis.Result, _ Options) Figure { return ComparisonBars(GroupsOf(rs)) },
	})
}

// Find returns the figure of a name. The error lists the names. Definition.
func Find(name string) (Entry, error) {
	var names []string
	for _, e := range Gallery() {
		if e.Name == name {
			return e, nil
		}
		names = append(names, e.Name)
	}
	return Entry{}, fmt.Errorf("there is no figure %q; there are %s", name, strings.Join(names, ", "))
}
