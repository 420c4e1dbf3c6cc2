package decision

import (
	"fmt"
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
	"crankwright/spec"
)

// Widths are lengths along a crank that shall be other than they are [m].
type Widths struct {
	Longer         float64 // what every distance of two bays gains
	Stagger        float64 // of the two cylinders of a throw; 0: as it is
	Main, Web, Pin float64 // main journals, webs beside them, crankpins
}

// Recut is an engine file whose crank gets other widths: what bearings and webs then bear is found as if the file said so.
// It serves one goroutine at a time.
type Recut struct {
	c      Candidate
	opt    analysis.DriveOptions
	train  *layout.Train // as the file has it
	source *spec.Engine
	driver *analysis.Driver
	asIs   *analysis.Margins
	seen   map[Widths]recutting
}

type recutting struct {
	margins *analysis.Margins
	err     error
}

// NewRecut reads an engine and finds what its bearings and webs bear as it is. opt is the speed and load at which all is
// found. Errors are those of the file and of package analysis.
func NewRecut(c Candidate, opt analysis.DriveOptions) (*Recut, error) {
	r := &Recut{c: c, opt: opt, seen: map[Widths]recutting{}}
	var err error
	if r.train, r.source, err = spec.ReadEngine(c.File, c.Data, spec.Options{}); err != nil {
		return nil, err
	}
	if c.Read != nil {
		if err := r.source.ReadMeasured(r.train, "", c.Read); err != nil {
			return nil, err
		}
	}
	if r.driver, err = analysis.NewDriver(r.train); err != nil {
		return nil, err
	}
	r.asIs, err = r.driver.Margins(opt)
	return r, err
}

// AsItIs returns what bearings and webs bear as the file has them.
func (r *Recut) AsItIs() *analysis.Margins { return r.asIs }

// With returns what bearings and webs bear with other widths: what is estimated from them follows, and everything is judged
// as if the file gave them. Errors are those of the engine that this makes, and of the custom form, whose places along the
// crank are no single key.
func (r *Recut) With(w Widths) (*analysis.Margins, error) {
	if known, ok := r.seen[w]; ok {
		return known.margins, known.err
	}
	m, err := r.with(w)
	r.seen[w] = recutting{m, err}
	return m, err
}

func (r *Recut) with(w Widths) (*analysis.Margins, error) {
	values := []spec.Value{
		{Key: "crank.main_journal.width", SI: w.Main}, {Key: "crank.web.thickness", SI: w.Web}, {Key: "crank.crankpin.width", SI: w.Pin},
	}
	moved := w.Longer != 0 && len(bearing.Bays(r.train)) > 1 // the mains of a bay alone stand where its widths put them
	if custom := r.source.Layout.Arrangement.Value == "custom"; custom && (moved || w.Stagger > 0) {
		return nil, fmt.Errorf("the file gives the places of throws and cylinders one by one; change them there")
	}
	if moved {
		values = append(values, spec.Value{Key: spacingKey, SI: r.spacing() + w.Longer})
	}
	if w.Stagger > 0 {
		values = append(values, spec.Value{Key: "layout.bank_stagger", SI: w.Stagger})
	}
	t, err := spec.Vary(r.c.File, r.c.Data, values, r.c.Read)
	if err != nil {
		return nil, err
	}
	d, err := analysis.NewDriverLike(t, r.driver)
	if err != nil {
		return nil, err
	}
	return d.Margins(r.opt)
}

const spacingKey = "layout.cylinder_spacing"

// spacing is that of the file, or what was estimated for it [m].
func (r *Recut) spacing() float64 {
	if k := slices.IndexFunc(r.train.Estimates, func(e layout.Estimate) bool { return e.Key == spacingKey }); k >= 0 {
		return r.train.Estimates[k].Value
	}
	return r.source.Layout.CylinderSpacing.SI
}
