package parts

import (
	"math"
	"math/cmplx"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
)

// Drive turns the camshafts of one row, or of the whole engine, from the crank.
type Drive struct {
	Name   string // such as bank 1
	By     layout.CamDrive
	Cams   int     // camshafts or cam rings that it turns
	Carry  []int   // cylinders whose valves they work
	Wheels []Wheel // crank first; empty where the bore is unknown
	Teeth  [2]float64
	Length float64 // of chain or belt as made [m]; 0: gears, or unknown
	Links  float64 // of the chain, or teeth of the belt
	Gears  int     // of a gear drive, without the one on the crank
}

// Rules of camshaft drives. Source: PRACTICE.
const (
	LeastTeeth  = 18                // of the wheel on the crank [1]
	NoseShare   = 0.7               // nose of the crank over its main journal [1]
	BlockCam    = envelope.BlockCam // a camshaft in the block: its axis beyond the crank radius, over the bore [1]
	IdlerToBore = 1.0               // largest idler gear over the bore [1]
)

// Drives returns the camshaft drives of a train.
//
//	crank wheel z teeth ≥ 18 and about the nose of the crank, R = z p / 2π; camshaft wheel 2z in a four-stroke engine
//	overhead camshaft: at deck + cam height on the axis of its bank, two of them to either side of it
//	camshaft in the block: at crank radius + 0.75 bore from the crank
//	gears: crank + idlers of one bore at most, to span the distance, + camshafts
//
// with
//   - t: a train that layout.Validate accepts
//   - m: its making, of Usual
//   - s: its stand
//
// Result: one drive for each bank with overhead camshafts (each cylinder of a star, one for the shared head of a narrow
// vee), one for all camshafts in the block (one cam ring a row of a star); lengths in [m], 0 without bore. None with ports.
// Source: PRACTICE; lengths as Loop.
func Drives(t *layout.Train, m layout.Making, s Stand) []Drive {
	var out []Drive
	switch m.ValveDrive {
	case layout.Ports:
		return nil
	case layout.Pushrods:
		rows := 1
		if s.Star {
			rows = max(1, len(bearing.Bays(t)))
		}
		all := Drive{Name: "crankcase", By: m.CamDrive, Cams: rows}
		for _, b := range s.Banks {
			all.Carry = append(all.Carry, b.Cylinders...)
		}
		out = append(out, all)
	default:
		cams := 1
		if m.ValveDrive == layout.OverheadDouble {
			cams = 2
		}
		for _, g := range rowsOf(t, m, s) {
			out = append(out, Drive{Name: g.name, By: m.CamDrive, Cams: cams, Carry: g.cylinders})
		}
	}
	if t.Bore > 0 {
		for i := range out {
			out[i].measure(t, m, s)
		}
	}
	return out
}

// measure places the wheels and finds lengths, links and gears.
func (d *Drive) measure(t *layout.Train, m layout.Making, s Stand) {
	pitch := m.Pitch
	if pitch == 0 {
		pitch = SmallPitch
	}
	journal := t.Crank.MainJournal.Diameter
	if journal == 0 {
		journal = envelope.UsualMainDiameter * t.Bore
	}
	teeth := math.Max(LeastTeeth, math.Ceil(math.Pi*NoseShare*journal/pitch+2*math.Pi))
	d.Teeth = [2]float64{teeth, 2 * teeth}
	if t.Cycle == layout.TwoStroke {
		d.Teeth[1] = teeth
	}
	wheel := func(at complex128, teeth float64) {
		d.Wheels = append(d.Wheels, Wheel{At: at, Radius: teeth * pitch / (2 * math.Pi)})
	}
	wheel(0, d.Teeth[0])
	out := d.direction(s)
	if m.ValveDrive == layout.Pushrods {
		radius := 0.0
		for _, th := range t.Throws {
			radius = math.Max(radius, th.Radius)
		}
		wheel(complex(radius+BlockCam*t.Bore, 0)*out, d.Teeth[1])
	} else {
		deck := 0.0
		for _, i := range d.Carry {
			c := &t.Cylinders[i]
			deck = math.Max(deck, deckOf(t, i)*math.Cos(math.Min(math.Pi/2, float64(apart(c.Axis, axisOf(out))))))
		}
		height := complex(deck+m.CamHeight, 0)
		if d.Cams == 1 {
			wheel(height*out, d.Teeth[1])
		} else {
			wheel((height+complex(0, m.CamSpacing/2))*out, d.Teeth[1])
			wheel((height-complex(0, m.CamSpacing/2))*out, d.Teeth[1])
		}
	}
	if d.By == layout.Gears {
		d.Gears = d.Cams
		if m.ValveDrive != layout.Pushrods { // a camshaft in the block meshes with the crank's gear
			span := cmplx.Abs(d.Wheels[1].At) - d.Wheels[0].Radius - d.Wheels[1].Radius
			d.Gears += int(math.Min(1e4, math.Ceil(math.Max(0, span)/(IdlerToBore*t.Bore))))
		}
		return
	}
	length, err := Loop(d.Wheels)
	if err != nil {
		return // a wheel beyond all measure: the length stays unknown
	}
	d.Links = Links(length, pitch, d.By == layout.Chain)
	d.Length = d.Links * pitch
}

// direction is where the camshafts stand, seen from the crank: the middle of their cylinders' axes, straight up where
// these face each other or surround the crank.
func (d *Drive) direction(s Stand) complex128 {
	sum := complex(0, 0)
	for _, b := range s.Banks {
		for _, i := range b.Cylinders {
			for _, j := range d.Carry {
				if i == j {
					sum += direction(b.Axis)
				}
			}
		}
	}
	if cmplx.Abs(sum) < 1e-6*float64(len(d.Carry)) {
		return 1i
	}
	return sum / complex(cmplx.Abs(sum), 0)
}

// row are the cylinders under one set of overhead camshafts.
type row struct {
	name      string
	cylinders []int
}

// rowsOf are the rows of cylinders that share overhead camshafts: a bank, both banks of a shared head, or a cylinder of a
// star.
func rowsOf(t *layout.Train, m layout.Making, s Stand) []row {
	var out []row
	switch {
	case m.Heads == layout.HeadShared:
		r := row{name: "shared head"}
		for _, b := range s.Banks {
			r.cylinders = append(r.cylinders, b.Cylinders...)
		}
		out = append(out, r)
	case s.Star:
		for _, b := range s.Banks {
			for _, i := range b.Cylinders {
				out = append(out, row{"cylinder " + t.Cylinders[i].Name, []int{i}})
			}
		}
	default:
		for _, b := range s.Banks {
			out = append(out, row{b.Name, b.Cylinders})
		}
	}
	return out
}
