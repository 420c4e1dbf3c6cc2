package report_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"crankwright/analysis"
	"crankwright/report"
	"crankwright/spec"
)

// drivenResult analyses an example with gas and torque.
func drivenResult(t *testing.T, name string, opt analysis.Options) *analysis.Result {
	t.Helper()
	train, _, err := spec.ReadEngineFile("../examples/"+name+".engine.yaml", spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	opt.Drive = true
	r, err := analysis.Run(train, opt)
	if err != nil {
		t.Fatal(err)
	}
	if r.Drive == nil {
		t.Fatalf("%s: %s", name, r.NoDrive)
	}
	return r
}

// headings returns the headings of a level.
func headings(root *html.Node, level string) []string {
	var out []string
	elements(root, func(n *html.Node) {
		if n.Data == level {
			out = append(out, text(n))
		}
	})
	return out
}

func TestPageShowsTorque(t *testing.T) {
	rs := []*analysis.Result{
		drivenResult(t, "inline-four-flat", analysis.Options{}),
		drivenResult(t, "vee-eight-90-cross", analysis.Options{Load: 0.5}),
		drivenResult(t, "single", analysis.Options{Light: true, Speed: 200}),
	}
	root, page := parsed(t, rs)
	checkReferences(t, root)
	checkHeadings(t, root)
	checkSealed(t, root)
	checkTable(t, root, rs)
	checkFigures(t, root)
	if n := strings.Count(strings.Join(headings(root, "h3"), "\n"), "Torque"); n != len(rs) {
		t.Errorf("%d sections of torque for %d engines", n, len(rs))
	}
	for i, want := range []string{"and full load.", "and 50 % of full load.", "and no load."} {
		if !strings.Contains(string(page), want) {
			t.Errorf("engine %d: the page does not say %q", i+1, want)
		}
	}
	const perEngine, frame = 200_000, 30_000
	if most := len(rs)*perEngine + frame; len(page) > most {
		t.Errorf("the page has %d bytes, %d are the most", len(page), most)
	}
	assumed := 0
	for _, r := range rs {
		for _, e := range analysis.Assumed(r.Train, analysis.OfTorque, analysis.OfFlywheel) {
			if !strings.HasPrefix(e.Key, "making.") { // that stands with the parts
				assumed++
			}
		}
	}
	rows := 0
	for _, section := range []string{"gas.", "friction.", "flywheel.", "crank."} {
		rows += strings.Count(string(page), "<code>"+section)
	}
	if assumed == 0 || rows < assumed {
		t.Errorf("%d rows for %d assumed values", rows, assumed)
	}
}

// An engine without bore has no torque: its sheet says why, and rows that it lacks do not stand in the comparison.
func TestPageWithoutTorqueSaysWhy(t *testing.T) {
	with := drivenResult(t, "inline-four-flat", analysis.Options{})
	train := *with.Train
	train.Bore = 0
	without, err := analysis.Run(&train, analysis.Options{Drive: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, rs := range [][]*analysis.Result{{with, without}, {without, with}} {
		root, page := parsed(t, rs)
		checkReferences(t, root)
		checkTable(t, root, rs)
		if !strings.Contains(string(page), "Gas and torque cannot be computed") {
			t.Error("the page does not say why there is no torque")
		}
		for _, row := range report.ComparedRows(rs) {
			if row.Key == "brake_torque" || len(row.Values) != len(rs) {
				t.Errorf("%s has %d values for %d engines", row.Key, len(row.Values), len(rs))
			}
		}
		data, err := report.CSV(rs)
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(string(data)), "\r\n")
		if len(lines) != 3 || !strings.Contains(lines[0], "brake_torque_Nm") {
			t.Fatalf("the table begins %q", lines[0])
		}
		if !strings.Contains(lines[1]+lines[2], ",,,,") {
			t.Error("what an engine does not have is no empty cell")
		}
	}
}

func TestCompareTextWithTorqueFitsTheScreen(t *testing.T) {
	rs := []*analysis.Result{drivenResult(t, "inline-four-flat", analysis.Options{}), drivenResult(t, "vee-eight-90-cross", analysis.Options{})}
	got := report.CompareText(rs, -1, report.Screen{Width: 100})
	for _, want := range []string{"Mean brake torque", "Coefficient of fluctuation of speed", "at full load"} {
		if !strings.Contains(strings.Join(strings.Fields(got), " "), want) {
			t.Errorf("the comparison lacks %q:\n%s", want, got)
		}
	}
}

// TestDriveDocsListWhatTheyRestOn: each document lists what the file left out of what its numbers depend on, and no more.
func TestDriveDocsListWhatTheyRestOn(t *testing.T) {
	r := drivenResult(t, "inline-four-flat", analysis.Options{})
	d := r.Drive
	for _, c := range []struct {
		name    string
		assumed []report.EstimateDoc
		turning []string
	}{
		{"gas", report.NewGasDoc(d, false).Assumed, nil},
		{"torque", report.NewTorqueDoc(d, false).Assumed, []string{"crank.inertia", "flywheel.driven_inertia"}},
		{"power", report.NewPowerDoc(d.Driver, nil, 1).Assumed, []string{"crank.inertia", "flywheel.driven_inertia"}},
		{"flywheel", report.NewFlywheelDoc(d, report.FlywheelWish{}).Assumed, []string{"crank.inertia", "flywheel.driven_inertia", "flywheel.fluctuation", "flywheel.diameter", "flywheel.density"}},
	} {
		var other []string
		rests := 0
		for _, e := range c.assumed {
			if strings.HasPrefix(e.Key, "gas.") || strings.HasPrefix(e.Key, "friction.") || e.Key == "making.valve_drive" {
				rests++
			} else {
				other = append(other, e.Key)
			}
		}
		if rests < 15 || !slices.Equal(other, c.turning) {
			t.Errorf("%s: %d of gas and friction, and %v, want %v", c.name, rests, other, c.turning)
		}
	}
}

// TestWrittenFlywheelIsTheOneShown: the changes that a flywheel asks for give the engine that wheel, with its diameter.
func TestWrittenFlywheelIsTheOneShown(t *testing.T) {
	r := drivenResult(t, "inline-four-flat", analysis.Options{})
	wish := report.FlywheelWish{Fluctuation: 0.005, Diameter: 0.5, Density: 7850}
	wish.Put(r.Train)
	d, err := analysis.NewDriver(r.Train)
	if err != nil {
		t.Fatal(err)
	}
	at, err := d.At(analysis.DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	doc := report.NewFlywheelDoc(at, wish)
	data, err := os.ReadFile("../examples/inline-four-flat.engine.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var changes []spec.Change
	for i := range doc.Edits {
		changes = append(changes, spec.Change{Path: doc.Edits[i].Path, Text: &doc.Edits[i].Text})
	}
	out, err := spec.Edit(data, changes)
	if err != nil {
		t.Fatal(err)
	}
	train, _, err := spec.ReadEngine("f", out, spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	e, err := analysis.Space(train)
	if err != nil {
		t.Fatal(err)
	}
	mass := 0.0
	for _, s := range e.Solids {
		if s.Name == "flywheel" {
			mass = s.Density * math.Pi * s.Outer * s.Outer * (s.B.X - s.A.X)
		}
	}
	if math.Abs(mass-doc.Disc.MassKg) > 1e-3*doc.Disc.MassKg {
		t.Errorf("the engine has a wheel of %g kg, %g kg was shown", mass, doc.Disc.MassKg)
	}
}
