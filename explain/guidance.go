package explain

import (
	"fmt"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/strength"
	"crankwright/num"
)

// Guidance says which guidance an engine misses, each in a few words.
//
//   - g: of analysis.GuidanceOf; nil: it was not looked at
//
// Result: words with shares [%], factors [1] and lengths [mm]; none where it misses nothing. Definition.
func Guidance(g *analysis.Guidance) []string {
	out := []string{}
	if g == nil {
		return out
	}
	if n := len(g.Bearings); n > 0 {
		worst := g.Bearings[0]
		for _, c := range g.Bearings {
			if c.Use > worst.Use*(1+1e-6) { // the first of equals
				worst = c
			}
		}
		text := fmt.Sprintf("%s carries %s %% of the upper end of the guidance for its lining (%s)", worst.Name, num.Digits(100*worst.Use, 3), worst.Lining.Name)
		if n > 1 {
			text += fmt.Sprintf(", the most of %d bearings above it", n)
		}
		out = append(out, text)
	}
	if w := g.Web; w != nil {
		p := w.Assessment.Worst()
		out = append(out, fmt.Sprintf("the %s of the web %s has an acceptability factor of %s where the rule demands %s", p.Name, w.Name, shortOf(p.Q, strength.Required), num.Digits(strength.Required, 3)))
	}
	for _, c := range g.Meet {
		out = append(out, fmt.Sprintf("%s, %s: they meet by %s mm", c.Kind, c.Parts, num.Digits(-1e3*c.Room, 2)))
	}
	return out
}

// shortOf writes a value below a bound with as many digits as tell the two apart.
func shortOf(v, bound float64) string {
	for digits := 3; digits < 9; digits++ {
		if text := num.Digits(v, digits); text != num.Digits(bound, digits) {
			return text
		}
	}
	return "less"
}

// GuidanceSentence says in one sentence which guidance an engine misses.
//
//   - name: of the engine
//   - g: of analysis.GuidanceOf; nil: it was not looked at
//
// Result in words [-]; empty where it misses nothing. Definition.
func GuidanceSentence(name string, g *analysis.Guidance) string {
	list := Guidance(g)
	if len(list) == 0 {
		return ""
	}
	return fmt.Sprintf("%s misses guidance that the program knows, and neither figures nor points count that: %s.", name, strings.Join(list, "; "))
}
