package analysis

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/envelope"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/mount"
	"crankwright/num"
)

// Mounts is how an engine swings on its mounts, and what reaches the structure and those who feel it.
type Mounts struct {
	Train   *layout.Train
	Load    float64            // brake torque over that of full load of the sweep [1]
	Space   *envelope.Envelope // where mass and inertia of the engine come from, without clearances; nil: it was weighed
	Engine  mount.Body
	Gearbox mount.Body   // without mass: none
	System  mount.System // engine and gearbox on their mounts
	Assumed []layout.Estimate

	Modes  [6]mount.Mode
	Axis   r3.Vec     // torque roll axis [1]
	Shares [6]float64 // of the torque's excitation, by mode [1]
	Sags   [][3]float64
	Merit  mount.Merit // against Aim
	Aim    mount.Aim

	Idle     MountPoint   // running light at idle, or at the load where the pressure is measured
	Light    bool         // Idle runs light, without load; else at Load
	NoLight  string       // why it cannot run light
	Measured bool         // the pressure is measured, and taken at every speed
	Charging []string     // what is taken of a charged engine beyond what the file says, in sentences
	Main     int          // half order with the largest torque about the crank at idle
	Sweep    []MountPoint // from idle to the highest speed at Load
	Meets    []Meeting    // orders that meet a mode within the speeds of the sweep, the slowest speed first
	Tries    []MountTry   // what another choice would change; the first is the engine as it is

	gas *gasOrders
}

// MountPoint is what reaches the structure at one speed.
type MountPoint struct {
	Speed   float64      // [rad/s]
	Orders  []MountOrder // with content
	Forces  []float64    // of each mount: root mean square over the cycle, all directions [N]
	Total   float64      // root of the sum of their squares [N]
	Resting float64      // the same if the loads came so slowly that nothing swings [N]
	Swing   float64      // largest root mean square of a mount's deflection, all directions [m]
	Felt    []Felt       // by Train.Mounting.Receivers
	Passes  float64      // Total over Resting: the transmissibility of the whole [1]
}

// MountOrder is one order at one speed.
type MountOrder struct {
	K      int        // twice the order
	Load   mount.Load // on the engine
	Torque float64    // amplitude of the moment about the crank [N m]

	Total   float64 // root of the sum of squares of all forces into the structure, root mean square [N]
	Resting float64 // the same if the load came so slowly that nothing swings [N]
}

// Meeting is an order that runs through a natural mode, and is the largest of the orders that reach the structure there.
type Meeting struct {
	K     int     // twice the order
	Mode  int     // index into Modes
	Speed float64 // [rad/s]
	Total float64 // that all orders put into the structure there [N]
}

// MountTry is one choice and what it leaves.
type MountTry struct {
	Name  string
	Idle  MountPoint
	Rated MountPoint
	Worst MountPoint // of the sweep, by Total
}

// MountSpeeds is how many speeds the sweep of the mounts has, MountOrders the highest half order that is followed [1].
// Definition.
const (
	MountSpeeds = 200
	MountOrders = 24
)

// UsualSag is how far usual mounts settle under the engine, MostUsualSag how far they may at most [m], UsualLoss the loss factor of natural rubber [1],
// UsualSeparation the wanted ratio of the excitation at idle to the fastest mode [1]. Source: PRACTICE.
const (
	UsualSag        = 0.003
	MostUsualSag    = 0.008
	UsualLoss       = 0.1
	UsualSeparation = 2.0
)

// gasOrders is the torque of the gas by half orders at some speeds.
type gasOrders struct {
	speeds []float64
	orders []num.Series
}

// at returns the orders at a speed, along straight lines between the speeds where the gas was found.
func (g *gasOrders) at(ω float64) num.Series {
	if len(g.speeds) == 1 {
		return g.orders[0]
	}
	k, f := between(g.speeds, ω)
	out := make(num.Series, MountOrders+1)
	for i := range out {
		out[i] = g.orders[k].Order(i)*complex(1-f, 0) + g.orders[k+1].Order(i)*complex(f, 0)
	}
	return out
}

