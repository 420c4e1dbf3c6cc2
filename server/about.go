package server

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"time"

	"crankwright/analysis"
	"crankwright/docs"
	"crankwright/draw"
	"crankwright/num"
	"crankwright/report"
	"crankwright/spec"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"
)

// rpm turns a speed [rad/s] into [rpm], without the dust of rounding.
func rpm(ω float64) float64 { return math.Round(ω*30/math.Pi*1e9) / 1e9 }

// Version says which program this is.
type Version struct {
	Version string `json:"version" doc:"of the program"`
	API     string `json:"api" doc:"of this API"`
	Go      string `json:"go" doc:"version of Go that built it"`
}

func (s *Server) version(context.Context, *struct{}) (*struct{ Body Version }, error) {
	return &struct{ Body Version }{Version{s.cfg.Version, apiVersion, runtime.Version()}}, nil
}

func (s *Server) getChecks(context.Context, *struct{}) (*struct{ Body *report.Verification }, error) {
	return &struct{ Body *report.Verification }{s.checks()}, nil
}

func (s *Server) getSources(context.Context, *struct{}) (*struct{ Body []docs.Source }, error) {
	return &struct{ Body []docs.Source }{docs.Sources()}, nil
}

// GalleryEntry is an arrangement from which a new engine can start.
type GalleryEntry struct {
	Title     string `json:"title" doc:"the arrangement in words"`
	Shorthand string `json:"shorthand" doc:"for POST /api/engines"`
	Text      string `json:"text" doc:"what is particular to it, in a line"`
	Figure    string `json:"figure" doc:"end view as SVG"`
}

// arrangements are the engines of the gallery: the shorthand makes the engine, the line says what is
// particular to its shaking or firing; a test holds the lines against the results.
func arrangements() []GalleryEntry {
	return []GalleryEntry{
		{Title: "Single", Shorthand: "inline-1 84x90", Text: "the 1st order in full; a counterweight only turns it"},
		{Title: "Inline twin, 360°", Shorthand: "inline-2 84x90 360", Text: "fires evenly, shakes like a single of twice the size"},
		{Title: "Inline twin, 270°", Shorthand: "inline-2 84x90 270", Text: "no free force of the 2nd order, uneven beat"},
		{Title: "Inline three", Shorthand: "inline-3 84x90", Text: "no free force of the 1st and 2nd order; couples remain"},
		{Title: "Inline four, flat-plane", Shorthand: "inline-4 84x90 flat-plane", Text: "free force of the 2nd order, fires evenly"},
		{Title: "Inline four, cross-plane", Shorthand: "inline-4 84x90 cross-plane", Text: "couple of the 1st order, uneven beat, little inertia torque"},
		{Title: "Inline five", Shorthand: "inline-5 84x90", Text: "no free force of the 1st and 2nd order; couples remain"},
		{Title: "Inline six", Shorthand: "inline-6 84x90", Text: "no free force or couple of the 1st and 2nd order"},
		{Title: "Vee twin 90°", Shorthand: "vee-2 90deg 84x90", Text: "a counterweight takes the whole free force of the 1st order"},
		{Title: "Vee twin 52°", Shorthand: "vee-2 52deg 84x90", Text: "narrow and uneven; the 1st order stays in part"},
		{Title: "Vee four 90°", Shorthand: "vee-4 90deg 84x90 180", Text: "compact; what remains is of the 2nd order"},
		{Title: "Narrow vee six 15°", Shorthand: "vee-6 15deg 81x90 even-fire", Text: "one head for all; fires evenly, couples of the 1st and 2nd order"},
		{Title: "Vee six 60°, split pins", Shorthand: "vee-6 60deg 84x75 split 60", Text: "fires evenly, couples of the 1st and 2nd order"},
		{Title: "Vee six 90°, split pins", Shorthand: "vee-6 90deg 84x75 split 30", Text: "fires evenly from the block of a vee eight"},
		{Title: "Vee eight 90°, cross-plane", Shorthand: "vee-8 90deg 84x90 cross-plane", Text: "no free force; counterweights take the couple"},
		{Title: "Vee eight 90°, flat-plane", Shorthand: "vee-8 90deg 84x90 flat-plane", Text: "sideways free force of the 2nd order, each bank fires evenly"},
		{Title: "Vee twelve 60°", Shorthand: "vee-12 60deg 84x75", Text: "two inline sixes: no free force or couple of the 1st and 2nd order"},
		{Title: "Opposed twin", Shorthand: "opposed-2 96x70 own-pins", Text: "forces cancel, a small couple remains"},
		{Title: "Opposed four", Shorthand: "opposed-4 96x70 own-pins", Text: "low; forces cancel, a couple of the 2nd order remains"},
		{Title: "Opposed six", Shorthand: "opposed-6 96x70 own-pins", Text: "low; no free force or couple of the 1st and 2nd order"},
		{Title: "Radial five, master rod", Shorthand: "radial-5 84x90 master-and-link", Text: "one throw, one master rod; counterweights take most of the 1st order"},
	}
}

// makeGallery draws the arrangements.
func makeGallery() []GalleryEntry {
	list := arrangements()
	for i := range list {
		g := &list[i]
		data, err := spec.NewEngine(g.Shorthand)
		if err != nil {
			continue
		}
		v := evaluate(g.Title, data, analysis.Options{}, nil)
		if v.result == nil {
			continue
		}
		g.Figure = string(draw.EndView(v.result, num.Degrees(30)).WithID(fmt.Sprintf("gallery-%d", i+1)).SVG())
	}
	return list
}

func (s *Server) gallery(context.Context, *struct{}) (*struct{ Body []GalleryEntry }, error) {
	return &struct{ Body []GalleryEntry }{s.arranged()}, nil
}

// beat is the pause after which a stream says that it is alive.
const beat = 15 * time.Second

// events streams what happens to the folder. It ends when the client goes, when the server closes, or
// when the client falls far behind; a browser connects again by itself.
func (s *Server) events(context.Context, *struct{}) (*huma.StreamResponse, error) {
	return &huma.StreamResponse{Body: func(ctx huma.Context) {
		r, w := humago.Unwrap(ctx)
		out := newStream(w)
		listen, end := s.hub.listen()
		defer end()
		l, err := s.folder.look()
		if err != nil || out.send(Event{Revision: l.revision, Kind: "hello", Files: []string{}}) != nil {
			return
		}
		tick := time.NewTicker(beat)
		defer tick.Stop()
		for {
			var err error
			select {
			case <-r.Context().Done():
				return
			case e, ok := <-listen:
				if !ok {
					return
				}
				err = out.send(e)
			case <-tick.C:
				err = out.comment("alive")
			}
			if err != nil {
				return
			}
		}
	}}, nil
}
