package checks

import (
	"fmt"
	"math"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
)

// shaftSearch lists the classic balance shafts, which the search must find without being told.
func (l *list) shaftSearch() {
	l.singleShafts()
	l.shaftPair()
	l.noShafts()
	l.shaftDetails()
}

// shaft adds a check of the search for shafts.
func (l *list) shaft(c Check) {
	c.ID, c.Chapter = "shaft-search/"+c.ID, "balance"
	l.add(c)
}

// both are force and moment of half order k.
func both(k int) []balance.ShaftTarget {
	return []balance.ShaftTarget{{K: k, Aim: balance.AimForce}, {K: k, Aim: balance.AimMoment}}
}

// singleShafts lists engines that one shaft balances: its speed is the trade's answer, its couple that of the table of free
// moments.
func (l *list) singleShafts() {
	const r, λ = idealRadius, idealRatio
	for _, c := range []struct {
		id, name string
		engine   ideal
		order    int
		printed  string // the moment against the crank
	}{
		{"inline-3", "inline three", inline(0, 240, 120), 1, ".8660"},
		{"v6-90-split", "even-fire 90° vee six", vee(90, 30, 0, 240, 120), 1, ".4483"},
		{"v6-60-split", "even-fire 60° vee six", vee(60, 60, 0, 240, 120), 2, "1.5"},
		{"inline-4-cross", "inline four, cross crank", inline(0, 90, 270, 180), 1, "1.5811"},
	} {
		find := func() (layout.Shaft, error) {
			return onlyShaft(c.engine.train(), balance.ShaftTask{Targets: both(2 * c.order), Crank: c.order == 1})
		}
		l.shaft(Check{
			ID: c.id + "/speed", Kind: CommonPractice, Source: "PRACTICE", Place: "one shaft against the crank at the order's speed", Seen: Memory,
			What:    fmt.Sprintf("speed ratio of the single shaft that the search finds for the order-%d moment of the %s", c.order, c.name),
			Printed: fmt.Sprint(-c.order), Want: float64(-c.order), Tol: 1e-12, TolWhy: "a whole number",
			Ours: func() (float64, error) { s, err := find(); return s.SpeedRatio, err },
		})
		l.shaft(Check{
			ID: c.id + "/couple", Kind: ClosedForm, Source: "DEFINITION", Place: "vector sum of the cylinders, part against the crank", Seen: Recomputed, Unit: "F a",
			What:    fmt.Sprintf("couple that the shaft found for the %s makes, in forces of one cylinder and spacings", c.name),
			Printed: c.printed, Want: number(c.printed),
			Ours: func() (float64, error) {
				s, err := find()
				if err != nil {
					return 0, err
				}
				if len(s.Masses) != 2 {
					return 0, fmt.Errorf("%d masses", len(s.Masses))
				}
				force := s.SpeedRatio * s.SpeedRatio * s.Masses[0].Amount / (r * seriesA(c.order, λ))
				return force * math.Abs(s.Masses[1].At-s.Masses[0].At), nil
			},
		})
	}
}

// shaftPair lists the two shafts of the flat inline four.
func (l *list) shaftPair() {
	const r, λ = idealRadius, idealRatio
	flat := inline(0, 180, 180, 0)
	pair := func(places ...balance.ShaftPlace) (balance.ShaftSet, error) {
		targets := []balance.ShaftTarget{{K: 4, Aim: balance.AimForce}}
		if places != nil {
			targets = append(targets, balance.ShaftTarget{K: 4, Aim: balance.AimRoll, Keep: 0.5})
		}
		return smallest(flat.train(), balance.ShaftTask{Targets: targets, Places: places})
	}
	l.shaft(Check{
		ID: "inline-4/count", Kind: CommonPractice, Source: "PRACTICE", Place: "two shafts at twice the crank speed, one each way", Seen: Memory,
		What: "number of shafts that the search finds for the second-order force of the flat inline four", Printed: "2", Want: 2, Tol: 1e-12, TolWhy: "a whole number",
		Ours: func() (float64, error) { s, err := pair(); return float64(len(s.Shafts)), err },
	})
	l.shaft(Check{
		ID: "inline-4/unbalance", Kind: ClosedForm, Source: "DEFINITION", Place: "U = ½ m r A2: 2 U (2ω)² = 4 m r ω² A2", Seen: Recomputed, Unit: "m r",
		What: "unbalance of each of the two shafts of the flat inline four", Printed: "A2/2 = λ/2 + λ³/8 + …", Want: seriesA(2, λ) / 2, Tol: 1e-13, TolWhy: "rounding; an identity",
		Ours: func() (float64, error) {
			s, err := pair()
			if err != nil {
				return 0, err
			}
			return math.Max(s.Shafts[0].Masses[0].Amount, s.Shafts[1].Masses[0].Amount) / r, nil
		},
	})
	l.shaft(Check{
		ID: "inline-4/height", Kind: ClosedForm, Source: "DEFINITION", Place: "U (2ω)² h = 4 · ½ m r² ω² at h = r/λ = l", Seen: Recomputed,
		What:    "share of the second-order roll moment that is left where the shafts may stand one rod length apart in height",
		Printed: "0", Want: 0, Tol: λ * λ / 3, TolWhy: "to leading order; the next term is λ²/4",
		Ours: func() (float64, error) {
			h := r / λ
			s, err := pair(balance.ShaftPlace{Y: 0.1}, balance.ShaftPlace{Y: -0.1}, balance.ShaftPlace{Y: 0.1, Z: h}, balance.ShaftPlace{Y: -0.1, Z: h / 2}, balance.ShaftPlace{Y: -0.1, Z: h})
			if err != nil {
				return 0, err
			}
			return s.Left[1].After / s.Left[1].Before, nil
		},
	})
}

