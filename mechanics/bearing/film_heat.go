package bearing

import (
	"fmt"
	"math"
)

// Supply is how a bearing is fed and cooled: give a flow, or a rise.
type Supply struct {
	Feed float64 // temperature of the oil that arrives [K]
	Flow float64 // through the bearing [m³/s]; 0: not known, Rise is
	Rise float64 // from feed to outlet [K], where Flow is 0
}

// UsualRise returns the rise of the oil in a crankshaft bearing where nothing is known.
//
// Result [K]: common practice, 10 K to 25 K. Source: PRACTICE
func UsualRise() float64 { return 15 }

// HeatCapacity returns the specific heat of engine oil, 1800 + 3.6 (T − 0 °C). With
//
//   - temperature: of the oil [K], as Oil.Kinematic
//
// Result [J/(kg K)]: common practice, from memory. Source: PRACTICE
func HeatCapacity(temperature float64) float64 {
	return 1800 + 3.6*(min(max(temperature, Coldest), Hottest)-Zero)
}

// Warm is an orbit whose oil is as warm as its own friction makes it.
type Warm struct {
	Orbit
	Temperature float64 // of the film, the mean of feed and outlet [K]
	Outlet      float64 // [K]
	Flow        float64 // through the bearing [m³/s]: as given, or what the rise asks for
}

// FindWarm finds the orbit and the temperature of the film together,
//
//	H = ρ c Q (T_out − T_feed)      T = ½(T_feed + T_out)
//
// all heat leaving with the oil. With
//
//   - m, g, d: as FindOrbit
//   - oil: viscosities of the oil
//   - s: feed and flow, or feed and rise
//
// Result [-, K, m³/s]: an error for impossible input, and where the oil would become hotter than Hottest. For concept work: one temperature for
// the whole film, nothing conducted away. Source: ISO7902
func FindWarm(m *Mobility, g Gap, d Duty, oil Oil, s Supply) (Warm, error) {
	if !(s.Feed >= Coldest && s.Feed <= Hottest) {
		return Warm{}, fmt.Errorf("oil that arrives at %g °C: %g to %g °C are possible, such as 90 °C", s.Feed-Zero, Coldest-Zero, Hottest-Zero)
	}
	if !(s.Flow >= 0 && s.Flow <= 10) || s.Flow == 0 && !(s.Rise > 0 && s.Feed+s.Rise <= Hottest) {
		return Warm{}, fmt.Errorf("an oil flow of %g l/min with a rise of %g K: give a flow, or a rise such as 15 K", s.Flow*6e4, s.Rise)
	}
	var w Warm
	start := complex(0, 0)
	// run computes the orbit at a temperature and returns the outlet that its heat would give, less the one it was computed for
	run := func(t float64) (float64, error) {
		mu, err := oil.Viscosity(t)
		if err != nil {
			return 0, err
		}
		if w.Orbit, err = FindOrbit(m, g, d, mu, start); err != nil {
			return 0, err
		}
		start = w.Ecc[0]
		w.Temperature, w.Outlet = t, 2*t-s.Feed
		carried := oil.DensityAt(t) * HeatCapacity(t)
		if s.Flow == 0 {
			w.Flow = w.MeanPower / (carried * s.Rise)
			return 0, nil
		}
		w.Flow = s.Flow
		return w.MeanPower/(carried*s.Flow) - (w.Outlet - s.Feed), nil
	}
	if s.Flow == 0 {
		_, err := run(s.Feed + s.Rise/2)
		return w, err
	}
	// the heat falls and the outlet rises with the temperature: there is one answer
	lo, hi := s.Feed, Hottest
	over, err := run(lo)
	if err != nil {
		return Warm{}, err
	}
	flo, fhi, t := over, math.NaN(), math.Min(s.Feed+over/4, Hottest)
	for range 40 {
		y, err := run(t)
		if err != nil {
			return Warm{}, err
		}
		if math.Abs(y) < 0.02 {
			return w, nil
		}
		if y > 0 {
			lo, flo = t, y
		} else {
			hi, fhi = t, y
		}
		if t = lo + flo*(hi-lo)/(flo-fhi); !(t > lo && t < hi) { // no upper end yet, or none left
			t = (lo + hi) / 2
		} else if edge := (hi - lo) / 10; t < lo+edge || t > hi-edge {
			t = min(max(t, lo+edge), hi-edge)
		}
		if Hottest-lo < 0.1 {
			break
		}
	}
	return Warm{}, fmt.Errorf("an oil flow of %g l/min does not carry the heat away: the film would pass %g °C", s.Flow*6e4, Hottest-Zero)
}