// Mounts computes how the engine swings on its mounts.
//
//   - load: brake torque over that of full load of the sweep [1]; 0: full load
//
// Result in SI, in fixed axes whatever the rotation. The engine is loaded by its shaking forces and moments and by the
// reaction of the torque, −T_gas and the roll moment of the inertia, whatever takes the torque: a flywheel that takes the
// uneven part takes it from the block with the opposite sign. The gas is found at GasSpeeds speeds and taken along straight
// lines between them; Idle runs light. Errors: a train without the sizes that give a mass, mounts that hold nothing, those
// of At and of package mount. Source: SHOCKHB ch. 3 for the mounts.
func (d *Driver) Mounts(load float64) (*Mounts, error) {
	r := &Mounts{Train: d.Train, Load: load, Light: !d.Measured, Measured: d.Measured, Charging: d.charging()}
	if load == 0 {
		r.Load = 1
	}
	if err := r.bodies(); err != nil {
		return nil, err
	}
	if err := r.system(); err != nil {
		return nil, err
	}
	lo, hi, err := speedsOf(r.Train)
	if err != nil {
		return nil, err
	}
	if d.Train.Speeds.Idle == 0 {
		r.assume("speeds.idle", lo, "rad/s", fmt.Sprintf("%.4g rpm", lo*30/math.Pi), "a fifth of the highest speed")
	}
	var s inertia.Solver
	b, err := s.Solve(nil, d.Train, inertia.Options{})
	if err != nil {
		return nil, err
	}
	idle, err := r.idling(d, lo)
	if err != nil && r.Light { // such as a two-stroke with spark ignition, which its model cannot let idle
		r.Light, r.NoLight = false, Said(err)
		idle, err = r.idling(d, lo)
	}
	if err != nil {
		return nil, err
	}
	r.gas = &gasOrders{}
	knots := GasSpeeds
	if d.Measured {
		knots = 1
	}
	for i := range knots {
		speed := lo + (hi-lo)*float64(i)/float64(max(1, knots-1))
		_, curves, err := d.gasTorque(nil, speed, r.Load)
		if err != nil {
			return nil, err
		}
		r.gas.speeds, r.gas.orders = append(r.gas.speeds, speed), append(r.gas.orders, curves.Orders)
	}
	if err := r.whole(b, idle.Curves, lo, hi); err != nil {
		return nil, err
	}
	return r, r.tries(b, idle.Curves, lo, hi)
}

// idling is the engine at idle, without load where it can.
func (r *Mounts) idling(d *Driver, ω float64) (*Drive, error) {
	opt := DriveOptions{Speed: ω, Light: r.Light}
	if !r.Light {
		opt.Load = r.Load
	}
	return d.pushing(opt, false)
}

// speedsOf returns from which to which speed an engine runs [rad/s].
func speedsOf(t *layout.Train) (lo, hi float64, err error) {
	s := &t.Speeds
	lo, hi = s.Idle, math.Max(s.Limit, s.Rated)
	if !(hi > 0) {
		return 0, 0, errors.New("the rated speed is missing; the range of speeds follows it, such as 'speeds: {rated: 5500 rpm}'")
	}
	if lo == 0 {
		lo = 0.2 * hi
	}
	return math.Min(lo, 0.9*hi), hi, nil
}

func (r *Mounts) assume(key string, value float64, unit, shown, rule string) {
	r.Assumed = append(r.Assumed, layout.Estimate{Key: key, Value: value, Unit: unit, Shown: shown, Rule: rule, Source: "PRACTICE"})
}

// bodies finds the mass of engine and gearbox.
func (r *Mounts) bodies() error {
	m := &r.Train.Mounting
	if r.Engine = lumpBody("engine", m.Engine); m.Engine.Mass == 0 {
		var err error
		if r.Space, err = envelope.Size(r.Train, nil); err != nil {
			return err
		}
		r.Engine = r.Space.Body
		r.Engine.Name = "engine"
		r.assume("mounts.engine.mass", r.Engine.Mass, "kg", fmt.Sprintf("%.4g kg", r.Engine.Mass), "from its parts, with oil and coolant")
	}
	r.System.Body = r.Engine
	if m.Gearbox.Mass > 0 {
		r.Gearbox = lumpBody("gearbox", m.Gearbox)
		r.System.Body = mount.Join(r.Engine, r.Gearbox)
	}
	return r.System.Body.Check()
}

func lumpBody(name string, l layout.Lump) mount.Body {
	j := l.Inertia
	return mount.Body{
		Name: name, Mass: l.Mass, Centre: r3.Vec{X: l.X, Y: l.Y, Z: l.Z},
		Inertia: mount.Tensor{{j[0], j[3], j[4]}, {j[3], j[1], j[5]}, {j[4], j[5], j[2]}},
	}
}

// system puts the body on its mounts: those of the file, or four that are usual.
func (r *Mounts) system() error {
	list := r.Train.Mounting.Isolators
	if len(list) == 0 {
		var err error
		if list, err = r.usual(); err != nil {
			return err
		}
	}
	for _, i := range list {
		r.System.Mounts = append(r.System.Mounts, mount.Mount{
			Name: i.Name, At: r3.Vec{X: i.X, Y: i.Y, Z: i.Z}, Axes: mount.Leaning(float64(i.Lean)), Stiffness: i.Stiffness, Loss: i.Loss,
		})
	}
	return nil
}

