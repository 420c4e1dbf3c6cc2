package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/mount"
	"crankwright/mechanics/person"
	"crankwright/num"
)

// MountsDoc is how an engine swings on its mounts and what reaches structure and people: the key mounts of evaluate
// --json, and what the verb mounts prints with --json.
type MountsDoc struct {
	Name     string           `json:"name" jsonschema_description:"name of the engine"`
	LoadPct  float64          `json:"load_pct" jsonschema_description:"brake torque over that of full load of the sweep"`
	Measured bool             `json:"measured" jsonschema_description:"the cylinder pressure is measured; it is taken at every speed"`
	Bodies   []MountBodyDoc   `json:"bodies" jsonschema_description:"engine, gearbox if any, and both together"`
	Mounts   []MountDoc       `json:"mounts" jsonschema_description:"that carry the engine"`
	Modes    []MountModeDoc   `json:"modes" jsonschema_description:"as a rigid body on its mounts, undamped, slowest first"`
	Axis     [3]float64       `json:"torque_roll_axis_1" jsonschema_description:"direction about which the free body starts to turn under a torque about the crank, along x, y, z"`
	AxisDeg  float64          `json:"torque_roll_axis_deg" jsonschema_description:"how far it leans from the crank's direction"`
	Merit    MountMeritDoc    `json:"merit" jsonschema_description:"how far the mounts reach what mounts are for"`
	Idle     MountPointDoc    `json:"idle" jsonschema_description:"what reaches the structure at idle"`
	Light    bool             `json:"idle_light" jsonschema_description:"at idle the engine runs without load"`
	Rated    MountPointDoc    `json:"rated" jsonschema_description:"what reaches the structure at rated speed"`
	Worst    MountPointDoc    `json:"worst" jsonschema_description:"speed of the sweep at which most reaches the structure"`
	Meets    []MeetingDoc     `json:"meets" jsonschema_description:"orders that run through a mode within the speeds of the sweep and lead there"`
	Tries    []MountTryDoc    `json:"tries" jsonschema_description:"what other choices leave; the first is the engine as it is"`
	Found    *FoundMountsDoc  `json:"found,omitempty" jsonschema_description:"mounts that suit better; only when asked for"`
	People   []PersonPointDoc `json:"people" jsonschema_description:"points of the file at which somebody feels the engine"`
	HoursH   float64          `json:"exposure_h" jsonschema_description:"time a day"`
	Curves   *MountCurves     `json:"curves,omitempty" jsonschema_description:"over the speeds of the sweep; only when asked for"`
	Notes    []string         `json:"notes" jsonschema_description:"what was taken where the file says nothing, in sentences"`
	Summary  []string         `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of the mounts and how it was filled; left out: nothing"`
	Caution string        `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out in evaluate, which says it once"`
	Measure string        `json:"measurement_decides,omitempty" jsonschema_description:"the caution for what people feel"`
}

// MountBodyDoc is a rigid body.
type MountBodyDoc struct {
	Name string `json:"name" jsonschema_description:"engine, gearbox or together"`
	BodyDoc
}

// MountDoc is a mount.
type MountDoc struct {
	Name      string     `json:"name" jsonschema_description:"of the mount"`
	AtMM      [3]float64 `json:"at_mm" jsonschema_description:"x, y, z of its elastic centre"`
	LeanDeg   float64    `json:"lean_deg" jsonschema_description:"of its third axis from +z about +x"`
	Stiffness [3]float64 `json:"stiffness_N_per_mm" jsonschema_description:"along its own axes"`
	Loss      float64    `json:"loss_factor_1" jsonschema_description:"of the rubber: damping as a share of the stiffness"`
	SagMM     [3]float64 `json:"sag_mm" jsonschema_description:"deflection under the weight along its own axes"`
}

// MountModeDoc is a mode of the body on its mounts.
type MountModeDoc struct {
	Hz        float64    `json:"frequency_Hz" jsonschema_description:"natural frequency"`
	Main      string     `json:"main" jsonschema_description:"freedom with the largest share"`
	EnergyPct [6]float64 `json:"energy_pct" jsonschema_description:"shares of fore-aft, lateral, bounce, roll, pitch, yaw in the kinetic energy"`
	TorquePct float64    `json:"torque_pct" jsonschema_description:"share of a torque about the crank that excites this mode"`
	MoveMM    [3]float64 `json:"move_mm" jsonschema_description:"of the centre of gravity along x, y, z as it swings, when the mount that moves most moves by 1 mm"`
	TurnDeg   [3]float64 `json:"turn_deg" jsonschema_description:"about x, y, z through the centre of gravity at that instant"`
}