// noShafts lists engines that counterweights alone balance in the first order.
func (l *list) noShafts() {
	for _, c := range []struct{ id, name, place string }{
		{"v8-90-cross", "90° vee eight with cross crank", "counterweights alone"},
		{"v6-90-shared", "90° vee six with shared pins", "first order: counterweights alone"},
	} {
		engine := vee(90, 0, 0, 90, 270, 180)
		if c.id == "v6-90-shared" {
			engine = vee(90, 0, 0, 240, 120)
		}
		l.shaft(Check{
			ID: c.id + "/count", Kind: CommonPractice, Source: "PRACTICE", Place: c.place, Seen: Memory,
			What: "number of shafts that the search finds for the first order of the " + c.name, Printed: "0", Tol: 1e-12, TolWhy: "a whole number",
			Ours: func() (float64, error) {
				s, err := smallest(engine.train(), balance.ShaftTask{Targets: both(2), Crank: true})
				return float64(len(s.Shafts)), err
			},
		})
	}
}

// shaftDetails lists what a mistimed shaft leaves, and the half-round bar.
func (l *list) shaftDetails() {
	l.shaft(Check{
		ID: "timing/5-deg", Kind: ClosedForm, Source: "DEFINITION", Place: "|e^{iδ} − 1| = 2 sin(δ/2)", Seen: Recomputed,
		What:    "share of the second-order moment of the even-fire 60° vee six that a shaft mistimed by 5° leaves",
		Printed: "0.08724", Want: 2 * math.Sin(math.Pi/72), Tol: 1e-9, TolWhy: "rounding; an identity",
		Ours: func() (float64, error) {
			t := vee(60, 60, 0, 240, 120).train()
			s, err := onlyShaft(t, balance.ShaftTask{Targets: both(4)})
			if err != nil {
				return 0, err
			}
			left, err := balance.PhaseError(t, []layout.Shaft{s}, angle(5))
			if err != nil {
				return 0, err
			}
			for _, x := range left {
				if x.Aim == balance.AimMoment {
					return x.Worst / x.Before, nil
				}
			}
			return math.NaN(), nil
		},
	})
	l.shaft(Check{
		ID: "bar/centre", Kind: ClosedForm, Source: "DEFINITION", Place: "centre of gravity of a half disc, 4R/3π off its diameter", Seen: Recomputed, Unit: "R",
		What: "unbalance over mass of the half-round bar", Printed: "0.42441", Want: 4 / (3 * math.Pi), Tol: 1e-14, TolWhy: "rounding; an identity",
		Ours: func() (float64, error) {
			u, m, _ := balance.Bar{Radius: 1, Density: 7850}.PerLength()
			return u / m, nil
		},
	})
}

// smallest returns the smallest set of shafts that meets a task.
func smallest(t *layout.Train, task balance.ShaftTask) (balance.ShaftSet, error) {
	a, err := balance.FindShafts(t, task)
	if err != nil {
		return balance.ShaftSet{}, err
	}
	if a.Smallest < 0 {
		return balance.ShaftSet{}, fmt.Errorf("no set of shafts meets the targets")
	}
	return a.Sets[a.Smallest], nil
}

// onlyShaft returns the shaft of a task that one shaft meets.
func onlyShaft(t *layout.Train, task balance.ShaftTask) (layout.Shaft, error) {
	s, err := smallest(t, task)
	if err == nil && len(s.Shafts) != 1 {
		err = fmt.Errorf("%d shafts were found, not one", len(s.Shafts))
	}
	if err != nil {
		return layout.Shaft{}, err
	}
	return s.Shafts[0], nil
}
