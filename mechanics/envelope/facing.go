package envelope

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/num"
)

// obstacle is something that turns with the crank in the way of a skirt.
type obstacle struct {
	kind   ClearanceKind
	name   string
	at     float64 // middle along the crank [m]
	thick  float64 // [m]
	throws [2]int  // that it hangs on
	shape  func(θ num.Angle) []complex128
}

// bigEndsAndWebs returns the big ends, and the webs that join two pins of one bay.
func (f *frame) bigEndsAndWebs() []obstacle {
	var out []obstacle
	c := &f.t.Crank
	for i := range f.cylinder {
		if f.t.Cylinders[i].Rod.Linked {
			continue
		}
		m := &f.cylinder[i]
		big, _ := f.rodCorners(i)
		throw := f.t.Cylinders[i].Throw
		out = append(out, obstacle{
			kind: SkirtToBigEnd, name: "rod " + f.t.Cylinders[i].Name, at: f.t.Cylinders[i].At, thick: 0.8 * c.Crankpin.Width, throws: [2]int{throw, throw},
			shape: func(θ num.Angle) []complex128 {
				s, err := m.link.At(θ + m.phase)
				if err != nil { // reach was checked when the frame was built
					return nil
				}
				at := placed(big, s)
				for k := range at {
					at[k] *= m.axis
				}
				return at
			},
		})
	}
	seats := f.seats()
	for k := 1; k < len(seats); k++ {
		l, r := seats[k-1], seats[k]
		thick := r.at - l.at - (l.width+r.width)/2
		if l.throw < 0 || r.throw < 0 || thick <= 0 || cmplx.Abs(l.pin-r.pin) < min(l.diameter, r.diameter) {
			continue
		}
		web := f.web(l, r, l.at+l.width/2, r.at-r.width/2)
		out = append(out, obstacle{
			kind: SkirtToFlyingWeb, name: fmt.Sprintf("web %s to %s", f.t.Throws[l.throw].Name, f.t.Throws[r.throw].Name),
			at: (web.From + web.To) / 2, thick: thick, throws: [2]int{l.throw, r.throw},
			shape: func(θ num.Angle) []complex128 {
				at := make([]complex128, len(web.Section))
				for k, p := range web.Section {
					at[k] = p * θ.Unit()
				}
				return at
			},
		})
	}
	return out
}

// facing finds where a skirt comes nearest to the big end on another pin, or to a web between two pins: where pistons face each
// other the pin of one comes up to the other when that is lowest.
func (f *frame) facing(kind ClearanceKind) (Clearance, bool) {
	const steps = 72
	best := Clearance{Kind: kind, Room: math.Inf(1), Means: "shorten the skirt or cut it away there, lengthen the rods, or stagger the banks more"}
	for _, o := range f.bigEndsAndWebs() {
		if o.kind != kind {
			continue
		}
		for i := range f.cylinder {
			c, m := &f.t.Cylinders[i], &f.cylinder[i]
			d := max(0, math.Abs(o.at-c.At)-o.thick/2)
			own := o.throws[0] == c.Throw && o.throws[1] == c.Throw // it runs below its own piston at a rod's length
			if own || c.Rod.Linked || d >= f.bore/2 {
				continue
			}
			half := math.Sqrt(f.bore*f.bore/4 - d*d)
			by := func(measure func(a, b []complex128) float64) func(num.Angle) float64 {
				return func(θ num.Angle) float64 {
					s, err := m.link.At(θ + m.phase)
					other := o.shape(θ)
					if err != nil || other == nil {
						return math.Inf(1)
					}
					pin := real(s.Piston.Pos)
					low := pin - f.b.PistonSkirt
					skirt := []complex128{complex(low, c.Offset-half), complex(pin+m.crown, c.Offset-half), complex(pin+m.crown, c.Offset+half), complex(low, c.Offset+half)}
					for k := range skirt {
						skirt[k] *= m.axis
					}
					return measure(skirt, other)
				}
			}
			sketch := by(separation)
			room, at := math.Inf(1), num.Angle(0)
			for _, θ := range revolution(steps) {
				if r := sketch(θ); r < room {
					room, at = r, θ
				}
			}
			room, at = smallest(at, num.Turn/steps, by(Distance))
			if room < best.Room-1e-9 { // of those that are equally near the first
				best.Room, best.At, best.Turns = room, at.Wrap(num.Turn), true
				best.Parts = fmt.Sprintf("cylinder %s, %s", c.Name, o.name)
			}
		}
	}
	return best, best.Turns
}
