package analysis

import (
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torque"
)

// cycles finds the working cycle of every cylinder at the speed and load of r, and the friction.
func (d *Driver) cycles(r *Drive) error {
	if d.Measured {
		return d.measuredCycles(r)
	}
	s, lead, err := d.fullAt(r.Speed)
	if err != nil {
		return err
	}
	open := lead.Pumping
	if math.Abs(s.Intake-outsideIntake) >= 0.1*outsideIntake {
		if open, err = d.openPumping(s); err != nil {
			return err
		}
	}
	if r.Friction, err = d.friction(r.Speed, lead, open); err != nil {
		return err
	}
	if r.Load < 1 {
		if s, lead, err = d.partLoad(r, s, lead, open); err != nil {
			return err
		}
	}
	return d.allCylinders(r, s, lead)
}

// outsideIntake and outsideExhaust are the manifold pressures of the engines from which motored correlations come [Pa]:
// the air outside, and a silencer without turbine. Source: PRACTICE.
const (
	outsideIntake  = 1e5
	outsideExhaust = 1.05e5
)

// openPumping returns the pumping mean effective pressure that a motored correlation counts [Pa]: of this engine with
// air from outside and the throttle open, whatever boost or throttle full load has; 0 of a two-stroke, which has none.
func (d *Driver) openPumping(s gas.Setting) (float64, error) {
	if d.Train.Cycle == layout.TwoStroke {
		return 0, nil
	}
	s.Intake, s.Exhaust = outsideIntake, outsideExhaust
	r, err := d.solve(s)
	if err != nil {
		return 0, err
	}
	return r.Pumping, nil
}

// fullAt returns the first kind's cycle at full load at one speed: the setting of the rated speed, or that which the
// volumetric efficiency of the file gives.
func (d *Driver) fullAt(speed float64) (gas.Setting, *gas.Result, error) {
	s, list := d.Full, d.Train.Gas.Filling
	s.Speed = speed
	if len(list) == 0 {
		lead, err := d.solve(s)
		return s, lead, err
	}
	want := volumetricAt(list, speed)
	if d.Train.Gas.IMEP > 0 { // the curve gives the course, the wanted pressure its level at rated speed
		rated, err := d.solve(d.Full)
		if err != nil {
			return s, nil, err
		}
		want *= d.volumetric(&d.Full, rated) / volumetricAt(list, d.Full.Speed)
	}
	lead, met, err := d.solveFresh(s, want*d.holds(&s))
	if err != nil {
		return s, nil, fmt.Errorf("the volumetric efficiency of %.3g %% at %.4g rpm: %w", 100*want, speed*30/math.Pi, err)
	}
	return met, lead, nil
}

// holds returns what the swept volume of a cylinder holds at the intake's state in the file [kg].
func (d *Driver) holds(s *gas.Setting) float64 {
	return s.Chamber.Displacement() * d.Train.Gas.IntakePressure / (gas.GasConstant * s.Temperature)
}

// volumetric returns the volumetric efficiency of a cycle as the file gives it and people read it [1].
func (d *Driver) volumetric(s *gas.Setting, r *gas.Result) float64 { return r.Fresh / d.holds(s) }

// volumetricAt interpolates between the speeds of the file; beyond them the nearest counts.
func volumetricAt(list []layout.Filling, speed float64) float64 {
	for i, f := range list {
		if speed > f.Speed {
			continue
		}
		if i == 0 {
			return f.Volumetric
		}
		a := list[i-1]
		return a.Volumetric + (f.Volumetric-a.Volumetric)*(speed-a.Speed)/(f.Speed-a.Speed)
	}
	return list[len(list)-1].Volumetric
}

// partLoad lowers the mean effective pressure until the brake torque is the wanted share of full load. Friction that
// depends on the largest pressure falls with it.
func (d *Driver) partLoad(r *Drive, s gas.Setting, full *gas.Result, open float64) (gas.Setting, *gas.Result, error) {
	mean, err := d.meanOf(s, full)
	if err != nil {
		return s, nil, err
	}
	brake := mean - r.Friction.Total
	if !(brake > 0) {
		return s, nil, fmt.Errorf("there is no load to share: at this speed friction takes %.3g bar and full load gives %.3g bar; give a lower speed or more full load",
			r.Friction.Total/1e5, mean/1e5)
	}
	if d.boosted() {
		s = eased(s, r.Load)
	}
	lead := full
	for range 8 {
		want := r.Load*brake + r.Friction.Total
		part, setting, err := d.solveMean(s, want, gas.LeverOf(s.Fuel))
		if err != nil {
			return s, nil, err
		}
		s, lead = setting, part
		before := r.Friction.Total
		if r.Friction, err = d.friction(r.Speed, lead, open); err != nil {
			return s, nil, err
		}
		if math.Abs(r.Friction.Total-before) <= 1e-4*before {
			break
		}
	}
	return s, lead, nil
}

// solveMean finds the setting in which all cylinders together give a mean effective pressure, and the first kind's cycle.
// Linked rods and other strokes make cylinders differ by some per cent, so that few corrections of the first kind's do.
func (d *Driver) solveMean(s gas.Setting, imep float64, by gas.Lever) (*gas.Result, gas.Setting, error) {
	const met = 1e-5 // of imep
	lead := imep
	for range 20 {
		r, at, err := d.solveIMEP(s, lead, by)
		if err != nil {
			return nil, at, err
		}
		mean, err := d.meanOf(at, r)
		if err != nil {
			return nil, at, err
		}
		if math.Abs(mean-imep) <= met*imep {
			return r, at, nil
		}
		lead += imep - mean
	}
	return nil, s, fmt.Errorf("cylinders that move unlike find no common mean effective pressure of %.4g bar", imep/1e5)
}

