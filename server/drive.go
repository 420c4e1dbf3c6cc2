package server

import (
	"container/list"
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"
	"sync"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/report"
	"crankwright/spec"
)

// The tools of gas and torque answer about a draft at one speed and load, so that they follow while an input or a
// slider is dragged. Each is the same call as its verb of the command, and answers with the same object.

// WorkRequest says where the engine works.
type WorkRequest struct {
	Draft
	LoadPercent *float64 `json:"load_percent,omitempty" minimum:"0" maximum:"100" doc:"brake torque over that of full load at this speed, as if all cylinders fired; 0 runs light; left out: full load"`
	Off         []string `json:"off,omitempty" maxItems:"56" doc:"cylinders that are switched off or misfire, besides those of the file"`
}

func (w WorkRequest) options() analysis.DriveOptions {
	o := analysis.DriveOptions{Speed: w.SpeedRPM * math.Pi / 30, Load: 1}
	if w.LoadPercent != nil {
		o.Load, o.Light = *w.LoadPercent/100, *w.LoadPercent == 0
	}
	return o
}

// mostDrivers bounds the engines that stay prepared: the one that is dragged, and a few before it.
const mostDrivers = 6

// drivers keeps prepared engines, so that a slider of speed or load pays for the cycle alone.
type drivers struct {
	mu    sync.Mutex
	order *list.List // of *driverEntry, the latest first
}

type driverEntry struct {
	mu     sync.Mutex // a Driver serves one at a time
	key    string
	driver *analysis.Driver  // nil: none could be prepared
	files  map[string]string // states of what else it was prepared of, such as a measured trace
}

// with calls f with the prepared engine of a text. It is prepared anew where it could not be before, and where its files are
// not those any more that it was prepared of.
func (d *drivers) with(key string, unchanged func(files map[string]string) bool, build func() (*analysis.Driver, map[string]string, error), f func(*analysis.Driver) error) error {
	d.mu.Lock()
	if d.order == nil {
		d.order = list.New()
	}
	var entry *driverEntry
	for e := d.order.Front(); e != nil; e = e.Next() {
		if at := e.Value.(*driverEntry); at.key == key {
			entry = at
			d.order.MoveToFront(e)
			break
		}
	}
	if entry == nil {
		entry = &driverEntry{key: key}
		d.order.PushFront(entry)
		if d.order.Len() > mostDrivers {
			d.order.Remove(d.order.Back())
		}
	}
	d.mu.Unlock()
	entry.mu.Lock()
	defer entry.mu.Unlock()
	if entry.driver == nil || !unchanged(entry.files) {
		var err error
		if entry.driver, entry.files, err = build(); err != nil {
			return err
		}
	}
	return f(entry.driver)
}

// driver calls f with the engine of a draft. What the gas or the torque lacks is a problem of the engine; what f
// refuses, such as a load that the engine does not reach, one of the request.
func (s *Server) driver(w WorkRequest, f func(*analysis.Driver) error) error {
	data, _, err := s.drafted(w.Draft)
	if err != nil {
		return err
	}
	key := strings.Join(append([]string{etagOf(data), w.File}, w.Off...), "\x00")
	var refused error
	err = s.drivers.with(key, s.folder.unchanged, func() (*analysis.Driver, map[string]string, error) {
		v := s.evaluate(w.File, data, optionsFor(w.SpeedRPM))
		if v.result == nil {
			return nil, nil, notEvaluated(v)
		}
		t := *v.train
		if t.Gas.Off, err = offOf(&t, w.Off); err != nil {
			return nil, nil, err
		}
		d, err := analysis.NewDriver(&t)
		if err != nil {
			return nil, nil, lacking(v.src, analysis.Concerns(err), err)
		}
		return d, v.files, nil
	}, func(d *analysis.Driver) error {
		refused = f(d)
		return nil
	})
	if err == nil && refused != nil {
		return badField("body", analysis.Said(refused))
	}
	return err
}

