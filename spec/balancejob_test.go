package spec

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
)

func exampleJob(tb testing.TB) string {
	tb.Helper()
	data, err := os.ReadFile("../examples/balancing-shop/harbour-pilot.balance.yaml")
	if err != nil {
		tb.Fatal(err)
	}
	return string(data)
}

func TestReadBalanceJob(t *testing.T) {
	j, err := ReadBalanceJob("job", []byte(exampleJob(t)))
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Sites) != 8 || j.Grade != "G16" || math.Abs(j.Planes[0].Amount-1.48e-3) > 1e-12 {
		t.Errorf("%+v", j)
	}
	// G16, 21 kg, 6500 rpm: 493.6 g mm, split by 129 and 117 of 246 mm
	if got := j.Planes[0].Permissible; math.Abs(got-493.63e-6*117/246) > 1e-8 {
		t.Errorf("permissible %g", got)
	}
	if c, err := balance.Correct(j.Planes, j.Sites); err != nil || !c.Within[0] || !c.Within[1] {
		t.Errorf("%+v %v", c, err)
	}
}

func TestBadBalanceJobs(t *testing.T) {
	good := exampleJob(t)
	for _, c := range []struct{ old, now, want string }{
		{"grade: G16", "grade: G17", `job:5:22: grade: "G17" is no balance quality grade`},
		{"grade: G16, ", "", "job:5:14: grade is missing; write grade: G16"},
		{"mass: 21 kg", "mass: 21", `job:5:33: mass: "21" has no unit`},
		{"centre_of_gravity: 6 mm", "centre_of_gravity: 600 mm", "outside the two planes"},
		{"at: 123 mm", "at: -123 mm", "both planes stand at -123 mm"},
		{"way: mass on", "way: weld on", `"weld on" is not known`},
		{"deepest: 24 mm, density: 7850 kg/m3}\n  - {name: web 1 m", "deepest: 84 mm, density: 7850 kg/m3}\n  - {name: web 1 m", "past the axis"},
		{"most: 20 g", "most: 20 g, diameter: 3 mm", "a mass without a hole has none"},
		{"most: 20 g", "diameter: 3 mm", "most is missing"},
		{"angle: 205 deg", "angel: 205 deg", `did you mean "angle"?`},
		{"unbalance: 960 g mm", "unbalance: 960 g mm, permissible: 2 g mm", "for the whole crank and for a plane"},
		{"permissible: {", "stroke: 3 mm\npermissible: {", `unknown key "stroke"`},
		{good, "name: x", "there are 0 measured planes"},
		{good, "", "the file is empty"},
	} {
		if _, err := ReadBalanceJob("job", []byte(strings.Replace(good, c.old, c.now, 1))); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.now, err, c.want)
		}
	}
}

func FuzzReadBalanceJob(f *testing.F) {
	seedWith(f, "balance", func(data []byte) { f.Add(data) }, "../examples/balancing-shop/*.balance.yaml")
	f.Add([]byte("planes: [{at: 1 mm, unbalance: 1 g mm, angle: 0, permissible: 1 g mm}, {}]\nsites: [{way: mass on}]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bounded(t, len(data))()
		j, err := ReadBalanceJob("f", data)
		if err != nil {
			refused(t, err, yamlLines(string(data)))
			return
		}
		c, err := balance.Correct(j.Planes, j.Sites)
		if err != nil {
			t.Fatalf("read, but: %v", err)
		}
		for _, v := range []float64{real(c.Left[0]), imag(c.Left[0]), real(c.Left[1]), imag(c.Left[1]), c.Mass} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v", c)
			}
		}
	})
}

func twinTrain(tb testing.TB) *layout.Train {
	tb.Helper()
	train, _, err := ReadEngineFile("../examples/vee-twin-90.engine.yaml", Options{})
	if err != nil {
		tb.Fatal(err)
	}
	return train
}

