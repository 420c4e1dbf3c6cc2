package report

import (
	"fmt"
	"math"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// TolerancesDoc is how far the shaking of an engine scatters because its parts do: the JSON object that balance
// tolerances --json prints.
type TolerancesDoc struct {
	Name       string              `json:"name" jsonschema_description:"name of the engine"`
	SpeedRPM   float64             `json:"speed_rpm" jsonschema_description:"crank speed of all values"`
	Samples    int                 `json:"samples" jsonschema_description:"engines that were built by chance"`
	Seed       uint64              `json:"seed" jsonschema_description:"of the random numbers; the same seed gives the same result"`
	Spread     string              `json:"spread" jsonschema:"enum=normal,enum=uniform" jsonschema_description:"how parts scatter within their tolerances; normal: the half width is three standard deviations, parts beyond are refused"`
	Tolerances []ToleranceDoc      `json:"tolerances" jsonschema_description:"half widths"`
	Residuals  []ScatterDoc        `json:"residuals" jsonschema_description:"how each residual is distributed"`
	Overall    []ToleranceShareDoc `json:"overall" jsonschema_description:"which tolerance makes how much of the variance of all forces and moments together, moments divided by the arm; largest first"`
	ArmMM      float64             `json:"arm_mm" jsonschema_description:"radius of gyration of the cylinders' places, by which moments are divided in overall"`
	Summary    []string            `json:"summary" jsonschema_description:"what matters most, in sentences"`
	Estimated
	Caution string `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// ToleranceDoc is the tolerance of one class of parts.
type ToleranceDoc struct {
	Class     string  `json:"class" jsonschema_description:"what the tolerance is of, such as piston mass or pin angle"`
	HalfWidth float64 `json:"half_width" jsonschema_description:"largest deviation on either side, in unit"`
	Unit      string  `json:"unit" jsonschema_description:"of half_width"`
	Shown     string  `json:"shown" jsonschema_description:"the tolerance as people read it"`
	Usual     bool    `json:"usual" jsonschema_description:"nobody gave it: common practice was taken"`
	Parts     int     `json:"parts" jsonschema_description:"how many parts it holds for"`
}

// ScatterDoc is the distribution of one residual.
type ScatterDoc struct {
	Order    float64 `json:"order" jsonschema_description:"per crank revolution"`
	Residual string  `json:"residual" jsonschema:"enum=force with the crank,enum=force against the crank,enum=moment with the crank,enum=moment against the crank,enum=largest force,enum=largest moment" jsonschema_description:"what of the order scatters: one of its four vectors, or the longer semi-axis of an ellipse"`
	Unit     string  `json:"unit" jsonschema:"enum=N,enum=N m" jsonschema_description:"of all values of this residual"`
	Nominal  float64 `json:"nominal" jsonschema_description:"magnitude where every part is as drawn"`
	Mean     float64 `json:"mean" jsonschema_description:"mean of the magnitude"`
	Sigma    float64 `json:"sigma" jsonschema_description:"standard deviation of the magnitude"`
	P50      float64 `json:"p50" jsonschema_description:"half of the engines stay below"`
	P90      float64 `json:"p90" jsonschema_description:"90 % of the engines stay below"`
	P95      float64 `json:"p95" jsonschema_description:"95 % of the engines stay below"`
	P99      float64 `json:"p99" jsonschema_description:"99 % of the engines stay below"`
	Largest  float64 `json:"largest" jsonschema_description:"of all samples"`

	Deviation       *float64            `json:"deviation,omitempty" jsonschema_description:"root mean square distance of the vector from the nominal one, as sampled; only for the four vectors"`
	LinearDeviation *float64            `json:"linear_deviation,omitempty" jsonschema_description:"the same by the linear law of variances"`
	Shares          []ToleranceShareDoc `json:"shares,omitempty" jsonschema_description:"which tolerance makes how much of the variance, by the linear law; largest first"`
	Edges           []float64           `json:"bin_edges" jsonschema_description:"of the histogram, one more than counts"`
	Counts          []int               `json:"bin_counts" jsonschema_description:"samples in each bin"`
}

// ToleranceShareDoc is how much of a variance one class of tolerances makes.
type ToleranceShareDoc struct {
	Class string         `json:"class" jsonschema_description:"what the tolerance is of, such as piston mass or pin angle"`
	Share float64        `json:"share" jsonschema_description:"of the variance, from 0 to 1"`
	Parts []PartShareDoc `json:"parts,omitempty" jsonschema_description:"the same by part"`
}

// PartShareDoc is how much of a variance one part makes.
type PartShareDoc struct {
	Part  string  `json:"part" jsonschema_description:"such as cylinder 3 or throw T1"`
	Share float64 `json:"share" jsonschema_description:"of the variance, from 0 to 1"`
}

// histogramBins is the number of bins of a histogram.
const histogramBins = 40

// NewTolerancesDoc builds an engine by chance within its tolerances and collects what remains of its balance.
//
//   - ω: crank speed [rad/s]
//   - usual: which classes were filled from common practice; nil: none
func NewTolerancesDoc(t *layout.Train, ω float64, tol balance.Tolerances, usual map[balance.ToleranceClass]bool, opt balance.SimOptions) (*TolerancesDoc, error) {
	scatters, err := balance.Simulate(t, tol, opt)
	if err != nil {
		return nil, err
	}
	law, err := balance.LinearTolerances(t, tol, opt.Orders)
	if err != nil {
		return nil, err
	}
	d := &TolerancesDoc{
		Name: t.Name, SpeedRPM: rpm(ω), Seed: opt.Seed, Spread: tol.Spread.String(), Samples: scatters[0].Samples(),
		Tolerances: toleranceDocs(t, tol, usual), Residuals: []ScatterDoc{}, Overall: shareDocs(t, law.Overall), ArmMM: millimetres(law.Lever),
		Estimated: estimatedOf(t), Caution: Caution,
	}
	square := ω * ω
	for i := range scatters {
		r := scatterDoc(&scatters[i], square)
		for _, v := range law.Vectors {
			if v.K == scatters[i].K && v.Kind == scatters[i].Kind {
				sampled, linear := tidy(square*scatters[i].Deviation), tidy(square*v.Deviation)
				r.Deviation, r.LinearDeviation, r.Shares = &sampled, &linear, shareDocs(t, v.Shares)
			}
		}
		d.Residuals = append(d.Residuals, r)
	}
	d.Summary = d.sentences()
	return d, nil
}

func scatterDoc(s *balance.Scatter, square float64) ScatterDoc {
	v := func(x float64) float64 {
		if x *= square; x < 1e-9 { // rounding
			return 0
		}
		return tidy(x)
	}
	r := ScatterDoc{
		Order: float64(s.K) / 2, Residual: s.Kind.String(), Unit: "N", Nominal: v(s.Nominal), Mean: v(s.Mean), Sigma: v(s.Sigma),
		P50: v(s.Percentiles[0].Value), P90: v(s.Percentiles[1].Value), P95: v(s.Percentiles[2].Value), P99: v(s.Percentiles[3].Value),
		Largest: v(s.Largest),
	}
	if s.Kind.IsMoment() {
		r.Unit = "N m"
	}
	if r.Sigma < 1e-9*r.Largest { // rounding
		r.Sigma = 0
	}
	edges, counts := s.Histogram(histogramBins)
	for _, e := range edges {
		r.Edges = append(r.Edges, v(e))
	}
	r.Counts = counts
	return r
}

func toleranceDocs(t *layout.Train, tol balance.Tolerances, usual map[balance.ToleranceClass]bool) []ToleranceDoc {
	out := []ToleranceDoc{}
	for _, c := range balance.ToleranceClasses() {
		parts := len(balance.ToleratedParts(t, c))
		if parts == 0 {
			continue
		}
		half := tol.Half(c)
		d := ToleranceDoc{Class: c.String(), HalfWidth: tidy(half), Unit: c.Unit(), Usual: usual[c], Parts: parts}
		switch c.Unit() {
		case "kg":
			d.HalfWidth, d.Unit = tidy(1e3*half), "g"
		case "m":
			d.HalfWidth, d.Unit = millimetres(half), "mm"
		case "rad":
			d.HalfWidth, d.Unit = deg(num.Angle(half)), "deg"
		default:
			d.HalfWidth, d.Unit = tidy(1e6*half), "g mm"
		}
		d.Shown = "±" + num.Digits(d.HalfWidth, 3) + " " + d.Unit
		if half == 0 {
			d.Shown = "none"
		}
		out = append(out, d)
	}
	return out
}

func shareDocs(t *layout.Train, shares []balance.ToleranceShare) []ToleranceShareDoc {
	out := []ToleranceShareDoc{}
	for _, s := range shares {
		d := ToleranceShareDoc{Class: s.Class.String(), Share: tidy(s.Share)}
		for i, name := range balance.ToleratedParts(t, s.Class) {
			d.Parts = append(d.Parts, PartShareDoc{Part: name, Share: tidy(s.Parts[i])})
		}
		out = append(out, d)
	}
	return out
}

// sentences say what matters most.
func (d *TolerancesDoc) sentences() []string {
	if len(d.Overall) == 0 {
		return []string{"Every tolerance is zero: all engines are as drawn."}
	}
	first := d.Overall[0]
	out := []string{fmt.Sprintf("The tolerance of the %s matters most: it makes %s of the variance of all forces and moments together.", first.Class, sharePercent(first.Share))}
	if len(d.Overall) > 1 && d.Overall[1].Share > 0.005 {
		second := d.Overall[1]
		out = append(out, fmt.Sprintf("Next comes that of the %s, with %s.", second.Class, sharePercent(second.Share)))
	}
	for _, r := range d.Residuals {
		if r.Residual == balance.ForceMajor.String() || r.Residual == balance.MomentMajor.String() {
			if r.P95 < 1e-6 {
				continue
			}
			out = append(out, fmt.Sprintf("Order %s, %s: %s as drawn; 95 %% of the engines stay below %s.",
				num.Digits(r.Order, 3), r.Residual, num.Shown(r.Nominal, r.Unit), num.Shown(r.P95, r.Unit)))
		}
	}
	return out
}

func sharePercent(share float64) string {
	if share < 0.0005 {
		return "less than 0.1 %"
	}
	return num.Digits(math.Round(1000*share)/10, 3) + " %"
}

// TolerancesText returns the scatter of an engine as text for a terminal.
func TolerancesText(d *TolerancesDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	law := "normal within its tolerance, whose half width is three standard deviations; parts beyond are refused"
	if d.Spread == balance.UniformSpread.String() {
		law = "equally likely anywhere within its tolerance"
	}
	s.paragraph("", fmt.Sprintf("%s built by chance (seed %d), at %s rpm. Each dimension is %s.", counted(d.Samples, "engine", "engines"), d.Seed, num.Digits(d.SpeedRPM, 5), law))
	s.heading("Tolerances")
	var list []entry
	for _, t := range d.Tolerances {
		text := t.Shown
		if t.Usual {
			text += " (common practice, from memory, not given)"
		}
		list = append(list, entry{t.Class, text})
	}
	s.entries(list)
	for i := 0; i < len(d.Residuals); {
		j := i
		for j < len(d.Residuals) && d.Residuals[j].Order == d.Residuals[i].Order {
			j++
		}
		s.scatter(d.Residuals[i:j])
		i = j
	}
	s.blank()
	s.paragraph("", "Deviation: root mean square distance of the vector from the one as drawn, over the engines built and by the linear law of variances; it has a direction, so it is not the scatter of the magnitudes beside it.")
	s.heading("What matters most")
	for _, line := range d.Summary {
		s.paragraph("  ", line)
	}
	s.shares(d)
	s.estimated(d.Estimates)
	s.caution()
	return s.String()
}

// scatter writes the residuals of one order.
func (s *sheet) scatter(rs []ScatterDoc) {
	heads := []column{
		{head: []string{"", "residual"}, left: true},
		{head: []string{"as", "drawn"}},
		{head: []string{"", "mean"}},
		{head: []string{"50 %", "below"}},
		{head: []string{"90 %", "below"}},
		{head: []string{"95 %", "below"}},
		{head: []string{"99 %", "below"}},
		{head: []string{"", "largest"}},
		{head: []string{"deviation", "sampled"}},
		{head: []string{"", "linear"}},
	}
	for _, unit := range []string{"N", "N m"} {
		most := 0.0
		for _, r := range rs {
			if r.Unit == unit {
				most = max(most, r.Largest)
			}
		}
		title := "Force"
		if unit == "N m" {
			title = "Moment"
		}
		scale := scaleOf(unit, most)
		s.heading(fmt.Sprintf("%s of order %s [%s]", title, num.Digits(rs[0].Order, 3), scale.unit))
		if most < 1e-9 {
			s.paragraph("  ", "None, whatever the parts.")
			continue
		}
		var rows [][]cell
		for _, r := range rs {
			if r.Unit != unit {
				continue
			}
			row := []cell{{text: shortResidual(r.Residual), style: bold}}
			for _, v := range []float64{r.Nominal, r.Mean, r.P50, r.P90, r.P95, r.P99, r.Largest} {
				row = append(row, cell{text: scale.show(v)})
			}
			for _, v := range []*float64{r.Deviation, r.LinearDeviation} {
				if v == nil {
					row = append(row, cell{text: "–"})
				} else {
					row = append(row, cell{text: scale.show(*v)})
				}
			}
			rows = append(rows, row)
		}
		s.table(heads, rows)
	}
}

// shortResidual is a residual's name where the heading says whether it is a force or a moment.
func shortResidual(name string) string {
	switch name {
	case balance.ForceWith.String(), balance.MomentWith.String():
		return "with"
	case balance.ForceAgainst.String(), balance.MomentAgainst.String():
		return "against"
	default:
		return "major"
	}
}

// mostShareColumns keeps the table of shares within the usual width.
const mostShareColumns = 6

// shares writes which tolerance makes how much of which variance: of the forces, then of the moments.
func (s *sheet) shares(d *TolerancesDoc) {
	for _, unit := range []string{"N", "N m"} {
		heads := []column{{head: []string{"share of the", "variance [%]"}, left: true}, {head: []string{"force and", "moment"}}}
		var shown []ScatterDoc
		for _, r := range d.Residuals {
			if r.Unit != unit || len(r.Shares) == 0 || *r.LinearDeviation < 1e-9 || len(shown) == mostShareColumns {
				continue
			}
			shown = append(shown, r)
			kind := "force "
			if unit == "N m" {
				kind = "moment "
			}
			heads = append(heads, column{head: []string{kind + num.Digits(r.Order, 3), shortResidual(r.Residual)}})
		}
		if len(shown) == 0 {
			continue
		}
		var rows [][]cell
		for _, o := range d.Overall {
			row := []cell{{text: o.Class, style: bold}, {text: shareNumber(o.Share)}}
			for _, r := range shown {
				for _, c := range r.Shares {
					if c.Class == o.Class {
						row = append(row, cell{text: shareNumber(c.Share)})
					}
				}
			}
			rows = append(rows, row)
		}
		s.blank()
		s.table(heads, rows)
	}
}

func shareNumber(share float64) string {
	switch {
	case share < 1e-9:
		return "0"
	case share < 0.0005:
		return "~0"
	}
	return fmt.Sprintf("%.1f", 100*share)
}

// TolerancesCSV returns the residuals as comma-separated values: one line a residual.
func TolerancesCSV(d *TolerancesDoc) ([]byte, error) {
	rows := [][]string{{"order", "residual", "unit", "nominal", "mean", "sigma", "p50", "p90", "p95", "p99", "largest", "deviation", "linear_deviation"}}
	for _, r := range d.Residuals {
		row := []string{number(r.Order), r.Residual, r.Unit}
		for _, v := range []float64{r.Nominal, r.Mean, r.Sigma, r.P50, r.P90, r.P95, r.P99, r.Largest} {
			row = append(row, number(v))
		}
		for _, v := range []*float64{r.Deviation, r.LinearDeviation} {
			if v == nil {
				row = append(row, "")
			} else {
				row = append(row, number(*v))
			}
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}
