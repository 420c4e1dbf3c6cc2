package spec

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

var update = flag.Bool("update", false, "write the example of a measured pressure, and what wrong files must be told, anew")

const testBed = "../examples/test-bed/"

// bedPressure is the invented pressure of the example [Pa]: polytropes, heat as a Wiebe function, two pressures of
// exchange.
func bedPressure(c gas.Chamber, θ num.Angle) float64 {
	deg := math.Mod(math.Mod(θ.Deg()+360, 720)+720, 720) - 360
	v, _ := c.Volume(num.Degrees(deg))
	top, _ := c.Volume(0)
	bottom, _ := c.Volume(math.Pi)
	burned := 1 - math.Exp(-5*math.Pow(math.Max(0, (deg+16)/54), 3))
	p := 0.93e5*math.Pow(bottom/v, 1.32) + 40e5*burned*math.Pow(top/v, 1.28)
	blend := func(from, to float64) float64 {
		u := math.Min(1, math.Max(0, (deg-from)/(to-from)))
		return u * u * (3 - 2*u)
	}
	switch {
	case deg < -180:
		b := blend(-360, -335)
		return 1.07e5*(1-b) + 0.93e5*b
	case deg > 135:
		b := blend(135, 195)
		return p*(1-b) + 1.07e5*b
	}
	return p
}

func bedTable(c gas.Chamber) []byte {
	var b bytes.Buffer
	b.WriteString("# Pilot boat, single test engine, invented\n# speed = 3000 rpm\n# mean of 100 cycles, the zero of the sensor is open\nCA [deg];p_cyl [bar g]\n")
	rnd := rand.New(rand.NewPCG(84, 90))
	for i := range 1440 {
		deg := -360 + 0.5*float64(i)
		fmt.Fprintf(&b, "%.1f;%.3f\n", deg, bedPressure(c, num.Degrees(deg-0.8))/1e5-1.7+0.008*rnd.NormFloat64())
	}
	return b.Bytes()
}

// TestTestBed reads the example and finds what it was made of.
func TestTestBed(t *testing.T) {
	if *update {
		train, _, err := ReadEngine("x", []byte(strings.ReplaceAll(string(mustRead(t, testBed+"single-test-engine.engine.yaml")), "  trace", "  # trace")), Options{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := gas.ChamberOf(train, 0)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(testBed+"cylinder-pressure.csv", bedTable(c), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	train, _, err := ReadEngineFile(testBed+"single-test-engine.engine.yaml", Options{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := gas.ChamberOf(train, 0)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(mustRead(t, testBed+"cylinder-pressure.csv"), bedTable(c)) {
		t.Error("the example is not what it was made of; go test ./spec -run TestTestBed -update writes it")
	}
	g := train.Gas
	if g.TracePegging != layout.PegPolytropic || g.Measured.Absolute || math.Abs(g.Measured.Speed*30/math.Pi-3000) > 1e-6 {
		t.Errorf("%+v", g)
	}
	want := 0.0
	const n = 20000
	for j := range n {
		θ := num.Angle(4 * math.Pi * (float64(j) + 0.5) / n)
		_, dv := c.Volume(θ)
		want += bedPressure(c, θ) * dv * 4 * math.Pi / n / c.Displacement()
	}
	r, err := gas.Indicate(g.Measured, 0, c, train.Cycle, gas.Indication{Shift: g.TraceShift, Pegging: g.TracePegging})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.IMEP-want) > 1e-3*want || math.Abs(r.Offset-1.7e5) > 0.02e5 || len(r.Warnings) > 0 {
		t.Errorf("imep %g, want %g; offset %g; %q", r.IMEP, want, r.Offset, r.Warnings)
	}
	r, err = gas.Indicate(g.Measured, 0, c, train.Cycle, gas.Indication{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.TDCError.Deg()+0.8) > 0.3 || !strings.Contains(strings.Join(r.Warnings, "\n"), "set trace_shift: -0.") {
		t.Errorf("as measured: TDC off by %g deg; %q", r.TDCError.Deg(), r.Warnings)
	}
	t.Logf("imep %.4g bar, want %.4g; %q; %q", r.IMEP/1e5, want/1e5, r.Warnings, g.Measured.Remarks)
}

func mustRead(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestMeasuredCylinders gives columns to the cylinders of an engine.
func TestMeasuredCylinders(t *testing.T) {
	text := okHead + "layout: {arrangement: inline, cylinders: 4}\ngas: {trace: p.csv}\n"
	four := traceCases[15].text
	for _, c := range []struct{ csv, wrong, remark string }{
		{traceCases[0].text, "", "the one curve is taken for all 4 cylinders"},
		{four, "", ""},
		{strings.Replace(four, "p1 [bar],p2 [bar],p3 [bar],p4 [bar]", "p_A [bar],p_B [bar],p_C [bar],p_D [bar]", 1), "", "taken for the cylinders 1, 2, 3, 4, in this order"},
		{strings.Replace(four, "p4 [bar]", "p7 [bar]", 1), "trace: p.csv has a column for cylinder 7, but the engine has 1, 2, 3, 4; name the columns", ""},
		{strings.Replace(four, "p4 [bar]", "T [K]", 1), "", "no column of pressure for cylinder 4"},
		{strings.Replace(four, "-100,", "-100,x", 1), `box/p.csv:262:6: "x`, ""},
	} {
		train, e := read(t, text)
		err := e.ReadMeasured(train, "box", func(string) ([]byte, error) { return []byte(c.csv), nil })
		if c.wrong != "" {
			if err == nil || !strings.Contains(err.Error(), c.wrong) || train.Gas.Measured != nil {
				t.Errorf("want %q: %v", c.wrong, err)
			}
			continue
		}
		if err != nil {
			t.Error(err)
		} else if !strings.Contains(strings.Join(train.Gas.Measured.Remarks, "\n"), c.remark) {
			t.Errorf("want %q: %q", c.remark, train.Gas.Measured.Remarks)
		}
	}
}
