package analysis

import (
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/mechanics/parts"
	"crankwright/num"
)

// Options say how a train is analysed. The zero value is the usual choice.
type Options struct {
	Speed   float64       // crank speed [rad/s]; 0: the train's rated speed
	Samples int           // angles over two revolutions, a positive multiple of 8; 0: 720
	Highest int           // highest order reported [1]; 0: 12
	TwoMass bool          // replace rods by two masses, see inertia.Options
	Drive   bool          // compute gas, torque and friction too, at Speed
	Load    float64       // of the drive, see DriveOptions
	Light   bool          // of the drive, see DriveOptions
	Lasting bool          // compute bearings, torsion, strength and mounts too, for which Drive is needed
	Space   bool          // compute room and mass too
	Parts   bool          // count parts, cost, service and cooling too; friction by part where there is Drive
	Prices  *parts.Prices // by which parts are priced; nil: the invented ones
	Guided  bool          // look for guidance that the engine misses too, see GuidanceOf
	Strict  bool          // leave out each chapter that rests on values which the file does not give, and say why
	Scope   Scope         // how much of all this
}

// Scope is how much is computed of the chapters that are asked for.
type Scope int

// The scopes. What no figure needs is, for example, contributions, the error of two masses, the test for even firing,
// clearances, and the orders of the torque.
const (
	Everything  Scope = iota
	OnlyFigures       // what Result.Figures lists, and what else came with it
	FewFigures        // the same but the flywheel for the wanted fluctuation
)

// Run analyses one train.
//
//   - t: any train; one that layout.Validate refuses gives its Problems as the error
//   - opt: speed [rad/s], resolution and highest order
//
// Result at one speed, in SI. Errors: layout.Problems for an impossible train, a
// *firing.ImpossibleOrder for a firing order that the crank cannot do, motion.ErrReach for a linked
// rod that does not reach. No value of the result is NaN or infinite. Definition.
func Run(t *layout.Train, opt Options) (*Result, error) { return run(t, opt, nil) }

func run(t *layout.Train, opt Options, like *Result) (*Result, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if opt.Speed == 0 {
		opt.Speed = t.Speeds.Rated
	}
	if !(opt.Speed > 0) || opt.Speed > 1e5 {
		return nil, fmt.Errorf("the speed must lie between 0 and 1e5 rad/s, it is %g rad/s", opt.Speed)
	}
	if opt.Samples == 0 {
		opt.Samples = 720
	}
	if opt.Samples < 8 || opt.Samples%8 != 0 || opt.Samples > 1<<20 {
		return nil, fmt.Errorf("the number of angles over two revolutions must be a multiple of 8 up to %d, it is %d", 1<<20, opt.Samples)
	}
	if opt.Highest == 0 {
		opt.Highest = 12
	}
	r := &Result{Train: t, Speed: opt.Speed, Prices: opt.Prices}
	if err := r.motion(); err != nil {
		return nil, err
	}
	if err := r.inertia(opt); err != nil {
		return nil, err
	}
	if err := r.firing(opt); err != nil {
		return nil, err
	}
	r.add(opt, like)
	return r, nil
}

// Extend returns a result with further chapters, as Run would give it with the options of both.
//
//   - r: of Run or Extend; it is not changed
//   - opt: chapters to be added; the speed stays that of r [rad/s], samples and orders stay too
//   - like: as for RunLike; may be nil
//
// Result in SI, with what r has already [N], [N m]; parts that were counted without a chapter that is now added are counted
// again. So a search can look at what is cheap first. Definition.
func (r *Result) Extend(opt Options, like *Result) *Result {
	out := *r
	if opt.Prices == nil {
		opt.Prices = r.Prices
	}
	opt.Lasting = opt.Lasting && r.Lasting == nil
	opt.Drive = opt.Drive && r.Drive == nil && r.NoDrive == ""
	opt.Space = opt.Space && r.Space == nil && r.NoSpace == ""
	opt.Parts = opt.Parts || r.Parts != nil && (opt.Drive || opt.Space)
	out.add(opt, like)
	return &out
}