func TestReadParts(t *testing.T) {
	train := twinTrain(t)
	data, err := os.ReadFile("../examples/balancing-shop/harbour-pilot.parts.csv")
	if err != nil {
		t.Fatal(err)
	}
	parts, err := ReadParts("parts", data, train)
	if err != nil || len(parts) != 8 || parts[1] != (balance.Part{Name: "big-end bearing shell", Mass: 0.0165, Count: 2}) {
		t.Errorf("%+v %v", parts, err)
	}
	for text, want := range map[string]string{
		"":                       "the list of parts is empty",
		"part,mass,count,kind\n": "nothing else",
		"part,mas,count,kind\n":  `parts:1:6: unknown column "mas"; did you mean "mass"?`,
		"part,mass,count\n":      `the column "kind" is missing`,
		"part,mass,mass,kind\n":  "stands twice",
		"part,mass,count,kind\nrod,180,1,rotating\n":            `parts:2:5: mass: "180" has no unit`,
		"part,mass,count,kind\nrod,-1 g,1,rotating\n":           "-1 g is not possible",
		"part,mass,count,kind\nrod,1 g,0,rotating\n":            "count",
		"part,mass,count,kind\nrod,1 g,1,turning\n":             `kind: "turning" is not known`,
		"part,mass,count,kind\nrod,1 g\n":                       "count",
		"part,mass,count,kind\nrod,1 g,1,rotating,7\n":          "5 fields",
		"part,mass,count,kind,cylinder\nrod,1 g,1,rotating,9\n": `there is no cylinder "9"`,
		"part,mass,count,kind\n\"rod,1 g,1,rotating\n":          "not comma-separated",
		"part,mass,count,kind\n\xff,1 g,1,rotating\n":           "damaged",
	} {
		if _, err := ReadParts("parts", []byte(text), train); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

func FuzzReadParts(f *testing.F) {
	train := twinTrain(f)
	seedWith(f, "parts", func(data []byte) { f.Add(data) }, "../examples/balancing-shop/*.parts.csv")
	f.Add([]byte("part,mass,count,kind,cylinder\n# remark\nrod,1 g,1,rotating,all\npiston,1 kg,2,reciprocating,1\n"))
	f.Add([]byte("part,mass,count,kind\n\"r\"\"od\",1 g,1,rotating\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bounded(t, len(data))()
		parts, err := ReadParts("f", data, train)
		if err != nil {
			refused(t, err, tableLines(string(data)))
			return
		}
		rows := [][]string{partColumns()}
		for _, p := range parts {
			cylinder := ""
			if p.Cylinder > 0 {
				cylinder = train.Cylinders[p.Cylinder-1].Name
			}
			rows = append(rows, []string{p.Name, fmt.Sprintf("%g kg", p.Mass), strconv.Itoa(p.Count), p.Kind.String(), cylinder})
		}
		if again, err := ReadParts("again", tableText(rows), train); err != nil || !slices.Equal(parts, again) {
			t.Errorf("written and read again: %+v, then %+v %v", parts, again, err)
		}
		if c, err := balance.BobweightCard(train, parts, 0.5); err == nil {
			for _, b := range c.Bobs {
				if math.IsNaN(b.Mass) || math.IsInf(b.Mass, 0) {
					t.Fatalf("%+v", b)
				}
			}
		}
	})
}

// The example passes the schema of jobs, and wrong jobs do not.
func TestSchemaOfJobs(t *testing.T) {
	s := compiled(t, JobSchema)
	data, err := os.ReadFile("../examples/balancing-shop/harbour-pilot" + BalanceSuffix)
	if err != nil {
		t.Fatal(err)
	}
	whole := string(data)
	for _, change := range [][2]string{{}, {"planes:", "plains:"}, {"at:", "ad:"}, {"way: radial hole", "way: drilled"}, {"angle:", "angles:"}} {
		text := strings.Replace(whole, change[0], change[1], 1)
		if change[0] != "" && text == whole {
			t.Fatalf("the example has no %q", change[0])
		}
		d := parseDocument(&collector{}, []byte(text))
		if err := s.Validate(asEditorsSee(d.root, d)); (err == nil) != (change[0] == "") {
			t.Errorf("%q in place of %q: %v", change[1], change[0], err)
		}
	}
}
