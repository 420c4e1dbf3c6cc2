package parts

import (
	"fmt"

	"crankwright/mechanics/layout"
)

// Choice is a decision about the making that was left open.
type Choice struct {
	Key   string  // in the engine file, such as making.cam_drive
	Word  string  // what is usual; empty where it is a number
	Value float64 // [m]
	Why   string
}

// LargeBore is the bore from which engines are usually built with a head a cylinder, pushrods and gears [m]. Source:
// PRACTICE, engines for heavy duty.
const LargeBore = 0.13

// Usual places of overhead camshafts and usual pitches. Source: PRACTICE.
const (
	UsualCamHeight  = 1.2    // above the deck, over the bore [1]
	UsualCamSpacing = 1.4    // between two camshafts of a head, over the bore [1]
	SmallPitch      = 0.008  // of chain or belt [m]
	LargePitch      = 0.0127 // from LargeBore on [m]
)

// Usual returns the making with what was left open as it is usual.
//
//   - t: a train that layout.Validate accepts, of which Making says what is known; of valves the count in Friction is read,
//     of camshafts that in Block where it is above 0
//
// Result: lengths in [m], and one Choice for each thing that was open. Without a bore the lengths stay open. An engine with
// ports alone has no cam drive. Source: PRACTICE.
func Usual(t *layout.Train) (layout.Making, []Choice) {
	m, s := t.Making, StandOf(t)
	var made []Choice
	say := func(key, word, why string) { made = append(made, Choice{Key: "making." + key, Word: word, Why: why}) }
	large := t.Bore >= LargeBore
	if m.Cooling == "" {
		m.Cooling = layout.Liquid
		why := "usual for rows of cylinders"
		if s.Star {
			m.Cooling, why = layout.Air, "usual for cylinders in a star"
		}
		say("cooling", string(m.Cooling), why)
	}
	if m.Heads == "" {
		var why string
		switch {
		case s.Star:
			m.Heads, why = layout.HeadEach, "cylinders in a star have a head each"
		case m.Cooling == layout.Air:
			m.Heads, why = layout.HeadEach, "air-cooled cylinders have a head each"
		case large:
			m.Heads, why = layout.HeadEach, fmt.Sprintf("usual from %g mm bore", 1e3*LargeBore)
		case len(s.Banks) == 2 && s.Included <= layout.NarrowAngle+sameAxis:
			m.Heads, why = layout.HeadShared, fmt.Sprintf("one head covers banks up to %.4g° apart", layout.NarrowAngle.Deg())
		default:
			m.Heads, why = layout.HeadPerBank, "one head a bank, usual for liquid cooling"
		}
		say("heads", string(m.Heads), why)
	}
	if m.Crankcase == "" {
		why := "a cap under each main, usual for rows of cylinders above the crank"
		m.Crankcase = layout.Caps
		switch {
		case s.Star:
			m.Crankcase, why = layout.Halves, "a star's crankcase is divided across the crank"
		case s.Opposed:
			m.Crankcase, why = layout.Halves, "facing banks meet in the plane of the mains"
		}
		say("crankcase", string(m.Crankcase), why)
	}
	usualValves(t, s, &m, say)
	length := func(at *float64, key string, value float64, why string) {
		if *at == 0 && value > 0 {
			*at = value
			made = append(made, Choice{Key: "making." + key, Value: value, Why: why})
		}
	}
	if m.ValveDrive == layout.OverheadSingle || m.ValveDrive == layout.OverheadDouble {
		length(&m.CamHeight, "cam_height", UsualCamHeight*t.Bore, fmt.Sprintf("%g × bore above the deck", UsualCamHeight))
	}
	if m.ValveDrive == layout.OverheadDouble {
		length(&m.CamSpacing, "cam_spacing", UsualCamSpacing*t.Bore, fmt.Sprintf("%g × bore", UsualCamSpacing))
	}
	if m.CamDrive == layout.Chain || m.CamDrive == layout.Belt {
		pitch := SmallPitch
		if large {
			pitch = LargePitch
		}
		if t.Bore > 0 {
			length(&m.Pitch, "pitch", pitch, "usual for engines of this bore")
		}
	}
	return m, made
}

// usualValves settles how the valves are worked and their camshafts turned.
func usualValves(t *layout.Train, s Stand, m *layout.Making, say func(key, word, why string)) {
	large := t.Bore >= LargeBore
	if m.ValveDrive == "" {
		var why string
		switch {
		case t.Block.Camshafts == 1:
			m.ValveDrive, why = layout.OverheadSingle, "one camshaft is given over each bank"
		case t.Block.Camshafts == 2:
			m.ValveDrive, why = layout.OverheadDouble, "two camshafts are given over each bank"
		case t.Cycle == layout.TwoStroke:
			m.ValveDrive, why = layout.Ports, "usual for a two-stroke engine"
			if m.CamDrive != "" {
				m.ValveDrive, why = layout.OverheadSingle, "a camshaft drive is given, so there is a camshaft"
			}
		case s.Star:
			m.ValveDrive, why = layout.Pushrods, "cylinders in a star share a cam ring"
		case large:
			m.ValveDrive, why = layout.Pushrods, fmt.Sprintf("usual from %g mm bore", 1e3*LargeBore)
		case t.Friction.ValvesPerCylinder > 0 && t.Friction.ValvesPerCylinder < 3:
			m.ValveDrive, why = layout.OverheadSingle, "one camshaft works two valves a cylinder"
		default:
			m.ValveDrive, why = layout.OverheadDouble, "usual for three valves a cylinder and more"
		}
		say("valve_drive", string(m.ValveDrive), why)
	}
	if m.CamDrive != "" || m.ValveDrive == layout.Ports {
		return
	}
	why := "usual today"
	m.CamDrive = layout.Chain
	switch {
	case s.Star:
		m.CamDrive, why = layout.Gears, "a cam ring is turned by gears"
	case large:
		m.CamDrive, why = layout.Gears, fmt.Sprintf("usual from %g mm bore", 1e3*LargeBore)
	}
	say("cam_drive", string(m.CamDrive), why)
}