// add computes the chapters that are asked for beyond inertia and firing.
func (r *Result) add(opt Options, like *Result) {
	if opt.Drive {
		r.drive(opt, like)
	}
	if opt.Lasting && r.Drive != nil {
		r.lasting(opt, like)
	}
	if opt.Space {
		r.space(opt, like)
	}
	if opt.Parts {
		r.Parts = NewParts(r, PartsOptions{Prices: opt.Prices})
	}
	if opt.Strict {
		r.given(opt)
	}
	if opt.Guided {
		r.Guidance = GuidanceOf(r)
	}
}

// sameDrive tells whether another engine has solved just this drive.
func (r *Result) sameDrive(like *Result) bool {
	return like != nil && like.Drive != nil && like.at == r.at && (like.detail || !r.detail) && pushesLike(r.Train, like.Train)
}

// driver returns what computed gas and torque of a result; nil: nothing did.
func (r *Result) driver() *Driver {
	if r == nil || r.Drive == nil {
		return nil
	}
	return r.Drive.Driver
}

// drive computes gas and torque. That they cannot be found is no error of the rest.
func (r *Result) drive(opt Options, like *Result) {
	if opt.Strict {
		if r.NoDrive = lacks(r.Train, OfTorque); r.NoDrive != "" {
			return
		}
	}
	d, err := NewDriverLike(r.Train, like.driver())
	r.at = DriveOptions{Speed: r.Speed, Load: opt.Load, Light: opt.Light}
	r.detail = opt.Scope < FewFigures
	switch {
	case err == nil && r.sameDrive(like):
		drive := *like.Drive
		drive.Driver, r.Drive = d, &drive
	case err == nil:
		r.Drive, err = d.pushing(r.at, r.detail)
	}
	if err != nil {
		r.NoDrive = Said(err)
	}
}

// lasting computes bearings, torsion, strength and mounts of an engine whose drive is known.
func (r *Result) lasting(opt Options, like *Result) {
	d := r.Drive.Driver
	if r.sameDrive(like) && like.Lasting != nil {
		r.Lasting = like.Lasting
	} else {
		r.Lasting = d.Lasting(r.Drive, false)
	}
	var err error
	if r.Mounts, err = d.Mounts(opt.Load); err != nil {
		r.NoMounts = Said(err)
	}
}

func (r *Result) motion() error {
	var before motion.Linkage
	var peak float64
	for i := range r.Train.Cylinders {
		c := &r.Train.Cylinders[i]
		link, _, phase := motion.LinkageOf(r.Train, i)
		top, _, err := link.DeadCentres()
		if err != nil {
			return cylinderError(c, err)
		}
		stroke, err := link.Stroke()
		if err != nil {
			return cylinderError(c, err)
		}
		if link != before { // else it moves as the one before
			if peak, err = link.PeakSpeed(); err != nil {
				return cylinderError(c, err)
			}
			before = link
		}
		r.Cylinders = append(r.Cylinders, CylinderMotion{
			TopDeadCentre:   (top - phase).Wrap(num.Turn),
			Stroke:          stroke,
			Rotating:        inertia.RotatingShare(c.Rod),
			Reciprocating:   c.Piston.Mass + inertia.ReciprocatingShare(c.Rod),
			PeakPistonSpeed: peak * r.Speed,
			MeanPistonSpeed: stroke * r.Speed / math.Pi,
		})
		r.Swept += math.Pi / 4 * r.Train.Bore * r.Train.Bore * stroke
	}
	return nil
}

func cylinderError(c *layout.Cylinder, err error) error {
	return fmt.Errorf("cylinder %s: %w", c.Name, err)
}