// MountMeritDoc is how far the mounts reach what mounts are for.
type MountMeritDoc struct {
	Order         float64 `json:"order" jsonschema_description:"of the main excitation at idle"`
	ExcitationHz  float64 `json:"excitation_Hz" jsonschema_description:"frequency of the main excitation at idle"`
	FastestHz     float64 `json:"fastest_mode_Hz" jsonschema_description:"natural frequency of the fastest mode"`
	Separation    float64 `json:"separation_1" jsonschema_description:"excitation over the fastest mode; isolation begins at 1.41"`
	DecouplingPct float64 `json:"decoupling_pct" jsonschema_description:"largest share of the torque that one mode takes; 100: the torque roll axis is decoupled"`
	SagMM         float64 `json:"sag_mm" jsonschema_description:"largest deflection of a mount under the weight"`
}

// MountPointDoc is what reaches the structure at one speed.
type MountPointDoc struct {
	RPM         float64         `json:"speed_rpm" jsonschema_description:"crank speed"`
	ForcesN     []float64       `json:"forces_N" jsonschema_description:"of each mount, root mean square, all directions"`
	TotalN      float64         `json:"total_N" jsonschema_description:"root of the sum of their squares"`
	PassesPct   float64         `json:"passes_pct" jsonschema_description:"transmissibility of the whole: of what would arrive if nothing swung"`
	SwingMM     float64         `json:"swing_mm" jsonschema_description:"largest deflection of a mount, root mean square"`
	Orders      []MountOrderDoc `json:"orders,omitempty" jsonschema_description:"those that matter, largest first"`
	WeightedMS2 []float64       `json:"felt_ms2" jsonschema_description:"weighted value of each point of people"`
}

// MountOrderDoc is one order at one speed.
type MountOrderDoc struct {
	Order    float64 `json:"order" jsonschema_description:"per crank revolution"`
	Hz       float64 `json:"frequency_Hz" jsonschema_description:"of the order at this speed"`
	TotalN   float64 `json:"total_N" jsonschema_description:"that arrives, root mean square"`
	TorqueNm float64 `json:"torque_Nm" jsonschema_description:"about the crank that drives it, amplitude"`
}

// MeetingDoc is an order that runs through a mode.
type MeetingDoc struct {
	Order  float64 `json:"order" jsonschema_description:"per crank revolution"`
	Mode   int     `json:"mode_1" jsonschema_description:"number of the mode, slowest first"`
	RPM    float64 `json:"speed_rpm" jsonschema_description:"crank speed at which it runs through the mode"`
	TotalN float64 `json:"total_N" jsonschema_description:"into the structure there"`
}

// MountTryDoc is what a choice leaves.
type MountTryDoc struct {
	Name     string    `json:"name" jsonschema_description:"of the choice, in words"`
	IdleN    float64   `json:"idle_N" jsonschema_description:"into the structure at idle, root mean square"`
	RatedN   float64   `json:"rated_N" jsonschema_description:"into the structure at rated speed, root mean square"`
	WorstN   float64   `json:"worst_N" jsonschema_description:"into the structure at the worst speed of the sweep, root mean square"`
	WorstRPM float64   `json:"worst_rpm" jsonschema_description:"crank speed of it"`
	IdleMS2  []float64 `json:"idle_felt_ms2" jsonschema_description:"at idle: weighted value of each point of people"`
	RatedMS2 []float64 `json:"rated_felt_ms2" jsonschema_description:"at rated speed: weighted value of each point of people"`
}

// FoundMountsDoc are mounts that were found.
type FoundMountsDoc struct {
	Mounts []MountDoc    `json:"mounts" jsonschema_description:"that were found"`
	Merit  MountMeritDoc `json:"merit" jsonschema_description:"how far they reach what mounts are for"`
	Try    MountTryDoc   `json:"try" jsonschema_description:"what they leave"`
	Tries  int           `json:"judged_1" jsonschema_description:"systems that were judged"`
	Edits  []EditDoc     `json:"edits" jsonschema_description:"changes of the engine file that put these mounts under it"`
	Short  []string      `json:"short" jsonschema_description:"what is still missing to the aim, if anything"`
}

// PersonPointDoc is what somebody feels at one point.
type PersonPointDoc struct {
	Name   string         `json:"name" jsonschema_description:"of the point"`
	FeltBy string         `json:"felt_by" jsonschema:"enum=seat,enum=feet,enum=hand" jsonschema_description:"with what somebody feels it"`
	On     string         `json:"on" jsonschema:"enum=engine,enum=structure" jsonschema_description:"what the point is fixed to"`
	Action float64        `json:"action_ms2" jsonschema_description:"action value of the day, referred to eight hours"`
	Limit  float64        `json:"limit_ms2" jsonschema_description:"limit value of the day, referred to eight hours"`
	Idle   PersonValueDoc `json:"idle" jsonschema_description:"what is felt at idle"`
	Rated  PersonValueDoc `json:"rated" jsonschema_description:"what is felt at rated speed"`
	Worst  PersonValueDoc `json:"worst" jsonschema_description:"speed of the sweep at which it is felt most"`
}

