package spec

import (
	"fmt"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// mounting puts mounts and people into the train. What the file leaves out of them is assumed where mass and size of
// the engine are known, in package analysis.
func (r *resolver) mounting() {
	m, to := &r.e.Mounts, &r.t.Mounting
	to.Engine, to.Gearbox = r.lump("engine", &m.Engine), r.lump("gearbox", &m.Gearbox)
	for i := range m.Isolators {
		s := &m.Isolators[i]
		if !s.Given() {
			continue
		}
		ok := true
		for _, q := range []struct {
			mark Mark
			key  string
		}{{s.At.Mark, "at"}, {s.Y.Mark, "y"}, {s.Z.Mark, "z"}} {
			ok = r.need(q.mark, s.at, q.key, "give the place of the isolator, such as 120 mm") && ok
		}
		if !r.need(s.Stiffness.Mark, s.at, "stiffness", "give the stiffness along its axes, such as {x: 0.2 kN/mm, y: 0.2 kN/mm, z: 0.5 kN/mm}") || !ok {
			continue
		}
		name := s.Name.Value
		if name == "" {
			name = fmt.Sprintf("isolator %d", i+1)
		}
		to.Isolators = append(to.Isolators, layout.Isolator{
			Name: name, X: s.At.SI, Y: s.Y.SI, Z: s.Z.SI, Lean: num.Angle(s.Lean.SI),
			Stiffness: [3]float64{s.Stiffness.X.SI, s.Stiffness.Y.SI, s.Stiffness.Z.SI}, Loss: s.LossFactor.SI,
		})
	}
	p := &r.e.People
	to.Exposure = p.Exposure.SI
	for i := range p.Points {
		q := &p.Points[i]
		if !q.Given() {
			continue
		}
		ok := r.need(q.FeltBy.Mark, q.at, "felt_by", "say by what it is felt: seat, feet or hand")
		if !r.need(q.On.Mark, q.at, "on", "say what is touched: engine or structure") || !ok {
			continue
		}
		name := q.Name.Value
		if name == "" {
			name = fmt.Sprintf("point %d", i+1)
		}
		to.Receivers = append(to.Receivers, layout.Receiver{
			Name: name, Touch: layout.Touch(q.FeltBy.Value), On: layout.Carrier(q.On.Value), X: q.At.SI, Y: q.Y.SI, Z: q.Z.SI,
			Mass: q.Mass.SI, Mobility: q.Mobility.SI,
		})
	}
}

// lump reads a body that was weighed, or the zero body where there is none.
func (r *resolver) lump(key string, l *Lump) layout.Lump {
	if !l.Given() || !r.need(l.Mass.Mark, l.at, "mass", "give the mass of the "+key+", such as 45 kg") {
		return layout.Lump{}
	}
	j := &l.Inertia
	if !r.need(j.Mark, l.at, "inertia", "give its inertia about its centre of gravity, such as {xx: 0.6 kg m2, yy: 1.2 kg m2, zz: 1.1 kg m2}") {
		return layout.Lump{}
	}
	ok := true
	for _, q := range []struct {
		mark Mark
		key  string
	}{{j.XX.Mark, "xx"}, {j.YY.Mark, "yy"}, {j.ZZ.Mark, "zz"}} {
		ok = r.need(q.mark, j.at, q.key, "give all three moments of inertia, such as 0.6 kg m2") && ok
	}
	if !ok {
		return layout.Lump{}
	}
	return layout.Lump{
		Mass: l.Mass.SI, X: l.At.SI, Y: l.Y.SI, Z: l.Z.SI,
		Inertia: [6]float64{j.XX.SI, j.YY.SI, j.ZZ.SI, j.XY.SI, j.XZ.SI, j.YZ.SI},
	}
}

// mounting writes the sections mounts and people.
func (w *writer) mounting() {
	m, src := &w.t.Mounting, &w.src.Mounts
	if m.Engine.Mass > 0 || m.Gearbox.Mass > 0 || len(m.Isolators) > 0 {
		w.line("mounts:")
		w.lump("engine", m.Engine, &src.Engine)
		w.lump("gearbox", m.Gearbox, &src.Gearbox)
		if len(m.Isolators) > 0 {
			w.line("  isolators:%s", w.comment("mounts.isolators"))
		}
		for i, s := range m.Isolators {
			var was Isolator
			if i < len(src.Isolators) {
				was = src.Isolators[i]
			}
			more := ""
			if s.Lean != 0 {
				more += ", lean: " + kept(float64(s.Lean), was.Lean)
			}
			more += fmt.Sprintf(", stiffness: {x: %s, y: %s, z: %s}", kept(s.Stiffness[0], was.Stiffness.X), kept(s.Stiffness[1], was.Stiffness.Y), kept(s.Stiffness[2], was.Stiffness.Z))
			if s.Loss != 0 {
				more += ", loss_factor: " + kept(s.Loss, was.LossFactor)
			}
			w.line("    - {name: %s, at: %s, y: %s, z: %s%s}", quoted(s.Name), kept(s.X, was.At), kept(s.Y, was.Y), kept(s.Z, was.Z), more)
		}
	}
	if m.Exposure == 0 && len(m.Receivers) == 0 {
		return
	}
	people := &w.src.People
	w.line("people:")
	if m.Exposure > 0 {
		w.value("  ", "exposure", kept(m.Exposure, people.Exposure))
	}
	if len(m.Receivers) > 0 {
		w.line("  points:")
	}
	for i, p := range m.Receivers {
		var was Point
		if i < len(people.Points) {
			was = people.Points[i]
		}
		more := ""
		if p.Mass > 0 {
			more += ", mass: " + kept(p.Mass, was.Mass)
		}
		if p.Mobility > 0 {
			more += ", mobility: " + kept(p.Mobility, was.Mobility)
		}
		w.line("    - {name: %s, felt_by: %s, on: %s, at: %s, y: %s, z: %s%s}", quoted(p.Name), p.Touch, p.On, kept(p.X, was.At), kept(p.Y, was.Y), kept(p.Z, was.Z), more)
	}
}

func (w *writer) lump(key string, l layout.Lump, was *Lump) {
	if l.Mass == 0 {
		return
	}
	j, old := l.Inertia, &was.Inertia
	products := ""
	for i, q := range []struct {
		key string
		was Quantity[Inertia]
	}{{"xy", old.XY}, {"xz", old.XZ}, {"yz", old.YZ}} {
		if j[3+i] != 0 {
			products += ", " + q.key + ": " + kept(j[3+i], q.was)
		}
	}
	w.line("  %s: {mass: %s, at: %s, y: %s, z: %s, inertia: {xx: %s, yy: %s, zz: %s%s}}", key, kept(l.Mass, was.Mass), kept(l.X, was.At), kept(l.Y, was.Y), kept(l.Z, was.Z),
		kept(j[0], old.XX), kept(j[1], old.YY), kept(j[2], old.ZZ), products)
}
