package analysis

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// ErrNoTrace is returned where the file names a measured pressure that was not read.
var ErrNoTrace = errors.New("the measured pressure of the file was not read; its name stands in gas.trace")

// measure takes the measured pressure of the file, where it has one.
func (d *Driver) measure() error {
	t := d.Train
	if t.Gas.Trace == "" {
		return nil
	}
	if t.Gas.Measured == nil {
		return ErrNoTrace
	}
	d.Measured = true
	d.traces = make([]*gas.Indicated, len(t.Cylinders))
	for i := range t.Cylinders {
		if slices.Contains(t.Gas.Off, i) {
			return fmt.Errorf("cylinder %s is switched off, but the pressure is measured, and its file holds for the cylinders as they were; take 'off' or 'trace' out of the file", t.Cylinders[i].Name)
		}
		one, err := gas.IndicateCylinder(t, d.Schedule, i, t.Gas.IntakePressure, d.mechanism.CycleSamples())
		if err != nil {
			return cylinderError(&t.Cylinders[i], err)
		}
		d.traces[i] = one
	}
	m := t.Gas.Measured
	d.Notes = append(d.Notes, "The pressure in the cylinders is measured: "+m.File+".")
	if m.Speed > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("It was measured at %.4g rpm and serves every speed here.", m.Speed*30/math.Pi))
	}
	if m.Cycles > 1 {
		d.Notes = append(d.Notes, fmt.Sprintf("It is the mean of %d cycles.", m.Cycles))
	}
	d.Notes = append(d.Notes, m.Remarks...)
	if t.Cycle == layout.FourStroke && motored(t.Friction.By) {
		d.Notes = append(d.Notes, "The pumping that the correlation of friction counts is that of a modelled cycle at the same speed, with air from outside, an open throttle and the values of gas that 'crankwright show FILE --resolved' lists.")
	}
	return nil
}

// measuredCycles puts the measured pressures into r; cylinders that share a curve and move alike share a cycle.
func (d *Driver) measuredCycles(r *Drive) error {
	peak, ring := 0.0, 0.0
	n := float64(len(d.traces))
	for i, one := range d.traces {
		at := slices.IndexFunc(r.Cycles, func(c GasCycle) bool {
			return d.of[c.Cylinders[0]] == d.of[i] && slices.Equal(c.Pressure, one.Pressure)
		})
		if at >= 0 {
			r.Cycles[at].Cylinders = append(r.Cycles[at].Cylinders, i)
		} else {
			r.Cycles = append(r.Cycles, GasCycle{
				Cylinders: []int{i}, Fires: !one.Motored, Measured: one, Pressure: one.Pressure, Volume: d.volumes(i, len(one.Pressure)),
				IMEP: one.IMEP, Pumping: one.Pumping, Peak: one.PeakPressure, PeakAt: one.PeakAngle,
			})
		}
		peak = math.Max(peak, one.PeakPressure)
		for _, p := range one.Pressure {
			ring += (p - d.Train.Gas.Crankcase) / n / float64(len(one.Pressure))
		}
	}
	open, err := d.modelledPumping(r.Speed)
	if err != nil {
		return err
	}
	r.Friction, err = d.rubbing(r.Speed, peak, open, math.Max(0, ring))
	return err
}

// modelledPumping is openPumping where the pressure is measured: the engine may have been throttled then, and a motored
// correlation counts the pumping of an open throttle.
func (d *Driver) modelledPumping(speed float64) (float64, error) {
	if d.Train.Cycle == layout.TwoStroke || !motored(d.Train.Friction.By) {
		return 0, nil
	}
	if err := d.setUp(); err != nil {
		return 0, err
	}
	s := d.Full
	s.Speed = speed
	open, err := d.openPumping(s)
	if err != nil {
		return 0, fmt.Errorf("a motored correlation of friction counts pumping, for which a cycle is modelled: %w; 'friction: {by: parts}' does without", err)
	}
	return open, nil
}

// volumes returns the volume above a piston at n equal angles from firing top dead centre.
func (d *Driver) volumes(cylinder, n int) []float64 {
	out := make([]float64, n)
	for j := range out {
		out[j], _ = d.kinds[d.of[cylinder]].chamber.Volume(d.Train.Cycle.Period() * num.Angle(j) / num.Angle(n))
	}
	return out
}
