package checks

import (
	"fmt"
	"math"

	"crankwright/mechanics/bearing"
)

// oilFilms lists the steady oil film by its tables, the short bearing and the squeeze film by their closed forms, and an oil's law.
func (l *list) oilFilms() {
	l.finiteBearings()
	l.shortBearings()
	oil := bearing.Oil{Nu40: 108e-6, Nu100: 14.5e-6, Density: 878}
	for _, c := range []struct {
		celsius float64
		printed string
	}{{40, "108"}, {100, "14.5"}, {20, "314.852"}, {70, "33.4139"}} {
		tol, why := 1e-9, "rounding; the law passes the points"
		if c.celsius != 40 && c.celsius != 100 {
			tol, why = 0., ""
		}
		l.add(Check{
			ID: fmt.Sprintf("bearing/walther/%g", c.celsius), Chapter: "bearing", Kind: ClosedForm, Source: "WALTHER", Place: "the law through 108 mm²/s at 40 °C and 14.5 mm²/s at 100 °C: lg lg (ν + 0.7) is straight over lg T",
			Seen: Memory, What: "kinematic viscosity of an oil 15W-40", Unit: "mm²/s", Printed: c.printed, Want: number(c.printed),
			Tol: tol, TolWhy: why,
			Ours: func() (float64, error) {
				nu, err := oil.Kinematic(bearing.Zero + c.celsius)
				return nu * 1e6, err
			},
		})
	}
}

// finiteBearings holds the finite bearing against the tables of Raimondi and Boyd: Reynolds with their start of the film, and the
// mobility map.
func (l *list) finiteBearings() {
	const tables = "tables of the full bearing: S and attitude over L/D and ε"
	for _, c := range []struct {
		width, ecc  float64
		s, attitude string
	}{
		{1, .1, "1.33", "79.5"},
		{1, .2, "0.631", "74.02"},
		{1, .4, "0.264", "63.10"},
		{1, .6, "0.121", "50.58"},
		{1, .8, "0.0446", "36.24"},
		{1, .9, "0.0188", "26.45"},
		{.5, .1, "4.31", "81.62"},
		{.5, .2, "2.03", "74.94"},
		{.5, .4, "0.779", "61.45"},
		{.5, .6, "0.319", "48.14"},
		{.5, .8, "0.0923", "33.31"},
		{.5, .9, "0.0313", "23.66"},
		{.25, .1, "16.2", "82.31"},
		{.25, .2, "7.57", "75.18"},
		{.25, .4, "2.83", "60.86"},
		{.25, .6, "1.07", "46.72"},
		{.25, .8, "0.261", "31.04"},
		{.25, .9, "0.0736", "21.85"},
	} {
		id := fmt.Sprintf("bearing/steady/%g-%g/", c.width, c.ecc)
		where := fmt.Sprintf(" at L/D = %g, ε = %g", c.width, c.ecc)
		add := func(name, what, unit, printed string, tol float64, why string, ours func() (float64, error)) {
			want := number(printed)
			l.add(Check{
				ID: id + name, Chapter: "bearing", Kind: Published, Source: "RAIMONDI", Place: tables, Seen: Memory, What: what + where, Unit: unit,
				Printed: printed, Want: want, Tol: tol * want, TolWhy: why, Ours: ours,
			})
		}
		tables := func() (bearing.Steady, error) { return bearing.SteadyReynolds(c.width, c.ecc, bearing.AtWidest) }
		const mesh = "the tables' own mesh was coarse: an independent program is as far off, 1.3 %"
		add("s", "Sommerfeld number", "1", c.s, 0.015, mesh, func() (float64, error) {
			s, err := tables()
			return s.Sommerfeld, err
		})
		add("attitude", "attitude", "°", c.attitude, 0.013, mesh, func() (float64, error) {
			s, err := tables()
			return s.Attitude * 180 / math.Pi, err
		})
		add("mobility", "Sommerfeld number out of the mobility map", "1", c.s, 0.02,
			"as above; and the film of the map may begin before the widest gap", func() (float64, error) {
				m, err := bearing.NewMobility(c.width)
				if err != nil {
					return 0, err
				}
				s, err := bearing.SteadyAt(m, c.ecc)
				return s.Sommerfeld, err
			})
	}
	for _, c := range []struct {
		ecc      float64
		friction string
	}{{.1, "26.4"}, {.2, "12.8"}, {.4, "5.79"}, {.6, "3.22"}, {.8, "1.70"}, {.9, "1.05"}} {
		l.add(Check{
			ID: fmt.Sprintf("bearing/friction/%g", c.ecc), Chapter: "bearing", Kind: Published, Source: "RAIMONDI", Place: "table of the full bearing, L/D = 1: friction",
			Seen: Memory, What: fmt.Sprintf("friction f R/c at L/D = 1, ε = %g", c.ecc), Printed: c.friction, Want: number(c.friction), Tol: 0.013 * number(c.friction),
			TolWhy: "as S of the same table",
			Ours: func() (float64, error) {
				s, err := bearing.SteadyReynolds(1, c.ecc, bearing.AtWidest)
				return s.Friction, err
			},
		})
	}
}

// shortBearings holds the map of the short bearing against its closed forms.
func (l *list) shortBearings() {
	const width = 0.25
	for _, c := range []struct {
		ecc         float64
		s, attitude string
	}{
		{.1, "0.98998", "82.71"},
		{.2, "0.46119", "75.43"},
		{.4, "0.17046", "60.94"},
		{.5, "0.10605", "53.68"},
		{.6, "0.06253", "46.32"},
		{.8, "0.01388", "30.50"},
		{.9, "0.00331", "20.83"},
	} {
		state := func() (bearing.Steady, error) {
			m, err := bearing.ShortMobility(width)
			if err != nil {
				return bearing.Steady{}, err
			}
			return bearing.SteadyAt(m, c.ecc)
		}
		add := func(name, what, unit, printed string, ours func() (float64, error)) {
			want := number(printed)
			half, _ := HalfUnit(printed)
			l.add(Check{
				ID: fmt.Sprintf("bearing/short/%g/%s", c.ecc, name), Chapter: "bearing", Kind: ClosedForm, Source: "OCVIRK", Place: "short bearing, steady load",
				Seen: Recomputed, What: fmt.Sprintf("%s of the short bearing at ε = %g, out of its mobility map", what, c.ecc), Unit: unit,
				Printed: printed, Want: want, Tol: half + 1e-3*want, TolWhy: "the map is interpolated", Ours: ours,
			})
		}
		add("s", "S (L/D)²", "1", c.s, func() (float64, error) {
			s, err := state()
			return s.Sommerfeld * width * width, err
		})
		add("attitude", "attitude", "°", c.attitude, func() (float64, error) {
			s, err := state()
			return s.Attitude * 180 / math.Pi, err
		})
	}
	for _, c := range []struct {
		ecc     float64
		printed string
	}{{0, "1.570796"}, {.3, "3.888341"}, {.5, "9.115731"}, {.7, "33.083239"}, {.9, "522.774604"}} {
		l.add(Check{
			ID: fmt.Sprintf("bearing/squeeze/%g", c.ecc), Chapter: "bearing", Kind: ClosedForm, Source: "BOOKER", Place: "squeeze film of the short bearing",
			Seen: Recomputed, What: fmt.Sprintf("squeeze number J at ε = %g", c.ecc), Printed: c.printed, Want: number(c.printed),
			Ours: func() (float64, error) { return bearing.SqueezeFilm(c.ecc), nil },
		})
	}
}
