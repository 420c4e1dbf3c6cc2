package layout

import (
	"fmt"
	"math"

	"crankwright/num"
)

// Ignition is how the charge is lit.
type Ignition string

// The two kinds of ignition.
const (
	Spark       Ignition = "spark"
	Compression Ignition = "compression"
)

// Gas is what the file says of the working gas, at full load. The chapter gas turns it into a pressure curve.
// A value of zero is unknown, unless its comment says otherwise.
type Gas struct {
	CompressionRatio float64 // [1]
	IMEP             float64 // indicated mean effective pressure at full load and rated speed [Pa]; 0: it follows from the rest
	Trace            string  // name of a file with a measured pressure trace

	TraceShift   num.Angle // added to its crank angles, to correct its top dead centre [rad]
	TracePegging Pegging   // how its zero is found
	Measured     *Trace    // what is in it; nil where no file is named, or it was not read

	Ignition          Ignition
	AirRatio          float64   // air over the air that the fuel needs, λ [1]
	IntakePressure    float64   // in the intake manifold, absolute [Pa]
	IntakeTemperature float64   // of the charge in the intake manifold [K]
	ExhaustPressure   float64   // in the exhaust manifold, absolute [Pa]
	HalfBurned        num.Angle // where half the heat has been released, from firing top dead centre [rad]; 0 is a value
	BurnDuration      num.Angle // of the release of heat [rad]
	PremixedShare     float64   // compression ignition: share of the heat in the premixed part [1]; 0 is a value
	Valves            ValveTimes
	WallTemperature   float64 // [K]
	WallHeat          float64 // factor on the heat to the walls [1]; 0 is a value: no heat is lost
	Crankcase         float64 // pressure below the piston, absolute [Pa]

	Off     []int     // indices of cylinders that are switched off or misfire
	Filling []Filling // volumetric efficiency over speed, ascending; empty: the model finds it
}

// ValveTimes are the times and areas of valves or ports. Angles count from firing top dead centre, in the sense of
// rotation [rad]; a closing comes after its opening.
type ValveTimes struct {
	IntakeOpens, IntakeCloses   num.Angle
	ExhaustOpens, ExhaustCloses num.Angle
	IntakeArea, ExhaustArea     float64 // largest effective flow areas of all valves of the kind together [m²]
}

// Filling is the volumetric efficiency at one speed.
type Filling struct {
	Speed      float64 // crank speed [rad/s]
	Volumetric float64 // fresh charge that comes in, with its fuel and what is lost, over what the swept volume holds at the intake's state [1]
}

// FrictionBy is where the friction of an engine is taken from.
type FrictionBy string

// The correlations of friction, and the sum of the parts that rub.
const (
	SparkMotored       FrictionBy = "spark-motored"
	CompressionMotored FrictionBy = "compression-motored"
	PeakPressure       FrictionBy = "peak-pressure"
	ByParts            FrictionBy = "parts"
)

// Friction says how much an engine rubs.
type Friction struct {
	By                FrictionBy
	Factor            float64 // on the result, to match a measured engine [1]
	ValvesPerCylinder float64 // [1]
	Drives            float64 // drives of camshafts and pumps [1]
}

// Turning is what turns with the crank besides the pistons and rods, and what flywheel is wanted.
type Turning struct {
	Crank       float64 // moment of inertia of the crank without flywheel [kg m²]
	Driven      float64 // moment of inertia of the driven machine, as the crank feels it [kg m²]; 0 is a value
	Fluctuation float64 // wanted coefficient of fluctuation of speed [1]
	Diameter    float64 // of the flywheel [m]
	Density     float64 // of its material [kg/m³]
}

// Limits of the working gas. Definition: beyond what engines reach, so that a wrong unit is told from an engine.
const (
	MaxAirRatio      = 100.0
	MinGasPressure   = 1e3    // of a manifold or the crankcase [Pa]
	MaxGasPressure   = 50e5   // of a manifold or the crankcase [Pa]
	MinGasTemp       = 200.0  // of the charge [K]
	MaxGasTemp       = 700.0  // of the charge [K]
	MaxWallTemp      = 1500.0 // [K]
	MaxWallHeat      = 10.0
	MaxVolumetric    = 4.0
	MaxBurnDuration  = num.Turn / 2
	MaxTraceShift    = math.Pi / 6 // to either side [rad]
	MaxFrictionScale = 10.0
)

