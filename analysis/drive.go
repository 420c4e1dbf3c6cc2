package analysis

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// DriveOptions say at which point an engine works. The zero value is full load at rated speed.
type DriveOptions struct {
	Speed float64 // crank speed [rad/s]; 0: the train's rated speed
	Load  float64 // brake torque over that of full load at this speed [1], up to 1; 0: full load
	Light bool    // runs light, without load: the gas gives what friction takes
}

// Driver computes how an engine pushes at any speed and load. What does not depend on them is prepared once. It has
// scratch memory and serves one goroutine at a time.
type Driver struct {
	Train    *layout.Train
	Schedule firing.Schedule
	Full     gas.Setting // of the first cylinder at full load and rated speed; no meaning where Measured
	Lever    string      // what was changed to meet the wanted mean effective pressure; empty: nothing
	Notes    []string    // for people: what was done beyond what the file says
	Measured bool        // the pressure is measured, not modelled

	mechanism *torque.Mechanism
	kinds     []kind
	of        []int            // kind of each cylinder
	traces    []*gas.Indicated // by cylinder, where Measured
	fuel      gas.Fuel

	solved   []solved // cycles of engines that are like this one, and of this one
	recalled int      // how many of them are of others
}

// kind is a set of cylinders that move alike.
type kind struct {
	link    motion.Linkage
	chamber gas.Chamber
}

// ErrNoRatio is returned for an engine without compression ratio.
var ErrNoRatio = errors.New("the compression ratio is missing; the torque of the gas needs it, such as 'gas: {compression_ratio: 10.5}'")

var errOwnLoad = errors.New("the measured pressure holds for its own load; leave the load out, or take the trace out of the file")

// DriveSamples is the number of crank angles over two revolutions of every curve of a Drive [1]: one each half degree.
// Definition.
const DriveSamples = 1440

// NewDriver prepares an engine.
//
//   - t: a train that layout.Validate accepts, with bore, compression ratio and what else package estimate assumes
//
// Result ready for At and Sweep, full load met where the file wants a mean effective pressure [Pa]: by the pressure of
// the intake for spark ignition, by the fuel for compression ignition, and by the intake where the fuel does not
// suffice. Errors: torque.ErrNoBore, ErrNoRatio, those of firing and of package gas. Definition.
func NewDriver(t *layout.Train) (*Driver, error) { return NewDriverLike(t, nil) }

// NewDriverLike is NewDriver for an engine that may be like another, whose cycles of the same gas it takes.
//
//   - t: as for NewDriver
//   - like: of NewDriver or NewDriverLike; nil: none. Nobody may use it meanwhile
//
// Result and errors as of NewDriver in every number [N m], [Pa], sooner. Definition.
func NewDriverLike(t *layout.Train, like *Driver) (*Driver, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if !(t.Bore > 0) {
		return nil, torque.ErrNoBore
	}
	if !(t.Gas.CompressionRatio > 1) {
		return nil, ErrNoRatio
	}
	d := &Driver{Train: t}
	d.recall(like)
	var err error
	if d.Schedule, err = firing.ForTrain(t); err != nil {
		return nil, err
	}
	if d.mechanism, err = torque.NewMechanism(t, d.Schedule, DriveSamples); err != nil {
		return nil, err
	}
	for i := range t.Cylinders {
		link, _, _ := motion.LinkageOf(t, i)
		at := slices.IndexFunc(d.kinds, func(k kind) bool { return k.link == link })
		if at < 0 {
			chamber, err := gas.ChamberOf(t, i)
			if err != nil {
				return nil, cylinderError(&t.Cylinders[i], err)
			}
			at = len(d.kinds)
			d.kinds = append(d.kinds, kind{link, chamber})
		}
		d.of = append(d.of, at)
	}
	if err := d.measure(); err != nil {
		return d, err
	}
	if !d.Measured {
		if err := d.setUp(); err != nil {
			return d, err
		}
		if err := d.fullLoad(); err != nil {
			return d, err
		}
	}
	d.Notes = append(append(d.Notes, d.charging()...), d.scavenging()...)
	return d, nil
}

// setUp sets the first cylinder up as the file has it at full load and rated speed.
func (d *Driver) setUp() error {
	g := &d.Train.Gas
	d.fuel = gas.Petrol(g.AirRatio)
	release := gas.SparkRelease(0, g.BurnDuration)
	if g.Ignition == layout.Compression {
		d.fuel = gas.DieselFuel(g.AirRatio)
		const premixedTime = 8.0 / 65 // duration of the premixed part over that of the whole, see gas.DieselRelease
		release = gas.DieselRelease(0, g.PremixedShare, g.BurnDuration*premixedTime, g.BurnDuration)
	}
	release, err := release.Phased(g.HalfBurned)
	if err != nil {
		return err
	}
	v := &g.Valves
	d.Full = gas.Setting{
		Chamber: d.kinds[0].chamber, Cycle: d.Train.Cycle, Speed: d.Train.Speeds.Rated,
		Intake: g.IntakePressure, Temperature: g.IntakeTemperature, Exhaust: g.ExhaustPressure,
		Fuel: d.fuel, Release: release,
		Valves: &gas.Valves{
			Intake:  gas.Opening{Opens: v.IntakeOpens, Closes: v.IntakeCloses, Area: v.IntakeArea},
			Exhaust: gas.Opening{Opens: v.ExhaustOpens, Closes: v.ExhaustCloses, Area: v.ExhaustArea},
		},
	}
	if g.WallHeat > 0 {
		d.Full.Wall = &gas.Wall{Temperature: g.WallTemperature, Factor: g.WallHeat}
	}
	return nil
}