// driven answers with what f makes of the engine of a draft.
func driven[T any](s *Server, w WorkRequest, f func(*analysis.Driver) (T, error)) (*toolAnswer[T], error) {
	out := &toolAnswer[T]{}
	err := s.driver(w, func(d *analysis.Driver) (err error) {
		out.Body, err = f(d)
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// optionsFor are those of an evaluation that only says whether the engine is sound.
func optionsFor(rpm float64) analysis.Options {
	return analysis.Options{Speed: rpm * math.Pi / 30}
}

// notEvaluated refuses an engine with all that is wrong with it.
func notEvaluated(v *evaluated) error {
	why := "the engine cannot be evaluated"
	if len(v.problems) > 0 {
		why += ": " + v.problems[0].What
	}
	p := failure(http.StatusUnprocessableEntity, why)
	p.Type, p.Problems = typeInvalid, v.problems
	return p
}

// lacking refuses what cannot be computed, with the section of the file that it is about.
func lacking(src *spec.Engine, section string, err error) error {
	path := section
	if errors.Is(err, analysis.ErrNoRatio) {
		path = "gas.compression_ratio"
	}
	what := map[string]string{"gas": "the torque", "crank": "the room along the crank", "mounts": "how the engine stands", "block": "room and mass"}[section]
	e := src.ErrorAt(section, analysis.Said(err), "")
	p := failure(http.StatusUnprocessableEntity, what+" cannot be found: "+e.What)
	p.Type, p.Problems = typeInvalid, []Problem{{Line: e.Line, Column: e.Column, Path: path, What: e.What}}
	return p
}

// offOf returns the cylinders that do not fire: those of the file and those named.
func offOf(t *layout.Train, names []string) ([]int, error) {
	off := slices.Clone(t.Gas.Off)
	for _, name := range names {
		at := slices.IndexFunc(t.Cylinders, func(c layout.Cylinder) bool { return c.Name == name })
		if at < 0 {
			return nil, badField("body.off", fmt.Sprintf("there is no cylinder %q", name))
		}
		if !slices.Contains(off, at) {
			off = append(off, at)
		}
	}
	return off, nil
}

// TorqueAnswer is the torque with the friction that is taken from it.
type TorqueAnswer struct {
	Torque   *report.TorqueDoc   `json:"torque" doc:"of gas and inertia on the crank"`
	Friction *report.FrictionDoc `json:"friction" doc:"what friction takes from it"`
}

func (s *Server) torque(_ context.Context, in *struct{ Body WorkRequest }) (*toolAnswer[TorqueAnswer], error) {
	return driven(s, in.Body, func(d *analysis.Driver) (TorqueAnswer, error) {
		r, err := d.At(in.Body.options())
		if err != nil {
			return TorqueAnswer{}, err
		}
		return TorqueAnswer{report.NewTorqueDoc(r, true), report.NewFrictionDoc(r)}, nil
	})
}

func (s *Server) gas(_ context.Context, in *struct{ Body WorkRequest }) (*toolAnswer[*report.GasDoc], error) {
	return driven(s, in.Body, func(d *analysis.Driver) (*report.GasDoc, error) {
		r, err := d.At(in.Body.options())
		if err != nil {
			return nil, err
		}
		return report.NewGasDoc(r, true), nil
	})
}

// PowerRequest asks for torque and power over speed.
type PowerRequest struct {
	WorkRequest
	SpeedsRPM []float64 `json:"speeds_rpm,omitempty" maxItems:"60" doc:"crank speeds; left out: twelve from idle to the limit of the file"`
}

func (s *Server) power(_ context.Context, in *struct{ Body PowerRequest }) (*toolAnswer[*report.PowerDoc], error) {
	return driven(s, in.Body.WorkRequest, func(d *analysis.Driver) (*report.PowerDoc, error) {
		var speeds []float64
		for _, n := range in.Body.SpeedsRPM {
			speeds = append(speeds, n*math.Pi/30)
		}
		if speeds == nil {
			if speeds = analysis.UsualSpeeds(d.Train.Speeds); speeds == nil {
				return nil, errors.New("the file gives no speeds; name the crank speeds")
			}
		}
		opt := in.Body.options()
		points, err := d.Sweep(speeds, opt)
		if err != nil {
			return nil, err
		}
		return report.NewPowerDoc(d, points, opt.Load), nil
	})
}

// FlywheelRequest asks for a flywheel.
type FlywheelRequest struct {
	WorkRequest
	FluctuationPercent float64 `json:"fluctuation_percent,omitempty" minimum:"0" exclusiveMaximum:"100" doc:"wanted coefficient of fluctuation; 0: of the file"`
	DiameterMM         float64 `json:"diameter_mm,omitempty" minimum:"0" maximum:"1e5" doc:"0: of the file"`
	RimWidthMM         float64 `json:"rim_width_mm,omitempty" minimum:"0" maximum:"1e5" doc:"size a rim of this width too; 0: none"`
	DensityKgM3        float64 `json:"density_kg_per_m3,omitempty" minimum:"0" maximum:"1e5" doc:"0: of the file"`
}

func (s *Server) flywheel(_ context.Context, in *struct{ Body FlywheelRequest }) (*toolAnswer[*report.FlywheelDoc], error) {
	b := in.Body
	return driven(s, b.WorkRequest, func(d *analysis.Driver) (*report.FlywheelDoc, error) {
		before, assumed := d.Train.Turning, d.Train.Assumed
		defer func() { d.Train.Turning, d.Train.Assumed = before, assumed }()
		wish := report.FlywheelWish{
			Fluctuation: b.FluctuationPercent / 100, Diameter: b.DiameterMM / 1e3, Density: b.DensityKgM3, Width: b.RimWidthMM / 1e3,
		}
		wish.Put(d.Train)
		r, err := d.At(b.options())
		if err != nil {
			return nil, err
		}
		return report.NewFlywheelDoc(r, wish), nil
	})
}
