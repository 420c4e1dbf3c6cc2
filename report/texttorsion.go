package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/num"
)

// TorsionText returns the torsional vibration of a crank as text for a terminal.
func TorsionText(d *TorsionDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	load := num.Digits(d.LoadPct, 3) + " % load"
	switch {
	case d.Measured:
		load = "with the measured pressure at every speed"
	case d.LoadPct == 100:
		load = "full load"
	}
	s.paragraph("", fmt.Sprintf("From %s to %s rpm, %s. Stiffness of a throw by %s.", num.Digits(d.FromRPM, 4), num.Digits(d.ToRPM, 4), load, map[string]string{"mean": "the mean of two published formulas", "carter": "Carter's formula", "ker-wilson": "Ker Wilson's formula"}[d.Formula]))
	s.shaftTable(d)
	s.modeTable(d)
	s.criticalTable(d)
	s.damperTable(d)
	s.kindTable(d)
	s.heading("In words")
	s.told(d.Summary)
	s.told(d.Notes)
	s.rests(d.Estimates, d.Assumed, "torsion")
	s.caution()
	return s.String()
}

// shaftTable writes the model with its stresses.
func (s *sheet) shaftTable(d *TorsionDoc) {
	if len(d.Throws) > 0 && d.Throws[0].Carter > 0 {
		t := d.Throws[0]
		s.entries([]entry{{"a throw", fmt.Sprintf("%s MN m/rad by Carter, %s by Ker Wilson: %s %% apart", num.Digits(t.Carter/1e6, 3), num.Digits(t.KerWilson/1e6, 3), num.Digits(t.SpreadPct, 2))}})
	}
	s.heading("The shaft, from the free end")
	heads := []column{
		{left: true, head: []string{"", "disc or span"}},
		{head: []string{"inertia", "[kg m²]"}},
		{head: []string{"stiffness", "[MN m/rad]"}},
		{head: []string{"largest vibratory", "torque [N m]"}},
		{head: []string{"stress", "[MPa]"}},
		{head: []string{"at", "[rpm]"}},
		{head: []string{"largest", "order"}},
	}
	var rows [][]cell
	for i, disc := range d.Discs {
		rows = append(rows, []cell{{text: disc.Name, style: bold}, {text: num.Digits(disc.Inertia, 3)}, {}, {}, {}, {}, {}})
		if i < len(d.Spans) {
			p := d.Spans[i]
			row := []cell{{text: "  " + p.Name}, {}, {text: num.Digits(p.Stiffness/1e6, 3)}, {}, {}, {}, {}}
			if p.StressMPa > 0 {
				row[3], row[4], row[5], row[6] = cell{text: num.Digits(p.TorqueNm, 3)}, cell{text: num.Digits(p.StressMPa, 3)}, cell{text: num.Digits(p.AtRPM, 4)}, cell{text: num.Digits(p.Order, 3)}
			}
			rows = append(rows, row)
		}
	}
	s.table(heads, rows)
}

// modeTable writes natural modes.
func (s *sheet) modeTable(d *TorsionDoc) {
	s.heading("Natural modes")
	heads := []column{{head: []string{"", "mode"}}, {head: []string{"", "[Hz]"}}, {head: []string{"", "[1/min]"}}, {head: []string{"", "nodes"}}, {left: true, head: []string{"twist from the free end on,", "largest 100"}}}
	var rows [][]cell
	for i, m := range d.Modes {
		if i == 5 {
			break
		}
		var shape []string
		for _, v := range m.Shape {
			shape = append(shape, num.Digits(math.Round(100*v), 3))
		}
		name := cell{text: fmt.Sprint(i + 1)}
		if m.Winding {
			name = cell{text: fmt.Sprint(i+1) + " *", style: bold}
		}
		hz, per := num.Digits(m.Hz, 4), num.Digits(m.PerMin, 5)
		if m.Hz == 0 {
			hz, per = "turns as one", ""
		}
		rows = append(rows, []cell{name, {text: hz}, {text: per}, {text: fmt.Sprint(m.Nodes)}, {text: strings.Join(shape, " ")}})
	}
	s.table(heads, rows)
	s.paragraph("  ", "* winds the crank up: dampers are sized and firing orders ranked for it.")
}