// fullLoad meets the mean effective pressure of the file at rated speed, where it has one.
func (d *Driver) fullLoad() error {
	g := &d.Train.Gas
	if d.Full.Speed == 0 {
		return errors.New("the rated speed is missing; full load is meant at it, such as 'speeds: {rated: 5500 rpm}'")
	}
	if g.IMEP == 0 {
		return d.Full.Check()
	}
	lever := gas.LeverOf(d.fuel)
	_, s, err := d.solveMean(d.Full, g.IMEP, lever)
	if err != nil && lever == gas.ByFuel {
		lever = gas.ByIntake
		if _, other, again := d.solveMean(d.Full, g.IMEP, lever); again == nil {
			s, err = other, nil
		}
	}
	if err != nil {
		return err
	}
	d.Full, d.Lever = s, lever.String()
	if lever == gas.ByIntake {
		d.Notes = append(d.Notes, fmt.Sprintf("The mean effective pressure of %.4g bar at full load is met with %.4g bar in the intake at an air ratio of %.3g.", g.IMEP/1e5, s.Intake/1e5, s.Fuel.Lambda))
	} else {
		d.Notes = append(d.Notes, fmt.Sprintf("The mean effective pressure of %.4g bar at full load is met with an air ratio of %.3g at %.4g bar in the intake.", g.IMEP/1e5, s.Fuel.Lambda, s.Intake/1e5))
	}
	return nil
}

// GasCycle is the cycle of cylinders that work alike.
type GasCycle struct {
	Cylinders []int          // indices
	Fires     bool           // else it is switched off, and breathes only
	Setting   gas.Setting    // no meaning where the pressure is measured
	Result    *gas.Result    // nil where the pressure is measured
	Measured  *gas.Indicated // what the measured pressure says; nil where it is modelled

	Volumetric float64   // fresh charge that comes in over what the swept volume holds at the intake's state in the file [1]
	Pressure   []float64 // at equal angles over the cycle, from firing top dead centre [Pa]
	Volume     []float64 // at the same angles [m³]
	IMEP       float64   // net [Pa]
	Pumping    float64   // of it; negative where the exchange of the charge costs work [Pa]
	Peak       float64   // largest pressure [Pa]
	PeakAt     num.Angle // from firing top dead centre [rad]
}

// Drive is how an engine pushes at one speed and load.
type Drive struct {
	Driver *Driver
	Speed  float64 // crank speed [rad/s]
	Load   float64 // brake torque over that of full load at this speed [1]
	Light  bool

	Cycles []GasCycle
	Curves *torque.Curves // torques over two revolutions at DriveSamples angles [N m]

	IMEP, BMEP float64      // indicated (net) and brake mean effective pressure of the whole engine [Pa]
	Friction   FrictionLoss // of the whole engine
	Brake      float64      // mean brake torque [N m]
	Power      float64      // brake power [W]

	Rotor    float64       // moment of inertia of crank, flywheel and driven machine [kg m²]
	Crank    *torque.Speed // crank speed over two revolutions; nil where the crank would almost stop
	Stalls   string        // why Crank is nil
	Flywheel *Flywheel     // that the wanted coefficient of fluctuation needs; nil where it cannot be found
	NoWheel  string        // why Flywheel is nil

	Impulses []torque.Impulse // of the torque of gas and inertia, over two revolutions
	Orders   []torque.Order   // of that torque, largest first
	Share    torque.Share     // of gas and inertia in the uneven torque
	Equal    float64          // speed at which this gas torque and inertia are equally uneven [rad/s]; 0: none
}

// Flywheel is a wanted flywheel and its size.
type Flywheel struct {
	torque.Flywheel
	Wanted float64      // coefficient of fluctuation [1]
	Wheel  torque.Wheel // full disc of the wanted diameter and material; zero where no flywheel is needed
}

// At computes how the engine pushes at one speed and load.
//
//   - opt: where it works
//
// Result in SI [Pa, N m, W, rad/s]. Errors: a speed or load that cannot be, a measured pressure at part load (it holds
// for its own load alone), those of package gas. Definition.
func (d *Driver) At(opt DriveOptions) (*Drive, error) { return d.pushing(opt, true) }

// pushing is At; without detail it leaves out what push does.
func (d *Driver) pushing(opt DriveOptions, detail bool) (*Drive, error) {
	speed, load, err := d.point(opt)
	if err != nil {
		return nil, err
	}
	r := &Drive{Driver: d, Speed: speed, Load: load, Light: opt.Light}
	if err := d.cycles(r); err != nil {
		return nil, err
	}
	return r, d.push(r, detail)
}

