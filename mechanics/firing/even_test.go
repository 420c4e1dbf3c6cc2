package firing

import (
	"math"
	"strings"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

func test(t *testing.T, train *layout.Train) EvenTest {
	t.Helper()
	return must(EvenFiring(train, must(TopDeadCentres(train))(t)))(t)
}

func TestEvenFiringVees(t *testing.T) {
	for _, c := range []struct {
		name         string
		train        *layout.Train
		splits       []float64 // resulting split [deg]
		banks        []float64
		turnedThrows int // −1: cannot
	}{
		{"V6 90 shared", vee(90, 0, 0, 240, 120), []float64{30, -90, 150}, []float64{120}, -1},
		{"V6 60 shared", vee(60, 0, 0, 240, 120), []float64{60, -60, 180}, []float64{120}, -1},
		{"V6 60 split 30", vee(60, 30, 0, 240, 120), []float64{60, -60, 180}, []float64{90}, 3},
		{"V4 60, pins 0 180", vee(60, 0, 0, 180), []float64{-60, 120}, []float64{180}, -1},
		{"V2 90", vee(90, 0, 0), []float64{-90}, nil, -1},
		{"flat 2 one pin", vee(180, 0, 0), []float64{180}, nil, -1},
		{"V4 90, pins 0 90", vee(90, 0, 0, 90), nil, nil, -1},
		{"V8 60 flat", vee(60, 0, 0, 180, 180, 0), []float64{30, -150}, []float64{90}, -1},
		{"V8 90, one throw wrong", vee(90, 0, 0, 90, 270, 150), nil, nil, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := test(t, c.train)
			t.Log(strings.Join(e.Sentences, "\n"))
			if e.Even {
				t.Fatal("it fires evenly")
			}
			var splits, banks []float64
			for _, s := range e.Splits {
				splits = append(splits, math.Round(s.To.Deg()*1e6)/1e6)
			}
			for _, b := range e.BankAngles {
				banks = append(banks, math.Round(b.To.Deg()*1e6)/1e6)
			}
			if !closeTo(splits, c.splits) || !closeTo(banks, c.banks) {
				t.Errorf("splits %v, banks %v; want %v, %v", splits, banks, c.splits, c.banks)
			}
			switch {
			case c.turnedThrows < 0 && e.Turn != nil:
				t.Errorf("turn %v, want none", e.Turn)
			case c.turnedThrows >= 0 && (e.Turn == nil || len(e.Turn.Turns) != c.turnedThrows || !e.Turn.Exact):
				t.Errorf("turn %+v, want %d throws", e.Turn, c.turnedThrows)
			}
			for _, s := range e.Splits {
				checkSplit(t, c.train, s)
			}
			checkTurn(t, c.train, e.Turn)
		})
	}
}

// checkSplit applies a change and tests again.
func checkSplit(t *testing.T, train *layout.Train, s SplitChange) {
	t.Helper()
	tdc := must(TopDeadCentres(train))(t)
	for c := range tdc {
		for i, b := range s.Banks {
			if train.Cylinders[c].Bank == b {
				tdc[c] += s.Change[i]
			}
		}
	}
	if e := must(EvenFiring(train, tdc))(t); !e.Even {
		t.Errorf("change %v does not make it even: %v", degs(s.Change), e.Sentences)
	}
}

func checkTurn(t *testing.T, train *layout.Train, c *TurnChange) {
	t.Helper()
	if c == nil {
		return
	}
	changed := *train
	changed.Throws = append([]layout.Throw(nil), train.Throws...)
	for _, u := range c.Turns {
		changed.Throws[u.Throw].Angle += u.By
		if d := (changed.Throws[u.Throw].Angle - u.To).Wrap(num.Turn); d > 1e-9 && d < num.Turn-1e-9 {
			t.Errorf("By %v and To %v differ", u.By, u.To)
		}
	}
	if e := test(t, &changed); !e.Even {
		t.Errorf("turns %v do not make it even", c.Turns)
	}
}
