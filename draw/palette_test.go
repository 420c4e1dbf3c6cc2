package draw

import (
	"image/color"
	"math"
	"testing"
)

// linear returns the linear light of a colour's channels.
func linear(c color.RGBA) [3]float64 {
	var out [3]float64
	for i, v := range []uint8{c.R, c.G, c.B} {
		x := float64(v) / 255
		if x <= 0.04045 {
			out[i] = x / 12.92
		} else {
			out[i] = math.Pow((x+0.055)/1.055, 2.4)
		}
	}
	return out
}

// contrast is the ratio of the Web Content Accessibility Guidelines 2.1.
func contrast(a, b color.RGBA) float64 {
	luminance := func(c color.RGBA) float64 {
		l := linear(c)
		return 0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2]
	}
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

func TestContrast(t *testing.T) {
	for name, th := range map[string]theme{"light": lightTheme(), "dark": darkTheme()} {
		for p := ink; p <= fourth; p++ { // all of them write text
			if c := contrast(th[p], th[paper]); c < 4.5 {
				t.Errorf("%s: %s has a contrast of %.2f on paper, text needs 4.5", name, paintName(p), c)
			}
			for _, ground := range []paint{band, metal} {
				if c := contrast(th[p], th[ground]); c < 3 {
					t.Errorf("%s: %s has a contrast of %.2f on %s, lines need 3", name, paintName(p), c, paintName(ground))
				}
			}
		}
		if c := contrast(th[ink], th[steel]); c < 4.5 {
			t.Errorf("%s: ink has a contrast of %.2f on steel", name, c)
		}
	}
}

// Simulated colour blindness: Machado, Oliveira, Fernandes 2009, severity 1, in linear light.
func TestColoursAreToldApart(t *testing.T) {
	eyes := map[string][3][3]float64{
		"normal":      {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
		"protanope":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
		"deuteranope": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	}
	paints := []paint{ink, with, against, third, fourth}
	for name, th := range map[string]theme{"light": lightTheme(), "dark": darkTheme()} {
		for eye, m := range eyes {
			for i, p := range paints {
				for _, q := range paints[:i] {
					a, b := lab(m, th[p]), lab(m, th[q])
					d := math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
					least := 15.
					if p == against && q == with { // the pair that every figure uses
						least = 60
					}
					if d < least {
						t.Errorf("%s, %s: %s and %s are %.1f apart, want %g", name, eye, paintName(p), paintName(q), d, least)
					}
				}
			}
		}
	}
}

// lab returns CIE L*a*b* of a colour as an eye sees it.
func lab(m [3][3]float64, c color.RGBA) [3]float64 {
	l := linear(c)
	var v [3]float64
	for i := range v {
		v[i] = math.Max(0, math.Min(1, m[i][0]*l[0]+m[i][1]*l[1]+m[i][2]*l[2]))
	}
	f := func(t float64) float64 {
		if t > 0.008856 {
			return math.Cbrt(t)
		}
		return 7.787*t + 16./116
	}
	x := f((0.4124564*v[0] + 0.3575761*v[1] + 0.1804375*v[2]) / 0.95047)
	y := f(0.2126729*v[0] + 0.7151522*v[1] + 0.0721750*v[2])
	z := f((0.0193339*v[0] + 0.1191920*v[1] + 0.9503041*v[2]) / 1.08883)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}
