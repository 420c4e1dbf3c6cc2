package estimate

import (
	"math"

	"crankwright/num"
)

// Stretch and Squeeze bound the factor by which estimated widths are fitted to the cylinder
// spacing [1]. Beyond the first a crank keeps free room; below the second the known widths leave
// none, which layout.Validate reports. Source: PRACTICE.
const (
	Stretch = 1.35
	Squeeze = 0.05
)

// pins returns how many crankpins stand between two main journals.
func (f *filler) pins() int {
	if f.e.OwnPins || f.e.PinSplit != 0 {
		return 2
	}
	return 1
}

// rodsOnPin returns how many rods stand side by side on one pin.
func (f *filler) rodsOnPin() int {
	if f.e.RodsPerPin == 2 && f.pins() == 1 {
		return 2
	}
	return 1
}

// rods returns how many rods stand side by side between two main journals.
func (f *filler) rods() int { return f.pins() * f.rodsOnPin() }

// split returns the angle between the two pins of a throw.
func (f *filler) split() num.Angle {
	if f.e.OwnPins && f.e.PinSplit == 0 {
		return num.Turn / 2
	}
	return f.e.PinSplit
}

// part is a stretch of the crank between the middles of two main journals.
type part struct {
	length  float64 // each [m]
	count   float64 // how many of them
	free    bool    // estimated: it may be fitted
	shrinks bool    // it may be fitted only downwards
}

// alongCrank shares the cylinder spacing among journals, pins and webs.
//
// Unknown widths start from their proportions of the bore. If the spacing is unknown it is what
// the cylinders or the crank need, whichever is more. Then all unknown widths are stretched or
// squeezed by one factor so that the crank fills the spacing.
func (f *filler) alongCrank() {
	e := &f.e
	wide, pinRule := f.pinWidth()
	web := WebThickness(e.Bore, e.Duty)
	middle := 0.0
	if f.pins() == 2 {
		middle = MiddleWeb(web, e.Bore, PinOverlap(e.Stroke/2, e.PinDiameter, f.split()))
	}
	main := part{MainWidth(e.Bore, f.rods(), e.Duty), 1, true, false}
	if !math.IsNaN(e.MainWidth) {
		main = part{e.MainWidth, 1, false, false}
	}
	webs := part{web, 2, true, false}
	if !math.IsNaN(e.WebThickness) {
		webs = part{e.WebThickness, 2, false, false}
	}
	staggered := !math.IsNaN(e.BankStagger)
	pins := part{wide, float64(f.pins()), true, staggered}
	if !math.IsNaN(e.PinWidth) {
		pins.length, pins.free = e.PinWidth, false
	}
	middles := part{middle, 1, true, false}
	if f.pins() == 2 && staggered {
		pins.count = 1 // and the second pin with the middle web: the stagger
		middles = part{e.BankStagger, 1, false, false}
	}

	room := 0.0
	for _, p := range []part{main, webs, pins, middles} {
		room += p.length * p.count
	}
	spacing, why := CylinderSpacing(e.Bore, e.Duty), e.Duty.String()+" duty"
	if e.Finned {
		spacing, why = FinnedSpacing*e.Bore, "air needs fins between the barrels"
	}
	if turns := 2 * e.BankStagger; f.narrow() && turns > math.Max(room, spacing) {
		f.set(&e.CylinderSpacing, "layout.cylinder_spacing", turns, "PRACTICE", "2 × bank stagger: the bores of a narrow vee take turns along the crank")
	}
	if room > spacing {
		f.set(&e.CylinderSpacing, "layout.cylinder_spacing", room, "PRACTICE",
			"what the crank needs: main journal, webs and crankpins of one throw (%.3g × bore)", room/e.Bore)
	}
	f.set(&e.CylinderSpacing, "layout.cylinder_spacing", spacing, "PRACTICE",
		"%.3g × bore (%s)", spacing/e.Bore, why)

	k := fit(e.CylinderSpacing, main, webs, pins, middles)
	fitted := ""
	if math.Abs(k-1) > 0.005 {
		fitted = ", × " + digits(k) + " to fit the cylinder spacing"
	}
	kPin, pinFitted := k, fitted
	if pins.shrinks && k > 1 {
		kPin, pinFitted = 1, ""
	}
	if pins.free {
		f.set(&e.PinWidth, "crank.crankpin.width", kPin*wide, f.general("MANUALS"), "%s%s", pinRule, pinFitted)
	}
	f.set(&e.MainWidth, "crank.main_journal.width", k*main.length, f.general("MANUALS"),
		"%.3g × bore (%s duty)%s", main.length/e.Bore, e.Duty, fitted)
	f.set(&e.WebThickness, "crank.web.thickness", k*web, "PRACTICE",
		"%.3g × bore (%s duty)%s", web/e.Bore, e.Duty, fitted)
	f.stagger(k*middle, fitted)
}

