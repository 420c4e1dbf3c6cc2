package server

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/choice"
	"crankwright/decision"
	"crankwright/report"
)

// ChoiceRequest asks which engine is best for a brief.
type ChoiceRequest struct {
	Brief     BriefDraft `json:"brief" doc:"the brief that is judged by"`
	Files     []string   `json:"files,omitempty" maxItems:"500" doc:"engine files; left out: all that can be evaluated"`
	SpeedRPM  float64    `json:"speed_rpm,omitempty" minimum:"0" maximum:"900000" doc:"one crank speed for all; 0: each at its rated speed"`
	Estimates string     `json:"estimates,omitempty" enum:"certain,known,full" default:"known" doc:"certain: taken as they are; known: how far they may be off where that was computed before; full: computed now, some seconds for each engine"`
	Draws     int        `json:"draws,omitempty" minimum:"0" maximum:"1000000" doc:"0: 20000"`
	Seed      uint64     `json:"seed,omitempty" doc:"of the draws; 0: 1"`
}

// ChoiceAnswer is a choice among the engines of the folder.
type ChoiceAnswer struct {
	Choice  *report.ChoiceDoc `json:"choice,omitempty" doc:"the same as choose --json prints; left out where no engine can be judged"`
	NoWhy   string            `json:"no_choice,omitempty" doc:"why there is none"`
	Files   []string          `json:"files" doc:"engines that are judged, in the sequence of the choice"`
	Unknown []string          `json:"unknown" doc:"engines of which it is not known yet how far their estimates may be off; ask /api/choice/doubts"`
	LeftOut []LeftOut         `json:"left_out" doc:"engines that cannot be evaluated"`
}

const usualDraws = 20_000

func (s *Server) choose(ctx context.Context, in *struct{ Body ChoiceRequest }) (*struct{ Body *ChoiceAnswer }, error) {
	a, _, err := s.chooseFor(ctx, in.Body, analysis.Options{})
	if err != nil {
		return nil, err
	}
	return &struct{ Body *ChoiceAnswer }{a}, nil
}

// chooseFor judges engines by a brief; beside what the brief asks for, with is analysed.
func (s *Server) chooseFor(ctx context.Context, r ChoiceRequest, with analysis.Options) (*ChoiceAnswer, *decision.Choice, error) {
	b, err := s.draftedBrief(r.Brief)
	if err != nil {
		return nil, nil, err
	}
	l, err := s.folder.look()
	if err != nil {
		return nil, nil, err
	}
	names := l.names
	if len(r.Files) > 0 {
		names = r.Files
		for _, name := range names {
			if _, err := l.get(name); err != nil {
				return nil, nil, err
			}
		}
	}
	opt := judged(b, r.SpeedRPM)
	opt.Lasting = opt.Lasting || with.Lasting
	out := &ChoiceAnswer{Files: []string{}, Unknown: []string{}, LeftOut: []LeftOut{}}
	var entrants []decision.Entrant
	all := s.evaluateAll(l, names, opt)
	lookAtGuidance(all)
	for i, v := range all {
		if v.result == nil {
			out.LeftOut = append(out.LeftOut, LeftOut{names[i], v.problems})
			continue
		}
		e := decision.Entrant{File: names[i], Text: string(l.files[names[i]].data), Result: v.result, Guidance: v.guidance()}
		if r.Estimates != "certain" && b.Missing(v.result) == "" {
			e.Doubts, err = s.doubts(ctx, b, l, names[i], r.SpeedRPM, r.Estimates == "full")
			if err != nil {
				return nil, nil, err
			}
			if e.Doubts == nil {
				out.Unknown = append(out.Unknown, names[i])
			}
		}
		entrants = append(entrants, e)
	}
	c, err := decision.Judge(b, entrants, choice.Options{Draws: cmp.Or(r.Draws, usualDraws), Seed: cmp.Or(r.Seed, 1)})
	if err != nil {
		out.NoWhy = err.Error()
		return out, nil, nil //nolint:nilerr // it is what the answer says
	}
	out.Choice = report.NewChoiceDoc(c, cmp.Or(r.Seed, 1))
	for _, e := range c.Entrants {
		out.Files = append(out.Files, e.File)
	}
	return out, c, nil
}

// judged are the options with which an engine is evaluated for a brief: those of the line-up, so that it is evaluated once,
// and what the brief asks for beside them.
func judged(b *brief.Brief, speedRPM float64) analysis.Options {
	opt := SeveralParams{SpeedRPM: speedRPM, LoadPercent: 100}.options()
	needs := b.Options()
	opt.Lasting, opt.Prices = needs.Lasting, needs.Prices
	return opt
}

// doubts returns what the estimates of an engine leave open, from memory or computed; nil where it is not known and shall
// not be computed.
func (s *Server) doubts(ctx context.Context, b *brief.Brief, l look, file string, speedRPM float64, compute bool) (*decision.Doubts, error) {
	key, job := s.doubtJob(b, l, file, speedRPM)
	if known := s.doubted.known(key); known != nil || !compute {
		return known, nil
	}
	return s.doubted.start(key, job).wait(ctx)
}

