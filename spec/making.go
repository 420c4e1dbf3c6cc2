package spec

import (
	"crankwright/estimate"
	"crankwright/mechanics/layout"
)

// knownMaking puts into w what the file says of the making in words; Working.Fields has the quantities.
func (r *resolver) knownMaking(w *estimate.Working) {
	m, into := &r.e.Making, &w.Making
	into.ValveDrive = layout.ValveDrive(m.ValveDrive.Value)
	into.CamDrive = layout.CamDrive(m.CamDrive.Value)
	into.Heads = layout.HeadPlan(m.Heads.Value)
	into.Crankcase = layout.Crankcase(m.Crankcase.Value)
	into.Cooling = layout.Cooling(m.Cooling.Value)
}

// making writes the section making.
func (w *writer) making() {
	m := &w.t.Making
	if *m == (layout.Making{}) {
		return
	}
	w.line("making:")
	for _, q := range []struct{ key, word string }{
		{"valve_drive", string(m.ValveDrive)},
		{"cam_drive", string(m.CamDrive)},
		{"heads", string(m.Heads)},
		{"crankcase", string(m.Crankcase)},
		{"cooling", string(m.Cooling)},
	} {
		if q.word != "" {
			w.value("  ", q.key, q.word, "making."+q.key)
		}
	}
	w.workingKeys("  ", "making")
}
