package draw

import (
	"fmt"
	"image/color"
	"strings"
)

// paint is the role of a colour in a figure.
type paint int

// The paints. The first group draws lines, marks and text; the second only fills, behind an outline.
const (
	none    paint = iota
	ink           // text, outlines, resultants
	soft          // second text, axes, centre lines
	with          // what turns with the crank; first bank
	against       // what turns against the crank; second bank
	third         // third of a kind: crank masses, third bank
	fourth        // fourth of a kind: balance shafts, fourth bank

	rule  // grid lines, which carry nothing that a label doesn't
	paper // background
	band  // quiet areas
	metal // light parts: pistons, rods, webs
	steel // dark parts: pins, counterweights
)

// theme gives each paint its colour.
type theme map[paint]color.RGBA

func hex(s string) color.RGBA {
	var r, g, b uint8
	if _, err := fmt.Sscanf(s, "#%02x%02x%02x", &r, &g, &b); err != nil {
		return color.RGBA{A: 255}
	}
	return color.RGBA{R: r, G: g, B: b, A: 255}
}

// paintName are the names that the style sheet uses.
func paintName(p paint) string {
	return [...]string{"none", "ink", "soft", "with", "against", "third", "fourth", "rule", "paper", "band", "metal", "steel"}[p]
}

// lightTheme is for white paper. The colours were chosen by search: at least 4.5:1 against the paper, and
// far apart for normal, protanope and deuteranope eyes; palette_test.go measures both.
func lightTheme() theme {
	return theme{
		ink: hex("#18212b"), soft: hex("#55616d"), with: hex("#0a5cad"), against: hex("#b84d00"),
		third: hex("#00735a"), fourth: hex("#7a1fd1"),
		rule: hex("#d3d9de"), paper: hex("#ffffff"), band: hex("#f1f4f6"), metal: hex("#e4e9ed"), steel: hex("#bcc6cf"),
	}
}

func darkTheme() theme {
	return theme{
		ink: hex("#e8ecef"), soft: hex("#a5b0ba"), with: hex("#66b3ff"), against: hex("#ff9a3d"),
		third: hex("#3fbf8f"), fourth: hex("#d66ba0"),
		rule: hex("#333d47"), paper: hex("#12181f"), band: hex("#1b232c"), metal: hex("#28333e"), steel: hex("#465564"),
	}
}

// Light and Dark return the colours of the figures by the name of their role, as #rrggbb, so that
// the page around a figure can match it.
//
// Result [-]: ink, soft, with, against, third, fourth, rule, paper, band, metal, steel. Definition.
func Light() map[string]string { return lightTheme().names() }

// Dark returns the colours of the dark theme; see Light [-]. Definition.
func Dark() map[string]string { return darkTheme().names() }

func (t theme) names() map[string]string {
	out := map[string]string{}
	for p, c := range t {
		out[paintName(p)] = cssColour(c)
	}
	return out
}

func cssColour(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// Stylesheet returns the style sheet that every figure carries [-]. A page with many figures can
// carry it once and use Figure.Inline.
//
// Light is the default. Dark comes with the reader's preference, or with data-theme="dark" on
// any ancestor or on the figure; data-theme="light" forbids it; print is always light. Each paint is
// given twice, for viewers that know no custom properties. Definition.
func Stylesheet() string {
	var b strings.Builder
	light, dark := lightTheme(), darkTheme()
	variables := func(t theme) string {
		var v strings.Builder
		for p := ink; p <= steel; p++ {
			fmt.Fprintf(&v, "--cw-%s:%s;", paintName(p), cssColour(t[p]))
		}
		return v.String()
	}
	l, d := variables(light), variables(dark)
	fmt.Fprintf(&b, ".cw-fig{%sfont-family:%s;max-width:100%%;height:auto}\n", l, fontStack)
	fmt.Fprintf(&b, "@media (prefers-color-scheme:dark){.cw-fig{%s}}\n", d)
	fmt.Fprintf(&b, "[data-theme=light] .cw-fig,.cw-fig[data-theme=light]{%s}\n", l)
	fmt.Fprintf(&b, "[data-theme=dark] .cw-fig,.cw-fig[data-theme=dark]{%s}\n", d)
	fmt.Fprintf(&b, "@media print{.cw-fig,[data-theme] .cw-fig,.cw-fig[data-theme]{%s}}\n", l)
	for p := ink; p <= steel; p++ {
		c, n := cssColour(light[p]), paintName(p)
		fmt.Fprintf(&b, ".cw-s-%s{stroke:%s;stroke:var(--cw-%s)}.cw-f-%s{fill:%s;fill:var(--cw-%s)}\n", n, c, n, n, c, n)
	}
	b.WriteString(".cw-halo{paint-order:stroke;stroke:#ffffff;stroke:var(--cw-paper);stroke-width:3px;stroke-linejoin:round}\n")
	return b.String()
}

// fontStack names fonts that machines have; their widths are near those of the measuring font.
const fontStack = `"Segoe UI",Roboto,"Helvetica Neue",Arial,"Liberation Sans",sans-serif`

// turnPaint returns the paint of a part that turns with or against the crank.
func turnPaint(isWith bool) paint {
	if isWith {
		return with
	}
	return against
}

// bankPaint returns the paint of a bank. Beyond four they repeat; markers and names tell them apart.
func bankPaint(bank int) paint { return [...]paint{with, against, third, fourth}[((bank%4)+4)%4] }
