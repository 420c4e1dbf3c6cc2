package report

import (
	"fmt"
	"html/template"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/analysis"
	"crankwright/docs"
	"crankwright/draw"
	"crankwright/explain"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// pageEngine is one engine's sheet.
type pageEngine struct {
	ID, Name, Kind string
	Number         int
	Facts          []pageFact
	Summary        []string // what shakes and what could take it
	Firing         []string
	Shape          []pageFigure   // how the crank train stands
	Stars          []pageFigure   // the vectors of orders 1 and 2
	Cycle          []pageFigure   // what happens over the cycle
	Fires          []pageFigure   // when which cylinder fires
	Drive          *pageDrive     // gas and torque; nil where they were not asked for
	Chapters       []*pageChapter // those that were asked for
	Whys           []pageWhy
	Orders         []pageOrder
	Estimates      []pageEstimate
	NoEstimates    string // what to say where there are none
	TwoMass        string
}

// pageFact is one thing known of an engine.
type pageFact struct{ Name, Text string }

// pageFigure is a drawing and what stands below it.
type pageFigure struct {
	Figure  draw.Figure
	Drawing template.HTML
	Caption string
	Wide    bool
}

// pageWhy explains one order.
type pageWhy struct {
	Title    string
	Result   string // what is left of it
	Sections []explain.Section
}

// pageOrder is a row of the table of orders.
type pageOrder struct {
	Order         string
	Force, Moment pagePair
	Roll, Torque  string
}

// pagePair is a plane vector of one order in numbers.
type pagePair struct{ With, Against, Major, Minor, Axis string }

// pageEstimate is a value that the file left out.
type pageEstimate struct{ Key, Shown, Rule, Source string }

func estimateOnPage(e EstimateDoc) pageEstimate {
	return pageEstimate{Key: e.Key, Shown: e.Shown, Rule: e.Rule, Source: cited(e.Source)}
}

// explained are the orders whose reasons the page gives, as twice the order.
func explained() []int { return []int{2, 4, 8} }

func newPageEngine(i int, r *analysis.Result) pageEngine {
	e := pageEngine{
		ID: engineID(i), Number: i + 1, Name: r.Train.Name, Kind: kindOf(r),
		Facts: factsOf(r), Summary: unbroken(explain.Engine(r)), Firing: unbroken(explain.Firing(r)),
		TwoMass: twoMassOf(r),
	}
	e.figures(r)
	e.Drive = newPageDrive(e.ID, r)
	e.Chapters = pageChapters(e.ID, r)
	for _, k := range explained() {
		why := pageWhy{Title: fmt.Sprintf("Order %d", k/2), Result: leftOf(r.Order(k))}
		for _, s := range explain.Order(r, k) {
			why.Sections = append(why.Sections, explain.Section{Heading: s.Heading, Lines: unbroken(s.Lines)})
		}
		e.Whys = append(e.Whys, why)
	}
	for _, o := range r.Orders {
		e.Orders = append(e.Orders, pageOrder{
			Order: num.Digits(o.N(), 4), Force: pairShown(o.Force), Moment: pairShown(o.Moment),
			Roll: plain(cmplx.Abs(o.Roll)), Torque: plain(cmplx.Abs(o.Torque)),
		})
	}
	for _, s := range r.Train.Estimates {
		e.Estimates = append(e.Estimates, estimateOnPage(EstimateDoc(s)))
	}
	e.NoEstimates = noEstimates(r)
	return e
}

// cited names the source of a key in full, or repeats a key that the list of sources lacks.
func cited(key string) string {
	if s, ok := docs.Find(key); ok {
		return s.Cite()
	}
	return key
}

// leftOf says in a line what an order leaves on the block.
func leftOf(o analysis.Order) string {
	force, moment := "no free force", "no free moment"
	if v := o.Force.Ellipse.Major; v > 0 {
		force = "free force " + num.Shown(v, "N")
	}
	if v := o.Moment.Ellipse.Major; v > 0 {
		moment = "free moment " + num.Shown(v, "N m")
	}
	return unbroken([]string{force + ", " + moment})[0]
}

func pairShown(p analysis.Pair) pagePair {
	s := pagePair{
		With: plain(cmplx.Abs(p.With)), Against: plain(cmplx.Abs(p.Against)),
		Major: plain(p.Ellipse.Major), Minor: plain(p.Ellipse.Minor),
	}
	switch {
	case s.Major == "0":
		s.Axis = "–"
	case s.Major == s.Minor:
		s.Axis = "circle"
	default:
		s.Axis = plain(math.Round(10*p.Ellipse.Axis.Deg())/10) + "°"
	}
	return s
}

// kindOf says in a few words how an engine is built.
func kindOf(r *analysis.Result) string {
	t := r.Train
	words := string(t.Arrangement)
	if len(t.Banks) == 2 && t.Arrangement == layout.Vee {
		words = degreesShown(bankAngle(t)) + " " + words
	}
	return strings.TrimSpace(words + ", " + counted(len(t.Cylinders), "cylinder", "cylinders"))
}

func bankAngle(t *layout.Train) num.Angle {
	a := (t.Banks[1].Axis - t.Banks[0].Axis).Wrap(num.Turn)
	return min(a, num.Turn-a)
}

func degreesShown(a num.Angle) string { return plain(math.Round(100*a.Deg())/100) + "°" }

// counted writes a count with its noun, all its digits, thin spaces between thousands.
func counted[N int | uint64](n N, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return exactly(uint64(n)) + " " + many
}

// factsOf lists what an engine is, before anything is computed.
func factsOf(r *analysis.Result) []pageFact {
	t := r.Train
	facts := []pageFact{{"Layout", kindOf(r)}}
	add := func(name, text string) { facts = append(facts, pageFact{name, text}) }
	add("Bore × stroke", boreStroke(r))
	if r.Swept > 0 {
		add("Displacement", plain(1e6*r.Swept)+" cm³")
	}
	add("Crank", crankShown(t))
	add("Cycle", t.Cycle.String()+", "+t.Rotation.String()+" from the drive end")
	order := r.Firing.Label(firing.Names(t))
	if r.OrderChosen {
		order += " (chosen)"
	}
	add("Firing order", order)
	speed := rpmOf(r.Speed) + " rpm"
	if above := aboveLimit(r); above != "" {
		speed += ", " + above
	}
	add("Speed", speed)
	add("Moments about", "x = "+plain(1e3*t.Reference)+" mm")
	return facts
}

func boreStroke(r *analysis.Result) string {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range r.Cylinders {
		low, high = math.Min(low, c.Stroke), math.Max(high, c.Stroke)
	}
	stroke := plain(1e3 * low)
	if s := plain(1e3 * high); s != stroke {
		stroke += " to " + s
	}
	bore := "unknown"
	if r.Train.Bore > 0 {
		bore = plain(1e3 * r.Train.Bore)
	}
	return bore + " × " + stroke + " mm"
}

// crankShown lists the throw angles and what balances them.
func crankShown(t *layout.Train) string {
	const most = 12
	var angles []string
	for i := range t.Throws {
		angles = append(angles, degreesShown(t.Throws[i].Angle.Wrap(num.Turn)))
	}
	text := counted(len(angles), "pin", "pins")
	if len(angles) <= most {
		text += " at " + strings.Join(angles, ", ")
	}
	if n := len(t.Counterweights); n > 0 {
		text += "; " + counted(n, "counterweight", "counterweights")
	}
	if n := len(t.Shafts); n > 0 {
		text += "; " + counted(n, "balance shaft", "balance shafts")
	}
	return text
}

func twoMassOf(r *analysis.Result) string {
	if r.TwoMass.Used {
		return "These results use the two-mass replacement of the rods. Against rigid rods its inertia torque is up to " +
			num.Shown(r.TwoMass.TorqueError, "N m") + " wrong; its forces are exact."
	}
	return "Rods count as rigid bodies. The two-mass replacement would get the inertia torque up to " +
		num.Shown(r.TwoMass.TorqueError, "N m") + " wrong."
}
