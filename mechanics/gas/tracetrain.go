package gas

import (
	"fmt"
	"slices"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
)

// IndicateCylinder reads the measured pressure of one cylinder of a train, as its engine file says.
//
//   - t: a valid train with t.Gas.Measured, its bore and its compression ratio
//   - s: when its cylinders fire, which places the columns of a trace whose crank angles are those of one cylinder
//   - i: index of the cylinder; where the trace has no column for it, the first is taken
//   - intake: pressure in the intake [Pa], for layout.PegIntake
//   - samples: of the result over the cycle [1]; 0: one each half degree
//
// Result [Pa] and errors: as Indicate and ChamberOf. Definition.
func IndicateCylinder(t *layout.Train, s firing.Schedule, i int, intake float64, samples int) (*Indicated, error) {
	m := t.Gas.Measured
	if m == nil {
		return nil, fmt.Errorf("gas: the engine has no measured pressure; name its file in gas.trace")
	}
	c, err := ChamberOf(t, i)
	if err != nil {
		return nil, err
	}
	o := Indication{Samples: samples, Shift: t.Gas.TraceShift, Pegging: t.Gas.TracePegging, Intake: intake}
	column := max(0, slices.Index(m.Cylinders, t.Cylinders[i].Name))
	if m.Shared && column > 0 {
		first := slices.IndexFunc(t.Cylinders, func(c layout.Cylinder) bool { return c.Name == m.Cylinders[0] })
		zero, ok := s.FiringAngle(first)
		at, ok2 := s.FiringAngle(i)
		if first < 0 || !ok || !ok2 {
			return nil, fmt.Errorf("gas: the columns of the trace cannot be placed: when the cylinders %s and %s fire is not known", m.Cylinders[0], t.Cylinders[i].Name)
		}
		o.Phase = at - zero
	}
	return Indicate(m, column, c, t.Cycle, o)
}
