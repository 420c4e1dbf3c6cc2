package spec

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

func TestReadWeighed(t *testing.T) {
	p, r, err := ReadWeighed("w.csv", []byte("\ufeff# weighed in the shop\nID,kind,mass,Big end,small_end\nP1,piston,412.3 g,,\nP2,Piston,0.41 kg\nR1,rod,,300 g,120 g\nR2,rod,421 g,300 g,\nR3,rod,421 g,,120 g\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(p) != 2 || p[0].ID != "P1" || math.Abs(p[0].Mass-0.4123) > 1e-15 || p[1].Mass != 0.41 {
		t.Errorf("pistons %+v", p)
	}
	if len(r) != 3 || r[0].BigEnd != 0.3 || math.Abs(r[1].SmallEnd-0.121) > 1e-15 || math.Abs(r[2].BigEnd-0.301) > 1e-15 {
		t.Errorf("rods %+v", r)
	}
}

func TestReadWeighedSaysWhatIsWrong(t *testing.T) {
	const head = "kind,id,mass,big end,small end\n"
	for text, want := range map[string]string{
		"":                                      "w.csv:1:1: the list is empty; the first line names the columns",
		head:                                    "w.csv:1:1: the list has no part",
		"kind,id,wait\n":                        `w.csv:1:9: there is no column "wait"; the columns are kind, id, mass, big end, small end`,
		"kind,kind\n":                           "two columns",
		"kind,mass\n":                           `the column "id" is missing`,
		head + "valve,V,1 g,":                   `w.csv:2:1: there is no kind "valve"; the kinds are piston and rod`,
		head + "piston,,1 g\n":                  "w.csv:2:8: the piston has no id",
		head + "piston,P,1 g\npiston,P,2 g\n":   `w.csv:3:8: the id "P" was given to another piston in line 2`,
		head + "piston,P,1\n":                   "w.csv:2:10: mass: ",
		head + "piston,P,-1 g\n":                "w.csv:2:10: mass: the value is -1 g; a weight lies above 0",
		head + "piston,P,\n":                    "has no mass",
		head + "piston,P,1 g,2 g\n":             "leave big end",
		head + "rod,R,1 g\n":                    "give two of mass, big end and small end",
		head + "rod,R,100 g,60 g,50 g\n":        "w.csv:2:7: the ends of the rod R weigh 110 g together, the whole rod 100 g; weigh again: they must agree to 1 %",
		head + "rod,R,100 g,160 g,\n":           "weighs more than the whole",
		head + "piston,P,1 g,,,,\n":             "the line has 7 fields, but there are 5 columns",
		head + "piston,\"P,1 g\n":               "this is not comma-separated text; close every quotation mark",
		head + "piston,P,1 parsec\nrod,R,1 g\n": "w.csv:3:5:",
		head + strings.Repeat("#", MaxFileSize): "1 MiB is the most",
		"kind;id;mass\npiston;P;1 g\n":          `there is no column "kind;id;mass"`,
	} {
		_, _, err := ReadWeighed("w.csv", []byte(text))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.60q: want %q, got %v", text, want, err)
		}
	}
}

// FuzzReadWeighed holds any text against the promises: a refusal in its place, weights that can be, and what is written again is read
// as the same.
func FuzzReadWeighed(f *testing.F) {
	seedWith(f, "weighed", func(data []byte) { f.Add(data) }, "../examples/*weighed.csv")
	f.Add([]byte("kind,id,mass,big end,small end\npiston,P1,412.3 g,,\nrod,R1,,300 g,120 g\n"))
	f.Add([]byte("# x\nid,kind\n\"a\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bounded(t, len(data))()
		p, r, err := ReadWeighed("f", data)
		if err != nil {
			refused(t, err, tableLines(string(data)))
			return
		}
		if len(p)+len(r) == 0 {
			t.Error("nothing was read, and nothing is wrong")
		}
		rows := [][]string{{columnKind, columnID, columnMass, columnBigEnd, columnSmallEnd}}
		for _, x := range p {
			if !(x.Mass > 0 && x.Mass <= 1e6) || x.ID == "" {
				t.Errorf("%+v", x)
			}
			rows = append(rows, []string{"piston", x.ID, fmt.Sprintf("%g kg", x.Mass), "", ""})
		}
		for _, x := range r {
			if !(x.BigEnd > 0 && x.SmallEnd > 0 && x.BigEnd <= 1e6 && x.SmallEnd <= 1e6) || x.ID == "" {
				t.Errorf("%+v", x)
			}
			rows = append(rows, []string{"rod", x.ID, "", fmt.Sprintf("%g kg", x.BigEnd), fmt.Sprintf("%g kg", x.SmallEnd)})
		}
		p2, r2, err := ReadWeighed("again", tableText(rows))
		if err != nil || !slices.Equal(p, p2) || !slices.Equal(r, r2) {
			t.Errorf("written and read again: %+v %+v, then %+v %+v %v", p, r, p2, r2, err)
		}
	})
}
