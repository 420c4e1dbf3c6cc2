package report

import (
	"fmt"
	"math"
	"strings"

	"crankwright/analysis"
	"crankwright/num"
)

// MountsText returns how an engine swings on its mounts as text for a terminal.
func MountsText(d *MountsDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	load := num.Digits(d.LoadPct, 3) + " % load"
	if d.Measured {
		load = "with the measured pressure at every speed"
	} else if d.LoadPct == 100 {
		load = "full load"
	}
	idle := ""
	if d.Light {
		idle = ", idle without load"
	}
	s.paragraph("", fmt.Sprintf("From %s to %s rpm, %s%s. x runs along the crank to the drive end, y to the right seen from there, z up.", num.Digits(d.Idle.RPM, 4), num.Digits(max(d.Rated.RPM, d.Worst.RPM), 4), load, idle))
	s.heading("What swings")
	heads := []column{{left: true, head: []string{""}}, {head: []string{"mass [kg]"}}, {head: []string{"centre x, y, z [mm]"}}, {head: []string{"inertia xx, yy, zz [kg m²]"}}}
	var rows [][]cell
	for _, b := range d.Bodies {
		rows = append(rows, []cell{{text: b.Name, style: bold}, {text: num.Digits(b.MassKg, 4)}, {text: triple(b.CentreMM)}, {text: triple([3]float64{b.Inertia[0][0], b.Inertia[1][1], b.Inertia[2][2]})}})
	}
	s.table(heads, rows)
	s.mountTable("Mounts", d.Mounts)
	s.heading("How it swings by itself")
	heads = []column{{head: []string{"", "[Hz]"}}, {left: true, head: []string{"", "mostly"}}}
	for _, n := range []string{"fore-aft", "lateral", "bounce", "roll", "pitch", "yaw"} {
		heads = append(heads, column{head: []string{n, "[%]"}})
	}
	heads = append(heads, column{head: []string{"of a torque", "[%]"}})
	rows = nil
	for _, m := range d.Modes {
		row := []cell{{text: num.Digits(m.Hz, 4), style: bold}, {text: m.Main}}
		for _, e := range m.EnergyPct {
			row = append(row, share(e))
		}
		rows = append(rows, append(row, share(m.TorquePct)))
	}
	s.table(heads, rows)
	s.entries([]entry{
		{"torque roll axis", fmt.Sprintf("%s, %s° from the crank", triple(d.Axis), num.Digits(d.AxisDeg, 2))},
		{"idle", fmt.Sprintf("order %s at %s Hz, %s times the fastest mode (isolation from 1.41)", num.Digits(d.Merit.Order, 3), num.Digits(d.Merit.ExcitationHz, 4), num.Digits(d.Merit.Separation, 3))},
		{"roll", fmt.Sprintf("one mode takes %s %% of a torque about the crank", num.Digits(d.Merit.DecouplingPct, 3))},
		{"largest sag", num.Digits(d.Merit.SagMM, 3) + " mm"},
	})
	if len(d.Meets) > 0 {
		s.heading("Orders that run through a mode")
		rows = nil
		for _, m := range d.Meets {
			rows = append(rows, []cell{{text: num.Digits(m.RPM, 4), style: bold}, {text: num.Digits(m.Order, 3)}, {text: fmt.Sprint(m.Mode)}, {text: num.Digits(m.TotalN, 3)}})
		}
		s.table([]column{{head: []string{"rpm"}}, {head: []string{"order"}}, {head: []string{"mode"}}, {head: []string{"into the structure [N]"}}}, rows)
	}
	s.heading("Into the structure, root mean square [N]")
	heads = []column{{left: true, head: []string{""}}, {head: []string{"rpm"}}, {head: []string{"together"}}, {head: []string{"passes"}}, {left: true, head: []string{"largest part"}}}
	for _, m := range d.Mounts {
		heads = append(heads, column{head: []string{m.Name}})
	}
	rows = nil
	for _, p := range []struct {
		name string
		at   MountPointDoc
	}{{"idle", d.Idle}, {"rated", d.Rated}, {"worst", d.Worst}} {
		most := ""
		if len(p.at.Orders) > 0 {
			o := p.at.Orders[0]
			most = fmt.Sprintf("order %s, %s Hz", num.Digits(o.Order, 3), num.Digits(o.Hz, 3))
		}
		row := []cell{{text: p.name, style: bold}, {text: num.Digits(p.at.RPM, 4)}, {text: num.Digits(p.at.TotalN, 3)}, {text: num.Digits(p.at.PassesPct, 3) + " %"}, {text: most}}
		for _, f := range p.at.ForcesN {
			row = append(row, cell{text: num.Digits(f, 3)})
		}
		rows = append(rows, row)
	}
	s.table(heads, rows)
	s.mountTries(d)
	s.found(d)
	s.people(d)
	s.heading("In words")
	s.told(d.Summary)
	s.told(d.Notes)
	s.rests(d.Estimates, d.Assumed, "mounts", "speeds")
	s.caution()
	return s.String()
}

