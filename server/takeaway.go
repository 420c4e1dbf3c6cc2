package server

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"math"
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/num"
	"crankwright/report"
)

// FigureInfo is one figure that can be drawn.
type FigureInfo struct {
	Name    string   `json:"name" doc:"under which it is asked for"`
	Shows   string   `json:"shows" doc:"one line"`
	Takes   []string `json:"takes" doc:"options that it reads: order, of, angle, by_cylinder"`
	Several bool     `json:"several" doc:"it compares engines; otherwise it shows one"`
}

func (s *Server) figureList(context.Context, *struct{}) (*struct{ Body []FigureInfo }, error) {
	list := []FigureInfo{}
	for _, e := range draw.Gallery() {
		f := FigureInfo{Name: e.Name, Shows: e.Shows, Takes: []string{}, Several: e.Several}
		for _, t := range e.Takes {
			f.Takes = append(f.Takes, strings.NewReplacer("quantity", "of", "by-cylinder", "by_cylinder").Replace(string(t)))
		}
		list = append(list, f)
	}
	return &struct{ Body []FigureInfo }{list}, nil
}

func (s *Server) figure(_ context.Context, in *struct {
	Name     string  `path:"name" maxLength:"60" doc:"one of /api/figures"`
	File     string  `query:"file" doc:"engine file; for a figure that compares, several with commas between"`
	Format   string  `query:"format" enum:"svg,png,pdf" default:"svg"`
	Order    float64 `query:"order" minimum:"0.5" maximum:"12" multipleOf:"0.5" default:"1" doc:"order per crank revolution"`
	Of       string  `query:"of" enum:"force,moment" default:"force"`
	Angle    float64 `query:"angle_deg" minimum:"-100000" maximum:"100000" doc:"crank angle"`
	SpeedRPM float64 `query:"speed_rpm" minimum:"0" maximum:"900000" doc:"0: the rated speed of the file"`
	Load     float64 `query:"load_percent" minimum:"0" maximum:"100" default:"100" doc:"of a figure of gas and torque; 0: the engine runs light"`
	Each     bool    `query:"by_cylinder" doc:"of the torque: the cylinders too"`
	Theme    string  `query:"theme" enum:"auto,light,dark" default:"auto" doc:"of an SVG; PNG and PDF are light"`
	Scale    float64 `query:"scale" minimum:"0.1" maximum:"10" default:"2" doc:"pixels of a PNG per unit of the drawing"`
	Download bool    `query:"download" doc:"as a file to be saved"`
},
) (*download, error) {
	entry, err := draw.Find(in.Name)
	if err != nil {
		return nil, notFound(err.Error())
	}
	if in.File == "" && !entry.Several {
		return nil, badField("query.file", entry.Name+" shows one engine: name its file")
	}
	c, err := s.several(SeveralParams{Files: in.File, SpeedRPM: in.SpeedRPM, LoadPercent: in.Load})
	if err != nil {
		return nil, err
	}
	if err := c.enough(entry.Several); err != nil {
		return nil, err
	}
	o := entry.Defaults
	o.K, o.Angle = int(math.Round(2*in.Order)), num.Degrees(in.Angle)
	o.ByCylinder = in.Each
	if in.Of == draw.Moment.String() {
		o.Quantity = draw.Moment
	}
	f := entry.Draw(o, c.results...)
	return drawn(f, picture{
		format: in.Format, name: c.fileName(in.Name) + "." + in.Format, theme: in.Theme, scale: in.Scale, save: in.Download,
	})
}

// picture says how a figure is written.
type picture struct {
	format string  // png, pdf or svg
	name   string  // of the file
	theme  string  // of an SVG: light or dark; else it follows the page it stands in
	scale  float64 // pixels of a PNG per unit of the drawing; 0: 2
	save   bool    // as a file to be saved
}