// meanOf returns the mean effective pressure of all cylinders [Pa], every one firing at a setting of which the first kind's
// cycle is known.
func (d *Driver) meanOf(s gas.Setting, lead *gas.Result) (float64, error) {
	if len(d.kinds) == 1 {
		return lead.IMEP, nil
	}
	cycles := []*gas.Result{lead}
	for k := 1; k < len(d.kinds); k++ {
		r, err := d.solve(d.alike(s, k))
		if err != nil {
			return 0, cylinderError(&d.Train.Cylinders[slices.Index(d.of, k)], err)
		}
		cycles = append(cycles, r)
	}
	work, swept := 0.0, 0.0
	for i, k := range d.of {
		work += cycles[k].Work
		swept += d.Displacement(i)
	}
	return work / swept, nil
}

// alike returns the setting of the first kind for another kind.
func (d *Driver) alike(s gas.Setting, k int) gas.Setting {
	one := s
	one.Chamber = d.kinds[k].chamber
	if one.Fuel.Heat > 0 { // found for the first kind: the same for its own swept volume
		one.Fuel.Heat *= one.Chamber.Displacement() / s.Chamber.Displacement()
	}
	return one
}

// allCylinders solves the cycles of the other kinds and of cylinders that do not fire at the same setting.
func (d *Driver) allCylinders(r *Drive, s gas.Setting, lead *gas.Result) error {
	off := d.Train.Gas.Off
	for _, fires := range []bool{true, false} {
		for k := range d.kinds {
			var list []int
			for i, of := range d.of {
				if of == k && slices.Contains(off, i) != fires {
					list = append(list, i)
				}
			}
			if list == nil {
				continue
			}
			one, result := d.alike(s, k), lead
			one.Motored = !fires
			if k > 0 || !fires {
				var err error
				if result, err = d.solve(one); err != nil {
					return cylinderError(&d.Train.Cylinders[list[0]], err)
				}
			}
			r.Cycles = append(r.Cycles, GasCycle{
				Cylinders: list, Fires: fires, Setting: one, Result: result,
				Volumetric: d.volumetric(&one, result),
				Pressure:   result.Pressure, Volume: result.Volume,
				IMEP: result.IMEP, Pumping: result.Pumping, Peak: result.PeakPressure, PeakAt: result.PeakAngle,
			})
		}
	}
	return nil
}

// DrivePoint is one speed of a sweep.
type DrivePoint struct {
	torque.Point
	Peak        float64      // largest cylinder pressure [Pa]
	Volumetric  float64      // of the model [1]; 0 where the pressure is measured
	Efficiency  float64      // indicated, of the model [1]; 0 where the pressure is measured
	Share       torque.Share // of gas and inertia in the uneven torque
	Fluctuation float64      // coefficient of fluctuation of speed [1]; 0 where the crank would almost stop
	Friction    FrictionLoss
}

// Sweep computes the engine over a range of speeds at one load.
//
//   - speeds: crank speeds [rad/s], greater than zero
//   - opt: load; its speed does not count
//
// Result in SI, one point a speed. Errors: those of At. Definition.
func (d *Driver) Sweep(speeds []float64, opt DriveOptions) ([]DrivePoint, error) {
	var out []DrivePoint
	for _, ω := range speeds {
		opt.Speed = ω
		speed, load, err := d.point(opt)
		if err != nil {
			return nil, err
		}
		r := &Drive{Driver: d, Speed: speed, Load: load, Light: opt.Light}
		if err := d.cycles(r); err != nil {
			return nil, fmt.Errorf("at %.4g rpm: %w", speed*30/math.Pi, err)
		}
		p, err := d.swept(r)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// swept is the point of a sweep.
func (d *Driver) swept(r *Drive) (DrivePoint, error) {
	t := d.Train
	if err := d.push(r, false); err != nil {
		return DrivePoint{}, err
	}
	curve, err := torque.PowerCurve(d.mechanism.Swept, t.Cycle, []float64{r.Speed}, []float64{r.IMEP}, []float64{r.Friction.Total})
	if err != nil {
		return DrivePoint{}, err
	}
	p := DrivePoint{Point: curve[0], Share: r.Share, Friction: r.Friction}
	if r.Crank != nil {
		p.Fluctuation = r.Crank.Fluctuation
	}
	for i := range r.Cycles {
		c := &r.Cycles[i]
		p.Peak = math.Max(p.Peak, c.Peak)
		if c.Result != nil && c.Fires && p.Volumetric == 0 {
			p.Volumetric, p.Efficiency = c.Volumetric, c.Result.Efficiency
		}
	}
	return p, nil
}

// EqualSpeed returns the speed at which inertia becomes as uneven as the gas in a sweep, by linear interpolation of
// their root mean squares between its points.
//
//   - points: in ascending order of speed
//
// Result [rad/s]; ok is false where one of them is larger at every speed. Definition.
func EqualSpeed(points []DrivePoint) (ω float64, ok bool) {
	for i := 1; i < len(points); i++ {
		a, b := &points[i-1].Share, &points[i].Share
		x, y := a.Inertia-a.Gas, b.Inertia-b.Gas
		if x < 0 && y >= 0 {
			return a.Speed + (b.Speed-a.Speed)*x/(x-y), true
		}
	}
	return 0, false
}
