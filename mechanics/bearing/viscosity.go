package bearing

import (
	"fmt"
	"math"
)

// Oil is a lubricating oil by its two published viscosities. Thinning by shear and thickening by pressure are left out.
type Oil struct {
	Name    string
	Nu40    float64 // kinematic viscosity at 40 °C [m²/s]
	Nu100   float64 // at 100 °C [m²/s]
	Density float64 // at 15 °C [kg/m³]
}

// Temperatures between which an oil is followed [K], and the zero of the Celsius scale.
const (
	Zero    = 273.15
	Coldest = Zero - 40
	Hottest = Zero + 250
)

// Oils returns the common grades of engine oil with typical viscosities: common practice, oils of one grade differ by
// a tenth.
//
// Result [-]: from thin to thick. Source: PRACTICE
func Oils() []Oil {
	const cSt = 1e-6
	return []Oil{
		{"0W-20", 44 * cSt, 8.3 * cSt, 845},
		{"5W-20", 47 * cSt, 8.3 * cSt, 850},
		{"0W-30", 55 * cSt, 10.3 * cSt, 845},
		{"5W-30", 62 * cSt, 10.7 * cSt, 853},
		{"10W-30", 68 * cSt, 10.7 * cSt, 865},
		{"5W-40", 80 * cSt, 13.6 * cSt, 855},
		{"10W-40", 94 * cSt, 14.2 * cSt, 867},
		{"15W-40", 108 * cSt, 14.5 * cSt, 878},
		{"30", 93 * cSt, 10.9 * cSt, 885},
		{"40", 135 * cSt, 14.3 * cSt, 890},
	}
}

// OilNamed returns the oil of a grade. With
//
//   - name: grade as in Oils, such as 15W-40
//
// Result [-]: an error for a grade that is not in the list. Source: PRACTICE
func OilNamed(name string) (Oil, error) {
	for _, o := range Oils() {
		if o.Name == name {
			return o, nil
		}
	}
	return Oil{}, fmt.Errorf("no oil grade %q: 0W-20, 5W-20, 0W-30, 5W-30, 10W-30, 5W-40, 10W-40, 15W-40, 30 and 40 are known", name)
}

func (o Oil) check() error {
	switch {
	case !(o.Nu100 >= 2e-6 && o.Nu100 <= 1e-4):
		return fmt.Errorf("a viscosity of %g mm²/s at 100 °C: 2 to 100 mm²/s are possible, such as 14.5 mm²/s", o.Nu100*1e6)
	case !(o.Nu40 >= 1.2*o.Nu100 && o.Nu40 <= 40*o.Nu100):
		return fmt.Errorf("a viscosity of %g mm²/s at 40 °C with %g mm²/s at 100 °C: an oil is 4 to 10 times as thick at 40 °C",
			o.Nu40*1e6, o.Nu100*1e6)
	case !(o.Density >= 600 && o.Density <= 1200):
		return fmt.Errorf("a density of %g kg/m³: an oil has about 870 kg/m³", o.Density)
	}
	return nil
}

// Kinematic returns the kinematic viscosity by Walther's law through both published points,
//
//	log₁₀ log₁₀(ν + 0.7) = A − B log₁₀ T    ν in mm²/s, T in K
//
// with
//
//   - temperature: of the oil [K], Coldest to Hottest; taken at the end of that range outside it
//
// Result [m²/s]: valid for ν above 2 mm²/s; an error for an oil that cannot be. Source: WALTHER
func (o Oil) Kinematic(temperature float64) (float64, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	if math.IsNaN(temperature) {
		return 0, fmt.Errorf("a temperature that is no number")
	}
	w := func(nu float64) float64 { return math.Log10(math.Log10(nu*1e6 + 0.7)) }
	x40, x100 := math.Log10(Zero+40), math.Log10(Zero+100)
	b := (w(o.Nu40) - w(o.Nu100)) / (x100 - x40)
	t := min(max(temperature, Coldest), Hottest)
	return (math.Pow(10, math.Pow(10, w(o.Nu40)-b*(math.Log10(t)-x40))) - 0.7) * 1e-6, nil
}

// DensityAt returns the density of the oil, ρ₁₅ − 0.65 kg/(m³ K) (T − 15 °C). With
//
//   - temperature: of the oil [K], as Kinematic
//
// Result [kg/m³]. Source: PRACTICE
func (o Oil) DensityAt(temperature float64) float64 {
	return o.Density - 0.65*(min(max(temperature, Coldest), Hottest)-Zero-15)
}

// Viscosity returns the dynamic viscosity, kinematic viscosity times density. With
//
//   - temperature: of the oil [K], as Kinematic
//
// Result [Pa s]: an error as Kinematic. Source: WALTHER
func (o Oil) Viscosity(temperature float64) (float64, error) {
	nu, err := o.Kinematic(temperature)
	return nu * o.DensityAt(temperature), err
}
