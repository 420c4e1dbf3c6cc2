package motion

import (
	"errors"
	"math"

	"crankwright/num"
)

// Point is a moving point: place and its first two derivatives with respect to the crank angle.
type Point struct {
	Pos complex128 // [m]
	Vel complex128 // [m/rad]
	Acc complex128 // [m/rad²]
}

// Along returns the point on the line from a to b at a fixed share of it.
//
//	p = a + f (b − a)
//
// with
//   - f: share of the way [1], any value
//
// Result [m] with derivatives. Definition.
func Along(a, b Point, f float64) Point {
	g := complex(f, 0)
	return Point{
		Pos: a.Pos + g*(b.Pos-a.Pos),
		Vel: a.Vel + g*(b.Vel-a.Vel),
		Acc: a.Acc + g*(b.Acc-a.Acc),
	}
}

// Rod is the moving rod: its direction from the driving pin to the piston pin, and how it turns.
type Rod struct {
	Direction complex128 // unit vector [1]
	Vel       float64    // turning per crank angle, about +x [rad/rad]
	Acc       float64    // its derivative [rad/rad²]
}

// ErrReach is returned where the rod cannot reach its cylinder.
var ErrReach = errors.New("motion: the rod is too short to reach its cylinder axis at some crank angle")

// Crankpin returns the crankpin in the frame of a cylinder.
//
//	p = r e^{iφ}
//
// with
//   - φ: crank angle from the position in which the throw points along the cylinder axis [rad]
//   - r: crank radius [m], greater than zero
//
// Result [m] with derivatives. Definition.
func Crankpin(φ num.Angle, r float64) Point {
	return circling(complex(r, 0) * φ.Unit())
}

// circling is a point that turns with the crank.
func circling(p complex128) Point { return Point{Pos: p, Vel: 1i * p, Acc: -p} }

// Drive returns the piston pin and the rod that a given pin drives.
//
//	s = a + √(l² − b²)   with driving pin a + i(b + e)
//	s' = a' − b b'/√(l² − b²)
//	s'' = a'' − (b'² + b b'')/√(l² − b²) − (b b')²/(l² − b²)^{3/2}
//	χ = −asin(b/l)   χ' = −b'/√(l² − b²)
//
// with
//   - pin: the driving pin in the cylinder's frame [m] with derivatives
//   - l: rod length between eye centres [m], greater than |b|
//   - e: distance of the piston pin's path from the crank axis [m]
//
// Results: piston pin [m] with derivatives; rod turning [rad]. ErrReach where l ≤ |b|. Accuracy:
// closed form, rounding only. Source: KOEHLER, offset slider-crank; the pin may follow any path.
func Drive(pin Point, l, e float64) (Point, Rod, error) {
	b, db, ddb := imag(pin.Pos)-e, imag(pin.Vel), imag(pin.Acc)
	q := l*l - b*b
	if !(q > 0) {
		return Point{}, Rod{}, ErrReach
	}
	root := math.Sqrt(q)
	bend := b * db / root // −d(root)
	dd := -(db*db+b*ddb)/root - bend*bend/root
	piston := Point{
		Pos: complex(real(pin.Pos)+root, e),
		Vel: complex(real(pin.Vel)-bend, 0),
		Acc: complex(real(pin.Acc)+dd, 0),
	}
	rod := Rod{
		Direction: complex(root/l, -b/l),
		Vel:       -db / root,
		Acc:       -(ddb + db*bend/root) / root,
	}
	return piston, rod, nil
}

// Knuckle returns the knuckle pin that a master rod carries, in the master cylinder's frame.
//
//	k = p + ρ e^{iκ} d
//
// with
//   - pin: the master's driving pin [m] with derivatives
//   - rod: the master rod's turning
//   - ρ: knuckle radius [m]
//   - κ: knuckle angle, from the master's big end → small end direction about +x [rad]
//
// Result [m] with derivatives. Source: TAYLOR2, articulated rods; differentiated here.
func Knuckle(pin Point, rod Rod, ρ float64, κ num.Angle) Point {
	arm := complex(ρ, 0) * κ.Unit() * rod.Direction
	return Point{
		Pos: pin.Pos + arm,
		Vel: pin.Vel + arm*complex(0, rod.Vel),
		Acc: pin.Acc + arm*complex(-rod.Vel*rod.Vel, rod.Acc),
	}
}
