package draw

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"golang.org/x/image/vector"
)

// maxPixels bounds a picture, so that a slip in the scale cannot take all memory.
const maxPixels = 200e6

// PNG returns the figure as a picture on white paper, in the light theme.
//
//   - scale: pixels per unit of the drawing [1], greater than zero; 2 is right for most screens
//
// Result: a PNG file [-]. The error says where the picture would have no pixel, or too many.
// Definition.
func (f Figure) PNG(scale float64) ([]byte, error) {
	w, h := math.Ceil(f.Width*scale), math.Ceil(f.Height*scale)
	if !(w >= 1 && h >= 1 && w*h <= maxPixels) {
		return nil, fmt.Errorf("a picture of %g by %g units at scale %g has no size that can be drawn; the most is %g million pixels",
			f.Width, f.Height, scale, maxPixels/1e6)
	}
	r := &raster{
		image: image.NewRGBA(image.Rect(0, 0, int(w), int(h))),
		scale: scale,
		theme: lightTheme(),
	}
	r.shape(shape{geometry: rectangle(0, 0, w/scale, h/scale), look: solid(paper)})
	r.nodes(f.nodes)
	var b bytes.Buffer
	if err := png.Encode(&b, r.image); err != nil {
		return nil, fmt.Errorf("the picture cannot be written: %w", err)
	}
	return b.Bytes(), nil
}

// raster draws a scene into an image.
type raster struct {
	image  *image.RGBA
	scale  float64
	theme  theme
	vector vector.Rasterizer
}

func (r *raster) nodes(nodes []node) {
	for _, n := range nodes {
		switch n := n.(type) {
		case shape:
			r.shape(n)
		case label:
			r.label(n)
		case *group:
			r.nodes(n.nodes)
		}
	}
}

func (r *raster) shape(s shape) {
	lines := flattened(s.geometry.outline(), r.scale)
	if s.look.fill != none {
		pieces := make([][]point, len(lines))
		for i, l := range lines {
			pieces[i] = l.points
		}
		r.fill(pieces, r.theme[s.look.fill])
	}
	if s.look.stroke == none {
		return
	}
	pattern := s.look.dash.lengths()
	for i := range pattern {
		pattern[i] *= r.scale
	}
	r.fill(strokes(lines, pattern, s.look.width*r.scale), r.theme[s.look.stroke])
}

func strokes(lines []polyline, pattern []float64, width float64) [][]point {
	var pieces [][]point
	for _, l := range lines {
		for _, d := range l.dashes(pattern) {
			pieces = append(pieces, d.stroked(width)...)
		}
	}
	return pieces
}

func (r *raster) label(l label) {
	face, x := l.face(), l.left()
	var lines []polyline
	for _, letter := range l.text {
		g := face.glyph(letter)
		p := make(path, len(g.outline))
		for i, s := range g.outline {
			for j := range s.p {
				s.p[j] = point{x + s.p[j].x*l.size, l.at.y + s.p[j].y*l.size}
			}
			p[i] = s
		}
		lines = append(lines, flattened(p, r.scale)...)
		x += g.advance * l.size
	}
	if l.halo {
		r.fill(strokes(lines, nil, 3*r.scale), r.theme[paper])
	}
	pieces := make([][]point, len(lines))
	for i, line := range lines {
		pieces[i] = line.points
	}
	r.fill(pieces, r.theme[l.paint])
}

// fill covers closed polygons with a colour: what they wind round is inside.
func (r *raster) fill(pieces [][]point, c color.RGBA) {
	lo, hi := point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}
	for _, piece := range pieces {
		for _, p := range piece {
			if math.IsNaN(p.x) || math.IsNaN(p.y) {
				return
			}
			lo = point{math.Min(lo.x, p.x), math.Min(lo.y, p.y)}
			hi = point{math.Max(hi.x, p.x), math.Max(hi.y, p.y)}
		}
	}
	if !(lo.x <= hi.x) {
		return
	}
	size := r.image.Bounds().Size()
	whole := func(v float64, most int) int { return int(math.Max(0, math.Min(float64(most), v))) }
	box := image.Rect(whole(math.Floor(lo.x), size.X), whole(math.Floor(lo.y), size.Y),
		whole(math.Ceil(hi.x), size.X), whole(math.Ceil(hi.y), size.Y))
	if box.Dx() <= 0 || box.Dy() <= 0 {
		return
	}
	r.vector.Reset(box.Dx(), box.Dy())
	left, top := float64(box.Min.X), float64(box.Min.Y)
	for _, piece := range pieces {
		for i, p := range piece {
			x, y := float32(p.x-left), float32(p.y-top)
			if i == 0 {
				r.vector.MoveTo(x, y)
			} else {
				r.vector.LineTo(x, y)
			}
		}
		r.vector.ClosePath()
	}
	r.vector.Draw(r.image, box, image.NewUniform(c), image.Point{})
}