// PeopleText returns what people feel as text for a terminal.
func PeopleText(d *MountsDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	s.people(d)
	s.mountTries(d)
	s.heading("In words")
	s.told(d.Summary)
	s.told(d.Notes)
	s.rests(d.Estimates, d.Assumed, "mounts")
	s.caution()
	return s.String()
}

func share(percent float64) cell {
	if percent < 0.5 {
		return cell{text: "·"}
	}
	return cell{text: num.Digits(percent, 2)}
}

func triple(v [3]float64) string {
	return num.Digits(v[0], 3) + ", " + num.Digits(v[1], 3) + ", " + num.Digits(v[2], 3)
}

// feltShown writes an acceleration that somebody feels; below a thousandth of a metre a second squared nobody does.
func feltShown(v float64) string {
	if v < 1e-3 {
		return "~0"
	}
	return num.Digits(v, 3)
}

func (s *sheet) mountTable(title string, list []MountDoc) {
	s.heading(title)
	heads := []column{
		{left: true, head: []string{"", ""}}, {head: []string{"at x, y, z", "[mm]"}}, {head: []string{"lean", "[deg]"}}, {head: []string{"stiffness x, y, z", "[N/mm]"}}, {head: []string{"loss", "factor"}}, {head: []string{"sag", "[mm]"}},
	}
	var rows [][]cell
	for _, m := range list {
		rows = append(rows, []cell{{text: m.Name, style: bold}, {text: triple(m.AtMM)}, {text: num.Digits(m.LeanDeg, 3)}, {text: triple(m.Stiffness)}, {text: num.Digits(m.Loss, 2)}, {text: triple(m.SagMM)}})
	}
	s.table(heads, rows)
}

// mountTries writes what other choices would leave.
func (s *sheet) mountTries(d *MountsDoc) {
	s.heading("What another choice leaves, root mean square")
	heads := []column{{left: true, head: []string{"", ""}}, {head: []string{"idle", "[N]"}}, {head: []string{"rated", "[N]"}}, {head: []string{"worst", "[N]"}}, {head: []string{"at", "[rpm]"}}}
	for _, p := range d.People {
		heads = append(heads, column{head: []string{p.Name, "rated [m/s²]"}})
	}
	var rows [][]cell
	list := d.Tries
	if d.Found != nil {
		list = append(list[:len(list):len(list)], d.Found.Try)
	}
	for _, t := range list {
		row := []cell{{text: t.Name, style: bold}, {text: num.Digits(t.IdleN, 3)}, {text: num.Digits(t.RatedN, 3)}, {text: num.Digits(t.WorstN, 3)}, {text: num.Digits(t.WorstRPM, 4)}}
		for _, v := range t.RatedMS2 {
			row = append(row, cell{text: feltShown(v)})
		}
		rows = append(rows, row)
	}
	s.table(heads, rows)
}

// found writes mounts that were found.
func (s *sheet) found(d *MountsDoc) {
	f := d.Found
	if f == nil {
		return
	}
	s.mountTable("Mounts found", f.Mounts)
	s.entries([]entry{
		{"idle", fmt.Sprintf("%s Hz is %s times the fastest mode, %s before", num.Digits(f.Merit.ExcitationHz, 4), num.Digits(f.Merit.Separation, 3), num.Digits(d.Merit.Separation, 3))},
		{"roll", fmt.Sprintf("one mode takes %s %% of a torque, %s %% before", num.Digits(f.Merit.DecouplingPct, 3), num.Digits(d.Merit.DecouplingPct, 3))},
		{"largest sag", fmt.Sprintf("%s mm, %s mm before", num.Digits(f.Merit.SagMM, 3), num.Digits(d.Merit.SagMM, 3))},
		{"judged", fmt.Sprintf("%d systems; a search, no proof", f.Tries)},
	})
	s.told(f.Short)
	s.paragraph("  ", "To put them into the file:")
	s.line("  mounts:")
	s.line("    isolators:")
	text := strings.TrimSuffix(strings.TrimPrefix(f.Edits[0].Text, "["), "]")
	for _, m := range strings.Split(text, "}, {name") {
		m = strings.TrimSuffix(m, "}")
		if !strings.HasPrefix(m, "{name") {
			m = "{name" + m
		}
		s.line("      - " + m + "}")
	}
}

