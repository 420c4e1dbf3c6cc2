package draw

import (
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/envelope"
)

// LengthOverBore shows what bore against stroke does to length, width and height at fixed displacement, and whether bores or
// crank set the length.
//
//   - r: whose engine
//   - b: of envelope.OverBore, at least two points
//
// Result [-], lengths in mm. Definition.
func LengthOverBore(r *analysis.Result, b *envelope.BoreStroke) Figure {
	s := newSheet("length-over-bore", "Bore against stroke at this displacement", r)
	series := func(of func(p *envelope.Sized) float64) []float64 {
		out := make([]float64, len(b.Points))
		for i := range b.Points {
			out[i] = 1e3 * of(&b.Points[i])
		}
		return out
	}
	bore := series(func(p *envelope.Sized) float64 { return p.Bore })
	length := series(func(p *envelope.Sized) float64 { return p.Length })
	width, height := series(func(p *envelope.Sized) float64 { return p.Width }), series(func(p *envelope.Sized) float64 { return p.Height })
	first, last := rangeOf(bore)
	low, high := rangeOf(length, width, height)
	if len(b.Points) < 2 || !(last > first) || !drawable(high) {
		return s.empty("There is nothing to show")
	}
	across := tightScale(first, last, 5)
	c := s.newChart(s.bottom+30, 190, across, evenScale(low-0.05*(high-low), high+0.05*(high-low)+1, 5), "bore in mm", "outer sizes in mm")
	c.along(s, bore, length, pen(with, thick), "length")
	c.along(s, bore, width, pen(against, normal).in(dashed), "width")
	c.along(s, bore, height, pen(third, normal).in(dotted), "height")
	c.mark(s, 1e3*b.Present.Bore, 1e3*b.Present.Length, with, "present bore")
	c.names(s)

	block, least := series(func(p *envelope.Sized) float64 { return p.Block }), series(func(p *envelope.Sized) float64 { return p.LeastBlock })
	low, high = rangeOf(block, least)
	c = s.newChart(s.bottom+30, 130, across, evenScale(low-0.05*(high-low), high+0.05*(high-low)+1, 4), "bore in mm", "length of the block in mm")
	c.along(s, bore, block, pen(with, thick), "crank as held")
	c.along(s, bore, least, pen(soft, normal).in(dashed), "crank of least widths")
	c.names(s)
	s.say("Length from " + digits(math.Round(length[0])) + " mm at a bore of " + digits(roundTo(first, 0.1)) + " mm to " +
		digits(math.Round(length[len(length)-1])) + " mm at " + digits(roundTo(last, 0.1)) + " mm; slope " + digits(roundTo(b.Slope, 0.01)) + " mm a mm of bore.")
	switch n := len(b.Present.Steps); {
	case n > 0 && b.Present.BoresSet == n:
		s.note("At the present bore the bores set every pitch.")
	case n > 0 && b.Present.BoresSet == 0:
		s.note("At the present bore the crank sets every pitch; only the ends grow with the bore.")
	}
	s.note("A millimetre of bore makes the engine " + digits(roundTo(b.Slope, 0.01)) + " mm longer. Every point is the shortest engine that bores and crank allow.")
	return s.figure()
}

// spaceEntries are the figures of room and mass. A result that has no Space gets it computed.
func spaceEntries() []Entry {
	entry := func(name, shows string, f func(r *analysis.Result) (Figure, error)) Entry {
		return Entry{
			Name: name, Shows: shows, Defaults: Options{K: 2},
			draw: func(rs []*analysis.Result, _ Options) Figure {
				fig, err := f(rs[0])
				if err != nil {
					s := newSheet(name, shows, rs[0])
					s.note(analysis.Said(err))
					return s.empty("There is nothing to show")
				}
				return fig
			},
		}
	}
	return []Entry{
		entry("three-views", "the engine from three sides, to scale, with its outer sizes and centre of gravity", func(r *analysis.Result) (Figure, error) {
			e := r.Space
			if e == nil {
				var err error
				if e, err = analysis.Space(r.Train); err != nil {
					return Figure{}, err
				}
			}
			return ThreeViews(r, e), nil
		}),
		entry("length-over-bore", "what bore against stroke does to the outer sizes at fixed displacement", func(r *analysis.Result) (Figure, error) {
			b, err := envelope.OverBore(r.Train, envelope.UsualRatios())
			if err != nil {
				return Figure{}, err
			}
			return LengthOverBore(r, b), nil
		}),
	}
}