// drawn writes a figure.
func drawn(f draw.Figure, p picture) (*download, error) {
	out := &download{ContentType: "image/svg+xml", Disposition: disposition(p.save, p.name)}
	var err error
	switch p.format {
	case "png":
		out.ContentType = "image/png"
		out.Body, err = f.PNG(cmp.Or(p.scale, 2))
	case "pdf":
		out.ContentType = "application/pdf"
		out.Body, err = f.PDF()
	default:
		out.Body = f.SVG()
		if p.theme == "light" || p.theme == "dark" {
			out.Body = bytes.Replace(out.Body, []byte("<svg "), []byte(`<svg data-theme="`+p.theme+`" `), 1)
		}
	}
	return out, err
}

// enough demands what a figure or table needs: one engine, or some.
func (c *chosen) enough(several bool) error {
	switch {
	case !several && len(c.files)+len(c.left) > 1:
		return badField("query.file", "this shows one engine, and several are named")
	case len(c.results) == 0 && len(c.left) > 0:
		p := failure(http.StatusUnprocessableEntity, c.left[0].File+" cannot be evaluated")
		p.Type, p.Problems = typeInvalid, c.left[0].Problems
		return p
	case len(c.results) == 0:
		return notFound("there is no engine to show")
	}
	return nil
}

// fileName is a name for what is taken away.
func (c *chosen) fileName(what string) string {
	if len(c.files) == 1 {
		return strings.TrimSuffix(c.files[0], engineSuffix) + "-" + what
	}
	return what
}

var unsafeName = regexp.MustCompile(`[^A-Za-z0-9._-]+`)

func disposition(save bool, name string) string {
	kind := "inline"
	if save {
		kind = "attachment"
	}
	return fmt.Sprintf(`%s; filename="%s"`, kind, unsafeName.ReplaceAllString(name, "-"))
}

// table answers with what can be taken away as comma-separated values.
func (s *Server) table(_ context.Context, in *struct {
	Name     string  `path:"name" maxLength:"40" doc:"compare.csv, orders.csv, curves.csv, torque.csv, gas.csv, estimates.csv, firing-orders.csv, sweep.csv"`
	File     string  `query:"file" doc:"engine file; for compare several with commas between, or none for all"`
	SpeedRPM float64 `query:"speed_rpm" minimum:"0" maximum:"900000" doc:"0: the rated speed of the file"`
},
) (*download, error) {
	name, isCSV := strings.CutSuffix(in.Name, ".csv")
	write := map[string]func([]*analysis.Result) ([]byte, error){
		"compare":       report.CSV,
		"orders":        func(rs []*analysis.Result) ([]byte, error) { return ordersCSV(rs[0]) },
		"curves":        func(rs []*analysis.Result) ([]byte, error) { return report.CurvesCSV(rs[0]) },
		"estimates":     func(rs []*analysis.Result) ([]byte, error) { return estimatesCSV(rs[0]) },
		"firing-orders": func(rs []*analysis.Result) ([]byte, error) { return firingOrdersCSV(rs[0]) },
		"torque":        drivenCSV(func(d *analysis.Drive) ([]byte, error) { return report.TorqueCSV(report.NewTorqueDoc(d, true)) }),
		"gas":           drivenCSV(func(d *analysis.Drive) ([]byte, error) { return report.GasCSV(report.NewGasDoc(d, true)) }),
		"sweep":         func(rs []*analysis.Result) ([]byte, error) { return report.SweepCSV(rs[0].Sweep(sweepSpeeds(rs[0]))) },
	}[name]
	if write == nil || !isCSV {
		return nil, notFound(fmt.Sprintf("there is no table %q", in.Name))
	}
	several := name == "compare"
	if in.File == "" && !several {
		return nil, badField("query.file", name+" is of one engine: name its file")
	}
	c, err := s.several(SeveralParams{Files: in.File, SpeedRPM: in.SpeedRPM, LoadPercent: 100})
	if err != nil {
		return nil, err
	}
	if err := c.enough(several); err != nil {
		return nil, err
	}
	data, err := write(c.results)
	return &download{
		ContentType: "text/csv; charset=utf-8; header=present",
		Disposition: disposition(true, c.fileName(name)+".csv"), Body: data,
	}, err
}

// drivenCSV is a table of gas and torque, for an engine that has them.
func drivenCSV(table func(*analysis.Drive) ([]byte, error)) func([]*analysis.Result) ([]byte, error) {
	return func(rs []*analysis.Result) ([]byte, error) {
		if rs[0].Drive == nil {
			return nil, failure(http.StatusUnprocessableEntity, "there is no torque: "+rs[0].NoDrive)
		}
		return table(rs[0].Drive)
	}
}

