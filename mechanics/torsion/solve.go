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
	ends  []int // by place: column behind the last that the row has
	end   []int // the same while rows are eliminated
	a     []complex128
	x     []complex128
	t     []complex128 // torques of one order
	twist []complex128 // what they do
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
	s.t, s.twist = make([]complex128, n), make([]complex128, n)
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
	s.ends, s.end = make([]int, n), make([]int, n)
	for d, list := range near {
		last := s.place[d]
		for _, other := range list {
			last = max(last, s.place[other])
		}
		s.ends[s.place[d]] = last + 1
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
	for i := range s.m.Discs {
		d, p := &s.m.Discs[i], s.place[i]
		clear(s.a[p*n+max(0, p-s.width) : p*n+min(n, p+2*s.width+1)]) // all that elimination reaches
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
	n, w, x := len(s.x), s.width, s.x
	copy(s.end, s.ends)
	for k := range n {
		end := min(n, k+w+1)
		best, most := k, size(s.a[k*n+k])
		for i := k + 1; i < end; i++ {
			if v := size(s.a[i*n+k]); v > most {
				best, most = i, v
			}
		}
		if most == 0 {
			return ErrUndamped
		}
		if best != k {
			right := max(s.end[k], s.end[best])
			row, other := s.a[k*n+k:k*n+right], s.a[best*n+k:best*n+right]
			for j, v := range row {
				row[j], other[j] = other[j], v
			}
			x[k], x[best] = x[best], x[k]
			s.end[k], s.end[best] = s.end[best], s.end[k]
		}
		right := s.end[k]
		row := s.a[k*n+k : k*n+right]
		inverse := reciprocal(row[0])
		for i := k + 1; i < end; i++ {
			if s.a[i*n+k] == 0 {
				continue
			}
			below := s.a[i*n+k : i*n+right][:len(row)]
			s.end[i] = max(s.end[i], right)
			f := below[0] * inverse
			for j := 1; j < len(row); j++ {
				below[j] -= f * row[j]
			}
			x[i] -= f * x[k]
		}
		row[0] = inverse
	}
	for k := n - 1; k >= 0; k-- {
		v := x[k]
		row := s.a[k*n+k : k*n+s.end[k]]
		for j := 1; j < len(row); j++ {
			v -= row[j] * x[k+j]
		}
		x[k] = v * row[0]
		if !(size(x[k]) <= 1e12) {
			return ErrUndamped
		}
	}
	return nil
}

// size is |c| within a factor of √2.
func size(c complex128) float64 { return math.Abs(real(c)) + math.Abs(imag(c)) }

// reciprocal is 1/c where |c|² neither overflows nor sinks, as with all that a model may have; where it sinks, it is no number,
// and the solution is not taken.
func reciprocal(c complex128) complex128 {
	f := 1 / (real(c)*real(c) + imag(c)*imag(c))
	return complex(real(c)*f, -imag(c)*f)
}
