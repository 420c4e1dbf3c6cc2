package draw

import (
	"math"
	"math/cmplx"

	"crankwright/analysis"
	"crankwright/mechanics/bearing"
)

// polarPlane is one polar diagram: a path about a middle.
type polarPlane struct {
	name  string
	path  []complex128 // real part to the right, imaginary part up
	mark  int          // sample that is marked; −1: none
	wall  float64      // radius of a wall; 0: none
	above string       // what lies up
	look  look
}

// polars draws diagrams beside each other, all to one scale unless they have walls.
func (s *sheet) polars(list []polarPlane, each float64, reach float64, unit string) {
	columns := max(1, min(len(list), int((column-2*margin)/each)))
	left := (column - each*float64(columns)) / 2
	top := s.bottom + 18
	for i, p := range list {
		cx := left + each*(float64(i%columns)+0.5)
		cy := top + (each+18)*float64(i/columns) + each/2
		size := each/2 - 16
		most := reach
		if p.wall > 0 {
			most = p.wall
			s.add(circle{point{cx, cy}, size}, pen(ink, 2))
		}
		if !(most > 0) || !drawable(most) {
			continue
		}
		if p.wall == 0 {
			step := niceStep(most, 3)
			for v := step; v <= most*1.0001; v += step {
				s.add(circle{point{cx, cy}, size * v / most}, pen(rule, thin))
			}
			if i == 0 {
				s.note("Circles every " + quantity(step, unit) + ".")
			}
		}
		s.line(point{cx - size, cy}, point{cx + size, cy}, pen(rule, thin))
		s.line(point{cx, cy - size}, point{cx, cy + size}, pen(rule, thin))
		var g polygon
		for _, f := range p.path {
			if cmplx.Abs(f) <= mostDrawn {
				g.points = append(g.points, point{cx, cy}.plus(onPaper(f).times(size/most)))
			}
		}
		if len(g.points) > 2 {
			s.titled(thinned(g), p.look, p.name)
		}
		if p.mark >= 0 && p.mark < len(g.points) {
			s.add(circle{g.points[p.mark], 3.4}, look{stroke: against, width: 1.6, fill: paper})
		}
		if p.above != "" {
			s.text(label{at: point{cx, cy - size - 4}, text: p.above, size: sizeSmall, align: middle, paint: soft})
		}
		s.text(label{at: point{cx, cy + each/2 + 2}, text: p.name, size: sizeSmall, align: middle, paint: ink})
	}
	rows := (len(list) + columns - 1) / columns
	s.bottom = top + (each+18)*float64(rows)
}

// PolarMains shows the polar diagrams of all main bearings in the block's frame.
//
//   - r: whose engine
//   - b: its bearings
//
// Result [-]. Definition.
func PolarMains(r *analysis.Result, b *analysis.Bearings) Figure {
	s := newSheet("polar-main", "Loads of the main bearings", r)
	var list []polarPlane
	most := 0.0
	for i := range b.Mains {
		c := &b.Mains[i]
		at := int(math.Round(float64(c.Specific.PeakAt) / float64(b.Mechanism.Step())))
		list = append(list, polarPlane{name: c.Name + ": " + quantity(c.Specific.Force, "N"), path: b.Loads.Mains[i], mark: at, look: pen(with, normal), above: "up"})
		most = math.Max(most, c.Specific.Force)
		s.say(c.Name + " carries up to " + quantity(c.Specific.Force, "N") + " at " + degrees(c.Specific.PeakAt) + ".")
	}
	if len(list) == 0 || !(most > 0) {
		return s.empty("There are no main bearings to show")
	}
	s.polars(list, 144, most, "N")
	s.note("Force of the journal on its bearing, seen from the drive end; the dot is the largest. Shared by " + b.Method.String() + ".")
	s.note(conceptNote)
	return s.figure()
}

// conceptNote stands below figures of loads, strength and vibration.
const conceptNote = "For concept work: it replaces neither a classification rule, a test, nor a licensed engineer."

