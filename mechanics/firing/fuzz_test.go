package firing

import (
	"encoding/binary"
	"math"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// FuzzTrain feeds arbitrary angles, orders and indices: nothing panics, and no NaN leaves.
func FuzzTrain(f *testing.F) {
	bits := func(as ...float64) []byte {
		var b []byte
		for _, a := range as {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(a))
		}
		return b
	}
	f.Add(bits(0, math.Pi, math.Pi, 0), []byte{0, 2, 3, 1}, byte(0))
	f.Add(bits(0, math.NaN(), 1), []byte{0, 1, 2}, byte(0))
	f.Add(bits(0, math.Inf(1), 1), []byte{0, 1, 2}, byte(1))
	f.Add(bits(0, 6.283185307179586, 6.2831853061, 1e-9, 1.5e-9, -1e-12), []byte{5, 1, 2, 0, 3, 4}, byte(0))
	f.Add(bits(1e300, -1e300), []byte{0, 0}, byte(2))
	f.Add([]byte{}, []byte{}, byte(0))
	f.Fuzz(func(t *testing.T, raw, order []byte, cycle byte) {
		n := min(len(raw)/8, 9)
		train := &layout.Train{Cycle: layout.Cycle(cycle % 3)}
		tdc := make([]num.Angle, n)
		for c := range tdc {
			tdc[c] = num.Angle(math.Float64frombits(binary.LittleEndian.Uint64(raw[8*c:])))
			train.Cylinders = append(train.Cylinders, layout.Cylinder{
				Bank: int(raw[8*c]) % 4, Throw: int(raw[8*c+1])%(n+1) - n/8, At: float64(tdc[c]),
				FiresAt: tdc[(c+1)%n], FiresGiven: raw[8*c+2]%4 == 0,
			})
			train.Throws = append(train.Throws, layout.Throw{Pair: int(raw[8*c+3]) - 100})
		}
		given := make([]int, len(order))
		for k, o := range order {
			given[k] = int(int8(o))
		}
		check := func(s Schedule, err error) {
			if err != nil {
				_ = err.Error()
				return
			}
			sum := num.Angle(0)
			for _, g := range s.Intervals {
				sum += g
			}
			if !(math.Abs(float64(sum-s.Cycle.Period())) < 1e-6) || !(s.Evenness() > 0 && s.Evenness() <= 1) {
				t.Fatalf("%+v", s)
			}
			_, _ = Measure(train, s)
		}
		check(Assign(tdc, train.Cycle, given))
		check(FromAngles(tdc, train.Cycle, tdc))
		check(Resolve(train, tdc))
		train.FiringOrder = given
		check(Resolve(train, tdc))
		if l, err := Orders(train, tdc, Options{Limit: 3}); err == nil {
			for _, o := range l.List {
				check(o.Schedule, nil)
			}
		}
		_, _ = EvenFiring(train, tdc)
	})
}

func TestBadInput(t *testing.T) {
	if _, err := Orders(nil, nil, Options{}); err == nil {
		t.Error("no train")
	}
	if _, err := Measure(nil, Schedule{}); err == nil {
		t.Error("no train")
	}
	one := inline(layout.FourStroke, 0)
	if _, err := Measure(one, Schedule{Order: []int{0}}); err == nil {
		t.Error("schedule without angles")
	}
	if _, err := Orders(one, []num.Angle{0, 1}, Options{}); err == nil {
		t.Error("two top dead centres of one cylinder")
	}
	if _, err := Assign(make([]num.Angle, layout.MaxCylinders+1), layout.FourStroke, nil); err == nil {
		t.Error("too many cylinders")
	}
	if _, err := FromAngles([]num.Angle{0}, layout.FourStroke, []num.Angle{num.Angle(math.NaN())}); err == nil {
		t.Error("NaN accepted")
	}
	if _, err := FromAngles([]num.Angle{0}, layout.FourStroke, nil); err == nil {
		t.Error("missing angle accepted")
	}
}
