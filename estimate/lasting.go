package estimate

import (
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// YieldShare is the yield strength of a crank's steel over its tensile strength [1]. Source: PRACTICE, quenched and
// tempered steels 0.7 to 0.85.
const YieldShare = 0.75

// lasting assumes what bearings, steel and shafts are commonly like.
func (f *filler) lasting(t *layout.Train, w *Working) {
	duty, c := f.e.Duty, &t.Crank
	f.set(&w.Crank.JournalFillet, "crank.journal_fillet_radius", c.Fillet, "PRACTICE", "that of the crankpin")
	f.set(&w.Crank.Recess, "crank.fillet_recess", 0, "PRACTICE", "fillets that are not cut into the web")
	pin, main := c.Crankpin.Diameter, c.MainJournal.Diameter
	if pin == 0 {
		pin = PinDiameter(t.Bore, duty)
	}
	if main == 0 {
		main = MainDiameter(t.Bore, duty)
	}
	f.set(&w.Crank.OilBore, "crank.oil_bore.diameter", 0.1*pin, "PRACTICE", "a tenth of the crankpin")
	f.set((*float64)(&w.Crank.OilBoreAngle), "crank.oil_bore.angle", float64(num.Degrees(60)), "PRACTICE",
		"60° ahead of the throw, where the pin carries little")
	if w.Steel.Make == "" {
		w.Steel.Make = layout.GrainFlow
		f.word("crank.make", string(layout.GrainFlow), "drop forged, usual for cranks of this size")
	}
	if w.Steel.Make == layout.CastSteel {
		f.set(&w.Steel.Tensile, "crank.tensile_strength", 600e6, "PRACTICE", "usual for cast steel")
	}
	f.set(&w.Steel.Tensile, "crank.tensile_strength", byDuty(duty, 850e6, 800e6, 900e6), "PRACTICE", "quenched and tempered steel, usual for %s duty", duty)
	f.set(&w.Steel.Yield, "crank.yield_strength", YieldShare*w.Steel.Tensile, "PRACTICE", "three quarters of the tensile strength")

	b := &w.Bearings
	if b.Sharing == "" {
		b.Sharing = layout.SharedByBeam
		f.word("bearings.sharing", string(layout.SharedByBeam), "the crank bends over all its mains")
	}
	width := c.MainJournal.Width
	if width == 0 {
		width = MainWidth(t.Bore, 1, duty)
	}
	f.set(&b.Support, "bearings.support_stiffness", bearing.SupportStiffness(bearing.SteelYoung, width), "PRACTICE",
		"a quarter of steel's modulus × width of the main journal; scatters by three either way")
	f.set(&b.Main.Clearance, "bearings.main.clearance", 1e-3*main, "PRACTICE", "a thousandth of the main journal")
	f.set(&b.BigEnd.Clearance, "bearings.big_end.clearance", 1e-3*pin, "PRACTICE", "a thousandth of the crankpin")
	lining, why := "aluminium-tin-silicon", "usual in small engines"
	switch {
	case duty == Heavy:
		lining, why = "cast copper-lead with overlay 0.025 mm", "usual for heavy duty"
	case w.Gas.Ignition == layout.Compression:
		lining, why = "sputtered three-layer", "usual in small engines with compression ignition"
	}
	for _, s := range []struct {
		seat *layout.Seat
		key  string
	}{{&b.Main, "bearings.main.lining"}, {&b.BigEnd, "bearings.big_end.lining"}} {
		if s.seat.Lining == "" {
			s.seat.Lining = lining
			f.word(s.key, lining, why)
		}
	}
	if b.Oil == "" {
		b.Oil = "5W-30"
		if duty == Heavy || w.Gas.Ignition == layout.Compression {
			b.Oil = "15W-40"
		}
		f.word("bearings.oil", b.Oil, "usual for "+duty.String()+" duty with "+string(w.Gas.Ignition)+" ignition")
	}
	f.set(&b.Feed, "bearings.oil_feed", bearing.Zero+90, "PRACTICE", "90 °C, warm oil behind a cooler")
	f.set(&b.Rise, "bearings.oil_rise", bearing.UsualRise(), "PRACTICE", "usual in crankshaft bearings, 10 to 25 K")

	if w.Twisting.Formula == "" {
		w.Twisting.Formula = layout.ByMean
		f.word("torsion.formula", string(layout.ByMean), "the mean of two published formulas")
	}
	if w.Twisting.Damper.Kind == "" {
		w.Twisting.Damper.Kind = layout.NoDamper
		f.word("torsion.damper.kind", string(layout.NoDamper), "none is fitted unless the file says so")
	}
	f.set(&w.Twisting.Magnifier, "torsion.magnifier", 30, "PRACTICE", "engines without damper have 20 to 50")
}
