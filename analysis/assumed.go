package analysis

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Chapter is a result that rests on more than the crank train, whose estimates count everywhere.
type Chapter string

// The chapters.
const (
	OfGas      Chapter = "gas"
	OfTorque   Chapter = "torque" // and power over speed
	OfFlywheel Chapter = "flywheel"
	OfBearings Chapter = "bearings"
	OfTorsion  Chapter = "torsion"
	OfStrength Chapter = "strength"
	OfMounts   Chapter = "mounts" // and people
	OfSpace    Chapter = "space"
	OfParts    Chapter = "parts"
	OfCost     Chapter = "cost"
)

// Chapters lists all of them [-]. Definition.
func Chapters() []Chapter {
	return []Chapter{OfGas, OfTorque, OfFlywheel, OfBearings, OfTorsion, OfStrength, OfMounts, OfSpace, OfParts, OfCost}
}

// restsOn lists the sections and keys of the engine file on which a chapter rests beside the crank train.
func (c Chapter) restsOn(t *layout.Train) []string {
	switch c {
	case OfGas:
		return []string{"gas", "friction", "making.valve_drive"} // the load is one of the brake; where there are ports no valves rub
	case OfTorque:
		return append(OfGas.restsOn(t), "crank.inertia", "flywheel.driven_inertia")
	case OfFlywheel:
		return append(OfGas.restsOn(t), "crank.inertia", "flywheel")
	case OfBearings:
		return append(OfGas.restsOn(t), "bearings", "crank.journal_fillet_radius")
	case OfTorsion:
		return append(OfTorque.restsOn(t), "torsion")
	case OfStrength:
		return append(OfTorsion.restsOn(t), "crank")
	case OfMounts:
		if t.Mounting.Engine.Mass > 0 && len(t.Mounting.Isolators) > 0 {
			return OfGas.restsOn(t)
		}
		return append(OfGas.restsOn(t), OfSpace.restsOn(t)...)
	case OfSpace:
		return []string{"block", "flywheel.diameter", "flywheel.density"}
	case OfParts:
		return []string{"making", "friction.valves_per_cylinder", "gas.ignition"}
	case OfCost:
		return append(OfParts.restsOn(t), OfSpace.restsOn(t)...)
	}
	return nil
}

// Assumed lists what the file left out beyond the crank train, and some results rest on.
//
//   - t: a train with the list of what was assumed for it
//   - of: the results
//
// Result in the order of the train's own list [SI]. What a measured pressure replaces is left out. Definition.
func Assumed(t *layout.Train, of ...Chapter) []layout.Estimate {
	var on []string
	for _, c := range of {
		on = append(on, c.restsOn(t)...)
	}
	var out []layout.Estimate
	for _, e := range t.Assumed {
		section, _, _ := strings.Cut(e.Key, ".")
		if slices.Contains(on, e.Key) || slices.Contains(on, section) && !replaced(t, e.Key) {
			out = append(out, e)
		}
	}
	return out
}

// replaced tells whether a key belongs to the model of the gas, and the pressure is measured.
func replaced(t *layout.Train, key string) bool {
	return t.Gas.Trace != "" && strings.HasPrefix(key, "gas.") &&
		!slices.Contains([]string{"gas.compression_ratio", "gas.intake_pressure", "gas.crankcase_pressure"}, key)
}

// Lacking lists all that results would rest on and the file does not give: what strict reading refuses.
//
//   - t: as for Assumed, read strictly or not
//   - of: the results
//
// Result [SI]: Assumed, and what the chapters themselves fill, such as usual mounts. Definition.
func Lacking(t *layout.Train, of ...Chapter) []layout.Estimate {
	out := Assumed(t, of...)
	if t.Bore == 0 { // then none of the results is found at all
		return out
	}
	has := func(list ...Chapter) bool {
		return slices.ContainsFunc(of, func(c Chapter) bool { return slices.Contains(list, c) })
	}
	if has(OfMounts) && len(t.Mounting.Isolators) == 0 {
		out = append(out, layout.Estimate{Key: "mounts.isolators", Shown: "a list of {name, at, y, z, stiffness, loss_factor}"})
	}
	if has(OfTorsion, OfStrength, OfMounts) && t.Speeds.Idle == 0 {
		out = append(out, layout.Estimate{Key: "speeds.idle", Unit: "rad/s", Shown: "800 rpm"})
	}
	solid := has(OfSpace, OfCost) || has(OfMounts) && t.Mounting.Engine.Mass == 0
	if solid && t.Arrangement != layout.Custom && len(t.Cylinders) > 0 && t.Cylinders[0].Piston.CompressionHeight == 0 {
		out = append(out, layout.Estimate{Key: "piston.compression_height", Unit: "m", Shown: "30 mm"})
	}
	return out
}

// Replace takes keys out of the list of what was assumed for a train, because someone gave their values beside the file.
// The list that other trains may share is not changed.
//
//   - t: the train
//   - keys: such as flywheel.diameter
//
// Values in SI [-]. Definition.
func Replace(t *layout.Train, keys ...string) {
	t.Assumed = slices.DeleteFunc(slices.Clone(t.Assumed), func(e layout.Estimate) bool { return slices.Contains(keys, e.Key) })
}

// lacks says why strict analysis leaves results out; empty where the file gives all that they rest on.
func lacks(t *layout.Train, of ...Chapter) string {
	list := Lacking(t, of...)
	var names []string
	for _, e := range list {
		names = append(names, e.Key)
	}
	const named = 3
	switch n := len(names); {
	case n == 0:
		return ""
	case n > named+1:
		names = append(names[:named:named], fmt.Sprintf("%d more", n-named))
	}
	return "strict reading estimates nothing, and the file does not give " + num.List(names, "and")
}

// given leaves out of the chapters beyond gas and torque what rests on values that the file does not give.
func (r *Result) given(opt Options) {
	t := r.Train
	if opt.Lasting && r.Drive == nil {
		why := func(c Chapter) string { return cmp.Or(lacks(t, c), r.NoDrive) }
		r.Lasting = &Lasting{NoBearings: why(OfBearings), NoTorsion: why(OfTorsion), NoStrength: why(OfStrength)}
		r.NoMounts = why(OfMounts)
	}
	if r.Drive != nil && r.Drive.Flywheel != nil {
		if why := lacks(t, OfFlywheel); why != "" {
			d := *r.Drive
			d.Flywheel, d.NoWheel, r.Drive = nil, why, &d
		}
	}
	if r.Lasting != nil {
		l := *r.Lasting
		if why := lacks(t, OfBearings); why != "" {
			l.Bearings, l.NoBearings = nil, why
		}
		if why := lacks(t, OfTorsion); why != "" {
			l.Torsion, l.NoTorsion = nil, why
		}
		if why := lacks(t, OfStrength); why != "" {
			l.Strength, l.NoStrength = nil, why
		}
		r.Lasting = &l
	}
	if r.Mounts != nil {
		if why := lacks(t, OfMounts); why != "" {
			r.Mounts, r.NoMounts = nil, why
		}
	}
	if r.Parts == nil {
		return
	}
	if why := lacks(t, OfParts); why != "" {
		r.Parts, r.NoParts = nil, why
	} else if why := lacks(t, OfCost); why != "" {
		p := *r.Parts
		p.Cost, p.NoCost, r.Parts = nil, why, &p
	}
}