// OnUsualMounts returns a train on the four mounts that Mounts assumes for it, with what it says of them in the list of what
// was assumed.
//
//   - t: a train without isolators, with the sizes that give a mass
//
// Result in SI [m, N/m]; t is not changed. Errors: those of envelope.Size. Source: PRACTICE.
func OnUsualMounts(t *layout.Train) (*layout.Train, error) {
	r := &Mounts{Train: t}
	if err := r.bodies(); err != nil {
		return nil, err
	}
	r.Assumed = nil
	list, err := r.usual()
	if err != nil {
		return nil, err
	}
	on := *t
	on.Mounting.Isolators, on.Assumed = list, slices.Concat(t.Assumed, r.Assumed)
	return &on, nil
}

// usual are four mounts for the body.
func (r *Mounts) usual() ([]layout.Isolator, error) {
	e := r.Space
	if e == nil {
		var err error
		if e, err = envelope.Size(r.Train, nil); err != nil {
			return nil, err
		}
	}
	b := &r.System.Body
	half := max(-e.Lo.Y, e.Hi.Y) * 0.7
	front, rear := e.Front, e.Rear
	if r.Gearbox.Mass > 0 {
		rear = max(rear, r.Gearbox.Centre.X)
	}
	if !(rear > front) {
		front, rear = b.Centre.X-0.2, b.Centre.X+0.2
	}
	k := b.Mass * mount.Gravity / UsualSag / 4
	// the centre of gravity between the feet: more load, more stiffness, so that the engine settles evenly
	share := min(max((b.Centre.X-front)/(rear-front), 0.1), 0.9)
	var list []layout.Isolator
	for _, f := range []struct {
		name  string
		x, of float64
	}{{"front", front, 2 * (1 - share)}, {"rear", rear, 2 * share}} {
		for _, side := range []struct {
			name string
			y    float64
		}{{"left", -half}, {"right", half}} {
			list = append(list, layout.Isolator{
				Name: f.name + " " + side.name, X: f.x, Y: side.y, Stiffness: [3]float64{k * f.of / 2, k * f.of / 2, k * f.of}, Loss: UsualLoss,
			})
		}
	}
	r.assume("mounts.isolators", 4, "1", "four", fmt.Sprintf("at the faces of the block, as high as the crank axis, %.3g mm to either side (0.7 of the half width)", 1e3*half))
	r.assume("mounts.isolators.stiffness.z", k, "N/m", fmt.Sprintf("%.3g N/mm", k/1e3), "settles by 3 mm under the weight, stiffer where more weight stands; half of it along and across")
	r.assume("mounts.isolators.loss_factor", UsualLoss, "1", fmt.Sprintf("%g", UsualLoss), "natural rubber")
	return list, nil
}

// figures lists the numbers of the mounts; none where they were not asked for.
func (r *Mounts) figures() []Figure {
	if r == nil {
		return nil
	}
	out := []Figure{
		{"mount_force_idle", "Force into the structure at idle", "N", r.Idle.Total, -1},
		{"mount_force_rated", "Force into the structure at rated speed", "N", r.Tries[0].Rated.Total, -1},
		{"idle_separation", "Idle excitation over the fastest mode on the mounts", "1", r.Merit.Separation, 1},
		{"roll_decoupling", "Share of the torque that one mode takes", "%", 100 * r.Merit.Decoupling, 1},
	}
	worst := 0.0 // over the action value
	for i, p := range r.Train.Mounting.Receivers {
		most, _ := r.WorstDaily(i)
		out = append(out, Figure{"exposure_" + strings.ReplaceAll(strings.ToLower(p.Name), " ", "_"), "Daily exposure at the worst speed, " + p.Name, "m/s²", most, -1})
		worst = max(worst, most/valuesFor(p.Touch).Action)
	}
	if len(r.Train.Mounting.Receivers) > 0 {
		out = append(out, Figure{"daily_exposure", "Largest daily exposure over its action value", "%", 100 * worst, -1})
	}
	return out
}

// WorstDaily returns the largest daily exposure of a receiver over the sweep, and the speed at which it is reached.
//
//   - receiver: index
//
// Result [m/s²] and [rad/s]. Definition.
func (r *Mounts) WorstDaily(receiver int) (daily, speed float64) {
	for _, q := range r.Sweep {
		if a := q.Felt[receiver].Daily; a > daily {
			daily, speed = a, q.Speed
		}
	}
	return daily, speed
}
