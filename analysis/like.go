package analysis

import (
	"reflect"
	"slices"

	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
)

// RunLike is Run for an engine that is much like another one, such as the same with one value changed.
//
//   - t, opt: as for Run
//   - like: of Run or RunLike, may be nil; several may be run like one at the same time
//
// Result as of Run in every figure [N], [N m], [Pa], sooner where the other engine, or one that it was like, has solved the
// same already: cycles of the same gas are taken from it, and where the two differ in block, mounts and camshafts alone also
// what Drive and Lasting hold, so that Lasting then speaks of like.Train. Errors as of Run. Definition.
func RunLike(t *layout.Train, opt Options, like *Result) (*Result, error) { return run(t, opt, like) }

// solved is a working cycle that was found.
type solved struct {
	asked   gas.Setting
	want    float64 // that was to be met, a mean effective pressure [Pa] or a fresh charge [kg]; 0: none
	by      string  // with what
	result  *gas.Result
	setting gas.Setting // that meets it
}

// mostSolved is how many cycles a driver remembers [1]: the speeds of a sweep or two. Definition.
const mostSolved = 64

// found looks for a cycle among those that this engine or those that it is like have solved, the newest first.
func (d *Driver) found(s gas.Setting, want float64, by string) *solved {
	for i := range d.solved {
		c := &d.solved[len(d.solved)-1-i]
		if c.want == want && c.by == by && c.asked.Speed == s.Speed && c.asked.Chamber == s.Chamber && reflect.DeepEqual(c.asked, s) {
			return c
		}
	}
	return nil
}

// remember keeps a cycle; where there is no room, in place of the oldest that came from another engine.
func (d *Driver) remember(c solved) {
	if len(d.solved) >= mostSolved {
		if d.recalled == 0 {
			return
		}
		d.solved = slices.Clone(d.solved[1:])
		d.recalled--
	}
	d.solved = append(d.solved, c)
}

// solve is gas.Solve, or what it found before.
func (d *Driver) solve(s gas.Setting) (*gas.Result, error) {
	if c := d.found(s, 0, ""); c != nil {
		return c.result, nil
	}
	r, err := gas.Solve(s)
	if err == nil {
		d.remember(solved{asked: s, result: r})
	}
	return r, err
}

// solveIMEP is gas.SolveIMEP, or what it found before.
func (d *Driver) solveIMEP(s gas.Setting, imep float64, by gas.Lever) (*gas.Result, gas.Setting, error) {
	if c := d.found(s, imep, by.String()); c != nil {
		return c.result, c.setting, nil
	}
	r, met, err := gas.SolveIMEP(s, imep, by)
	if err == nil {
		d.remember(solved{asked: s, want: imep, by: by.String(), result: r, setting: met})
	}
	return r, met, err
}

// solveFresh is gas.SolveFresh, or what it found before.
func (d *Driver) solveFresh(s gas.Setting, mass float64) (*gas.Result, gas.Setting, error) {
	const by = "fresh charge"
	if c := d.found(s, mass, by); c != nil {
		return c.result, c.setting, nil
	}
	r, met, err := gas.SolveFresh(s, mass)
	if err == nil {
		d.remember(solved{asked: s, want: mass, by: by, result: r, setting: met})
	}
	return r, met, err
}

// recall lets a driver use what the driver of another engine knows.
func (d *Driver) recall(like *Driver) {
	if like != nil {
		d.solved = slices.Clip(like.solved)
		d.recalled = len(d.solved)
	}
}

// pushesLike tells whether two trains differ in nothing on which Drive and Lasting depend.
func pushesLike(a, b *layout.Train) bool {
	x, y := *a, *b
	for _, t := range []*layout.Train{&x, &y} {
		t.Name, t.Block, t.Mounting, t.Estimates, t.Assumed = "", layout.Block{}, layout.Mounting{}, nil, nil
		t.Making.CamHeight, t.Making.CamSpacing, t.Making.Pitch = 0, 0, 0
	}
	return reflect.DeepEqual(x, y)
}