// PersonValueDoc is what is felt at one speed.
type PersonValueDoc struct {
	RPM       float64    `json:"speed_rpm" jsonschema_description:"crank speed"`
	Raw       float64    `json:"raw_ms2" jsonschema_description:"root mean square of all directions, not weighted"`
	Weighted  [3]float64 `json:"weighted_ms2" jsonschema_description:"along x, y, z"`
	Value     float64    `json:"value_ms2" jsonschema_description:"that counts: the largest direction (horizontal ones 1.4 times) for the whole body, the total of three for the hand"`
	Daily     float64    `json:"daily_ms2" jsonschema_description:"over the exposure of the day, referred to eight hours"`
	ToActionH float64    `json:"to_action_h" jsonschema_description:"time a day until the action value is reached, at most 24"`
	ToLimitH  float64    `json:"to_limit_h" jsonschema_description:"time a day until the limit value is reached, at most 24"`
	Over      string     `json:"over" jsonschema:"enum=nothing,enum=action,enum=limit" jsonschema_description:"the highest of the two values of the day that is exceeded"`
}

// MountCurves are curves over the speed.
type MountCurves struct {
	RPM       []float64   `json:"speed_rpm" jsonschema_description:"crank speed of the values"`
	TotalN    []float64   `json:"total_N" jsonschema_description:"into the structure, root mean square"`
	PassesPct []float64   `json:"passes_pct" jsonschema_description:"transmissibility of the whole: share of what would arrive if nothing swung"`
	ForcesN   [][]float64 `json:"forces_N" jsonschema_description:"by mount, then by speed"`
	FeltMS2   [][]float64 `json:"felt_ms2" jsonschema_description:"by point of people, then by speed"`
}

// personCaution stands beside every value of what people feel.
const personCaution = "Weighted values are computed, from a rigid engine and a structure given by one number. Whether people are safe is decided by measurement where they stand or hold (ISO 2631-1, ISO 5349-1) and by the rules of the country."