// criticalTable writes the critical speeds that are run, those with the largest vector sums first.
func (s *sheet) criticalTable(d *TorsionDoc) {
	var list []CriticalDoc
	for _, c := range d.Criticals {
		if c.Run && c.Sum > 0.05 {
			list = append(list, c)
		}
	}
	if len(list) == 0 {
		return
	}
	slices.SortStableFunc(list, func(a, b CriticalDoc) int {
		if a.Mode != b.Mode {
			return a.Mode - b.Mode
		}
		return int(math.Copysign(1, b.Sum-a.Sum))
	})
	s.heading("Critical speeds that are run, strongest order of each mode first")
	heads, rows := []column{{head: []string{"mode"}}, {head: []string{"order"}}, {head: []string{"rpm"}}, {head: []string{"vector sum"}}}, [][]cell(nil)
	each := map[int]int{}
	for _, c := range list {
		if each[c.Mode]++; each[c.Mode] > 6 {
			continue
		}
		rows = append(rows, []cell{{text: fmt.Sprint(c.Mode)}, {text: num.Digits(c.Order, 3), style: bold}, {text: num.Digits(c.RPM, 4)}, {text: num.Digits(c.Sum, 3)}})
	}
	s.table(heads, rows)
}

// damperTable compares dampers.
func (s *sheet) damperTable(d *TorsionDoc) {
	s.heading("Dampers on the free end, sized by the published optimum, in the forced model")
	heads := []column{
		{left: true, head: []string{"", "damper"}},
		{head: []string{"ring", "[kg m²]"}},
		{head: []string{"over the", "mode's"}},
		{head: []string{"stiffness", "[kN m/rad]"}},
		{head: []string{"damping", "[N m s/rad]"}},
		{head: []string{"stress left", "[MPa]"}},
		{head: []string{"at", "[rpm]"}},
		{head: []string{"free end", "[°]"}},
		{head: []string{"heat", "[W]"}},
	}
	var rows [][]cell
	row := func(name string, p DamperDoc) {
		line := []cell{{text: name, style: bold}, {}, {}, {}, {}, {text: num.Digits(p.StressMPa, 3)}, {text: num.Digits(p.AtRPM, 4)}, {text: num.Digits(p.TwistDeg, 2)}, {}}
		if p.Ring > 0 {
			line[1], line[2], line[4], line[8] = cell{text: num.Digits(p.Ring, 3)}, cell{text: num.Digits(p.Ratio, 2)}, cell{text: num.Digits(p.Damping, 3)}, cell{text: num.Digits(p.HeatW, 3)}
		}
		if p.Stiffness > 0 {
			line[3] = cell{text: num.Digits(p.Stiffness/1e3, 3)}
		}
		rows = append(rows, line)
	}
	for _, p := range d.Dampers {
		row(p.Kind, p)
	}
	if d.Fitted != nil {
		row("fitted: "+d.Fitted.Kind, *d.Fitted)
	}
	s.table(heads, rows)
}

// kindTable ranks firing orders.
func (s *sheet) kindTable(d *TorsionDoc) {
	if len(d.Kind) == 0 {
		return
	}
	s.heading("Firing orders, kindest to the mode that winds the crank up first")
	heads, rows := []column{{head: []string{""}}, {left: true, head: []string{"firing order"}}, {head: []string{"worst order"}}, {head: []string{"drives it with [N m]"}}, {left: true, head: []string{""}}}, [][]cell(nil)
	const most = 8
	for i, k := range d.Kind {
		if i >= most && !k.Own {
			continue
		}
		own := ""
		if k.Own {
			own = "the engine's own"
		}
		worst := num.Digits(k.WorstOrder, 3)
		if k.WorstOrder == 0 {
			worst = "none is run"
		}
		rows = append(rows, []cell{{text: fmt.Sprint(i + 1)}, {text: strings.Join(k.Order, "-"), style: bold}, {text: worst}, {text: num.Digits(k.WorstNm, 3)}, {text: own}})
	}
	s.table(heads, rows)
	if n := len(d.Kind) - len(rows); n > 0 {
		s.paragraph("  ", fmt.Sprintf("%d more are not listed.", n))
	}
}

// TorsionCSV returns stresses over speed: of each span, and of the main orders in the worst span.
func TorsionCSV(d *TorsionDoc) ([]byte, error) {
	c := d.Curves
	head := []string{"speed_rpm", "free_end_deg"}
	for _, p := range c.Spans {
		head = append(head, strings.ReplaceAll(p.Name, " ", "_")+"_MPa")
	}
	for _, o := range c.Orders {
		head = append(head, "order_"+number(o.Order)+"_MPa")
	}
	rows := [][]string{head}
	for j, n := range c.SpeedRPM {
		row := []string{number(n), number(c.TwistDeg[j])}
		for _, p := range c.Spans {
			row = append(row, number(p.StressMPa[j]))
		}
		for _, o := range c.Orders {
			row = append(row, number(o.StressMPa[j]))
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}
