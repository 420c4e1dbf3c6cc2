package analysis

import (
	"errors"
	"fmt"
	"math"

	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// FrictionLoss is the friction of an engine as mean effective pressure.
type FrictionLoss struct {
	By        layout.FrictionBy
	Total     float64        // [Pa], what the brake lacks of the net indicated pressure
	Low, High float64        // what engines of the kind scatter between [Pa]
	Parts     torque.Losses  // by part [Pa], from counts and sizes
	Scale     float64        // Parts over those of an in-line four of the same cylinders [1], by which a correlation is scaled; 0: not known
	Pumping   float64        // that was taken out of a motored correlation, which counts it [Pa]
	Rub       torque.Rubbing // what rubs, from which Parts were found
	Beyond    string         // where the correlation is used beyond its engines; else empty
}

// leastRubbing is the share of a motored correlation that is left at least where pumping is taken out of it [1].
// Source: PRACTICE, rubbing is most of the motored friction.
const leastRubbing = 0.4

// friction returns the friction at one speed with one cycle of the gas; open is the pumping mean effective pressure
// with the throttle open [Pa], which motored correlations count.
func (d *Driver) friction(speed float64, cycle *gas.Result, open float64) (FrictionLoss, error) {
	mean := 0.0
	for _, p := range cycle.Pressure {
		mean += p - d.Train.Gas.Crankcase
	}
	return d.rubbing(speed, cycle.PeakPressure, open, math.Max(0, mean/float64(len(cycle.Pressure))))
}

// rubbing takes the friction from where the file wants it. Correlations come from in-line engines, most with four
// cylinders; they are scaled by the parts that rub in this engine over those of an in-line four of the same cylinders,
// so that two layouts of one cylinder differ by their bearings, valves and drives.
func (d *Driver) rubbing(speed, peak, pumping, ringGas float64) (FrictionLoss, error) {
	t := d.Train
	f := &t.Friction
	stroke := 0.0
	for _, of := range d.of {
		stroke += d.kinds[of].chamber.Stroke() / float64(len(d.of))
	}
	loss := FrictionLoss{By: f.By}
	rub := torque.RubbingOf(t, stroke, int(math.Round(f.ValvesPerCylinder)), int(math.Round(f.Drives)))
	four := rub
	four.Cylinders, four.Mains.Count, four.Pins.Count, four.Drives = 4, 5, 4, inlineDrives
	four.Pins.Swing = 0
	four.Valves = 4 * int(math.Round(f.ValvesPerCylinder))
	if t.Making.ValveDrive == layout.Ports || t.Making.ValveDrive == "" && t.Cycle == layout.TwoStroke {
		rub.Valves, four.Valves = 0, 0
	}
	rub.RingGas, four.RingGas = ringGas, ringGas
	loss.Rub = rub
	parts, missing := rub.FMEP(torque.UsualFriction(), speed)
	reference, again := four.FMEP(torque.UsualFriction(), speed)
	if missing == nil && again == nil && reference.Total > 0 {
		loss.Parts, loss.Scale = parts, parts.Total/reference.Total
	}
	var found torque.FMEP
	var err error
	piston := stroke * speed / math.Pi
	switch f.By {
	case layout.SparkMotored:
		found, err = torque.SparkIgnitionMotored(speed)
		loss.Pumping = math.Max(0, -pumping)
	case layout.CompressionMotored:
		found, err = torque.CompressionIgnitionMotored(torque.DirectInjection, speed, piston)
		loss.Pumping = math.Max(0, -pumping)
	case layout.PeakPressure:
		found, err = torque.ChenFlynn().FMEP(peak, piston)
	case layout.ByParts:
		err = missing
		found = torque.FMEP{Value: parts.Total, Low: parts.Total / 2, High: parts.Total * 2}
	default:
		err = errors.New("it is not known where friction is taken from; give friction: {by: spark-motored}")
	}
	if err != nil {
		return loss, err
	}
	factor := f.Factor
	if factor == 0 {
		factor = 1
	}
	if f.By != layout.ByParts {
		if loss.Scale > 0 {
			factor *= loss.Scale
		}
		if t.Cycle == layout.TwoStroke {
			factor /= 2 // the same work of a revolution, over a cycle of one
			loss.beyond("a correlation of four-stroke engines, halved for a cycle of one revolution")
		}
	}
	loss.beyond(found.Beyond)
	if motored(f.By) {
		loss.beyond(beyondBore(f.By, t.Bore))
	}
	whole := factor * found.Value
	loss.Pumping = math.Min(loss.Pumping, (1-leastRubbing)*whole)
	loss.Total = whole - loss.Pumping
	loss.Low, loss.High = math.Max(0, factor*found.Low-loss.Pumping), factor*found.High-loss.Pumping
	return loss, nil
}

// motored says whether a correlation comes from engines that were turned without firing, so that it counts their pumping.
func motored(by layout.FrictionBy) bool {
	return by == layout.SparkMotored || by == layout.CompressionMotored
}

// beyond adds a reason why the correlation is used beyond its engines.
func (l *FrictionLoss) beyond(why string) {
	if why != "" && l.Beyond != "" {
		l.Beyond += "; "
	}
	l.Beyond += why
}

// beyondBore says whether a bore [m] is far from those of the engines that a motored correlation was made from, which
// were about 60 to 100 mm (spark ignition, cars) and 70 to 140 mm (compression ignition); empty where it is near.
// Source: PRACTICE; half as much again is allowed.
func beyondBore(by layout.FrictionBy, bore float64) string {
	least, most := 0.04, 0.15
	if by == layout.CompressionMotored {
		least, most = 0.05, 0.21
	}
	if bore == 0 || bore >= least && bore <= most {
		return ""
	}
	return fmt.Sprintf("a bore of %s mm: common practice uses this correlation from %s to %s mm", num.Digits(1e3*bore, 4), num.Digits(1e3*least, 3), num.Digits(1e3*most, 3))
}

// inlineDrives are the drives of an in-line four: camshaft, oil pump and water pump [1]. Source: PRACTICE.
const inlineDrives = 3