// NewMountsDoc writes how an engine swings on its mounts. curves: with curves over the speed.
func NewMountsDoc(r *analysis.Mounts, curves bool) *MountsDoc {
	time := r.Train.Mounting.Exposure
	if time == 0 {
		time = analysis.UsualExposure
	}
	rated := r.Tries[0].Rated
	d := &MountsDoc{
		Name: r.Train.Name, LoadPct: 100 * r.Load, Measured: r.Measured, Light: r.Light, Merit: meritDoc(r, r.Merit),
		Axis: [3]float64{r.Axis.X, r.Axis.Y, r.Axis.Z}, AxisDeg: num.Angle(math.Acos(min(1, math.Abs(r.Axis.X)))).Deg(),
		Idle: pointDoc(r.Idle), Rated: pointDoc(rated), Worst: pointDoc(r.Worst()),
		People: []PersonPointDoc{}, Meets: []MeetingDoc{}, HoursH: time / 3600, Notes: []string{}, Summary: explain.Mounts(r), Caution: Caution,
	}
	d.Bodies = append(d.Bodies, MountBodyDoc{"engine", bodyDoc(r.Engine)})
	if r.Gearbox.Mass > 0 {
		d.Bodies = append(d.Bodies, MountBodyDoc{"gearbox", bodyDoc(r.Gearbox)}, MountBodyDoc{"together", bodyDoc(r.System.Body)})
	}
	for i, m := range r.System.Mounts {
		d.Mounts = append(d.Mounts, mountDoc(m, r.Sags[i]))
	}
	for i, m := range r.Modes {
		main, _ := m.Main()
		x := MountModeDoc{Hz: m.Frequency / (2 * math.Pi), Main: main.String(), TorquePct: 100 * r.Shares[i]}
		for k, e := range m.Energy {
			x.EnergyPct[k] = 100 * e
		}
		x.MoveMM, x.TurnDeg = shapeDoc(&r.System, m.Shape)
		d.Modes = append(d.Modes, x)
	}
	for _, m := range r.Meets {
		d.Meets = append(d.Meets, MeetingDoc{Order: float64(m.K) / 2, Mode: m.Mode + 1, RPM: rpm(m.Speed), TotalN: m.Total})
	}
	for _, t := range r.Tries {
		d.Tries = append(d.Tries, tryDoc(t))
	}
	for i := range r.Train.Mounting.Receivers {
		p := &r.Train.Mounting.Receivers[i]
		values := person.WholeBody()
		if p.Touch == layout.ByHand {
			values = person.HandArm()
		}
		worst := r.Sweep[0]
		for _, q := range r.Sweep {
			if q.Felt[i].Value > worst.Felt[i].Value {
				worst = q
			}
		}
		d.People = append(d.People, PersonPointDoc{
			Name: p.Name, FeltBy: string(p.Touch), On: string(p.On), Action: values.Action, Limit: values.Limit,
			Idle: feltDoc(r.Idle, i), Rated: feltDoc(rated, i), Worst: feltDoc(worst, i),
		})
	}
	if len(d.People) > 0 {
		d.Measure = personCaution
		if r.Train.Mounting.Exposure == 0 {
			d.Notes = append(d.Notes, "The file says no exposure: eight hours a day are taken.")
		}
	} else {
		d.Notes = append(d.Notes, "The file names nobody who feels the engine: give people: points to see what reaches them.")
	}
	if r.Gearbox.Mass == 0 {
		d.Notes = append(d.Notes, "Nothing is bolted to the drive end; a gearbox moves the centre of gravity and the modes: give mounts: gearbox.")
	}
	if r.NoLight != "" {
		d.Notes = append(d.Notes, "Idle is taken at the load of the sweep, for the engine does not run light in this model: "+r.NoLight+".")
	}
	if r.Measured {
		d.Notes = append(d.Notes, "The cylinder pressure is measured and taken at every speed, idle too.")
	}
	d.Notes = append(d.Notes, r.Charging...)
	d.Estimated = estimatedOf(r.Train)
	d.Assumed = append(EstimateDocs(r.Assumed), assumedFor(r.Train, analysis.OfMounts)...)
	if curves {
		c := &MountCurves{ForcesN: make([][]float64, len(d.Mounts)), FeltMS2: make([][]float64, len(d.People))}
		for _, p := range r.Sweep {
			c.RPM = append(c.RPM, p.Speed*30/math.Pi)
			c.TotalN = append(c.TotalN, p.Total)
			c.PassesPct = append(c.PassesPct, 100*p.Passes)
			for i, f := range p.Forces {
				c.ForcesN[i] = append(c.ForcesN[i], f)
			}
			for i, f := range p.Felt {
				c.FeltMS2[i] = append(c.FeltMS2[i], f.Value)
			}
		}
		d.Curves = c
	}
	return d
}

// Find adds mounts that were found.
func (d *MountsDoc) Find(r *analysis.Mounts, f *mount.Found, t analysis.MountTry, w analysis.MountWish) {
	found := &FoundMountsDoc{Merit: meritDoc(r, f.After), Try: tryDoc(t), Tries: f.Tries, Short: []string{}}
	if w.Order > 0 {
		found.Merit.Order = w.Order
		found.Merit.ExcitationHz *= 2 * w.Order / float64(r.Main)
	}
	_, sags, err := mount.Sag(&f.System, r.Aim.Down)
	var list []string
	for i, m := range f.System.Mounts {
		if err != nil {
			sags = append(sags, [3]float64{})
		}
		x := mountDoc(m, sags[i])
		found.Mounts = append(found.Mounts, x)
		text := fmt.Sprintf("{name: %q, at: %.4g mm, y: %.4g mm, z: %.4g mm", m.Name, x.AtMM[0], x.AtMM[1], x.AtMM[2])
		if x.LeanDeg != 0 {
			text += fmt.Sprintf(", lean: %.4g deg", x.LeanDeg)
		}
		list = append(list, text+fmt.Sprintf(", stiffness: {x: %.4g N/mm, y: %.4g N/mm, z: %.4g N/mm}, loss_factor: %.4g}", x.Stiffness[0], x.Stiffness[1], x.Stiffness[2], m.Loss))
	}
	found.Edits = []EditDoc{{"mounts.isolators", "[" + strings.Join(list, ", ") + "]"}}
	if f.After.Separation < w.Separation*(1-1e-6) {
		found.Short = append(found.Short, fmt.Sprintf("The excitation at idle lies %s times above the fastest mode, %s are wanted: let the mounts be softer or sag more, or idle faster.", num.Digits(f.After.Separation, 3), num.Digits(w.Separation, 3)))
	}
	if f.After.Sag > w.MostSag*(1+1e-6) {
		found.Short = append(found.Short, fmt.Sprintf("A mount settles by %s mm, %s mm are allowed.", num.Digits(1e3*f.After.Sag, 3), num.Digits(1e3*w.MostSag, 3)))
	}
	if f.After.Decoupling < 0.95 {
		found.Short = append(found.Short, fmt.Sprintf("One mode takes %s %% of the torque, 95 %% and more are a decoupled roll: let the mounts move further or lean more.", num.Digits(100*f.After.Decoupling, 3)))
	}
	if f.After == f.Before {
		found.Short = append(found.Short, "Nothing better was found within these bounds.")
	}
	if t.Idle.Total > 1.01*r.Idle.Total {
		found.Short = append(found.Short, fmt.Sprintf("More goes into the structure at idle: %s N instead of %s N. Ask for more separation, or let the mounts sag more.", num.Digits(t.Idle.Total, 3), num.Digits(r.Idle.Total, 3)))
	}
	d.Found = found
}

