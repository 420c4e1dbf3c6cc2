package layout

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/num"
)

// Making is what an engineer decides about how the engine is made beside its crank train. An empty word and a number
// of zero are unknown.
type Making struct {
	ValveDrive ValveDrive
	CamDrive   CamDrive
	Heads      HeadPlan
	Crankcase  Crankcase
	Cooling    Cooling
	CamHeight  float64 // of overhead camshaft axes above the deck [m]
	CamSpacing float64 // between the two camshafts of a head [m]
	Pitch      float64 // of the chain or belt that drives the camshafts [m]
}

// ValveDrive is how the valves are worked.
type ValveDrive string

// The valve drives.
const (
	OverheadSingle ValveDrive = "overhead-single" // one camshaft over each row of cylinders
	OverheadDouble ValveDrive = "overhead-double" // two camshafts over each row of cylinders
	Pushrods       ValveDrive = "pushrods"        // camshaft or cam ring in the crankcase
	Ports          ValveDrive = "ports"           // a two-stroke engine whose pistons open ports; no valves
)

// Overhead returns how many camshafts stand over each row of cylinders [1]; of the empty word that is not known. Definition.
func (d ValveDrive) Overhead() (n int, known bool) {
	switch d {
	case OverheadSingle:
		return 1, true
	case OverheadDouble:
		return 2, true
	}
	return 0, d != ""
}

// CamDrive is what turns the camshafts.
type CamDrive string

// The camshaft drives.
const (
	Chain CamDrive = "chain"
	Belt  CamDrive = "belt"
	Gears CamDrive = "gears"
)

// HeadPlan is how many cylinders a head covers.
type HeadPlan string

// The plans of heads.
const (
	HeadPerBank HeadPlan = "per-bank"
	HeadShared  HeadPlan = "shared" // one head over both banks of a narrow vee
	HeadEach    HeadPlan = "each"   // one head a cylinder
)

// Crankcase is how the crankcase is divided so that the crank goes in.
type Crankcase string

// The crankcases.
const (
	Caps     Crankcase = "caps"     // a bearing cap under each main
	Bedplate Crankcase = "bedplate" // one frame holds the lower halves of all mains
	Halves   Crankcase = "halves"   // two halves, divided through the mains; of a star between its rows
	Tunnel   Crankcase = "tunnel"   // undivided; the crank goes in from an end
)

// Cooling is what takes the heat from the cylinders.
type Cooling string

// The two kinds of cooling.
const (
	Liquid Cooling = "liquid"
	Air    Cooling = "air"
)

// ValveDrives lists the valve drives [-]. Definition.
func ValveDrives() []ValveDrive {
	return []ValveDrive{OverheadSingle, OverheadDouble, Pushrods, Ports}
}

// CamDrives lists the camshaft drives [-]. Definition.
func CamDrives() []CamDrive { return []CamDrive{Chain, Belt, Gears} }

// HeadPlans lists the plans of heads [-]. Definition.
func HeadPlans() []HeadPlan { return []HeadPlan{HeadPerBank, HeadShared, HeadEach} }

// Crankcases lists the crankcases [-]. Definition.
func Crankcases() []Crankcase { return []Crankcase{Caps, Bedplate, Halves, Tunnel} }

// Coolings lists the kinds of cooling [-]. Definition.
func Coolings() []Cooling { return []Cooling{Liquid, Air} }

// NarrowAngle is the largest angle between two banks that one head can cover [rad]. Source: PRACTICE, narrow vees with
// one head were built with 10° to about 20°.
const NarrowAngle = num.Angle(20 * math.Pi / 180)

// Limits of the making. Definition: beyond what engines have, so that a wrong unit is told from an engine.
const (
	MaxCamPlace = 10.0  // [m]
	MinPitch    = 0.001 // [m]
	MaxPitch    = 0.2   // [m]
)

// making checks what the file says of the making; zero and empty are unknown.
func (v *validator) making() {
	m := &v.t.Making
	word(v, "making.valve_drive", m.ValveDrive, ValveDrives())
	word(v, "making.cam_drive", m.CamDrive, CamDrives())
	word(v, "making.heads", m.Heads, HeadPlans())
	word(v, "making.crankcase", m.Crankcase, Crankcases())
	word(v, "making.cooling", m.Cooling, Coolings())
	between := func(where string, x, lo, hi float64, limit string) {
		if v.finite(where, x) && x != 0 && (x < lo || x > hi) {
			v.fail(where, limit, "the value is %.6g mm", 1e3*x)
		}
	}
	between("making.cam_height", m.CamHeight, 0, MaxCamPlace, "it must lie between 0 and 10 m, such as 100 mm")
	between("making.cam_spacing", m.CamSpacing, 0, MaxCamPlace, "it must lie between 0 and 10 m, such as 120 mm")
	between("making.pitch", m.Pitch, MinPitch, MaxPitch, "it must lie between 1 and 200 mm, such as 8 mm")
	switch {
	case m.ValveDrive == Ports && v.t.Cycle == FourStroke:
		v.fail("making.valve_drive", "give overhead-single, overhead-double or pushrods", "a four-stroke engine needs valves, and ports have none")
	case m.ValveDrive == Ports && m.CamDrive != "":
		v.fail("making.cam_drive", "leave it out", "an engine with ports alone has no camshaft to drive")
	}
	if m.Heads == HeadShared {
		v.sharedHead()
	}
	b := &v.t.Block
	if over, known := m.ValveDrive.Overhead(); known && b.DeckHeight > 0 && b.Camshafts <= MaxCamshafts && b.Camshafts != float64(over) {
		v.fail("block.camshafts", fmt.Sprintf("give %d or leave it out, or change making.valve_drive", over),
			"the value is %.4g, and with %s %d stand over each bank", b.Camshafts, m.ValveDrive, over)
	}
	if m.Cooling == Air && b.Coolant > 0 {
		v.fail("block.coolant_mass", "leave it out, or give making: {cooling: liquid}", "%.4g kg of coolant stand in an engine that air cools", b.Coolant)
	}
}

func word[W ~string](v *validator, where string, given W, known []W) {
	if given == "" || slices.Contains(known, given) {
		return
	}
	var list []string
	for _, k := range known {
		list = append(list, string(k))
	}
	v.fail(where, "it is one of "+strings.Join(list, ", "), "the word %q is not known", string(given))
}

// sharedHead refuses one head over banks that stand too far apart.
func (v *validator) sharedHead() {
	for i := range v.t.Cylinders {
		for j := range i {
			a, b := v.t.Cylinders[i].Axis, v.t.Cylinders[j].Axis
			apart := (a - b).Wrap(num.Turn)
			apart = min(apart, num.Turn-apart)
			if apart > NarrowAngle+1e-9 {
				v.fail("making.heads", fmt.Sprintf("one head covers banks up to %.4g deg apart; give per-bank or each", NarrowAngle.Deg()),
					"cylinders %s and %s stand %.4g deg apart", v.t.Cylinders[j].Name, v.t.Cylinders[i].Name, apart.Deg())
				return
			}
		}
	}
}