// people writes what is felt.
func (s *sheet) people(d *MountsDoc) {
	if len(d.People) == 0 {
		return
	}
	s.heading(fmt.Sprintf("What people feel, %s h a day", num.Digits(d.HoursH, 3)))
	heads := []column{
		{left: true, head: []string{"", ""}},
		{left: true, head: []string{"", "by"}},
		{left: true, head: []string{"", ""}},
		{head: []string{"", "rpm"}},
		{head: []string{"weighted x, y, z", "[m/s²]"}},
		{head: []string{"counts", "[m/s²]"}},
		{head: []string{"A(8)", "[m/s²]"}},
		{head: []string{"action, limit", "[m/s²]"}},
		{head: []string{"to action", "[h a day]"}},
		{left: true, head: []string{"", "above"}},
	}
	var rows [][]cell
	for _, p := range d.People {
		for i, v := range []struct {
			name string
			at   PersonValueDoc
		}{{"idle", p.Idle}, {"rated", p.Rated}, {"worst", p.Worst}} {
			name, by := "", ""
			if i == 0 {
				name, by = p.Name, p.FeltBy
			}
			over := cell{text: v.at.Over}
			if v.at.Over != "nothing" {
				over.style = bold
			}
			rows = append(rows, []cell{
				{text: name, style: bold},
				{text: by},
				{text: v.name},
				{text: num.Digits(v.at.RPM, 4)},
				{text: feltShown(v.at.Weighted[0]) + ", " + feltShown(v.at.Weighted[1]) + ", " + feltShown(v.at.Weighted[2])},
				{text: feltShown(v.at.Value)},
				{text: feltShown(v.at.Daily)},
				{text: num.Digits(p.Action, 3) + ", " + num.Digits(p.Limit, 3)},
				{text: num.Digits(v.at.ToActionH, 3)},
				over,
			})
		}
	}
	s.table(heads, rows)
	s.paragraph("  ", d.Measure)
}

// MountsCSV returns forces and what is felt over the speed as comma-separated values.
func MountsCSV(d *MountsDoc) ([]byte, error) {
	c := d.Curves
	head := []string{"speed_rpm", "total_N", "passes_pct"}
	for _, m := range d.Mounts {
		head = append(head, strings.ReplaceAll(m.Name, " ", "_")+"_N")
	}
	for _, p := range d.People {
		head = append(head, strings.ReplaceAll(p.Name, " ", "_")+"_ms2")
	}
	rows := [][]string{head}
	for j, n := range c.RPM {
		row := []string{number(n), number(c.TotalN[j]), number(c.PassesPct[j])}
		for _, f := range c.ForcesN {
			row = append(row, number(f[j]))
		}
		for _, f := range c.FeltMS2 {
			row = append(row, number(f[j]))
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}

// mounts writes the main numbers of the mounts, where they were asked for.
func (s *sheet) mounts(r *analysis.Result) {
	if r.Mounts == nil && r.NoMounts == "" {
		return
	}
	s.heading("Mounts and people")
	if r.Mounts == nil {
		s.entries([]entry{{"mounts", "not known: " + r.NoMounts}})
		return
	}
	s.entries(mountEntries(r.Mounts))
}

// worstDaily says at which speed the daily exposure of a receiver is largest.
func worstDaily(m *analysis.Mounts, receiver int) string {
	daily, speed := m.WorstDaily(receiver)
	if daily == 0 {
		return ""
	}
	return fmt.Sprintf("; at worst %s m/s² A(8), at %s rpm", feltShown(daily), num.Digits(rpm(speed), 4))
}

// mountEntries are the main numbers of the mounts.
func mountEntries(m *analysis.Mounts) []entry {
	hz := func(ω float64) string { return num.Digits(ω/(2*math.Pi), 3) }
	rated := m.Tries[0].Rated
	list := []entry{
		{"modes", fmt.Sprintf("%s to %s Hz, sag %s mm", hz(m.Modes[0].Frequency), hz(m.Modes[5].Frequency), num.Digits(1e3*m.Merit.Sag, 3))},
		{"idle", fmt.Sprintf("order %s at %s Hz, %s times the fastest mode", num.Digits(float64(m.Main)/2, 3), hz(m.Aim.Excitation), num.Digits(m.Merit.Separation, 3))},
		{"roll", fmt.Sprintf("one mode takes %s %% of a torque about the crank", num.Digits(100*m.Merit.Decoupling, 3))},
		{"into the structure", fmt.Sprintf("%s N at idle, %s N at %s rpm (root mean square)", num.Digits(m.Idle.Total, 3), num.Digits(rated.Total, 3), num.Digits(rpm(rated.Speed), 4))},
	}
	for i, p := range m.Train.Mounting.Receivers {
		f := rated.Felt[i]
		list = append(list, entry{p.Name, fmt.Sprintf("%s m/s² weighted at %s rpm, %s m/s² A(8)%s", feltShown(f.Value), num.Digits(rpm(rated.Speed), 4), feltShown(f.Daily), worstDaily(m, i))})
	}
	return list
}