// sweepSpeeds are 24 speeds up to the highest that the file permits.
func sweepSpeeds(r *analysis.Result) []float64 {
	top := max(r.Train.Speeds.Limit, r.Train.Speeds.Rated, r.Speed)
	out := make([]float64, 24)
	for i := range out {
		out[i] = top * float64(i+1) / float64(len(out))
	}
	return out
}

func ordersCSV(r *analysis.Result) ([]byte, error) {
	rows := [][]string{{
		"order", "force_major_N", "force_minor_N", "force_axis_deg", "force_with_crank_re_N", "force_with_crank_im_N",
		"force_against_crank_re_N", "force_against_crank_im_N", "moment_major_Nm", "moment_minor_Nm", "moment_axis_deg",
		"moment_with_crank_re_Nm", "moment_with_crank_im_Nm", "moment_against_crank_re_Nm", "moment_against_crank_im_Nm",
		"inertia_torque_re_Nm", "inertia_torque_im_Nm", "roll_re_Nm", "roll_im_Nm",
	}}
	for _, o := range report.NewDocument(r, report.Detail{}).Balance.Orders {
		f, m := o.Force, o.Moment
		rows = append(rows, numbers(
			o.Order, f.MajorN, f.MinorN, f.AxisDeg, f.WithN[0], f.WithN[1], f.AgainstN[0], f.AgainstN[1],
			m.MajorNm, m.MinorNm, m.AxisDeg, m.WithNm[0], m.WithNm[1], m.AgainstNm[0], m.AgainstNm[1],
			o.TorqueNm[0], o.TorqueNm[1], o.RollNm[0], o.RollNm[1],
		))
	}
	return report.WriteCSV(rows)
}

func estimatesCSV(r *analysis.Result) ([]byte, error) {
	rows := [][]string{{"key", "value", "unit", "shown", "rule", "source"}}
	for _, e := range r.Train.Estimates {
		rows = append(rows, []string{e.Key, numbers(e.Value)[0], e.Unit, e.Shown, e.Rule, e.Source})
	}
	return report.WriteCSV(rows)
}

func firingOrdersCSV(r *analysis.Result) ([]byte, error) {
	list, err := report.Orders(r, 0, false)
	if err != nil {
		return nil, err
	}
	rows := [][]string{{
		"order", "own", "evenness", "longest_interval_deg", "shortest_interval_deg", "neighbours_in_succession",
		"same_bank_in_succession", "shared_throw_in_succession", "shortest_exhaust_interval_deg", "intervals_deg",
	}}
	for _, o := range list.List {
		row := append([]string{o.Label, strconv.FormatBool(o.Own)}, numbers(
			o.Evenness, o.LongestDeg, o.ShortestDeg, float64(o.Neighbours), float64(o.SameBank), float64(o.SharedThrow), o.ExhaustGapDeg)...)
		rows = append(rows, append(row, strings.Join(numbers(o.IntervalsDeg...), " ")))
	}
	return report.WriteCSV(rows)
}

func numbers(values ...float64) []string {
	out := make([]string, len(values))
	for i, v := range values {
		out[i] = strconv.FormatFloat(v, 'g', -1, 64)
	}
	return out
}

func (s *Server) orders(_ context.Context, in *struct {
	File  string `query:"file" required:"true" doc:"engine file"`
	Limit int    `query:"limit" minimum:"1" maximum:"8192" default:"200" doc:"how many orders to list"`
},
) (*struct{ Body report.OrderList }, error) {
	c, err := s.several(SeveralParams{Files: in.File, LoadPercent: 100})
	if err != nil {
		return nil, err
	}
	if err := c.enough(false); err != nil {
		return nil, err
	}
	list, err := report.Orders(c.results[0], in.Limit, false)
	if err != nil {
		return nil, err
	}
	list.Even.Sentences = append([]string{}, list.Even.Sentences...) // no list is ever null
	return &struct{ Body report.OrderList }{list}, nil
}
