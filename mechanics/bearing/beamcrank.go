package bearing

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/layout"
)

// SteelYoung is the modulus of elasticity of steel cranks [Pa]. Source: PRACTICE.
const SteelYoung = 206e9

// SupportShare gives the common stiffness of a main bearing with its housing, as a share of modulus times width of the
// journal [1]. With journals 20 to 30 mm wide it is 1.0 to 1.5 GN/m; housings, caps and oil films of engines of that
// size scatter from 0.3 to 3 GN/m (from memory). Source: PRACTICE.
const SupportShare = 0.25

// SupportStiffness returns the common stiffness of a main bearing with its housing, an order of magnitude.
//
//	k = 0.25 E b
//
// with
//   - young: modulus E [Pa]
//   - width: of the journal b [m]
//
// Result [N/m]. Source: PRACTICE.
func SupportStiffness(young, width float64) float64 { return SupportShare * young * width }

// ErrNoWidths is returned where a continuous beam is wanted of a crank whose geometry is unknown.
var ErrNoWidths = errors.New("bearing: the crank's geometry is missing; a continuous beam needs diameter and width of main journal and crankpin and thickness and width of the webs, such as 'crank: {web: {thickness: 18 mm, width: 80 mm}}', or take the statically determinate bays")

// NoRoomError says that two parts of a crank leave no room for the web between them.
type NoRoomError struct {
	Left, Right string  // the parts, in words
	Gap         float64 // between their faces [m]; negative: they overlap
}

// Error returns what is wrong and what would be right [-]. Definition.
func (e *NoRoomError) Error() string {
	return fmt.Sprintf("bearing: no web fits between %s and %s: their faces are %.4g mm apart; narrow a journal or widen the cylinder spacing", e.Left, e.Right, 1e3*e.Gap)
}

// seat is a journal or pin on the crank.
type seat struct {
	at, width, diameter, bore float64
	pin                       complex128 // from the crank axis; 0 for a main
	throw                     int        // −1 for a main
	name                      string
}

// boreIn is a bore as far as a diameter has room for it: mains may be given with diameters of their own.
func boreIn(bore, diameter float64) float64 {
	if bore < diameter {
		return bore
	}
	return 0
}

// seats returns mains and pins along the crank.
func seats(t *layout.Train, mains []Main) []seat {
	var all []seat
	for i, m := range mains {
		all = append(all, seat{m.At, m.Width, m.Diameter, boreIn(t.Crank.MainJournal.Bore, m.Diameter), 0, -1, fmt.Sprintf("main %d", i+1)})
	}
	p := t.Crank.Crankpin
	for i, th := range t.Throws {
		all = append(all, seat{th.At, p.Width, p.Diameter, boreIn(p.Bore, p.Diameter), complex(th.Radius, 0) * th.Angle.Unit(), i, "pin " + th.Name})
	}
	slices.SortStableFunc(all, func(a, b seat) int { return cmp.Compare(a.at, b.at) })
	return all
}

// overlap reports whether two pins share metal, so that no web is needed between them.
func (s seat) overlap(o seat) bool {
	return s.throw >= 0 && o.throw >= 0 && cmplx.Abs(s.pin-o.pin) < math.Min(s.diameter, o.diameter)
}

// CrankSections returns the stepped beam by which a crank bends.
//
//	journals and pins: E π (d⁴ − bore⁴)/64      webs, over their gap g: E g b h³/(9.9 R_e)
//
// with
//   - t: a train with the widths and diameters of its crank
//   - mains: from the free end to the drive end
//   - young: modulus E [Pa], greater than zero
//
// Result [N m²], from the outer face of the first main to that of the last. b is the web's width, h its thickness or,
// where there is less room or it stands between two pins, the gap; R_e = R − 0.2 (d_main + d_pin) its length, not
// less than h, between two pins that of the line between their middles. A web bends in the plane of its throw by
// 12 R_e/(E b h³) per moment and twists in the plane across it by 3 R_e/(G b h³); the mean of the two with G = E/2.6 is
// used in all planes, so that the beam is alike in all of them. Pins that overlap join like one pin; a shaft between two
// mains has the thinner one's diameter. Counterweights do not stiffen. Errors: ErrNoWidths, *NoRoomError.
// Source: KERWILSON for the free length of the web, DEFINITION for beam and thin strip.
func CrankSections(t *layout.Train, mains []Main, young float64) ([]Section, error) {
	if err := checkMains(mains); err != nil {
		return nil, err
	}
	if !(young >= 1e6) || young > 1e13 {
		return nil, fmt.Errorf("bearing: a modulus of %g Pa is that of no metal; steel has 2.06e11 Pa", young)
	}
	web := t.Crank.Web
	all := seats(t, mains)
	var out []Section
	from := 0.0
	put := func(to, stiffness float64) {
		if to > from {
			out = append(out, Section{from, to, stiffness})
			from = to
		}
	}
	round := func(s seat) float64 { return young * math.Pi / 64 * (math.Pow(s.diameter, 4) - math.Pow(s.bore, 4)) }
	for i, s := range all {
		if s.diameter <= 0 || s.width <= 0 || web.Thickness <= 0 || web.Width <= 0 {
			return nil, ErrNoWidths
		}
		if i == 0 {
			from = s.at - s.width/2
		} else {
			before := all[i-1]
			gap := s.at - s.width/2 - (before.at + before.width/2)
			thin := s
			if before.diameter < s.diameter {
				thin = before
			}
			switch {
			case gap < -1e-9 || gap < 1e-6 && !s.overlap(before):
				return nil, &NoRoomError{before.name, s.name, gap}
			case s.overlap(before) || s.throw < 0 && before.throw < 0:
				put(s.at-s.width/2, round(thin))
			default:
				h := gap
				if s.throw < 0 || before.throw < 0 {
					h = math.Min(gap, web.Thickness)
				}
				length := math.Max(h, cmplx.Abs(s.pin-before.pin)-0.2*(s.diameter+before.diameter))
				put(s.at-s.width/2, young*gap*web.Width*h*h*h/(9.9*length))
			}
		}
		put(s.at+s.width/2, round(s))
	}
	return out, nil
}

// continuousShares returns the shares of loads along a crank that is a continuous beam in its mains.
func continuousShares(t *layout.Train, mains []Main, at []float64, opt Options) ([][]float64, error) {
	young := opt.Young
	if young == 0 {
		young = SteelYoung
	}
	if !(opt.Support >= 0) {
		return nil, fmt.Errorf("bearing: the stiffness of a main is %g N/m; it must be greater than zero, such as 1e9 N/m", opt.Support)
	}
	sections, err := CrankSections(t, mains, young)
	if err != nil {
		return nil, err
	}
	supports := make([]Support, len(mains))
	for i, m := range mains {
		k := m.Stiffness
		if k == 0 {
			k = opt.Support
		}
		if k == 0 {
			k = SupportStiffness(young, m.Width)
		}
		supports[i] = Support{m.At, 1 / k}
	}
	return BeamShares(sections, supports, at)
}
