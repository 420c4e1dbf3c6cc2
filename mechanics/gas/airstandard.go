package gas

import (
	"fmt"
	"math"
)

// AirStandard is a cycle of an ideal gas with constant specific heats: isentropic compression, heat at constant
// volume and then at constant pressure, isentropic expansion, heat rejected at constant volume.
//
// With heat at constant volume only it is the Otto cycle, at constant pressure only the Diesel cycle, with both the
// dual cycle.
type AirStandard struct {
	Ratio    float64 // compression ratio ε [1]
	K        float64 // ratio of specific heats κ [1]
	P1, T1   float64 // at the begin of compression [Pa], [K]
	Pressure float64 // p₃/p₂ of the heat at constant volume α [1], 1: none
	Cutoff   float64 // V₄/V₃ of the heat at constant pressure β [1], 1: none
}

// StandardPoint is one corner of an AirStandard cycle.
type StandardPoint struct {
	P, T float64 // [Pa], [K]
}

// Points returns the corners of the cycle.
//
//	T₂ = T₁ ε^{κ−1}  p₂ = p₁ ε^κ;  T₃ = α T₂  p₃ = α p₂;  T₄ = β T₃  p₄ = p₃;  T₅ = α β^κ T₁  p₅ = α β^κ p₁
//
// Result [Pa] and [K]: index 0 the begin of compression, 1 its end, 2 after the heat at constant volume, 3 after that
// at constant pressure, 4 the end of expansion. Error: a cycle that cannot be. Source: RAJ, ch. 3.
func (c AirStandard) Points() ([5]StandardPoint, error) {
	switch {
	case !(c.Ratio > 1 && c.Ratio <= MaxRatio):
		return [5]StandardPoint{}, fmt.Errorf("gas: a compression ratio of %.4g; it must be greater than 1 and at most %d", c.Ratio, MaxRatio)
	case !(c.K > 1 && c.K <= 2):
		return [5]StandardPoint{}, fmt.Errorf("gas: a ratio of specific heats of %.4g; it must be greater than 1 and at most 2, such as 1.4", c.K)
	case !(c.P1 > 0 && c.P1 <= 1e9) || !(c.T1 > 0 && c.T1 <= 1e4):
		return [5]StandardPoint{}, fmt.Errorf("gas: compression from %.4g Pa and %.4g K; both must be greater than zero, such as 1e5 Pa and 300 K", c.P1, c.T1)
	case !(c.Pressure >= 1 && c.Pressure <= 100) || !(c.Cutoff >= 1 && c.Cutoff <= c.Ratio):
		return [5]StandardPoint{}, fmt.Errorf("gas: a pressure ratio of %.4g and a cut-off ratio of %.4g; the first must lie between 1 and 100, the second between 1 and the compression ratio",
			c.Pressure, c.Cutoff)
	}
	t2, p2 := c.T1*math.Pow(c.Ratio, c.K-1), c.P1*math.Pow(c.Ratio, c.K)
	end := c.Pressure * math.Pow(c.Cutoff, c.K)
	return [5]StandardPoint{
		{c.P1, c.T1},
		{p2, t2},
		{c.Pressure * p2, c.Pressure * t2},
		{c.Pressure * p2, c.Pressure * c.Cutoff * t2},
		{end * c.P1, end * c.T1},
	}, nil
}

// Efficiency returns the work of the cycle by the heat that it takes in.
//
//	η = 1 − (α β^κ − 1) / ( ε^{κ−1} [ (α − 1) + κ α (β − 1) ] )
//
// Result [1]; the limit 1 − ε^{1−κ} where no heat comes in. Error: a cycle that cannot be. Source: RAJ, ch. 3.
func (c AirStandard) Efficiency() (float64, error) {
	if _, err := c.Points(); err != nil {
		return 0, err
	}
	heat := (c.Pressure - 1) + c.K*c.Pressure*(c.Cutoff-1)
	if heat == 0 {
		return 1 - math.Pow(c.Ratio, 1-c.K), nil
	}
	return 1 - (c.Pressure*math.Pow(c.Cutoff, c.K)-1)/(math.Pow(c.Ratio, c.K-1)*heat), nil
}

// MEP returns the mean effective pressure of the cycle.
//
//	p_m = η q/(V_1 − V_2) per kilogram;  q/(p₁ V₁) = ε^{κ−1} [ (α − 1) + κ α (β − 1) ]/(κ − 1)
//
// Result [Pa]. Error: a cycle that cannot be. Source: RAJ, ch. 3.
func (c AirStandard) MEP() (float64, error) {
	η, err := c.Efficiency()
	if err != nil {
		return 0, err
	}
	q := math.Pow(c.Ratio, c.K-1) * ((c.Pressure - 1) + c.K*c.Pressure*(c.Cutoff-1)) / (c.K - 1)
	return η * q * c.P1 / (1 - 1/c.Ratio), nil
}