func meritDoc(r *analysis.Mounts, m mount.Merit) MountMeritDoc {
	return MountMeritDoc{
		Order: float64(r.Main) / 2, ExcitationHz: r.Aim.Excitation / (2 * math.Pi), FastestHz: m.Fastest / (2 * math.Pi),
		Separation: m.Separation, DecouplingPct: 100 * m.Decoupling, SagMM: 1e3 * m.Sag,
	}
}

func mountDoc(m mount.Mount, sag [3]float64) MountDoc {
	d := MountDoc{Name: m.Name, AtMM: [3]float64{inMM(m.At.X), inMM(m.At.Y), inMM(m.At.Z)}, Loss: m.Loss, LeanDeg: noMinusZero(num.Angle(math.Atan2(-m.Axes[2].Y, m.Axes[2].Z)).Deg())}
	for a := range d.Stiffness {
		d.Stiffness[a], d.SagMM[a] = m.Stiffness[a]/1e3, inMM(sag[a])
	}
	return d
}

// shapeDoc scales a mode so that the mount that moves most moves by 1 mm.
func shapeDoc(s *mount.System, m mount.Motion) (move, turn [3]float64) {
	t, w := r3.Vec{X: m[0], Y: m[1], Z: m[2]}, r3.Vec{X: m[3], Y: m[4], Z: m[5]}
	most := 0.0
	for i := range s.Mounts {
		most = max(most, r3.Norm(r3.Add(t, r3.Cross(w, r3.Sub(s.Mounts[i].At, s.Body.Centre)))))
	}
	if most == 0 {
		return move, turn
	}
	for k := range 3 {
		move[k], turn[k] = m[k]/most, num.Angle(1e-3*m[3+k]/most).Deg()
	}
	return move, turn
}

func pointDoc(p analysis.MountPoint) MountPointDoc {
	d := MountPointDoc{RPM: p.Speed * 30 / math.Pi, ForcesN: p.Forces, TotalN: p.Total, PassesPct: 100 * p.Passes, SwingMM: 1e3 * p.Swing, WeightedMS2: []float64{}}
	for _, o := range p.Orders {
		if o.Total > 0.02*p.Total {
			d.Orders = append(d.Orders, MountOrderDoc{Order: float64(o.K) / 2, Hz: p.Speed * float64(o.K) / 4 / math.Pi, TotalN: o.Total, TorqueNm: o.Torque})
		}
	}
	slices.SortStableFunc(d.Orders, func(a, b MountOrderDoc) int { return cmp.Compare(b.TotalN, a.TotalN) })
	for _, f := range p.Felt {
		d.WeightedMS2 = append(d.WeightedMS2, f.Value)
	}
	return d
}

func tryDoc(t analysis.MountTry) MountTryDoc {
	d := MountTryDoc{Name: t.Name, IdleN: t.Idle.Total, RatedN: t.Rated.Total, WorstN: t.Worst.Total, WorstRPM: t.Worst.Speed * 30 / math.Pi, IdleMS2: []float64{}, RatedMS2: []float64{}}
	for i := range t.Idle.Felt {
		d.IdleMS2 = append(d.IdleMS2, t.Idle.Felt[i].Value)
		d.RatedMS2 = append(d.RatedMS2, t.Rated.Felt[i].Value)
	}
	return d
}

func feltDoc(p analysis.MountPoint, i int) PersonValueDoc {
	f := p.Felt[i]
	return PersonValueDoc{
		RPM: p.Speed * 30 / math.Pi, Raw: f.Raw, Weighted: f.Weighted, Value: f.Value, Daily: f.Daily, ToActionH: f.ToAction / 3600, ToLimitH: f.ToLimit / 3600,
		Over: [3]string{"nothing", "action", "limit"}[f.Over],
	}
}