// PolarBigEnds shows the polar diagram of the most loaded big end, in its pin and in its rod.
//
//   - r: whose engine
//   - b: its bearings
//
// Result [-]. Definition.
func PolarBigEnds(r *analysis.Result, b *analysis.Bearings) Figure {
	s := newSheet("polar-big-end", "Loads of a big end", r)
	worst := -1
	for i := range b.BigEnds {
		if worst < 0 || b.BigEnds[i].Specific.Force > b.BigEnds[worst].Specific.Force*(1+1e-6) {
			worst = i
		}
	}
	if worst < 0 {
		return s.empty("There is no big end to show")
	}
	c := &b.BigEnds[worst]
	at := int(math.Round(float64(c.Specific.PeakAt) / float64(b.Mechanism.Step())))
	upright := func(f bearing.Frame) []complex128 {
		path, err := b.Mechanism.PolarBigEnd(nil, b.Loads, c.Index, f, c.Sharing...)
		if err != nil {
			return nil
		}
		for i := range path {
			path[i] *= 1i // outward, or the small end, lies up; ahead to the left
		}
		return path
	}
	s.polars([]polarPlane{
		{name: "in the crankpin", path: upright(bearing.InJournal), mark: at, look: pen(with, normal), above: "outward"},
		{name: "in the rod", path: upright(bearing.InRod), mark: at, look: pen(third, normal), above: "small end"},
	}, 216, c.Specific.Force, "N")
	s.say(c.Name + " carries up to " + quantity(c.Specific.Force, "N") + " at " + degrees(c.Specific.PeakAt) + ".")
	of := "Force of the rod"
	if len(c.Sharing) > 0 {
		of = "Resultant force of the rods"
	}
	s.note(of + " on its pin of " + c.Name + ", largest " + quantity(c.Specific.Force, "N") + " (dot); what is ahead in the sense of rotation lies left.")
	s.note(conceptNote)
	return s.figure()
}

// FilmOrbit shows the path of the journal with the thinnest oil film, and the film over the cycle.
//
//   - r: whose engine
//   - b: its bearings
//
// Result [-]. Definition.
func FilmOrbit(r *analysis.Result, b *analysis.Bearings) Figure {
	s := newSheet("film-orbit", "Oil film", r)
	var thin *analysis.Carried
	for _, list := range [][]analysis.Carried{b.Mains, b.BigEnds} {
		for i := range list {
			if c := &list[i]; c.Film != nil && (thin == nil || c.Film.MinFilm < thin.Film.MinFilm*(1-1e-3)) {
				thin = c
			}
		}
	}
	if thin == nil {
		return s.empty("There is no oil film to show")
	}
	path := append([]complex128(nil), thin.Film.Ecc...)
	above := "up"
	if thin.Known.Name == "big end" {
		above = "small end"
		for i := range path {
			path[i] *= 1i
		}
	}
	s.polars([]polarPlane{{name: "path of the journal of " + thin.Name + " in its clearance", path: path, mark: thin.Film.MinAt, wall: 1, look: pen(third, normal), above: above}}, 250, 1, "")
	n := len(thin.Film.Film)
	film := times(closed(thin.Film.Film), 1e6)
	_, high := rangeOf(film)
	period := r.Train.Cycle.Period()
	y := s.bottom + 30
	c := s.newChart(y, 130, angleScale(0, period), evenScale(0, high, 4), "crank angle θ", "thinnest film of "+thin.Name+" in µm")
	c.along(s, evenly(0, period, n), film, pen(third, 2), "")
	c.level(s, 1e6*thin.Known.Low, pen(against, normal).in(dashed), "bearings known to work have "+digits(1e6*thin.Known.Low)+" µm and more")
	c.names(s)
	s.say("The thinnest film is " + digits(1e6*thin.Film.MinFilm) + " µm, in " + thin.Name + ".")
	s.note("Thinnest: " + digits(roundTo(1e6*thin.Film.MinFilm, 0.01)) + " µm of " + digits(roundTo(1e6*thin.Gap.Clearance, 0.1)) + " µm of radial clearance (dot). Bearing round, stiff and full of oil.")
	if !thin.Film.Settled {
		s.note("The path has not repeated: the figures of the film are rough.")
	}
	s.note(conceptNote)
	return s.figure()
}

// MainLoads shows the force on every main bearing over the crank angle.
//
//   - r: whose engine
//   - b: its bearings
//
// Result [-]. Definition.
func MainLoads(r *analysis.Result, b *analysis.Bearings) Figure {
	s := newSheet("bearing-loads", "Force on the main bearings", r)
	n := b.Mechanism.Samples()
	most := 0.0
	for i := range b.Mains {
		most = math.Max(most, b.Mains[i].Specific.Force)
	}
	if !(most > 0) {
		return s.empty("There are no main bearings to show")
	}
	factor, prefix := prefixFor(most)
	y := s.bottom + 30
	c := s.newChart(y, 200, angleScale(0, 4*math.Pi), evenScale(0, most/factor, 5), "crank angle θ", "force in "+prefix+"N")
	for i := range b.Mains {
		size := make([]float64, n)
		for j, f := range b.Loads.Mains[i] {
			size[j] = cmplx.Abs(f) / factor
		}
		c.along(s, evenly(0, 4*math.Pi, n), closed(size), lineLook(i), b.Mains[i].Name)
		s.say(b.Mains[i].Name + ": largest " + quantity(b.Mains[i].Specific.Force, "N") + ", mean " + quantity(b.Mains[i].Specific.MeanForce, "N") + ".")
	}
	c.names(s)
	s.note("Shared by " + b.Method.String() + ".")
	s.note(conceptNote)
	return s.figure()
}
