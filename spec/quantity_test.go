package spec

import (
	"math"
	"testing"
)

func TestUnits(t *testing.T) {
	const lb, in, g = 0.45359237, 0.0254, 9.80665
	turn := 2 * math.Pi
	for _, c := range []struct {
		d    Dimension
		text string
		want float64
	}{
		{Length{}, "84 mm", 0.084},
		{Length{}, "84mm", 0.084},
		{Length{}, "3.5 in", 3.5 * in},
		{Length{}, "3 1e0mm", math.NaN()},
		{Length{}, "1 ft", 12 * in},
		{Length{}, "0", 0},
		{Length{}, "-0.0", 0},
		{Length{}, "8.4 cm", 0.084},
		{Length{}, "70 µm", 70e-6},
		{Length{}, "010 mm", 0.010},
		{Length{}, "1e3 mm", 1},
		{Length{}, "1E-3 m", 1e-3},
		{Length{}, ".5 m", 0.5},
		{Length{}, "5. m", 5},
		{Length{}, "+5 m", 5},
		{Length{}, "−5 m", -5},
		{Length{}, "5\u00a0m", 5},
		{Length{}, "5\u202fm", 5},
		{Length{}, "2 m2/m", 2},
		{Mass{}, "0.38 kg", 0.38},
		{Mass{}, "380 g", 0.38},
		{Mass{}, "1 lb", lb},
		{Mass{}, "16 oz", lb},
		{Mass{}, "1 t", 1000},
		{Angle{}, "90 deg", math.Pi / 2},
		{Angle{}, "90°", math.Pi / 2},
		{Angle{}, "1 rad", 1},
		{Angle{}, "1 rev", turn},
		{Moment{}, "12 kg mm", 0.012},
		{Moment{}, "12 kg*mm", 0.012},
		{Moment{}, "12 kg·mm", 0.012},
		{Moment{}, "120 g cm", 0.0012},
		{Moment{}, "1 oz in", lb / 16 * in},
		{Moment{}, "1 mm kg", 0.001},
		{Moment{}, "5 g mm", 5e-6},
		{Inertia{}, "0.0018 kg m2", 0.0018},
		{Inertia{}, "0.0018 kg m^2", 0.0018},
		{Inertia{}, "0.0018 kg·m²", 0.0018},
		{Inertia{}, "18000 g cm2", 0.0018},
		{Inertia{}, "1 lb in2", lb * in * in},
		{Inertia{}, "1 lb ft2", lb * 144 * in * in},
		{Inertia{}, "1 kg m m", 1},
		{Inertia{}, "18 kg cm^2", 0.0018},
		{Speed{}, "6000 rpm", 100 * turn},
		{Speed{}, "6000 1/min", 100 * turn},
		{Speed{}, "6000 rev/min", 100 * turn},
		{Speed{}, "6000 min^-1", 100 * turn},
		{Speed{}, "100 rad/s", 100},
		{Speed{}, "100 Hz", 100 * turn},
		{Speed{}, "100 1/s", 100 * turn},
		{Speed{}, "100 s⁻¹", 100 * turn},
		{Density{}, "7.85 g/cm3", 7850},
		{Density{}, "7850 kg/m3", 7850},
		{Pressure{}, "11 bar", 1.1e6},
		{Pressure{}, "1.1 MPa", 1.1e6},
		{Pressure{}, "1100 kPa", 1.1e6},
		{Pressure{}, "1 psi", lb * g / (in * in)},
		{Pressure{}, "1.1 N/mm2", 1.1e6},
		{Share{}, "50 %", 0.5},
		{Share{}, "50%", 0.5},
		{Share{}, "0.5", 0.5},
		{PureRatio{}, "10.5", 10.5},
		{PureRatio{}, "-2", -2},
	} {
		v, err := c.d.dimension().parse(c.text, "")
		if math.IsNaN(c.want) {
			if err == nil {
				t.Errorf("%q was read as %v", c.text, v)
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		} else if math.Abs(v-c.want) > 4e-16*math.Abs(c.want) {
			t.Errorf("%q is %v, want %v", c.text, v, c.want)
		}
	}
}

func TestUnitsRefused(t *testing.T) {
	for _, c := range []struct {
		d    Dimension
		text string
	}{
		{Length{}, ""},
		{Length{}, "84"},
		{Length{}, "mm"},
		{Length{}, "84 kg"},
		{Length{}, "84 MM"},
		{Length{}, "84 mm cm"},
		{Length{}, "84 mm/"},
		{Length{}, "84 /mm"},
		{Length{}, "1/2 mm"},
		{Length{}, "1_0 mm"},
		{Length{}, "1 000 mm"},
		{Length{}, "1'000 mm"},
		{Length{}, "--5 mm"},
		{Length{}, "1.2.3 mm"},
		{Length{}, "12:30 mm"},
		{Length{}, "0x1F mm"},
		{Length{}, "0o17 mm"},
		{Length{}, "NaN mm"},
		{Length{}, ".inf"},
		{Length{}, "1e mm"},
		{Length{}, "84 m^"},
		{Length{}, "84 m9"},
		{Length{}, "84 m/s"},
		{Length{}, "84 m 1"},
		{Length{}, "1e30 m"},
		{Length{}, "84 mm ??"},
		{Speed{}, "100 m/s"},
		{Speed{}, "6000 1/rad"},
		{Angle{}, "90 Hz"},
		{Share{}, "50 mm"},
		{PureRatio{}, "10 %"},
		{Pressure{}, "11 N/mm"},
		{Moment{}, "12 kg * * mm /"},
		{Moment{}, "12 kg m m"},
	} {
		if v, err := c.d.dimension().parse(c.text, ""); err == nil {
			t.Errorf("%q was read as %v", c.text, v)
		} else if err.allowed == "" || err.what == "" {
			t.Errorf("%q: the error does not say what is allowed: %+v", c.text, err)
		}
	}
}

func TestQuantityText(t *testing.T) {
	q, err := ParseQuantity[Length](" 3.5 in ")
	if err != nil || q.String() != "3.5 in" || math.Abs(q.SI-0.0889) > 1e-16 || !q.Given() {
		t.Errorf("got %v %+v %v", q, q, err)
	}
	if _, err := ParseQuantity[Length]("3.5"); err == nil || err.Error() != `"3.5" has no unit; a length takes mm, cm, m or in` {
		t.Errorf("got %v", err)
	}
	for text, got := range map[string]string{
		"84 mm": formatSI[Length](0.084), "0 mm": formatSI[Length](0), "-138 mm": formatSI[Length](-0.138), "12 kg mm": formatSI[Moment](0.012),
		"180 deg": formatSI[Angle](math.Pi), "6000 rpm": formatSI[Speed](200 * math.Pi), "11 bar": formatSI[Pressure](1.1e6), "50 %": formatSI[Share](0.5),
		"0.0018 kg m2": formatSI[Inertia](0.0018), "-0.5": formatSI[PureRatio](-0.5), "1e-10 kg": formatSI[Mass](1e-10), "5e+20 kg": formatSI[Mass](5e20),
	} {
		if got != text {
			t.Errorf("got %q, want %q", got, text)
		}
	}
}

func TestNearest(t *testing.T) {
	words := []string{"cylinder_spacing", "bank_angle", "pins", "name", "two-stroke", "four-stroke"}
	for word, want := range map[string]string{
		"cylinder_spacin": "cylinder_spacing", "cylinderspacing": "cylinder_spacing", "bank-angle": "bank_angle", "Pins": "pins", "pnis": "pins",
		"nam": "name", "colour": "", "": "", "x": "", "4-stroke": "four-stroke", "2 stroke": "two-stroke", "4stroke": "four-stroke", "2": "", "10": "",
	} {
		if got := Nearest(word, words); got != want {
			t.Errorf("%q: got %q, want %q", word, got, want)
		}
	}
}
