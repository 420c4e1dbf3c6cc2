package report

import (
	"fmt"

	"crankwright/num"
)

// StrengthText returns the strength of a crank as text for a terminal.
func StrengthText(d *StrengthDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.work(d.WorkPoint)
	from := "torques of this speed, as if the shaft were stiff"
	if d.Vibration {
		from = "torques of the torsional vibration, the largest over the speeds that are run"
	}
	s.paragraph("", fmt.Sprintf("By the rule for crankshafts (%s): steel of %s MPa, %s (K = %s); %s.", d.Rule, num.Digits(d.TensileMPa, 4), d.Make, num.Digits(d.MakeFactor, 3), from))
	heads := []column{
		{left: true, head: []string{"", "web"}},
		{head: []string{"bending", "[N m]"}},
		{head: []string{"radial", "[kN]"}},
		{head: []string{"torque", "[N m]"}},
		{head: []string{"pin fillet", "[MPa]  Q"}},
		{head: []string{"journal fillet", "[MPa]  Q"}},
		{head: []string{"oil bore", "[MPa]  Q"}},
		{head: []string{"of what the", "rule allows"}},
	}
	var rows [][]cell
	var refused, outside []string
	for _, w := range d.Webs {
		row := []cell{{text: w.Name, style: bold}, {text: num.Digits(w.BendingNm, 3)}, {text: kilonewtons(w.RadialN)}, {text: num.Digits(w.PinNm, 3)}}
		points := map[string]string{}
		for _, p := range w.Points {
			points[p.Name] = num.Digits(p.EquivalentMPa, 3) + "  " + fmt.Sprintf("%.2f", p.Q)
		}
		for _, name := range []string{"pin fillet", "journal fillet", "oil bore"} {
			if points[name] == "" {
				points[name] = "–"
			}
			row = append(row, cell{text: points[name]})
		}
		use := cell{text: num.Digits(w.UsePct, 3) + " %"}
		switch {
		case w.UsePct == 0:
			use.text = "not assessed"
		case w.UsePct > 100:
			use = cell{text: use.text + " !", style: bold}
		}
		rows = append(rows, append(row, use))
		if w.Refused != "" && len(refused) == 0 {
			refused = append(refused, num.Capital(w.Refused)+".")
		}
		if len(w.Outside) > 0 && len(outside) == 0 {
			outside = w.Outside
		}
	}
	s.heading("Webs beside the mains, alternating loads and equivalent stresses")
	s.table(heads, rows)
	s.told(refused)
	for _, o := range outside {
		s.paragraph("  ", "Approximation: "+o+"; it was held at the end of the range.")
	}
	s.worstWeb(d)
	s.heading("In words")
	s.told(d.Summary)
	s.told(d.Notes)
	s.rests(d.Estimates, d.Assumed, "crank")
	s.caution()
	return s.String()
}

// worstWeb writes factors and what a millimetre buys at the weakest web.
func (s *sheet) worstWeb(d *StrengthDoc) {
	var w *WebDoc
	for i := range d.Webs {
		if p := &d.Webs[i]; p.UsePct > 0 && (w == nil || p.UsePct > w.UsePct) {
			w = p
		}
	}
	if w == nil {
		return
	}
	f, n := w.Factors, w.Nominal
	s.heading("The weakest web, " + w.Name)
	s.entries([]entry{
		{"nominal stresses", fmt.Sprintf("bending %s MPa, shear %s MPa, torsion %s MPa in the pin, %s MPa in the journal", num.Digits(n.BendingMPa, 3), num.Digits(n.ShearMPa, 3), num.Digits(n.PinTorsionMPa, 3), num.Digits(n.JournalTorsionMPa, 3))},
		{"pin fillet", fmt.Sprintf("× %s in bending, × %s in torsion", num.Digits(f.PinBending, 3), num.Digits(f.PinTorsion, 3))},
		{"journal fillet", fmt.Sprintf("× %s in bending, × %s in shear, × %s in torsion", num.Digits(f.JournalBending, 3), num.Digits(f.JournalShear, 3), num.Digits(f.JournalTorsion, 3))},
		{"oil bore", fmt.Sprintf("× %s in bending, × %s in torsion", num.Digits(f.OilBending, 3), num.Digits(f.OilTorsion, 3))},
	})
	s.heading("What a millimetre more buys there")
	heads := []column{{left: true, head: []string{"", "size"}}, {head: []string{"now", "[mm]"}}}
	for _, p := range w.Points {
		heads = append(heads, column{head: []string{p.Name, "Q"}})
	}
	heads = append(heads, column{head: []string{"least", "Q"}}, column{head: []string{"", "gain"}}, column{head: []string{"to just meet", "the rule [mm]"}})
	var rows [][]cell
	ranged := false
	for _, c := range w.Changes {
		row := []cell{{text: c.Size}, {text: num.Digits(c.NowMM, 3)}}
		if c.Q == 0 {
			for range len(w.Points) {
				row = append(row, cell{text: "–"})
			}
			row = append(row, cell{text: "beyond"}, cell{text: "the rule"})
		} else {
			for _, p := range c.Points {
				row = append(row, cell{text: fmt.Sprintf("%.2f", p.Q)})
			}
			row = append(row, cell{text: fmt.Sprintf("%.2f", c.Q), style: bold}, cell{text: fmt.Sprintf("%+.2f", c.Gain)})
		}
		need := "–"
		switch {
		case c.LeastMM != nil:
			need = fmt.Sprintf("%+.2f", *c.LeastMM)
		case c.SpareMM != nil:
			need = fmt.Sprintf("−%.2f", *c.SpareMM)
			if c.SpareBy == "range" {
				need, ranged = need+"*", true
			}
		}
		rows = append(rows, append(row, cell{text: need}))
	}
	s.table(heads, rows)
	if ranged {
		s.paragraph("  ", "*: there the range of the rule ends, not its factor.")
	}
}