// doubtJob is how the doubts of an engine are found, and what they depend on.
func (s *Server) doubtJob(b *brief.Brief, l look, file string, speedRPM float64) (doubtKey, func(progress func(done, of int)) (*decision.Doubts, error)) {
	keys := slices.DeleteFunc(b.Keys(), func(k string) bool { return k == brief.Speed })
	slices.Sort(keys)
	on := l.files[file]
	opt := b.Options()
	opt.Speed = optionsAt(speedRPM, false).Speed
	key := doubtKey{file, on.etag, strings.Join(keys, " "), opt}
	if v := s.known(file, on, judged(b, speedRPM)); v.train != nil && v.train.Gas.Trace != "" {
		key.etag += " " + s.folder.state(v.train.Gas.Trace)
	}
	return key, func(progress func(done, of int)) (*decision.Doubts, error) {
		if s.life.Err() != nil { // while others were computed
			return nil, ending()
		}
		c := decision.Candidate{File: file, Data: on.data, Read: s.folder.named}
		d, err := decision.DoubtsOf(s.life, c, opt, decision.DoubtOptions{Figures: keys, Progress: progress})
		if s.life.Err() != nil && err != nil {
			return nil, ending()
		}
		return d, err
	}
}

// doubtKey is what the doubts of an engine depend on.
type doubtKey struct {
	file, etag, figures string
	opt                 analysis.Options
}

// DoubtsRequest asks how far the estimates of one engine may be off.
type DoubtsRequest struct {
	Brief    BriefDraft `json:"brief" doc:"the brief that is judged by"`
	File     string     `json:"file" doc:"engine file in the folder"`
	SpeedRPM float64    `json:"speed_rpm,omitempty" minimum:"0" maximum:"900000" doc:"crank speed; 0: the rated speed of the file"`
}

// DoubtsAnswer says whether it is known.
type DoubtsAnswer struct {
	File   string `json:"file" doc:"the engine that was asked for"`
	Done   bool   `json:"done" doc:"it is known; false: it is still being computed, ask again"`
	Ends   int    `json:"ends" doc:"how many ends of estimates were computed"`
	Of     int    `json:"of" doc:"how many there are; 0: not known yet"`
	Doubts int    `json:"doubts" doc:"how many estimates move a figure that the brief names"`
}

// patience is how long one request waits for doubts before it says how far they are.
const patience = 5 * time.Second

func (s *Server) postDoubts(ctx context.Context, in *struct{ Body DoubtsRequest }) (*struct{ Body DoubtsAnswer }, error) {
	b, err := s.draftedBrief(in.Body.Brief)
	if err != nil {
		return nil, err
	}
	l, err := s.folder.look()
	if err != nil {
		return nil, err
	}
	on, err := l.get(in.Body.File)
	if err != nil {
		return nil, err
	}
	v := s.known(in.Body.File, on, judged(b, in.Body.SpeedRPM))
	if v.result == nil {
		return nil, notEvaluated(v)
	}
	if why := b.Missing(v.result); why != "" {
		return nil, failure(http.StatusUnprocessableEntity, why)
	}
	out := &struct{ Body DoubtsAnswer }{DoubtsAnswer{File: in.Body.File}}
	key, find := s.doubtJob(b, l, in.Body.File, in.Body.SpeedRPM)
	d := s.doubted.known(key)
	if d == nil {
		job := s.doubted.start(key, find)
		some, stop := context.WithTimeout(ctx, patience)
		defer stop()
		d, err = job.wait(some)
		out.Body.Ends, out.Body.Of = job.progress()
		if errors.Is(err, context.DeadlineExceeded) && ctx.Err() == nil {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
	}
	out.Body.Done, out.Body.Doubts = true, len(d.List)
	return out, nil
}

// ChoiceFigureRequest asks for a figure of a choice.
type ChoiceFigureRequest struct {
	ChoiceRequest
	X      string  `json:"x,omitempty" doc:"key of the criterion of a value function, or across of a trade-off; left out: the first"`
	Y      string  `json:"y,omitempty" doc:"key of the criterion upwards of a trade-off"`
	Format string  `json:"format,omitempty" enum:"svg,png,pdf" default:"svg" doc:"of the figure"`
	Theme  string  `json:"theme,omitempty" enum:"auto,light,dark" default:"auto" doc:"of an SVG"`
	Scale  float64 `json:"scale,omitempty" minimum:"0" maximum:"10" doc:"pixels of a PNG per unit of the drawing; 0: 2"`
}

func (s *Server) choiceFigure(ctx context.Context, in *struct {
	Name string `path:"name" maxLength:"40" doc:"worths, acceptability, acceptability-any, trade-off, central-weights, flips, value-function"`
	Body ChoiceFigureRequest
},
) (*download, error) {
	if !slices.Contains(report.ChoiceFigures(), in.Name) {
		return nil, notFound("there is no figure " + in.Name + " of a choice")
	}
	a, _, err := s.chooseFor(ctx, in.Body.ChoiceRequest, analysis.Options{})
	if err != nil {
		return nil, err
	}
	if a.Choice == nil {
		return nil, failure(http.StatusUnprocessableEntity, a.NoWhy)
	}
	f, err := a.Choice.Figure(in.Name, in.Body.X, in.Body.Y)
	if err != nil {
		return nil, badField("body.x", err.Error())
	}
	format := cmp.Or(in.Body.Format, "svg")
	return drawn(f, picture{format: format, name: in.Name + "." + format, theme: in.Body.Theme, scale: in.Body.Scale, save: true})
}
