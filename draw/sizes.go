package draw

import "crankwright/mechanics/layout"

// Sizes are the measures with which figures draw parts [m]; what the file does not know is a plain
// proportion of the bore, for drawing only.
type Sizes struct {
	Bore                   float64
	Pin, PinWidth          float64 // crankpin
	Main, MainWidth        float64 // main journal
	WebThickness, WebWidth float64
	Crown                  float64  // from piston pin to crown, where a piston gives none
	Assumed                []string // what the file does not know, in words
}

// SizesOf returns the measures [m] with which figures draw a train, so that other drawings can take the
// same. Definition.
func SizesOf(t *layout.Train) Sizes {
	s := sizesOf(t)
	return Sizes{
		Bore: s.bore, Pin: s.pin, PinWidth: s.pinWidth, Main: s.main, MainWidth: s.mainWidth,
		WebThickness: s.webThickness, WebWidth: s.webWidth, Crown: s.crown(layout.Piston{}), Assumed: s.assumed,
	}
}
