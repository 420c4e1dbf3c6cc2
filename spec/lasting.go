package spec

import (
	"fmt"
	"strconv"

	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// knownLasting puts into w what the file says of bearings, steel and shafts in words and flags, and the bores of hollow
// journals into the train; Working.Fields has the other quantities.
func (r *resolver) knownLasting(w *estimate.Working) {
	e := r.e
	r.t.Crank.MainJournal.Bore, r.t.Crank.Crankpin.Bore = e.Crank.MainJournal.Bore.SI, e.Crank.Crankpin.Bore.SI
	w.Steel.Make = layout.Make(e.Crank.Make.Value)
	b := &e.Bearings
	w.Bearings.Sharing = layout.Sharing(b.Sharing.Value)
	w.Bearings.Oil = b.Oil.Value
	for _, s := range []struct {
		of  *Seat
		put *layout.Seat
	}{{&b.Main, &w.Bearings.Main}, {&b.BigEnd, &w.Bearings.BigEnd}} {
		s.put.Lining, s.put.Grooved = s.of.Lining.Value, s.of.Grooved.Value
	}
	t := &e.Torsion
	w.Twisting.Formula = layout.Formula(t.Formula.Value)
	w.Twisting.FreeEnd, w.Twisting.Driven = r.shaftParts("free_end", t.FreeEnd), r.shaftParts("driven", t.Driven)
	d := &t.Damper
	kind := layout.DamperKind(d.Kind.Value)
	w.Twisting.Damper = layout.Damper{Kind: kind, Ring: d.Inertia.SI, Hub: d.HubInertia.SI, Stiffness: d.Stiffness.SI, Damping: d.Damping.SI}
	for _, q := range []struct {
		key  string
		mark Mark
	}{{"inertia", d.Inertia.Mark}, {"hub_inertia", d.HubInertia.Mark}, {"stiffness", d.Stiffness.Mark}, {"damping", d.Damping.Mark}} {
		if q.mark.Given() && (d.Kind.missing() || kind == layout.NoDamper) {
			r.fail(q.mark.at, "give kind: rubber or kind: viscous, or leave this out", "%s: there is no damper that could have it", q.key)
		}
	}
	if kind == layout.Viscous && d.Stiffness.Given() {
		r.fail(d.Stiffness.at, "leave it out, or give kind: rubber", "stiffness: a viscous damper has no rubber")
	}
}

func (r *resolver) shaftParts(key string, list []ShaftPart) []layout.ShaftPart {
	var out []layout.ShaftPart
	for i := range list {
		p := &list[i]
		if !p.Given() {
			continue
		}
		ok := r.need(p.Inertia.Mark, p.at, "inertia", "give its moment of inertia, such as 0.2 kg m2")
		if !r.need(p.Stiffness.Mark, p.at, "stiffness", "give the stiffness of the shaft that leads to it, such as 60 kN m/rad") || !ok {
			continue
		}
		if p.Ratio.Given() && p.Ratio.SI == 0 {
			r.fail(p.Ratio.at, "give turns per turn of the crank, such as 1 or 0.5", "ratio: a part that never turns is no part of the shaft")
		}
		name := p.Name.Value
		if name == "" {
			name = fmt.Sprintf("%s %d", map[string]string{"free_end": "free end", "driven": "driven part"}[key], i+1)
		}
		out = append(out, layout.ShaftPart{
			Name: name, Inertia: p.Inertia.SI, Stiffness: p.Stiffness.SI, Damping: p.Damping.SI, Ratio: p.Ratio.SI, Diameter: p.Diameter.SI,
		})
	}
	return out
}

// lasting puts bearings, steel and shafts into the train.
func (r *resolver) lasting(w estimate.Working) {
	r.t.Bearings, r.t.Steel, r.t.Twisting = w.Bearings, w.Steel, w.Twisting
	c := &r.t.Crank
	c.JournalFillet, c.Recess, c.OilBore, c.OilBoreAngle = w.Crank.JournalFillet, w.Crank.Recess, w.Crank.OilBore, num.Angle(w.Crank.OilBoreAngle)
}

// steel writes what the section crank says of the steel and the oil bore.
func (w *writer) steel() {
	w.workingKeys("  ", "crank")
	if w.t.Steel.Make != "" {
		w.value("  ", "make", string(w.t.Steel.Make), "crank.make")
	}
	if w.t.Crank.OilBore > 0 || w.src.Crank.OilBore.Diameter.Given() {
		w.line("  oil_bore:")
		w.workingKeys("    ", "crank.oil_bore")
	}
}

// bearings writes the sections bearings and torsion.
func (w *writer) bearings() {
	b := &w.t.Bearings
	if b.Sharing != "" || b.Oil != "" {
		w.line("bearings:")
		if b.Sharing != "" {
			w.value("  ", "sharing", string(b.Sharing), "bearings.sharing")
		}
		if b.Oil != "" {
			w.value("  ", "oil", strconv.Quote(b.Oil), "bearings.oil")
		}
		w.workingKeys("  ", "bearings")
		for _, s := range []struct {
			key  string
			seat *layout.Seat
		}{{"main", &b.Main}, {"big_end", &b.BigEnd}} {
			w.line("  %s:", s.key)
			w.workingKeys("    ", "bearings."+s.key)
			if s.seat.Lining != "" {
				w.value("    ", "lining", strconv.Quote(s.seat.Lining), "bearings."+s.key+".lining")
			}
			if s.seat.Grooved {
				w.value("    ", "grooved", "true")
			}
		}
	}
	t := &w.t.Twisting
	if t.Formula == "" && t.Magnifier == 0 && len(t.FreeEnd)+len(t.Driven) == 0 {
		return
	}
	src := &w.src.Torsion
	w.line("torsion:")
	if t.Formula != "" {
		w.value("  ", "formula", string(t.Formula), "torsion.formula")
	}
	w.workingKeys("  ", "torsion")
	if d := &t.Damper; d.Kind != "" {
		w.line("  damper:")
		w.value("    ", "kind", string(d.Kind), "torsion.damper.kind")
		if d.Ring > 0 {
			w.value("    ", "inertia", kept(d.Ring, src.Damper.Inertia))
		}
		if d.Hub > 0 {
			w.value("    ", "hub_inertia", kept(d.Hub, src.Damper.HubInertia))
		}
		if d.Stiffness > 0 {
			w.value("    ", "stiffness", kept(d.Stiffness, src.Damper.Stiffness))
		}
		if d.Damping > 0 {
			w.value("    ", "damping", kept(d.Damping, src.Damper.Damping))
		}
	}
	w.shaftParts("free_end", t.FreeEnd, src.FreeEnd)
	w.shaftParts("driven", t.Driven, src.Driven)
}

func (w *writer) shaftParts(key string, list []layout.ShaftPart, src []ShaftPart) {
	if len(list) > 0 {
		w.line("  %s:", key)
	}
	for i, p := range list {
		var was ShaftPart
		if i < len(src) {
			was = src[i]
		}
		more := ""
		if p.Damping != 0 {
			more += ", damping: " + kept(p.Damping, was.Damping)
		}
		if p.Ratio != 0 {
			more += ", ratio: " + kept(p.Ratio, was.Ratio)
		}
		if p.Diameter != 0 {
			more += ", diameter: " + kept(p.Diameter, was.Diameter)
		}
		w.line("    - {name: %s, inertia: %s, stiffness: %s%s}", quoted(p.Name), kept(p.Inertia, was.Inertia), kept(p.Stiffness, was.Stiffness), more)
	}
}
