package firing

import (
	"errors"
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Contradiction says that the firing order and the firing angles of an engine do not go together.
type Contradiction struct {
	Order []int // as given
	Names []string
}

// Error returns the contradiction as one sentence [-]. Definition.
func (c *Contradiction) Error() string {
	return fmt.Sprintf("firing_order %s and fires_at contradict each other; give one of the two", label(c.Order, c.Names))
}

// ForTrain returns the schedule of an engine as it is described.
//
//   - t: a valid train
//
// Result [rad]: the schedule of its firing order, which keeps the firing angles that are given;
// without an order that of the firing angles, and where they are missing too the most even one. It
// begins with the first cylinder of the order, else with cylinder 0. Errors: those of
// TopDeadCentres, Assign and FromAngles, with the names of the cylinders; *Contradiction where
// order and angles do not go together. Definition.
func ForTrain(t *layout.Train) (Schedule, error) {
	tdc, err := TopDeadCentres(t)
	if err != nil {
		return Schedule{}, err
	}
	return Resolve(t, tdc)
}

// Resolve is ForTrain for top dead centres that are known already.
//
//   - t: a valid train
//   - tdc: its top dead centres, as TopDeadCentres returns them [rad]; length N
//
// Result [rad] and errors: as ForTrain. Definition.
func Resolve(t *layout.Train, tdc []num.Angle) (Schedule, error) {
	r, err := trainRing(t, tdc)
	if err != nil {
		return Schedule{}, err
	}
	s, err := r.resolve(t)
	if err != nil {
		return Schedule{}, named(err, t)
	}
	return s, nil
}

// fromNominal returns the given firing angle of a cylinder; where it is the nominal top dead centre, axis
// less throw angle, the true one of that revolution.
func (r *ring) fromNominal(t *layout.Train, c int) num.Angle {
	y := &t.Cylinders[c]
	if y.Throw < 0 || y.Throw >= len(t.Throws) {
		return y.FiresAt
	}
	nominal := y.Axis - t.Throws[y.Throw].Angle
	off := math.Remainder(float64(y.FiresAt-nominal), float64(num.Turn))
	if !(math.Abs(off) <= float64(SnapLimit)) {
		return y.FiresAt
	}
	return y.FiresAt + num.Angle(math.Remainder(float64(r.tdc[c]-nominal), float64(num.Turn)))
}

func (r *ring) resolve(t *layout.Train) (Schedule, error) {
	at := make([]num.Angle, len(t.Cylinders))
	given := make([]bool, len(t.Cylinders))
	some, all := false, true
	for c := range t.Cylinders {
		at[c], given[c] = r.fromNominal(t, c), t.Cylinders[c].FiresGiven
		some, all = some || given[c], all && given[c]
	}
	if t.FiringOrder != nil && !some {
		return Assign(r.tdc, r.cycle, t.FiringOrder)
	}
	fixed, err := r.snap(at, given)
	if err != nil {
		return Schedule{}, err
	}
	if t.FiringOrder != nil {
		if err := checkOrder(t.FiringOrder, len(at)); err != nil {
			return Schedule{}, err
		}
		s, ok := r.assign(t.FiringOrder, fixed)
		switch {
		case ok:
			return s, nil
		case r.winding(t.FiringOrder) > r.turns():
			return Schedule{}, r.impossible(t.FiringOrder)
		}
		return Schedule{}, &Contradiction{Order: t.FiringOrder}
	}
	q := newNear(t)
	switch {
	case all:
		return r.fromRevolutions(fixed), nil
	case some:
		return r.fromRevolutions(r.evenest(fixed, q)), nil
	}
	return r.bestSchedule(q), nil
}

// named puts the names of the cylinders into an error.
func named(err error, t *layout.Train) error {
	names := Names(t)
	var order *ImpossibleOrder
	var fit *Misfits
	var both *Contradiction
	switch {
	case errors.As(err, &order):
		order.Names = names
	case errors.As(err, &fit):
		fit.Names = names
	case errors.As(err, &both):
		both.Names = names
	}
	return err
}

// Names returns the names of the cylinders by index [-], for labels. Definition.
func Names(t *layout.Train) []string {
	names := make([]string, len(t.Cylinders))
	for c := range names {
		names[c] = t.Cylinders[c].Name
	}
	return names
}