// fit returns the factor that makes the parts fill the spacing when every free one takes it.
func fit(spacing float64, parts ...part) float64 {
	factor := func(growing bool) float64 {
		fixed, free := 0.0, 0.0
		for _, p := range parts {
			if p.free && !(growing && p.shrinks) {
				free += p.length * p.count
			} else {
				fixed += p.length * p.count
			}
		}
		if free == 0 {
			return 1
		}
		return (spacing - fixed) / free
	}
	k := factor(false)
	if k > 1 {
		k = factor(true)
	}
	return math.Min(Stretch, math.Max(Squeeze, k))
}

// pinWidth returns the width of one crankpin before it is fitted to the cylinder spacing, and its
// rule in words.
func (f *filler) pinWidth() (width float64, rule string) {
	e := &f.e
	if f.rodsOnPin() == 2 && e.BankStagger == 0 {
		one := RodWidth(e.Bore, 1, e.Duty)
		return one, digits(one/e.Bore) + " × bore (the rods stand in one plane)"
	}
	rod := RodWidth(e.Bore, f.rods(), e.Duty)
	natural := digits(rod/e.Bore) + " × bore for each rod (" + e.Duty.String() + " duty)"
	s := e.BankStagger
	switch {
	case math.IsNaN(s) || s <= 0:
		return float64(f.rodsOnPin()) * rod, natural
	case f.rodsOnPin() == 2 && s < rod:
		return 2 * s, "2 × bank stagger"
	case f.rodsOnPin() == 2:
		return s + rod, "bank stagger + " + natural
	case f.pins() == 2:
		middle := MiddleWeb(WebThickness(e.Bore, e.Duty), e.Bore, PinOverlap(e.Stroke/2, e.PinDiameter, f.split()))
		if s < rod+middle {
			share := rod / (rod + middle)
			return share * s, digits(share) + " × bank stagger, the rest is what joins the two pins"
		}
	}
	return rod, natural
}

// stagger sets the axial distance of the two cylinders of one throw.
func (f *filler) stagger(middle float64, fitted string) {
	e := &f.e
	switch {
	case !math.IsNaN(e.BankStagger):
	case f.pins() == 2 && PinOverlap(e.Stroke/2, e.PinDiameter, f.split()) < SplitOverlap:
		f.set(&e.BankStagger, "layout.bank_stagger", e.PinWidth+middle, "PRACTICE",
			"crankpin width and a web of %s between the two pins (0.6 × web thickness%s)", Shown(middle, "m"), fitted)
	case f.pins() == 2:
		f.set(&e.BankStagger, "layout.bank_stagger", e.PinWidth+middle, "PRACTICE",
			"crankpin width and a flange of %s between the two pins, which overlap", Shown(middle, "m"))
	case f.rodsOnPin() == 2:
		f.set(&e.BankStagger, "layout.bank_stagger", e.PinWidth/2, "PRACTICE",
			"half the crankpin width: the two rods stand side by side")
	default:
		e.BankStagger = 0
	}
}
