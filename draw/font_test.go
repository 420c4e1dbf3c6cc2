package draw

import (
	"math"
	"testing"
)

func TestFontsHaveTheSignsThatFiguresUse(t *testing.T) {
	for _, f := range []*face{regular(), bold()} {
		if f.font == nil {
			t.Fatal("an embedded font cannot be read")
		}
		for _, r := range "λωθΣψβ°²−·×…µ–½äöüé" {
			if f.glyph(r).index == 0 {
				t.Errorf("%q is missing", r)
			}
		}
	}
}

func TestFitted(t *testing.T) {
	if cut, full := fitted("short", 100, 12, false); cut != "short" || full != "" {
		t.Errorf("got %q, %q", cut, full)
	}
	long := "a name that is much too long for its place"
	cut, full := fitted(long, 100, 12, false)
	if full != long || textWidth(cut, 12, false) > 100 {
		t.Errorf("got %q, %q", cut, full)
	}
}

func TestQuantity(t *testing.T) {
	for _, c := range []struct {
		x    float64
		unit string
		want string
	}{
		{0, "N", "0 N"},
		{1234.6, "N", "1.23 kN"},
		{-12, "N m", "−12 N m"},
		{0.045, "N", "45 mN"},
		{999.7, "N", "1 kN"},
		{2.5e6, "N", "2.5 MN"},
		{1e20, "N", "1.00·10^11 GN"},
		{math.NaN(), "N", unknown},
		{math.Inf(1), "N", unknown},
		{1e-12, "N", "0 N"},
	} {
		if got := quantity(c.x, c.unit); got != c.want {
			t.Errorf("quantity(%g) = %q, want %q", c.x, got, c.want)
		}
	}
}

func TestEscape(t *testing.T) {
	if got, want := escape("a<b>&\"'\x00\xff"), "a&lt;b&gt;&amp;&quot;&#39;\ufffd\ufffd"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
