package torsion

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
)

// Solver finds the steady vibration of one model. It is prepared once and has scratch memory, so it serves one
// goroutine at a time.
type Solver struct {
	m     *Model
	place []int // of each disc in the band
	width int   // half width of the band
	a     []complex128
	x     []complex128
}

// NewSolver prepares the forced vibration of a model.
//
//   - m: the model; it must not change afterwards
//
// Result for moments of inertia in [kg m²]. Errors: those of Check. Definition.
func NewSolver(m *Model) (*Solver, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	s := &Solver{m: m}
	s.arrange()
	n := len(m.Discs)
	s.a, s.x = make([]complex128, n*n), make([]complex128, n)
	return s, nil
}

// arrange numbers the discs from one end outwards, so that neighbours stand near each other.
func (s *Solver) arrange() {
	n := len(s.m.Discs)
	near := make([][]int, n)
	for _, p := range s.m.Spans {
		near[p.A], near[p.B] = append(near[p.A], p.B), append(near[p.B], p.A)
	}
	walk := func(from int) []int {
		seen, list := make([]bool, n), []int{from}
		seen[from] = true
		for i := 0; i < len(list); i++ {
			for _, d := range near[list[i]] {
				if !seen[d] {
					seen[d] = true
					list = append(list, d)
				}
			}
		}
		return list
	}
	far := walk(0)
	order := walk(far[n-1])
	s.place = make([]int, n)
	for i, d := range order {
		s.place[d] = i
	}
	for _, p := range s.m.Spans {
		s.width = max(s.width, max(s.place[p.A]-s.place[p.B], s.place[p.B]-s.place[p.A]))
	}
}

// ErrUndamped is returned where a shaft without damping is driven at a natural frequency.
var ErrUndamped = errors.New("torsion: the shaft is driven at a natural frequency and nothing damps it; give it damping or a loss factor")

// Harmonic returns the twist of every disc under torques of one frequency.
//
//	( K(1 + iη) − Ω² J + iΩ C ) Θ = T
//
// with
//   - dst: receives the result; nil allocates
//   - torque: on each disc [N m], T(t) = Re T e^{iΩt}
//   - frequency: Ω [rad/s], greater than 0
//
// Result [rad], complex amplitudes. With a used dst nothing is allocated. Errors: a frequency out of range, torques that
// are no numbers, ErrUndamped. Source: DENHARTOG, forced vibration; the equations solved by elimination with pivots.
func (s *Solver) Harmonic(dst, torque []complex128, frequency float64) ([]complex128, error) {
	if !(frequency > 0 && frequency <= 1e7) {
		return nil, fmt.Errorf("torsion: the frequency must be greater than 0 and at most 1e7 rad/s, it is %g rad/s", frequency)
	}
	if len(torque) != len(s.m.Discs) {
		return nil, fmt.Errorf("torsion: %d torques are given for %d discs", len(torque), len(s.m.Discs))
	}
	for i, v := range torque {
		if !(cmplx.Abs(v) <= MaxTorque) {
			return nil, fmt.Errorf("torsion: the torque on %s is %v, which is no torque", s.m.disc(i), v)
		}
	}
	return s.harmonic(dst, torque, frequency)
}

// harmonic is Harmonic for what has been checked.
func (s *Solver) harmonic(dst, torque []complex128, frequency float64) ([]complex128, error) {
	n := len(s.x)
	if cap(dst) < n {
		dst = make([]complex128, n)
	}
	dst = dst[:n]
	clear(s.a)
	for i := range s.m.Discs {
		d, p := &s.m.Discs[i], s.place[i]
		s.a[p*n+p] = complex(d.Ground-frequency*frequency*d.Inertia, frequency*d.Damping)
		s.x[p] = torque[i]
	}
	for i := range s.m.Spans {
		w := &s.m.Spans[i]
		z := w.dynamic(frequency)
		a, b := s.place[w.A], s.place[w.B]
		s.a[a*n+a] += z
		s.a[b*n+b] += z
		s.a[a*n+b] -= z
		s.a[b*n+a] -= z
	}
	if err := s.eliminate(); err != nil {
		return nil, err
	}
	for i, p := range s.place {
		dst[i] = s.x[p]
	}
	return dst, nil
}

// dynamic is the torque of a span per twist.
func (w *Span) dynamic(frequency float64) complex128 {
	return complex(w.Stiffness, w.Stiffness*w.Loss+frequency*w.Damping)
}

// eliminate solves a x = x in place within the band, with pivots from the rows of the band.
func (s *Solver) eliminate() error {
	n, w := len(s.x), s.width
	size := func(c complex128) float64 { return math.Abs(real(c)) + math.Abs(imag(c)) }
	for k := range n {
		end, right := min(n, k+w+1), min(n, k+2*w+1)
		best := k
		for i := k + 1; i < end; i++ {
			if size(s.a[i*n+k]) > size(s.a[best*n+k]) {
				best = i
			}
		}
		if best != k {
			for j := k; j < right; j++ {
				s.a[k*n+j], s.a[best*n+j] = s.a[best*n+j], s.a[k*n+j]
			}
			s.x[k], s.x[best] = s.x[best], s.x[k]
		}
		pivot := s.a[k*n+k]
		if pivot == 0 {
			return ErrUndamped
		}
		inverse := 1 / pivot
		for i := k + 1; i < end; i++ {
			if s.a[i*n+k] == 0 {
				continue
			}
			f := s.a[i*n+k] * inverse
			for j := k + 1; j < right; j++ {
				s.a[i*n+j] -= f * s.a[k*n+j]
			}
			s.x[i] -= f * s.x[k]
		}
		s.a[k*n+k] = inverse
	}
	for k := n - 1; k >= 0; k-- {
		v := s.x[k]
		for j := k + 1; j < min(n, k+2*w+1); j++ {
			v -= s.a[k*n+j] * s.x[j]
		}
		s.x[k] = v * s.a[k*n+k]
		if !(size(s.x[k]) <= 1e12) {
			return ErrUndamped
		}
	}
	return nil
}
