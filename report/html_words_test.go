package report

import (
	"math"
	"testing"
)

func TestPlain(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{
		{0, "0"},
		{-1e-12, "0"},
		{1e-5, "<\u202f0.001"},
		{0.0048652, "0.0049"},
		{0.88888, "0.8889"},
		{-12.345678, "−12.35"},
		{9999.4, "9999"},
		{12345.6, "12\u202f350"},
		{-1234567, "−1\u202f235\u202f000"},
		{math.NaN(), "–"},
		{math.Inf(1), "–"},
	} {
		if got := plain(c.v); got != c.want {
			t.Errorf("plain(%g) = %q, want %q", c.v, got, c.want)
		}
	}
}

func TestUnbroken(t *testing.T) {
	got := unbroken([]string{"Free force: 12.3 kN in the 2nd order and 4 N.", "with an unbalance of 3 kg mm and 7 N m"})
	if got[0] != "Free force: 12.3\u00a0kN in the 2nd order and 4\u00a0N." || got[1] != "with an unbalance of 3\u00a0kg\u00a0mm and 7\u00a0N\u00a0m" {
		t.Errorf("%q", got)
	}
}

func TestApartTellsEqualTextsApart(t *testing.T) {
	row := pageRow{Cells: []pageCell{{Text: "1", Mark: "best"}, {Text: "1"}, {Text: "0.5", Mark: "worst"}}}
	row.apart([]float64{1, 0.99998, 0.5})
	if got := row.Cells[1].Text; got != "0.99998" {
		t.Errorf("the value next to the best reads %q", got)
	}
}

func TestCutKeepsEveryEngine(t *testing.T) {
	for _, n := range []int{1, 6, 7, 12, 13, 40} {
		table := pageTable{Engines: make([]pageColumn, n), Groups: []pageGroup{{Rows: []pageRow{{Cells: make([]pageCell, n)}}}}}
		pieces := table.cut(enginesPerSheet)
		if (pieces == nil) != (n <= enginesPerSheet) {
			t.Errorf("%d engines: %d pieces", n, len(pieces))
		}
		sum := 0
		for _, p := range pieces {
			sum += len(p.Engines)
			if len(p.Engines) > enginesPerSheet || len(p.Groups[0].Rows[0].Cells) != len(p.Engines) {
				t.Errorf("%d engines: a piece has %d columns and %d cells", n, len(p.Engines), len(p.Groups[0].Rows[0].Cells))
			}
		}
		if pieces != nil && sum != n {
			t.Errorf("%d engines: the pieces have %d", n, sum)
		}
	}
}
