package explain

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/num"
)

// ray is one direction of a star of vectors, with the parts whose vectors point there.
type ray struct {
	direction float64 // [rad], from +y about +x
	length    float64 // sum of the lengths of its vectors
	parts     []string
}

// arrow is one part's vector.
type arrow struct {
	name   string
	vector complex128
}

// sameDirection is the angle within which vectors count as parallel [rad]: a quarter of a degree,
// far above rounding and below what anybody would call another direction.
const sameDirection = math.Pi / 720

// rays gathers arrows by direction, in the order of the angle.
func rays(arrows []arrow) []ray {
	longest := 0.0
	for _, a := range arrows {
		longest = math.Max(longest, cmplx.Abs(a.vector))
	}
	var out []ray
	for _, a := range arrows {
		length := cmplx.Abs(a.vector)
		if length <= 1e-9*longest {
			continue
		}
		at := slices.IndexFunc(out, func(r ray) bool {
			return math.Abs(turnBetween(r.direction, cmplx.Phase(a.vector))) < sameDirection
		})
		if at < 0 {
			out = append(out, ray{direction: cmplx.Phase(a.vector)})
			at = len(out) - 1
		}
		out[at].length += length
		out[at].parts = append(out[at].parts, a.name)
	}
	slices.SortStableFunc(out, func(a, b ray) int { return cmp.Compare(a.direction, b.direction) })
	return out
}

// turnBetween returns the angle from a to b in (−π, π].
func turnBetween(a, b float64) float64 {
	d := float64(num.Angle(b - a).Wrap(num.Turn))
	if d > math.Pi {
		d -= 2 * math.Pi
	}
	return d
}

// polygon is a set of rays that point to the corners of a regular polygon and so cancel: the same
// length is taken from each of them.
type polygon struct {
	corners []ray
	length  float64 // what each corner gives
}

// cancel takes closed regular polygons out of a star and returns them with the rays that remain, which
// have the same sum. Small polygons first or large ones first: whichever leaves less.
func cancel(star []ray) (closed []polygon, rest []ray) {
	small, large := closing(star, false), closing(star, true)
	if large.left < small.left*(1-1e-9) {
		return large.closed, large.rest
	}
	return small.closed, small.rest
}

type closure struct {
	closed []polygon
	rest   []ray
	left   float64 // length of what remains
}

// closing takes polygons out of a star, by number of corners up or down.
func closing(star []ray, down bool) closure {
	c := closure{rest: slices.Clone(star)}
	longest := 0.0
	for _, r := range c.rest {
		longest = math.Max(longest, r.length)
	}
	for step := 2; step <= len(star); step++ {
		corners := step
		if down {
			corners = len(star) + 2 - step
		}
		for {
			set := regular(c.rest, corners)
			if set == nil {
				break
			}
			p := polygon{length: math.Inf(1)}
			for _, i := range set {
				p.length = math.Min(p.length, c.rest[i].length)
			}
			for _, i := range set {
				p.corners = append(p.corners, c.rest[i])
				c.rest[i].length -= p.length
			}
			c.closed = append(c.closed, p)
			c.rest = slices.DeleteFunc(c.rest, func(r ray) bool { return r.length <= 1e-9*longest })
		}
	}
	for _, r := range c.rest {
		c.left += r.length
	}
	return c
}

// regular finds rays that point to the corners of a regular polygon.
func regular(star []ray, corners int) []int {
	step := 2 * math.Pi / float64(corners)
	for i := range star {
		set := []int{i}
		for c := 1; c < corners; c++ {
			want := star[i].direction + float64(c)*step
			j := slices.IndexFunc(star, func(r ray) bool {
				return math.Abs(turnBetween(want, r.direction)) < sameDirection
			})
			if j < 0 {
				break
			}
			set = append(set, j)
		}
		if len(set) == corners {
			return set
		}
	}
	return nil
}
