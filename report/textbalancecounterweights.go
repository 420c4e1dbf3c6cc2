package report

import (
	"fmt"
	"math"

	"crankwright/num"
)

// CounterweightsText returns counterweights and what they do as text for a terminal.
func CounterweightsText(d *CounterweightsDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name)
	s.paragraph("", fmt.Sprintf("Counterweights, %s. All forces and moments at %s rpm; moments about x = %s mm. Directions at crank angle 0, from upright in the sense of rotation, as in the engine file.",
		policyShown(d.Policy), num.Digits(d.SpeedRPM, 5), num.Digits(d.ReferenceMM, 5)))
	s.counterweightWebs(d)
	s.counterweightForm(d)
	s.counterweightChange(d)
	if o := d.Optimum; o != nil {
		s.heading("What was made small")
		s.paragraph("  ", fmt.Sprintf("The root of the weighted mean square over the cycle, all orders: force across × %s, force upright × %s, moment about y × %s, moment about z × %s, moments divided by %s mm. What bends the crank inside and loads its main bearings is not in it.",
			num.Digits(o.ForceWeight[0], 4), num.Digits(o.ForceWeight[1], 4), num.Digits(o.MomentWeight[0], 4), num.Digits(o.MomentWeight[1], 4), num.Digits(o.LengthMM, 4)))
		list := []entry{
			{"no counterweights", num.Shown(o.BareN, "N")},
			{"before", num.Shown(o.BeforeN, "N")},
			{"after", num.Shown(o.AfterN, "N")},
			{"out of reach", num.Shown(o.LeastN, "N") + ": no counterweights of any size and at any place leave less"},
		}
		if o.LimitKgmm > 0 {
			list = append(list, entry{"limit of a web", num.Digits(o.LimitKgmm, 5) + " kg mm"})
		}
		s.entries(list)
	}
	s.heading("What remains, and why")
	for _, line := range d.Remains {
		s.paragraph("  - ", line)
	}
	s.estimated(d.Estimates)
	s.caution()
	return s.String()
}

func policyShown(policy string) string {
	switch policy {
	case "none":
		return "none at all"
	case "factor":
		return "one balance factor for the whole crank"
	case "per-throw":
		return "a balance factor for each throw"
	case "per-web":
		return "an unbalance for each web"
	default:
		return "the optimum of a measure"
	}
}

// counterweightWebs writes one row a web.
func (s *sheet) counterweightWebs(d *CounterweightsDoc) {
	s.heading("Webs")
	heads := []column{
		{head: []string{"web"}, left: true},
		{head: []string{"throw"}, left: true},
		{head: []string{"side"}, left: true},
		{head: []string{"at", "mm"}},
		{head: []string{"unbalance", "kg mm"}},
		{head: []string{"direction", "deg"}},
	}
	if d.Form != nil {
		heads = append(heads, column{head: []string{"half", "angle deg"}}, column{head: []string{"mass", "kg"}},
			column{head: []string{"inertia", "kg cm²"}}, column{head: []string{"clearance", "mm"}})
	}
	var rows [][]cell
	limited, tight := false, false
	for i, w := range d.Webs {
		unbalance := cell{text: fixed(w.UnbalanceKgmm, 3)}
		direction := fixed(math.Round(w.AngleDeg*1e3)/1e3, 3)
		if w.UnbalanceKgmm == 0 {
			direction = "–"
		}
		if w.AtLimit {
			unbalance.mark, limited = "!", true
		}
		row := []cell{{text: fmt.Sprint(i + 1)}, {text: shownText(w.Throw)}, {text: w.Side}, {text: fixed(w.AtMM, 2)}, unbalance, {text: direction}}
		if d.Form != nil {
			opt := func(v *float64, factor float64, decimals int) cell {
				if v == nil {
					return cell{text: "–"}
				}
				return cell{text: fixed(*v*factor, decimals)}
			}
			half := opt(w.HalfAngleDeg, 1, 1)
			if w.NoFit != "" {
				half = cell{text: "no fit", style: red}
			}
			clearance := opt(w.ClearanceMM, 1, 2)
			if w.ClearanceMM != nil && *w.ClearanceMM < d.Skirt.WantedMM-1e-9 {
				clearance.mark, clearance.style, tight = "!", red, true
			}
			row = append(row, half, opt(w.MassKg, 1, 4), opt(w.InertiaKgm2, 1e4, 3), clearance)
		}
		rows = append(rows, row)
	}
	s.table(heads, rows)
	if limited {
		s.block("  ", dim, "Unbalance !: the limit of a web; the optimum would put more there.")
	}
	if tight {
		s.block("  ", dim, "Clearance !: less than the "+num.Digits(d.Skirt.WantedMM, 4)+" mm wanted.")
	}
}

