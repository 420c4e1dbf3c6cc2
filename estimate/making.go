package estimate

import (
	"math"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/parts"
)

// making assumes how the engine is made where the file does not say, for block and friction to follow; which rule is usual
// the chapter parts says.
func (f *filler) making(t *layout.Train, w *Working) {
	u := *t
	u.Making, u.Friction = w.Making, w.Friction
	numbers := map[string]*float64{"making.cam_height": &w.Making.CamHeight, "making.cam_spacing": &w.Making.CamSpacing, "making.pitch": &w.Making.Pitch}
	for _, at := range []*float64{&u.Making.CamHeight, &u.Making.CamSpacing, &u.Making.Pitch} {
		if math.IsNaN(*at) {
			*at = 0
		}
	}
	if n := w.Block.Camshafts; n == 0 && u.Making.ValveDrive == "" && (t.Cycle == layout.FourStroke || u.Making.CamDrive != "") {
		u.Making.ValveDrive = layout.Pushrods
		f.word("making.valve_drive", string(layout.Pushrods), "no camshaft is given over the banks")
	} else if n > 0 {
		u.Block.Camshafts = n
	}
	found, chosen := parts.Usual(&u)
	for _, c := range chosen {
		if at := numbers[c.Key]; at != nil {
			f.set(at, c.Key, c.Value, "PRACTICE", "%s", c.Why)
			continue
		}
		f.word(c.Key, c.Word, c.Why)
	}
	m := &w.Making
	m.ValveDrive, m.CamDrive, m.Heads, m.Crankcase, m.Cooling = found.ValveDrive, found.CamDrive, found.Heads, found.Crankcase, found.Cooling
	u.Making = found
	f.stand = parts.StandOf(&u)
	f.set(&w.Friction.Drives, "friction.drives", float64(len(parts.Drives(&u, found, f.stand)))+parts.PumpDrives, "PRACTICE",
		"one for each camshaft drive, oil pump, and water pump or fan")
}