func (r *Result) inertia(opt Options) error {
	var s inertia.Solver
	b, err := s.Solve(nil, r.Train, inertia.Options{TwoMass: opt.TwoMass}) // how many orders there are decides the grid
	if err != nil {
		return err
	}
	grid := num.NewGrid(samplesFor(opt.Samples, len(b.Torque)))
	r.Balance, r.Curves = b, &inertia.Curves{}
	if err := s.Evaluate(b, r.Curves, r.Train, inertia.Options{TwoMass: opt.TwoMass}, grid, r.Speed); err != nil {
		return err
	}
	r.Peaks = inertia.PeaksOf(b, r.Curves, r.Speed)
	r.Angles = make([]num.Angle, grid.Len())
	for j := range r.Angles {
		r.Angles[j] = grid.Angle(j)
	}
	if r.TwoMass.Used = opt.TwoMass; opt.Scope == Everything {
		if err := r.more(opt, &s, grid); err != nil {
			return err
		}
	}
	square := r.Speed * r.Speed
	for k := 1; k <= 2*opt.Highest && k < len(b.Torque); k++ {
		o := Order{
			K:      k,
			Force:  pairOf(b.Force.With[k], b.Force.Against[k], square),
			Moment: pairOf(b.Moment.With[k], b.Moment.Against[k], square),
			Roll:   b.Roll[k] * complex(square, 0),
			Torque: b.Torque[k] * complex(square, 0),
		}
		if o.Force.Ellipse.Major != 0 || o.Moment.Ellipse.Major != 0 || o.Roll != 0 || o.Torque != 0 {
			r.Orders = append(r.Orders, o)
		}
	}
	return nil
}

// more computes what no figure needs: the error of two masses, and what each part of the engine adds.
func (r *Result) more(opt Options, s *inertia.Solver, grid *num.Grid) error {
	other, err := s.Solve(nil, r.Train, inertia.Options{TwoMass: !opt.TwoMass})
	if err != nil {
		return err
	}
	r.TwoMass = twoMassError(s, r.Balance, other, grid, r.Speed)
	r.TwoMass.Used = opt.TwoMass
	r.parts = make([][]inertia.Contribution, 2*opt.Highest+1)
	for k := 1; k < len(r.parts); k++ {
		parts, err := s.Contributions(r.Train, k, inertia.Options{TwoMass: opt.TwoMass})
		if err != nil {
			return err
		}
		for i := range parts {
			parts[i] = parts[i].Scaled(r.Speed * r.Speed)
		}
		r.parts[k] = parts
	}
	return nil
}

// samplesFor makes sure that a grid resolves every order that occurs, whatever was asked for.
func samplesFor(asked, length int) int {
	for asked < 4*length {
		asked *= 2
	}
	return asked
}

func twoMassError(s *inertia.Solver, a, b *inertia.Balance, grid *num.Grid, ω float64) TwoMass {
	d := inertia.Balance{Force: num.NewOrbit(len(a.Torque) - 1), Moment: num.NewOrbit(len(a.Torque) - 1)}
	for k := range a.Torque {
		d.Torque = append(d.Torque, a.Torque[k]-b.Torque.Order(k))
		d.Roll = append(d.Roll, a.Roll[k]-b.Roll.Order(k))
	}
	p := inertia.PeaksOf(&d, s.Curves(nil, &d, grid, ω), ω)
	return TwoMass{TorqueError: p.Torque, RollError: p.Roll}
}

func (r *Result) firing(opt Options) error {
	tdc := make([]num.Angle, len(r.Cylinders))
	for i := range tdc {
		tdc[i] = r.Cylinders[i].TopDeadCentre
	}
	var err error
	if r.Firing, err = firing.Resolve(r.Train, tdc); err != nil {
		return err
	}
	r.OrderChosen = orderIsOpen(r.Train)
	if r.Measures, err = firing.Measure(r.Train, r.Firing); err != nil {
		return err
	}
	if opt.Scope == Everything {
		r.Even, err = firing.EvenFiring(r.Train, tdc)
	}
	return err
}

// orderIsOpen says whether a train leaves the firing order open where its crank does not settle it.
func orderIsOpen(t *layout.Train) bool {
	if t.FiringOrder != nil || t.Cycle == layout.TwoStroke || len(t.Cylinders) < 2 {
		return false
	}
	return slices.ContainsFunc(t.Cylinders, func(c layout.Cylinder) bool { return !c.FiresGiven })
}