// counterweightForm says what the metal needs.
func (s *sheet) counterweightForm(d *CounterweightsDoc) {
	f, k := d.Form, d.Skirt
	if f == nil && k == nil {
		return
	}
	s.heading("Form and room")
	var list []entry
	if f != nil {
		list = append(list,
			entry{"form", fmt.Sprintf("sectors of a ring, radius %s to %s mm, %s mm thick, %s g/cm³; a half ring has %s kg mm",
				num.Digits(f.InnerRadiusMM, 4), num.Digits(f.RadiusMM, 4), num.Digits(f.ThicknessMM, 4), num.Digits(f.DensityKgPerM3/1e3, 4), num.Digits(f.MostKgmm, 4))},
			entry{"added", fmt.Sprintf("%s kg, and %s kg cm² about the crank axis", num.Digits(f.MassKg, 4), num.Digits(1e4*f.InertiaKgm2, 4))})
		said := map[string]bool{}
		for i, w := range d.Webs {
			if w.NoFit != "" && !said[w.NoFit] {
				said[w.NoFit] = true
				list = append(list, entry{fmt.Sprintf("web %d", i+1), w.NoFit + "."})
			}
		}
	}
	if k != nil {
		skirt := num.Digits(k.BelowPinMM, 4) + " mm below the piston pin"
		if k.Estimated {
			skirt += ", estimated as 30 % of the bore (common practice, from memory)"
		}
		list = append(list, entry{"piston skirts", skirt})
		if len(k.Pairs) > 0 {
			c := k.Pairs[0]
			text := fmt.Sprintf("%s mm between web %d and cylinder %s at bottom dead centre, where its skirt is %s mm from the crank axis",
				fixed(c.ClearanceMM, 2), c.Web, shownText(c.Cylinder), fixed(c.EdgeMM, 2))
			if c.ClearanceMM < 0 {
				text = fmt.Sprintf("none: web %d and cylinder %s meet, %s mm into each other at bottom dead centre", c.Web, shownText(c.Cylinder), fixed(-c.ClearanceMM, 2))
			}
			list = append(list, entry{"least clearance", text})
		}
		most := fmt.Sprintf("%s mm leaves a clearance of %s mm everywhere", fixed(k.MostRadiusMM, 2), num.Digits(k.WantedMM, 4))
		if k.MostRadiusMM == 0 {
			most = fmt.Sprintf("there is none that leaves a clearance of %s mm", num.Digits(k.WantedMM, 4))
		}
		list = append(list, entry{"largest radius", most})
	}
	s.entries(list)
}

// counterweightChange writes what was and what is.
func (s *sheet) counterweightChange(d *CounterweightsDoc) {
	s.heading("Before and after")
	heads := []column{
		{left: true},
		{head: []string{"", "unit"}, left: true},
		{head: []string{"with the", "crank"}},
		{head: []string{"against", "the crank"}},
		{head: []string{"largest", "(major)"}},
		{head: []string{"smallest", "(minor)"}},
		{head: []string{"over the", "cycle"}},
	}
	b, a := d.Before, d.After
	row := func(name string, sc scale, values ...float64) []cell {
		out := []cell{{text: name}, {text: sc.unit}}
		for _, v := range values {
			out = append(out, cell{text: sc.show(v)})
		}
		return out
	}
	force := scaleOf("N", b.PeakForceN, a.PeakForceN, b.Force.MajorN, a.Force.MajorN)
	moment := scaleOf("N m", b.PeakMomentNm, a.PeakMomentNm, b.Moment.MajorNm, a.Moment.MajorNm)
	s.table(heads, [][]cell{
		row("free force, order 1, before", force, sizeOf(b.Force.WithN), sizeOf(b.Force.AgainstN), b.Force.MajorN, b.Force.MinorN, b.PeakForceN),
		row("after", force, sizeOf(a.Force.WithN), sizeOf(a.Force.AgainstN), a.Force.MajorN, a.Force.MinorN, a.PeakForceN),
		row("free moment, order 1, before", moment, sizeOf(b.Moment.WithNm), sizeOf(b.Moment.AgainstNm), b.Moment.MajorNm, b.Moment.MinorNm, b.PeakMomentNm),
		row("after", moment, sizeOf(a.Moment.WithNm), sizeOf(a.Moment.AgainstNm), a.Moment.MajorNm, a.Moment.MinorNm, a.PeakMomentNm),
	})
	s.paragraph("  ", "Over the cycle: the largest resultant, all orders together.")
}
