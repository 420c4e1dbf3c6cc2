package bearing

import (
	"errors"
	"math"
	"math/cmplx"
)

// Correction computes one point of the table of corrections from Reynolds. With
//
//   - width: L/D [-], as Reynolds
//   - ecc: eccentricity ε [-], 0 to 0.999
//   - load: direction of the load from the eccentricity [rad], 0 to π
//
// the direction in which the journal must move to meet the load is found by trial; two meshes, one half as fine, give the
// value at no mesh size.
//
// Result [-, rad]: logarithm of the finite mobility over the short one, and by how much the velocity turns further from the
// load; an error as Reynolds. Source: BOOKER
func Correction(width, ecc, load float64) (size, turn float64, err error) {
	short := shortMobility(ecc, load)
	force := func(toward float64) complex128 {
		fine := UsualMesh()
		f, e1 := Reynolds(width, ecc, toward, FilmAnywhere, fine)
		c, e2 := Reynolds(width, ecc, toward, FilmAnywhere, Mesh{Around: fine.Around / 2, Across: fine.Across / 2})
		if err = errors.Join(err, e1, e2); err != nil {
			return 1
		}
		return (4*f - c) / 3
	}
	direction := func(toward float64) float64 {
		return load + cmplx.Phase(force(toward)*cmplx.Rect(1, -load))
	}
	toward := cmplx.Phase(short)
	if load > 1e-9 && load < math.Pi-1e-9 { // else the journal moves along the line of centres
		toward = root(direction, load, 1e-7)
	}
	if err != nil {
		return 0, 0, err
	}
	finite := width / (3 * cmplx.Abs(force(toward)))
	return math.Log(finite * width * width / cmplx.Abs(short)), toward - cmplx.Phase(short), err
}

// TableSize returns the size of the table of corrections.
//
// Result [-]: points over the eccentricity and over the direction of the load. Definition.
func TableSize() (rows, columns int) { return coarseE, coarseA }

// TablePoint returns a point of the table of corrections. With
//
//   - i: row [-], equal steps of ln(1−ε)
//   - j: column [-], equal steps of the fanned angle
//
// Result [-, rad]: eccentricity, and direction of the load from it. Definition.
func TablePoint(i, j int) (ecc, load float64) {
	ecc = -math.Expm1(-rangeE * float64(i) / (coarseE - 1))
	return ecc, unfan(math.Pi*float64(j)/(coarseA-1), ecc)
}
