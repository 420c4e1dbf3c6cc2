package balance

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
)

// Clearance is the room between the circle in which the counterweight of a web turns and a piston skirt.
type Clearance struct {
	Web      int     // index into Webs
	Cylinder int     // index into Train.Cylinders
	Edge     float64 // nearest point of the skirt to the crank axis, the piston at bottom dead centre [m]
	Gap      float64 // Edge less the radius of the counterweight [m]; negative: they meet
}

// ErrBore is returned where a clearance needs the bore and the bore is unknown.
var ErrBore = errors.New("the bore is unknown; give it, the clearance of counterweights and pistons needs it")

// SkirtShare is how far a piston skirt reaches below the piston pin, as a share of the bore [1]: 0.25 to
// 0.4 on trunk pistons, from memory. Source: PRACTICE.
const SkirtShare = 0.3

// SkirtClearances returns the clearance of counterweights and piston skirts at bottom dead centre, smallest
// first, for every web beside which a piston stands.
//
//	gap = √( max(0, s − h)² + max(0, |e| − c)² ) − R,   c = √( B²/4 − d² )
//
// with
//   - t: a train that layout.Validate accepts, with its bore B
//   - webs: of Webs; a Thickness of 0 counts as a thin disc
//   - radius: R of the counterweights, one for each web [m]; 0: the web has none and is left out
//   - below: h, how far skirts reach below the piston pin [m]
//
// Result [m]: s is the exact place of the piston pin at bottom dead centre, e the offset of the cylinder, d
// the axial distance from the cylinder axis to the nearest face of the web. The skirt counts as a full
// cylinder and the counterweight as a full disc, so that a skirt cut away at its sides, or a counterweight
// that points elsewhere when the piston is down, has more room, never less. Errors: layout.Problems,
// ErrBore, a length that is no length. Definition.
func SkirtClearances(t *layout.Train, webs []Web, radius []float64, below float64) ([]Clearance, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if t.Bore <= 0 {
		return nil, ErrBore
	}
	if !(below >= 0) || below > 100 {
		return nil, fmt.Errorf("a skirt that reaches %g mm below the piston pin is not possible; a length from 0 mm to 100 m is needed", 1e3*below)
	}
	if len(radius) != len(webs) {
		return nil, fmt.Errorf("there are %d radii of counterweights; the crank has %d webs, give one for each", len(radius), len(webs))
	}
	var out []Clearance
	for i := range t.Cylinders {
		cyl := &t.Cylinders[i]
		link, _, _ := motion.LinkageOf(t, i)
		_, bottom, err := link.DeadCentres()
		if err != nil {
			return nil, fmt.Errorf("cylinder %s: %w", cyl.Name, err)
		}
		state, err := link.At(bottom)
		if err != nil {
			return nil, fmt.Errorf("cylinder %s: %w", cyl.Name, err)
		}
		lower := math.Max(0, real(state.Piston.Pos)-below)
		for j, w := range webs {
			if r := radius[j]; !(r >= 0) || r > 100 {
				return nil, fmt.Errorf("a counterweight of %g mm radius is not possible; a length from 0 mm to 100 m is needed", 1e3*r)
			} else if r == 0 {
				continue
			}
			d := math.Max(0, math.Abs(w.At-cyl.At)-w.Thickness/2)
			if d >= t.Bore/2 {
				continue
			}
			chord := math.Sqrt(t.Bore*t.Bore/4 - d*d)
			edge := math.Hypot(lower, math.Max(0, math.Abs(cyl.Offset)-chord))
			out = append(out, Clearance{Web: j, Cylinder: i, Edge: edge, Gap: edge - radius[j]})
		}
	}
	slices.SortStableFunc(out, func(a, b Clearance) int {
		switch {
		case a.Gap < b.Gap-1e-12:
			return -1
		case a.Gap > b.Gap+1e-12:
			return 1
		default:
			return a.Web - b.Web
		}
	})
	return out, nil
}