func (d *Driver) point(opt DriveOptions) (speed, load float64, err error) {
	speed, load = opt.Speed, opt.Load
	if speed == 0 {
		speed = d.Train.Speeds.Rated
	}
	if !(speed > 0 && speed <= gas.MaxSpeed) {
		return 0, 0, fmt.Errorf("the speed must lie between 0 and %g rad/s, it is %g rad/s", gas.MaxSpeed, speed)
	}
	switch {
	case opt.Light:
		load = 0
	case load == 0:
		load = 1
	case !(load > 0 && load <= 1):
		return 0, 0, fmt.Errorf("the load must be greater than 0 and at most 100 %%, it is %.4g %%", 100*load)
	}
	if d.Measured && load != 1 {
		return 0, 0, errOwnLoad
	}
	return speed, load, nil
}

// push computes what the pressures do to the crank; detail: the torques of single cylinders, the orders of the torque and the
// flywheel that is wanted, too.
func (d *Driver) push(r *Drive, detail bool) error {
	t := d.Train
	var err error
	curves := d.mechanism.Whole
	if detail {
		curves = d.mechanism.Curves
	}
	if r.Curves, err = curves(nil, r.pressures(), t.Gas.Crankcase, r.Speed); err != nil {
		return err
	}
	r.IMEP = torque.MeanPressure(r.Curves.Mean, d.mechanism.Swept, t.Cycle)
	r.BMEP = r.IMEP - r.Friction.Total
	if (r.Light || d.Measured) && math.Abs(r.BMEP) <= lightTolerance*r.Friction.Total {
		r.BMEP = 0
	}
	r.Brake = torque.MeanTorque(r.BMEP, d.mechanism.Swept, t.Cycle)
	r.Power = r.Brake * r.Speed
	if r.Impulses, err = torque.Impulses(r.Curves.Total); err != nil {
		return err
	}
	inertia := d.mechanism.Torque
	if detail {
		if r.Orders, err = torque.Orders(r.Curves.Orders, inertia, r.Speed); err != nil {
			return err
		}
	}
	shares, err := torque.Shares(r.Curves.Orders, inertia, []float64{r.Speed})
	if err != nil {
		return err
	}
	r.Share = shares[0]
	r.Equal, _ = torque.EqualSpeed(r.Curves.Orders, inertia)
	return d.turn(r, detail)
}

// pressures returns the pressure of each cylinder.
func (d *Drive) pressures() [][]float64 {
	pressure := make([][]float64, len(d.Driver.Train.Cylinders))
	for i := range d.Cycles {
		for _, c := range d.Cycles[i].Cylinders {
			pressure[c] = d.Cycles[i].Pressure
		}
	}
	return pressure
}

// turn computes the crank speed within the cycle; wheel: and the flywheel that is wanted.
func (d *Driver) turn(r *Drive, wheel bool) error {
	w := &d.Train.Turning
	r.Rotor = w.Crank + w.Driven + d.Train.Flywheel
	s := &torque.Speed{}
	switch err := s.Solve(d.mechanism.Rotor(r.Rotor), r.Curves.Gas, nil, r.Speed); {
	case errors.Is(err, torque.ErrStall) || r.Rotor == 0:
		r.Stalls = Said(torque.ErrStall)
	case err != nil:
		return err
	default:
		r.Crank = s
	}
	if !wheel || !(w.Fluctuation > 0) {
		return nil
	}
	found, err := torque.FindFlywheel(d.mechanism.Rotor(w.Crank+w.Driven), r.Curves.Gas, nil, r.Speed, w.Fluctuation)
	if err != nil {
		r.NoWheel = Said(err)
		return nil
	}
	r.Flywheel = &Flywheel{Flywheel: *found, Wanted: w.Fluctuation}
	if found.Inertia > 0 && w.Diameter > 0 && w.Density > 0 {
		most := math.Max(d.Train.Speeds.Limit, r.Speed)
		wheel, err := torque.DiscWheel(found.Inertia, torque.Material{Density: w.Density, Poisson: torque.WheelPoisson}, w.Diameter, most)
		if err != nil {
			r.NoWheel = Said(err)
			return nil
		}
		r.Flywheel.Wheel = wheel
	}
	return nil
}

// lightTolerance is the share of friction below which what remains at the brake of an engine that runs light, or ran light
// where its pressure was measured, is the tolerance of the search, and no torque [1]. Definition.
const lightTolerance = 1e-3

// Displacement returns the volume that the piston of a cylinder sweeps [m³]. Definition.
func (d *Driver) Displacement(cylinder int) float64 {
	return d.kinds[d.of[cylinder]].chamber.Displacement()
}

// MeanPistonSpeed returns the mean piston speed of the first cylinder at a crank speed [m/s]. Definition.
func (d *Driver) MeanPistonSpeed(ω float64) float64 {
	return d.kinds[0].chamber.Stroke() * ω / math.Pi
}

// Mechanism returns the engine's levers and moving masses [m³/rad], [kg m²]. Definition.
func (d *Driver) Mechanism() *torque.Mechanism { return d.mechanism }
