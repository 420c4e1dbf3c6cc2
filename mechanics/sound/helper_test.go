package sound

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"

	"gonum.org/v1/gonum/dsp/fourier"
)

const rpm = math.Pi / 30

// pilotBoat returns an invented train with the given pins and axes in degrees, one list of axes for every pin.
func pilotBoat(pins []float64, axes ...float64) *layout.Train {
	t := &layout.Train{Name: "pilot boat", Bore: 0.084}
	for b, a := range axes {
		t.Banks = append(t.Banks, layout.Bank{Name: fmt.Sprint("bank ", b+1), Axis: num.Degrees(a)})
	}
	for i, p := range pins {
		t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprint("T", i+1), At: 0.12 * float64(i), Angle: num.Degrees(p), Radius: 0.045, Pair: i})
		for b, a := range axes {
			t.Cylinders = append(t.Cylinders, layout.Cylinder{
				Name: fmt.Sprint(len(t.Cylinders) + 1), Throw: i, Bank: b, At: 0.12*float64(i) + 0.02*float64(b), Axis: num.Degrees(a),
				Rod: layout.Rod{Length: 0.145},
			})
		}
	}
	return t
}

// The engines of the tests.
func flatFour() *layout.Train  { return pilotBoat([]float64{0, 180, 180, 0}, 0) }
func crossVee() *layout.Train  { return pilotBoat([]float64{0, 90, 270, 180}, -45, 45) }
func vee65Twin() *layout.Train { return pilotBoat([]float64{0}, -32.5, 32.5) }

func impulses(t testing.TB, train *layout.Train, strength []float64) Impulses {
	t.Helper()
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	m, err := Train(train, s, strength)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// off returns the strengths with one cylinder that does not fire.
func off(n, cylinder int) []float64 {
	s := make([]float64, n)
	for c := range s {
		if c != cylinder {
			s[c] = 1
		}
	}
	return s
}

func degs(as []num.Angle) []float64 {
	out := make([]float64, len(as))
	for i, a := range as {
		out[i] = math.Round(a.Deg()*1e6) / 1e6
	}
	return out
}

// turned says whether b is a rotation of a.
func turned(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		same := true
		for j := range b {
			same = same && math.Abs(a[(i+j)%len(a)]-b[j]) < 1e-5
		}
		if same {
			return true
		}
	}
	return false
}

// lines is the brute-force spectrum of samples over a whole number of periods: amplitude at index j is that of
// j turns over the length.
func lines(x []float64) []complex128 {
	return fourier.NewFFT(len(x)).Coefficients(nil, x)
}

func peakOf(channels [][]float64) float64 {
	most := 0.0
	for _, x := range channels {
		for _, v := range x {
			most = max(most, math.Abs(v))
		}
	}
	return most
}

func rms(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(x)))
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func size(z complex128) float64 { return cmplx.Abs(z) }