// working checks what the file says of gas, friction and flywheel; zero is unknown.
func (v *validator) working() {
	g := &v.t.Gas
	between := func(where string, x, lo, hi, unit float64, limit, in string) {
		if v.finite(where, x) && x != 0 && (x < lo || x > hi) {
			v.fail(where, limit, "the value is %.4g%s", x/unit, in)
		}
	}
	between("gas.air_ratio", g.AirRatio, 0.5, MaxAirRatio, 1, "it must lie between 0.5 and 100, such as 1", "")
	for _, p := range []struct {
		where string
		at    float64
	}{{"gas.intake_pressure", g.IntakePressure}, {"gas.exhaust_pressure", g.ExhaustPressure}, {"gas.crankcase_pressure", g.Crankcase}} {
		between(p.where, p.at, MinGasPressure, MaxGasPressure, 1e5, "it must lie between 0.01 and 50 bar, absolute", " bar")
	}
	between("gas.intake_temperature", g.IntakeTemperature, MinGasTemp, MaxGasTemp, 1, "it must lie between 200 and 700 K, such as 40 degC", " K")
	between("gas.wall_temperature", g.WallTemperature, MinGasTemp, MaxWallTemp, 1, "it must lie between 200 and 1500 K, such as 450 K", " K")
	between("gas.wall_heat", g.WallHeat, 0, MaxWallHeat, 1, "it must lie between 0 and 10, such as 1", "")
	between("gas.premixed_share", g.PremixedShare, 0, 1, 0.01, "it must lie between 0 and 100 %", " %")
	if at := float64(g.HalfBurned); v.finite("gas.half_burned", at) && (g.HalfBurned < -num.Turn/4 || g.HalfBurned > num.Turn/4) {
		v.fail("gas.half_burned", "it must lie between -90 and 90 deg from firing top dead centre, such as 8 deg", "the value is %.4g deg", g.HalfBurned.Deg())
	}
	if at := float64(g.BurnDuration); v.finite("gas.burn_duration", at) && at != 0 && (g.BurnDuration < num.Degrees(0.1) || g.BurnDuration > MaxBurnDuration) {
		v.fail("gas.burn_duration", "it must lie between 0.1 and 180 deg, such as 50 deg", "the value is %.4g deg", g.BurnDuration.Deg())
	}
	if v.finite("gas.trace_shift", float64(g.TraceShift)) && math.Abs(float64(g.TraceShift)) > MaxTraceShift {
		v.fail("gas.trace_shift", "a correction of up to 30 deg on either side is allowed", "%.4g deg is no error of a top dead centre", g.TraceShift.Deg())
	}
	v.valves(&g.Valves)
	off := map[int]bool{}
	for i, c := range g.Off {
		where := fmt.Sprintf("gas.off[%d]", i)
		switch {
		case c < 0 || c >= len(v.t.Cylinders):
			v.fail(where, fmt.Sprintf("the engine has %d cylinders", len(v.t.Cylinders)), "there is no cylinder %d", c+1)
		case off[c]:
			v.fail(where, "name each cylinder once", "cylinder %s is named twice", v.t.Cylinders[c].Name)
		}
		off[c] = true
	}
	for i, f := range g.Filling {
		where := fmt.Sprintf("gas.volumetric_efficiency[%d]", i)
		v.positive(where+".speed", f.Speed)
		if v.finite(where+".value", f.Volumetric) && !(f.Volumetric > 0 && f.Volumetric <= MaxVolumetric) {
			v.fail(where+".value", "it must be greater than 0 and at most 400 %", "the value is %.4g %%", 100*f.Volumetric)
		}
		if i > 0 && f.Speed <= g.Filling[i-1].Speed {
			v.fail(where+".speed", "list the speeds in ascending order, each once", "it is not above the speed before it")
		}
	}
	f := &v.t.Friction
	between("friction.factor", f.Factor, 0.01, MaxFrictionScale, 1, "it must lie between 0.01 and 10, such as 1", "")
	between("friction.valves_per_cylinder", f.ValvesPerCylinder, 0, 16, 1, "it must lie between 0 and 16, such as 4", "")
	between("friction.drives", f.Drives, 0, 100, 1, "it must lie between 0 and 100, such as 3", "")
	w := &v.t.Turning
	v.notNegative("crank.inertia", w.Crank)
	v.notNegative("flywheel.driven_inertia", w.Driven)
	between("flywheel.fluctuation", w.Fluctuation, 1e-6, 1, 0.01, "it must lie between 0.0001 and 100 %, such as 2 %", " %")
	between("flywheel.diameter", w.Diameter, 1e-3, 100, 1, "it must lie between 1 mm and 100 m, such as 300 mm", " m")
	between("flywheel.density", w.Density, 100, 1e5, 1, "it must lie between 100 and 100000 kg/m3, such as 7200 kg/m3 of cast iron", " kg/m3")
}

func (v *validator) valves(o *ValveTimes) {
	for _, a := range []struct {
		where string
		at    num.Angle
	}{
		{"gas.valves.intake_opens", o.IntakeOpens},
		{"gas.valves.intake_closes", o.IntakeCloses},
		{"gas.valves.exhaust_opens", o.ExhaustOpens},
		{"gas.valves.exhaust_closes", o.ExhaustCloses},
	} {
		if v.finite(a.where, float64(a.at)) && (a.at < -2*num.Turn || a.at > 4*num.Turn) {
			v.fail(a.where, "give a crank angle from firing top dead centre, such as 350 deg", "the value is %.4g deg", a.at.Deg())
		}
	}
	v.notNegative("gas.valves.intake_area", o.IntakeArea)
	v.notNegative("gas.valves.exhaust_area", o.ExhaustArea)
}
