package inertia

import "math/cmplx"

// Phasor is a cylinder reduced to its geometry: what an order sum needs when all cylinders have
// equal masses and no offset.
type Phasor struct {
	Throw complex128 // e^{iψ}, direction of the pin [1]
	Axis  complex128 // e^{iβ}, direction of the cylinder axis [1]
	X     float64    // axial place from the reference [m], or in any unit of length
}

// OrderSums are the vector sums of order 1 and 2 over the cylinders of an engine, per amplitude of
// one cylinder's order-n force F_n = m r ω² A_n.
type OrderSums struct {
	Force1With, Force1Against   complex128 // [1]
	Force2With, Force2Against   complex128
	Moment1With, Moment1Against complex128 // [m], or the unit of X
	Moment2With, Moment2Against complex128
}

// SumOrders returns the order-1 and order-2 sums of a layout.
//
//	with_n = ½ Σ i e^{i(nψ−(n−1)β)}   against_n = ½ Σ i e^{i((n+1)β−nψ)}   moments: times i x
//
// with
//   - cylinders: directions of pins and axes [1] and axial places [m]
//
// Result [1] and [m]: multiply by m r ω² A_n. Needs equal cylinders without offset; nothing is
// allocated and no sine or cosine is computed. Source: IDENTITY, the closed form of the
// reciprocating inertia in docs/notation.md.
func SumOrders(cylinders []Phasor) OrderSums {
	var s OrderSums
	for i := range cylinders {
		c := &cylinders[i]
		u, b := c.Throw, c.Axis
		bb, uu := b*b, u*u
		cu := cmplx.Conj(u)
		a1 := bb * cu                 // e^{i(2β−ψ)}
		w2 := uu * cmplx.Conj(b)      // e^{i(2ψ−β)}
		a2 := bb * b * cmplx.Conj(uu) // e^{i(3β−2ψ)}
		s.Force1With += u
		s.Force1Against += a1
		s.Force2With += w2
		s.Force2Against += a2
		s.Moment1With += times(u, c.X)
		s.Moment1Against += times(a1, c.X)
		s.Moment2With += times(w2, c.X)
		s.Moment2Against += times(a2, c.X)
	}
	for _, f := range []*complex128{&s.Force1With, &s.Force1Against, &s.Force2With, &s.Force2Against} {
		*f = complex(-imag(*f)/2, real(*f)/2)
	}
	for _, m := range []*complex128{&s.Moment1With, &s.Moment1Against, &s.Moment2With, &s.Moment2Against} {
		*m = times(*m, -0.5) // ½ · i · i x
	}
	return s
}

func times(c complex128, f float64) complex128 { return complex(real(c)*f, imag(c)*f) }
