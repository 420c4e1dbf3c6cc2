package report

import (
	"fmt"
	"math/cmplx"
	"strings"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// MatchDoc is which weighed part goes into which cylinder: the JSON object that balance match --json prints.
type MatchDoc struct {
	Name         string           `json:"name" jsonschema_description:"name of the engine"`
	SpeedRPM     float64          `json:"speed_rpm" jsonschema_description:"crank speed of all values"`
	Cylinders    []MatchedDoc     `json:"cylinders" jsonschema_description:"by number"`
	Proven       bool             `json:"proven" jsonschema_description:"no assignment is better; otherwise no exchange of two parts makes it better"`
	Orders       []float64        `json:"orders" jsonschema_description:"orders that the measure counts"`
	ForceWeight  float64          `json:"force_weight" jsonschema_description:"how much the force counts in the measure"`
	MomentWeight float64          `json:"moment_weight" jsonschema_description:"how much the moment over the arm counts in the measure"`
	FromDrawn    bool             `json:"from_drawn" jsonschema_description:"the measure is the distance from the engine as drawn, not what remains in all"`
	ArmMM        float64          `json:"arm_mm" jsonschema_description:"by which moments are divided in the measure"`
	Measure      MatchFigures     `json:"measure" jsonschema_description:"root mean square of the remaining force over a revolution, the moment counted as a force at the arm"`
	Residuals    []MatchResiduals `json:"residuals" jsonschema_description:"largest force and moment of each order"`
	Seed         uint64           `json:"seed" jsonschema_description:"of the random assignments"`
	Edges        []float64        `json:"bin_edges_N" jsonschema_description:"histogram of the measure over random assignments, one more edge than counts"`
	Counts       []int            `json:"bin_counts" jsonschema_description:"random assignments in each bin of the histogram"`
	Summary      []string         `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Caution string `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// MatchedDoc is the parts of one cylinder.
type MatchedDoc struct {
	Cylinder     string  `json:"cylinder" jsonschema_description:"name of the cylinder"`
	Piston       string  `json:"piston,omitempty" jsonschema_description:"its id; left out where no pistons were weighed"`
	PistonKg     float64 `json:"piston_kg" jsonschema_description:"as weighed, or as in the engine file"`
	Rod          string  `json:"rod,omitempty" jsonschema_description:"its id; left out where no rods were weighed"`
	RodBigKg     float64 `json:"rod_big_end_kg" jsonschema_description:"mass of the rod at its big end, as weighed, or as in the engine file"`
	RodSmallKg   float64 `json:"rod_small_end_kg" jsonschema_description:"mass of the rod at its small end, as weighed, or as in the engine file"`
	ListedPiston string  `json:"listed_piston,omitempty" jsonschema_description:"the piston that would be here in the order of the list"`
	ListedRod    string  `json:"listed_rod,omitempty" jsonschema_description:"the rod that would be here in the order of the list"`
}

// MatchFigures compares assignments by the measure.
type MatchFigures struct {
	DrawnN        float64 `json:"drawn_N" jsonschema_description:"the engine file as it is"`
	BestN         float64 `json:"best_N" jsonschema_description:"the best assignment that was found"`
	ListedN       float64 `json:"listed_N" jsonschema_description:"the parts as listed, the first in the first cylinder"`
	MeanN         float64 `json:"mean_N" jsonschema_description:"root mean square over all assignments, exactly"`
	RandomP50N    float64 `json:"random_p50_N" jsonschema_description:"half of the random assignments stay below"`
	RandomP95N    float64 `json:"random_p95_N" jsonschema_description:"95 % of the random assignments stay below"`
	RandomWorstN  float64 `json:"random_worst_N" jsonschema_description:"the worst of the random assignments"`
	RandomSamples int     `json:"random_samples" jsonschema_description:"how many random assignments were drawn"`
	Better        float64 `json:"better_share" jsonschema_description:"share of the random assignments that the best one beats"`
}

// MatchResiduals is one order before and after.
type MatchResiduals struct {
	Order    float64 `json:"order" jsonschema_description:"per crank revolution"`
	DrawnN   float64 `json:"drawn_force_N" jsonschema_description:"largest force of the engine file as it is"`
	ListedN  float64 `json:"listed_force_N" jsonschema_description:"largest force with the parts as listed"`
	BestN    float64 `json:"best_force_N" jsonschema_description:"largest force with the best assignment"`
	DrawnNm  float64 `json:"drawn_moment_Nm" jsonschema_description:"largest moment of the engine file as it is"`
	ListedNm float64 `json:"listed_moment_Nm" jsonschema_description:"largest moment with the parts as listed"`
	BestNm   float64 `json:"best_moment_Nm" jsonschema_description:"largest moment with the best assignment"`
}

// NewMatchDoc matches weighed parts to the cylinders of an engine.
//
//   - ω: crank speed [rad/s]
func NewMatchDoc(t *layout.Train, ω float64, pistons []balance.WeighedPiston, rods []balance.WeighedRod, measure balance.MatchMeasure, opt balance.MatchOptions) (*MatchDoc, error) {
	m, err := balance.Match(t, pistons, rods, measure, opt)
	if err != nil {
		return nil, err
	}
	square := ω * ω
	v := func(x float64) float64 { return tidy(square * x) }
	d := &MatchDoc{
		Name: t.Name, SpeedRPM: rpm(ω), Proven: m.Proven, Seed: opt.Seed, Estimated: estimatedOf(t), Caution: Caution,
		FromDrawn: m.Measure.FromDrawn, ForceWeight: m.Measure.Force, MomentWeight: m.Measure.Moment, ArmMM: millimetres(m.Measure.Length),
		Measure: MatchFigures{
			DrawnN: v(m.Random.Nominal), BestN: v(m.Best.RMS()), ListedN: v(m.Listed.RMS()), MeanN: v(m.Mean),
			RandomP50N: v(m.Random.Percentiles[0].Value), RandomP95N: v(m.Random.Percentiles[2].Value), RandomWorstN: v(m.Random.Largest),
			RandomSamples: m.Random.Samples(), Better: m.Better(),
		},
	}
	best := m.Train(m.Best)
	for c := range best.Cylinders {
		y := &best.Cylinders[c]
		q := MatchedDoc{
			Cylinder: y.Name, PistonKg: tidy(y.Piston.Mass),
			RodBigKg: tidy(inertia.RotatingShare(y.Rod)), RodSmallKg: tidy(inertia.ReciprocatingShare(y.Rod)),
		}
		if m.Best.Pistons != nil {
			q.Piston, q.ListedPiston = pistons[m.Best.Pistons[c]].ID, pistons[c].ID
		}
		if m.Best.Rods != nil {
			q.Rod, q.ListedRod = rods[m.Best.Rods[c]].ID, rods[c].ID
		}
		d.Cylinders = append(d.Cylinders, q)
	}
	var s inertia.Solver
	var solved [3]*inertia.Balance
	for i, u := range []*layout.Train{t, m.Train(m.Listed), best} {
		if solved[i], err = s.Solve(nil, u, inertia.Options{}); err != nil {
			return nil, err
		}
	}
	for _, k := range m.Measure.Orders {
		d.Orders = append(d.Orders, float64(k)/2)
		r := MatchResiduals{Order: float64(k) / 2}
		for i, to := range [][2]*float64{{&r.DrawnN, &r.DrawnNm}, {&r.ListedN, &r.ListedNm}, {&r.BestN, &r.BestNm}} {
			*to[0], *to[1] = v(majorOf(solved[i].Force, k)), v(majorOf(solved[i].Moment, k))
		}
		d.Residuals = append(d.Residuals, r)
	}
	edges, counts := m.Random.Histogram(histogramBins)
	for _, e := range edges {
		d.Edges = append(d.Edges, v(e))
	}
	d.Counts = counts
	d.Summary = d.sentences()
	return d, nil
}

// majorOf is the larger semi-axis of one order.
func majorOf(o num.Orbit, k int) float64 {
	with, against := o.Order(k)
	return cmplx.Abs(with) + cmplx.Abs(against)
}

// sentences say what matching gains.
func (d *MatchDoc) sentences() []string {
	f := d.Measure
	proof := "No assignment of these parts is better; that is proven."
	if !d.Proven {
		proof = fmt.Sprintf("No exchange of two parts makes it better, but with more than %d cylinders that is no proof: another assignment may be.", balance.MostProven)
	}
	out := []string{proof}
	gain := func(than string, from float64) string {
		if from <= f.BestN*(1+1e-9) {
			return fmt.Sprintf("%s leaves no more.", than)
		}
		if f.BestN <= 0 {
			return fmt.Sprintf("%s leaves %s, the best nothing.", than, num.Shown(from, "N"))
		}
		if from < 1.005*f.BestN {
			return fmt.Sprintf("%s leaves %s, hardly more.", than, num.Shown(from, "N"))
		}
		return fmt.Sprintf("%s leaves %s, %s times as much.", than, num.Shown(from, "N"), num.Digits(from/f.BestN, 3))
	}
	out = append(out,
		fmt.Sprintf("Matched, the root mean square of %s is %s.", d.measured(), num.Shown(f.BestN, "N")),
		gain("The order of the list", f.ListedN),
		gain("An assignment by chance, on the quadratic mean of all,", f.MeanN),
	)
	if !d.FromDrawn && f.DrawnN > 0.8*f.BestN {
		out = append(out, fmt.Sprintf("Most of it is what the engine leaves as drawn, %s, which no matching takes: the largest values above may even grow. Measure the distance from the engine as drawn instead (--from-drawn, or “against the engine as drawn”).", num.Shown(f.DrawnN, "N")))
	}
	return out
}

// measured says of what the measure is the size.
func (d *MatchDoc) measured() string {
	if d.FromDrawn {
		return "the distance from the engine as drawn"
	}
	return "what remains"
}

// MatchText returns a matching as text for a terminal.
func MatchText(d *MatchDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	var orders []string
	for _, o := range d.Orders {
		orders = append(orders, num.Digits(o, 3))
	}
	s.paragraph("", fmt.Sprintf("At %s rpm. The measure is %s of orders %s, force and moment weighted %s to %s, moments divided by the arm of %s mm.",
		num.Digits(d.SpeedRPM, 5), d.measured(), strings.Join(orders, ", "), num.Digits(d.ForceWeight, 3), num.Digits(d.MomentWeight, 3), num.Digits(d.ArmMM, 4)))
	s.heading("Which part goes where")
	heads := []column{
		{head: []string{"", "cylinder"}, left: true},
		{head: []string{"", "piston"}, left: true},
		{head: []string{"", "[g]"}},
		{head: []string{"", "rod"}, left: true},
		{head: []string{"big end", "[g]"}},
		{head: []string{"small end", "[g]"}},
	}
	var rows [][]cell
	for _, c := range d.Cylinders {
		grams := func(kg float64) cell { return cell{text: num.Digits(1e3*kg, 6)} }
		id := func(text string) cell {
			if text == "" {
				return cell{text: "as drawn", style: dim}
			}
			return cell{text: shownText(text), style: bold}
		}
		rows = append(rows, []cell{{text: c.Cylinder}, id(c.Piston), grams(c.PistonKg), id(c.Rod), grams(c.RodBigKg), grams(c.RodSmallKg)})
	}
	s.table(heads, rows)
	s.heading("What remains, at its largest")
	heads = []column{{head: []string{"order", ""}}}
	for _, what := range []string{"force [N]", "moment [N m]"} {
		for _, when := range []string{"as drawn", "as listed", "matched"} {
			heads = append(heads, column{head: []string{when, what}})
		}
	}
	most, mostMoment := 0.0, 0.0
	for _, r := range d.Residuals {
		most = max(most, r.DrawnN, r.ListedN, r.BestN)
		mostMoment = max(mostMoment, r.DrawnNm, r.ListedNm, r.BestNm)
	}
	force, moment := scaleOf("", most), scaleOf("", mostMoment)
	rows = nil
	for _, r := range d.Residuals {
		rows = append(rows, []cell{
			{text: num.Digits(r.Order, 3), style: bold},
			{text: force.show(r.DrawnN)},
			{text: force.show(r.ListedN)},
			{text: force.show(r.BestN)},
			{text: moment.show(r.DrawnNm)},
			{text: moment.show(r.ListedNm)},
			{text: moment.show(r.BestNm)},
		})
	}
	s.table(heads, rows)
	s.heading("What matching gains")
	for _, line := range d.Summary {
		s.paragraph("  ", line)
	}
	f := d.Measure
	s.paragraph("  ", fmt.Sprintf("Of %s by chance, half stay below %s, 95 %% below %s, and the worst leaves %s. The engine as drawn leaves %s.",
		counted(f.RandomSamples, "assignment", "assignments"), num.Shown(f.RandomP50N, "N"), num.Shown(f.RandomP95N, "N"), num.Shown(f.RandomWorstN, "N"), num.Shown(f.DrawnN, "N")))
	s.estimated(d.Estimates)
	s.caution()
	return s.String()
}

// MatchCSV returns the assignment as comma-separated values: one line a cylinder.
func MatchCSV(d *MatchDoc) ([]byte, error) {
	rows := [][]string{{"cylinder", "piston", "piston_kg", "rod", "rod_big_end_kg", "rod_small_end_kg"}}
	for _, c := range d.Cylinders {
		rows = append(rows, []string{c.Cylinder, c.Piston, number(c.PistonKg), c.Rod, number(c.RodBigKg), number(c.RodSmallKg)})
	}
	return WriteCSV(rows)
}
