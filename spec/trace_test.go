package spec

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// bump is the pressure of a made-up cycle [bar] by crank angle from firing top dead centre [deg]: a peak at 12 degrees.
func bump(deg float64, cycle layout.Cycle) float64 {
	period := cycle.Period().Deg()
	x := math.Mod(math.Mod(deg+period/2, period)+period, period) - period/2
	return 0.95 + 45*math.Exp(-math.Pow((x-12)/38, 2)) + 0.1*math.Sin(x*math.Pi/period*2)
}

// tableOf writes lines of from … to degrees in steps.
func tableOf(from, to, step float64, line func(deg float64) string) string {
	var b strings.Builder
	for i := 0; from+float64(i)*step < to-1e-9; i++ {
		b.WriteString(line(from + float64(i)*step))
		b.WriteByte('\n')
	}
	return b.String()
}

func four(deg float64) float64 { return bump(deg, layout.FourStroke) }

func comma(s string) string { return strings.ReplaceAll(s, ".", ",") }

// traceCases are layouts of tables as loggers write them. All hold the same curve.
var traceCases = []struct {
	name, text string
	cycle      layout.Cycle
	absolute   bool
	columns    int
	speed      float64 // [rpm]
	remarks    []string
	factor     float64 // of the pressure; 0: 1
}{
	{name: "names and units", text: "CA [deg], p_cyl [bar]\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("%g, %.6f", d, four(d)) }), absolute: true},
	{name: "both ends, BOM and CRLF", text: "\ufeff" + strings.ReplaceAll("Crank angle/deg;p/bar(a)\n"+tableOf(-360, 360.5, 1, func(d float64) string { return fmt.Sprintf("%g;%.6f", d, four(d)) }), "\n", "\r\n"), absolute: true},
	{name: "no header", text: tableOf(-360, 360, 0.5, func(d float64) string { return fmt.Sprintf("%g %.6f", d, four(d)) }), absolute: true, remarks: []string{"unit of the crank angle", "unit of the pressure is not said: bar"}},
	{name: "kPa, decimal comma, semicolon", text: "Kurbelwinkel;Zylinderdruck\n°KW;kPa\n" + tableOf(-360, 360, 1, func(d float64) string { return comma(fmt.Sprintf("%.1f;%.4f", d, 100*four(d))) }), absolute: true},
	{name: "tab, MPa, remarks above", text: "# made up\n// n = 3000 rpm\n\"a remark\nTest bed 4\n\nca_deg\tPressure (MPa)\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("%g\t%.7f", d, four(d)/10) }), absolute: true, speed: 3000},
	{name: "0 to 720, fires at 360", text: "Crank Angle (deg),Pressure (psi)\n" + tableOf(0, 720, 1, func(d float64) string { return fmt.Sprintf("%g,%.5f", d, four(d-360)/0.0689475729) }), absolute: true, remarks: []string{"firing top dead centre is taken as 360 deg"}},
	{name: "0 to 720, fires at 0", text: "angle deg,p Pa\n" + tableOf(0, 720, 1, func(d float64) string { return fmt.Sprintf("%g,%.2f", d, 1e5*four(d)) }), absolute: true},
	{name: "-180 to 540", text: "angle deg,p mbar\n" + tableOf(-180, 540, 1, func(d float64) string { return fmt.Sprintf("%g,%.3f", d, 1e3*four(d)) }), absolute: true},
	{name: "rad", text: "theta,p [kgf/cm2]\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("%.9f,%.6f", d*math.Pi/180, four(d)/0.980665) }), absolute: true, remarks: []string{"rad"}},
	{name: "every revolution anew", text: "ca deg,p bar\n" + tableOf(0, 720, 1, func(d float64) string { return fmt.Sprintf("%g,%.6f", math.Mod(d, 360), four(d-360)) }), absolute: true},
	{name: "time in ms", text: "# speed = 3000 rpm\ntime_ms, pressure [bar]\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("%.7f, %.6f", (d+360)/18, four(d)) }), absolute: true, speed: 3000},
	{name: "time with a column of speed", text: "t [s];n [1/min];p [bar]\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("%.9f;1500;%.6f", (d+360)/9000, four(d)) }), absolute: true, speed: 1500},
	{name: "pressures alone", text: tableOf(-360, 360, 0.5, func(d float64) string { return fmt.Sprintf("%.6f", four(d)) }), absolute: true, remarks: []string{"spread evenly"}},
	{name: "pressures alone with decimal comma", text: tableOf(-360, 360, 0.5, func(d float64) string { return comma(fmt.Sprintf("%.6f", four(d))) }), absolute: true, remarks: []string{"spread evenly"}},
	{name: "gauge", text: "angle [deg],p [bar g]\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("%g,%.6f", d, four(d)) })},
	{name: "four cylinders", text: "angle [deg],p1 [bar],p2 [bar],p3 [bar],p4 [bar]\n" + tableOf(-360, 360, 1, func(d float64) string {
		return fmt.Sprintf("%g,%.6f,%.6f,%.6f,%.6f", d, four(d), four(d-180), four(d+180), four(d-360))
	}), absolute: true, columns: 4, remarks: []string{"of the first for all"}},
	{name: "columns of no use", text: "Cycle no,CA [deg],Volume [cm3],p cyl [bar],p intake [bar],T [K]\n" + tableOf(-360, 360, 1, func(d float64) string {
		return fmt.Sprintf("1,%g,%g,%.6f,0.98,%g", d, 400+d/10, four(d), 300+d/100)
	}), absolute: true},
	{name: "three cycles that grow", text: "ca deg,p bar abs\n" + tableOf(-360, 1800, 1, func(d float64) string { return fmt.Sprintf("%g,%.6f", d, four(d)) }), absolute: true, remarks: []string{"mean of 3 cycles"}},
	{name: "three cycles anew, with both ends", text: "ca deg,p bar abs\n" + strings.Repeat(tableOf(-360, 360.5, 1, func(d float64) string { return fmt.Sprintf("%g,%.6f", d, four(d)) }), 3), absolute: true, remarks: []string{"mean of 3 cycles"}},
	{name: "three cycles counted", text: "cycle,ca deg,p bar abs\n" + tableOf(-360, 1800, 1, func(d float64) string {
		k := math.Floor((d + 360) / 720)
		return fmt.Sprintf("%g,%g,%.6f", k+1, d-720*k, four(d))
	}), absolute: true, remarks: []string{"mean of 3 cycles"}},
	{name: "two-stroke", cycle: layout.TwoStroke, text: "ca deg,p bar abs\n" + tableOf(0, 360, 1, func(d float64) string { return fmt.Sprintf("%g,%.6f", d, bump(d, layout.TwoStroke)) }), absolute: true},
	{name: "two-stroke from bottom", cycle: layout.TwoStroke, text: "ca deg,p bar abs\n" + tableOf(0, 360, 1, func(d float64) string { return fmt.Sprintf("%g,%.6f", d, bump(d-180, layout.TwoStroke)) }), absolute: true, remarks: []string{"taken as 180 deg"}},
	{name: "one byte a letter", text: "Winkel [\xb0KW];Druck [bar]\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("%g;%.6f", d, four(d)) }), absolute: true},
	{name: "quoted", text: "\"CA, deg\",\"p, bar\"\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("\"%g\",\"%.6f\"", d, four(d)) }), absolute: true},
	{name: "many blanks", text: "   Angle[deg]    Pressure[atm]\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("  %9.3f   %12.7f", d, four(d)/1.01325) }), absolute: true},
	{name: "one revolution of four strokes, three cycles", text: "ca deg,p bar abs\n" + strings.Repeat(tableOf(-180, 180, 1, func(d float64) string { return fmt.Sprintf("%g,%.6f", d, four(d)) }), 3), absolute: true, remarks: []string{"mean of 3 cycles"}},
}

func TestReadTrace(t *testing.T) {
	for _, c := range traceCases {
		t.Run(c.name, func(t *testing.T) {
			tr, remarks, err := ReadTrace("p.csv", []byte(c.text), c.cycle)
			if err != nil {
				t.Fatal(err)
			}
			columns := max(1, c.columns)
			if len(tr.Pressures) != columns || columns > 1 != (len(tr.Cylinders) == columns) {
				t.Fatalf("%d columns for %d cylinders, %d wanted", len(tr.Pressures), len(tr.Cylinders), columns)
			}
			if tr.Absolute != c.absolute || math.Abs(tr.Speed*30/math.Pi-c.speed) > 1e-6*c.speed {
				t.Errorf("absolute %v, speed %g rpm", tr.Absolute, tr.Speed*30/math.Pi)
			}
			if n := len(tr.Angles); n < 350 || tr.Angles[n-1]-tr.Angles[0] > c.cycle.Period()-1e-6 {
				t.Errorf("%d angles over %g deg", n, (tr.Angles[n-1] - tr.Angles[0]).Deg())
			}
			worst := 0.0
			for i, a := range tr.Angles {
				worst = math.Max(worst, math.Abs(tr.Pressures[0][i]/1e5-bump(a.Deg(), c.cycle)))
			}
			if worst > 2e-5 {
				t.Errorf("the pressure is off by %g bar", worst)
			}
			all := strings.Join(remarks, "\n")
			for _, want := range c.remarks {
				if !strings.Contains(all, want) {
					t.Errorf("no remark has %q:\n%s", want, all)
				}
			}
			t.Logf("%q", remarks)
		})
	}
}

func TestReadTraceCylinders(t *testing.T) {
	text := traceCases[15].text
	tr, _, err := ReadTrace("p.csv", []byte(text), layout.FourStroke)
	if err != nil || !tr.Shared || !reflect.DeepEqual(tr.Cylinders, []string{"1", "2", "3", "4"}) {
		t.Fatalf("%v %v %v", err, tr.Shared, tr.Cylinders)
	}
	tr, _, err = ReadTrace("p.csv", []byte(strings.Replace(text, "p1 [bar],p2 [bar],p3 [bar],p4 [bar]", "p_A1/bar,p_A2/bar,p_B1/bar,p_B2/bar", 1)), layout.FourStroke)
	if err != nil || !reflect.DeepEqual(tr.Cylinders, []string{"A1", "A2", "B1", "B2"}) {
		t.Fatalf("%v %v", err, tr)
	}
}

// TestReadTraceVariation scatters the work of cycles by a known share.
func TestReadTraceVariation(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	var b strings.Builder
	var works []float64
	for k := range 40 {
		size := 1 + 0.03*rnd.NormFloat64()
		works = append(works, size)
		// the peak alone has work, in proportion to its height
		b.WriteString(tableOf(-360, 360, 1, func(d float64) string {
			return fmt.Sprintf("%g,%.6f", d+720*float64(k), 1+45*size*math.Exp(-math.Pow((d-12)/38, 2)))
		}))
	}
	tr, remarks, err := ReadTrace("p.csv", []byte("ca deg,p bar\n"+b.String()), layout.FourStroke)
	if err != nil {
		t.Fatal(err)
	}
	mean, square := 0.0, 0.0
	for _, w := range works {
		mean += w / 40
	}
	for _, w := range works {
		square += (w - mean) * (w - mean) / 39
	}
	want := math.Sqrt(square) / mean
	if tr.Cycles != 40 || len(tr.Variation) != 1 || math.Abs(tr.Variation[0]-want) > 1e-4 {
		t.Errorf("%d cycles, variation %v, want %g: %q", tr.Cycles, tr.Variation, want, remarks)
	}
}

func TestReadTraceErrors(t *testing.T) {
	good := traceCases[0].text
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "has no numbers in lines and columns"},
		{"words", "a, b\nc, d\n", "has no numbers in lines and columns"},
		{"utf-16", "\xff\xfe1\x002\x00", "not plain text"},
		{"too short", "ca deg, p bar\n0, 1\n1, 2\n", "only 2 samples"},
		{"a hole", strings.Replace(good, "-90, ", "-90, x", 1), `p.csv:272:6: "x`},
		{"no value", strings.Replace(good, "-90, ", "-90 # ", 1), "p.csv:272:"},
		{"falls", strings.Replace(good, "\n-90, ", "\n-92, ", 1), "p.csv:272:1: the crank angle is -92 after -91"},
		{"time without speed", strings.Replace(good, "CA [deg]", "time [ms]", 1), `the speed of the crank is not told; add a line such as "# speed = 3000 rpm"`},
		{"no pressure", strings.Replace(good, "p_cyl [bar]", "volume [cm3]", 1), "there is no column of pressure"},
		{"flat", "ca deg, p bar\n" + tableOf(-360, 360, 1, func(d float64) string { return fmt.Sprintf("%g, 1", d) }), "change by 0 bar only"},
		{"a part", "ca deg, p bar\n" + tableOf(-60, 60, 1, func(d float64) string { return fmt.Sprintf("%g, %g", d, four(d)) }), "the trace covers only 119 deg of 720 deg"},
		{"long line", strings.Repeat("1,", 10000), "has 20000 characters"},
	} {
		_, _, err := ReadTrace("p.csv", []byte(c.text), layout.FourStroke)
		var list Errors
		if !errors.As(err, &list) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
		if len(list) > maxTraceErrors+1 {
			t.Errorf("%s: %d errors", c.name, len(list))
		}
	}
	_, _, err := ReadTrace("p.csv", make([]byte, MaxTraceSize+1), layout.FourStroke)
	if err == nil || !strings.Contains(err.Error(), "16 MiB are the most") {
		t.Error(err)
	}
}

// FuzzReadTrace holds any text against the promises: no panic, errors with a place, a trace that grows and is finite.
func FuzzReadTrace(f *testing.F) {
	seedWith(f, "trace", func(data []byte) { f.Add(data, false) }, "../examples/*/*pressure*.csv")
	for _, c := range traceCases {
		lines := strings.Split(c.text, "\n")
		f.Add([]byte(strings.Join(lines[:min(len(lines), 60)], "\n")), c.cycle == layout.TwoStroke)
		f.Add([]byte(c.text), c.cycle == layout.TwoStroke)
	}
	f.Fuzz(func(t *testing.T, data []byte, two bool) {
		cycle := layout.FourStroke
		if two {
			cycle = layout.TwoStroke
		}
		defer bounded(t, len(data))()
		tr, _, err := ReadTrace("f", data, cycle)
		if err != nil {
			text, _ := (&traceReader{collector: &collector{}}).decode(data) // of an older table, a letter is a byte
			refused(t, err, strings.Split(text, "\n"))
			return
		}
		if !allFinite(reflect.ValueOf(tr)) || len(tr.Pressures) == 0 {
			t.Fatal("a value is not finite")
		}
		last := num.Angle(math.Inf(-1))
		for _, a := range tr.Angles {
			if !(a > last) {
				t.Fatal("the angles do not grow")
			}
			last = a
		}
		for _, p := range tr.Pressures {
			if len(p) != len(tr.Angles) {
				t.Fatal("the columns have different lengths")
			}
		}
	})
}

func BenchmarkReadTrace(b *testing.B) {
	data := []byte(traceCases[2].text)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, _, err := ReadTrace("p.csv", data, layout.FourStroke); err != nil {
			b.Fatal(err)
		}
	}
}
