package report

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
)

// ShaftsDoc is a search for balance shafts: the JSON object that balance shafts --json prints.
type ShaftsDoc struct {
	Name     string          `json:"name" jsonschema_description:"name of the engine"`
	SpeedRPM float64         `json:"speed_rpm" jsonschema_description:"crank speed of forces, moments, loads and losses"`
	Ratios   []float64       `json:"speed_ratios" jsonschema_description:"that the shafts may have, negative against the crank"`
	Places   []ShaftPlaceDoc `json:"places" jsonschema_description:"where their axes may run"`
	PlanesMM []float64       `json:"planes_mm" jsonschema_description:"axial places at which masses may stand"`
	Most     int             `json:"most_shafts" jsonschema_description:"how many shafts a set may have"`
	Crank    bool            `json:"crank" jsonschema_description:"whether counterweights may take what turns with the crank in order 1"`
	Sets     []ShaftSetDoc   `json:"sets" jsonschema_description:"the best set with each number of shafts, up to the smallest that meets all targets"`
	Smallest int             `json:"smallest" jsonschema_description:"index in sets of the smallest that meets all targets; -1: none does"`
	Needs    []string        `json:"needs" jsonschema_description:"where none does: each of these would do"`
	Edits    []EditDoc       `json:"edits" jsonschema_description:"changes of the engine file that put the smallest set in"`
	Estimated
	Assumed []EstimateDoc `json:"assumed" jsonschema_description:"what nobody gave and how it was chosen"`
	Notes   []string      `json:"notes" jsonschema_description:"what was left out and what else there is to know, in sentences"`
	Caution string        `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// ShaftPlaceDoc is where the axis of a shaft may run.
type ShaftPlaceDoc struct {
	YMM float64 `json:"y_mm" jsonschema_description:"to the right of the crank axis, seen from the drive end"`
	ZMM float64 `json:"z_mm" jsonschema_description:"above the crank axis"`
}

// ShaftSetDoc is one set of shafts.
type ShaftSetDoc struct {
	Count          int              `json:"count" jsonschema_description:"of shafts"`
	Meets          bool             `json:"meets" jsonschema_description:"whether all targets are met"`
	UnbalanceKgmm  float64          `json:"unbalance_kgmm" jsonschema_description:"sum over the masses of the shafts"`
	MassKg         float64          `json:"mass_kg" jsonschema_description:"of the bars of all shafts"`
	LossW          float64          `json:"loss_W" jsonschema_description:"friction in the bearings of all shafts"`
	Shafts         []ShaftDoc       `json:"shafts" jsonschema_description:"one by one"`
	Counterweights []ShaftMassDoc   `json:"counterweights" jsonschema_description:"to be added to those of the crank"`
	Left           []ShaftLeftDoc   `json:"left" jsonschema_description:"targets, then what else the shafts touch"`
	Timing         []ShaftTimingDoc `json:"timing" jsonschema_description:"what a timing error leaves"`
}

// ShaftDoc is one balance shaft with its size.
type ShaftDoc struct {
	SpeedRatio  float64           `json:"speed_ratio" jsonschema_description:"turns per turn of the crank, negative against it"`
	YMM         float64           `json:"y_mm" jsonschema_description:"of its axis, to the right of the crank axis, seen from the drive end"`
	ZMM         float64           `json:"z_mm" jsonschema_description:"of its axis, above the crank axis"`
	Masses      []ShaftMassDoc    `json:"masses" jsonschema_description:"unbalances that stand on it"`
	MassKg      float64           `json:"mass_kg" jsonschema_description:"of its bars"`
	InertiaKgm2 float64           `json:"inertia_kgm2" jsonschema_description:"of its bars about its axis"`
	Misfit      string            `json:"misfit,omitempty" jsonschema_description:"why the bars do not fit; absent where they do"`
	Bearings    []ShaftBearingDoc `json:"bearings" jsonschema_description:"that carry it"`
	LossW       float64           `json:"loss_W" jsonschema_description:"friction in its bearings"`
}

// ShaftMassDoc is a mass fixed to a shaft or to the crank.
type ShaftMassDoc struct {
	AtMM          float64 `json:"at_mm" jsonschema_description:"axial place"`
	AngleDeg      float64 `json:"angle_deg" jsonschema_description:"at crank angle 0, as in the engine file"`
	UnbalanceKgmm float64 `json:"unbalance_kgmm" jsonschema_description:"mass times radius"`
	LengthMM      float64 `json:"length_mm,omitempty" jsonschema_description:"of half-round bar"`
	MassKg        float64 `json:"mass_kg,omitempty" jsonschema_description:"of the bar; left out: on the crank, or the bar does not fit"`
}

// ShaftBearingDoc is a bearing of a shaft.
type ShaftBearingDoc struct {
	AtMM  float64 `json:"at_mm" jsonschema_description:"axial place"`
	LoadN float64 `json:"load_N" jsonschema_description:"turns with the shaft"`
}

// ShaftLeftDoc is one quantity of one order before and after, in the unit named.
type ShaftLeftDoc struct {
	Order         float64 `json:"order" jsonschema_description:"per crank revolution"`
	Quantity      string  `json:"quantity" jsonschema:"enum=force,enum=moment,enum=roll moment" jsonschema_description:"what the values are of"`
	Unit          string  `json:"unit" jsonschema_description:"of the values: N or N m"`
	Asked         bool    `json:"asked" jsonschema_description:"a target; else touched by the shafts without being asked for"`
	KeepPercent   float64 `json:"keep_percent" jsonschema_description:"share that may remain, of a target"`
	Met           bool    `json:"met" jsonschema_description:"no more is left than may remain"`
	Before        float64 `json:"before" jsonschema_description:"largest resultant, in unit, as all that follow"`
	After         float64 `json:"after" jsonschema_description:"largest resultant with the shafts"`
	WithBefore    Complex `json:"with_crank_before" jsonschema_description:"part that turns with the crank, in the frame of the file; of a roll moment its phasor"`
	AgainstBefore Complex `json:"against_crank_before" jsonschema_description:"part that turns against the crank; 0 for a roll moment"`
	WithAfter     Complex `json:"with_crank_after" jsonschema_description:"as with_crank_before, with the shafts"`
	AgainstAfter  Complex `json:"against_crank_after" jsonschema_description:"as against_crank_before, with the shafts"`
}

// ShaftTimingDoc is what a timing error leaves of one quantity, in the unit named.
type ShaftTimingDoc struct {
	Order    float64 `json:"order" jsonschema_description:"per crank revolution"`
	Quantity string  `json:"quantity" jsonschema_description:"force, moment or roll moment"`
	Unit     string  `json:"unit" jsonschema_description:"of the values: N or N m"`
	ErrorDeg float64 `json:"error_deg" jsonschema_description:"of the angle of every shaft, in the worse sense"`
	Before   float64 `json:"before" jsonschema_description:"largest resultant without shafts, in unit, as all that follow"`
	Exact    float64 `json:"exact" jsonschema_description:"with exact timing"`
	Worst    float64 `json:"worst" jsonschema_description:"with the error"`
}

// ShaftChoice is what sizes and loads need besides the search; zeros are chosen and said.
type ShaftChoice struct {
	Speed         float64   // of the crank [rad/s]; 0: the rated speed
	Radius        float64   // of the half-round bars [m]; 0: half the crank radius
	Density       float64   // of the bars [kg/m³]; 0: steel
	BearingRadius float64   // [m]; 0: that of the bars
	Friction      float64   // coefficient of the plain bearings [1]; 0: 0.005
	Timing        num.Angle // timing error of a shaft [rad]; 0: 5 deg
}

// assume fills what is left out.
func (c *ShaftChoice) assume(t *layout.Train) []EstimateDoc {
	var list []EstimateDoc
	fill := func(v *float64, to float64, key, unit, shown, rule string) {
		if *v == 0 {
			*v = to
			list = append(list, EstimateDoc{Key: key, Value: to, Unit: unit, Shown: shown, Rule: rule, Source: "PRACTICE"})
		}
	}
	radius := 0.0
	for _, th := range t.Throws {
		radius = math.Max(radius, th.Radius/2)
	}
	fill(&c.Radius, radius, "radius", "m", lengthText(radius), "half the crank radius")
	fill(&c.Density, crankSteel, "density", "kg/m³", "7850 kg/m3", "steel, from memory")
	fill(&c.BearingRadius, c.Radius, "bearing radius", "m", lengthText(c.Radius), "that of the bars, so that the shaft goes in along its axis")
	fill(&c.Friction, 0.005, "friction", "1", "0.005", "plain bearing on a full film, 0.002 to 0.01, from memory")
	fill((*float64)(&c.Timing), float64(num.Degrees(5)), "timing", "rad", "5 deg", "a round figure to compare by")
	return list
}

// NewShaftsDoc collects a search for balance shafts: what is left, sizes, loads, timing, and the changes
// of the engine file.
func NewShaftsDoc(t *layout.Train, a *balance.ShaftAnswer, c ShaftChoice) (*ShaftsDoc, error) {
	if c.Speed == 0 {
		c.Speed = t.Speeds.Rated
	}
	if !(c.Speed > 0 && c.Speed <= 1e5) {
		return nil, errors.New("no speed to evaluate at: give speeds.rated in the file, or a speed")
	}
	if !(c.Timing >= 0 && c.Timing <= math.Pi/2) {
		return nil, fmt.Errorf("a timing error of 0 deg to 90 deg is needed, it is %.4g deg", c.Timing.Deg())
	}
	d := &ShaftsDoc{
		Name: t.Name, SpeedRPM: rpm(c.Speed), Ratios: a.Task.Ratios, Most: a.Task.MostShafts, Crank: a.Task.Crank,
		Smallest: a.Smallest, Needs: append([]string{}, a.Needs...), Edits: []EditDoc{}, Notes: []string{}, Estimated: estimatedOf(t), Caution: Caution,
	}
	d.Assumed = append([]EstimateDoc{}, c.assume(t)...)
	for _, p := range a.Task.Places {
		d.Places = append(d.Places, ShaftPlaceDoc{millimetres(p.Y), millimetres(p.Z)})
	}
	for _, x := range a.Task.Planes {
		d.PlanesMM = append(d.PlanesMM, millimetres(x))
	}
	for _, s := range a.Sets {
		set, err := shaftSetDoc(t, s, a.Task, c)
		if err != nil {
			return nil, err
		}
		d.Sets = append(d.Sets, set)
	}
	if n := len(t.Shafts) - len(a.Kept); n > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("The file has %s at the orders asked for; this is the engine without, and the edits replace them.",
			counted(n, "balance shaft", "balance shafts")))
	}
	if n := len(a.Kept); n > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("The file has %s at other orders, which stay and are not counted.", counted(n, "balance shaft", "balance shafts")))
	}
	if !a.Task.Crank && slices.ContainsFunc(d.Sets, func(s ShaftSetDoc) bool {
		return slices.ContainsFunc(s.Shafts, func(x ShaftDoc) bool { return x.SpeedRatio == 1 })
	}) {
		d.Notes = append(d.Notes, "A shaft that turns with the crank at its speed does what a counterweight does: let the crank's own webs take that part (--crank, or “counterweights may help”), and fewer shafts are needed.")
	}
	if t.Rotation == layout.Clockwise {
		d.Notes = append(d.Notes, "The crank turns clockwise: places, angles and phasors are in the frame of the file, whose mirror image it is.")
	}
	d.Notes = append(d.Notes, "Left out: weight and bending of the shafts, the round parts between the bars, drag of gears or chain, windage, backlash, and what gas adds to the roll moment.")
	if a.Smallest >= 0 {
		d.edits(t, a.Kept, a.Sets[a.Smallest])
	}
	return d, nil
}

func shaftSetDoc(t *layout.Train, s balance.ShaftSet, task balance.ShaftTask, c ShaftChoice) (ShaftSetDoc, error) {
	d := ShaftSetDoc{
		Count: len(s.Shafts), Meets: s.Meets, UnbalanceKgmm: tidy(1e3 * s.Total), Shafts: []ShaftDoc{},
		Counterweights: shaftMasses(s.Counterweights), Left: []ShaftLeftDoc{}, Timing: []ShaftTimingDoc{},
	}
	bar := balance.Bar{Radius: c.Radius, Density: c.Density}
	for _, shaft := range s.Shafts {
		sd := ShaftDoc{SpeedRatio: shaft.SpeedRatio, YMM: millimetres(shaft.Y), ZMM: millimetres(shaft.Z), Masses: shaftMasses(shaft.Masses)}
		pieces, err := bar.Pieces(shaft)
		if err != nil {
			if pieces == nil {
				return d, err
			}
			sd.Misfit = err.Error()
		}
		for i, p := range pieces {
			sd.Masses[i].LengthMM, sd.Masses[i].MassKg = millimetres(p.Length), p.Mass
			sd.MassKg += p.Mass
			sd.InertiaKgm2 += p.Inertia
		}
		b, err := balance.BearingLoads(shaft, bearingPlaces(task.Planes, pieces), c.Speed, c.BearingRadius, c.Friction)
		if err != nil {
			return d, err
		}
		for i := range b.At {
			sd.Bearings = append(sd.Bearings, ShaftBearingDoc{millimetres(b.At[i]), b.Load[i]})
		}
		sd.LossW = b.Loss
		d.Shafts = append(d.Shafts, sd)
		d.MassKg += sd.MassKg
		d.LossW += sd.LossW
	}
	square := c.Speed * c.Speed
	scaled := func(v complex128) Complex { return pair(v * complex(square, 0)) }
	for _, l := range s.Left {
		d.Left = append(d.Left, ShaftLeftDoc{
			Order: float64(l.K) / 2, Quantity: l.Aim.String(), Unit: aimUnit(l.Aim), Asked: l.Asked, KeepPercent: tidy(100 * l.Keep),
			Met: l.Met, Before: l.Before * square, After: l.After * square,
			WithBefore: scaled(l.WithBefore), AgainstBefore: scaled(l.AgainstBefore), WithAfter: scaled(l.WithAfter), AgainstAfter: scaled(l.AgainstAfter),
		})
	}
	with := *t
	with.Counterweights = balance.JoinCounterweights(t.Counterweights, s.Counterweights)
	timing, err := balance.PhaseError(&with, s.Shafts, c.Timing)
	if err != nil {
		return d, err
	}
	for _, l := range timing {
		if l.Worst <= 1e-9*l.Before || l.Before == 0 && l.Worst == 0 {
			continue
		}
		// without shafts is without the counterweights that come with the set, too
		for _, left := range s.Left {
			if left.K == l.K && left.Aim == l.Aim {
				l.Before, l.Exact = left.Before, left.After
			}
		}
		d.Timing = append(d.Timing, ShaftTimingDoc{
			Order: float64(l.K) / 2, Quantity: l.Aim.String(), Unit: aimUnit(l.Aim), ErrorDeg: deg(c.Timing),
			Before: l.Before * square, Exact: l.Exact * square, Worst: l.Worst * square,
		})
	}
	return d, nil
}

func aimUnit(a balance.ShaftAim) string {
	if a == balance.AimForce {
		return "N"
	}
	return "N m"
}

// bearingPlaces are the outermost planes; with one plane, the ends of the bar.
func bearingPlaces(planes []float64, pieces []balance.BarPiece) [2]float64 {
	lo, hi := slices.Min(planes), slices.Max(planes)
	if hi-lo < 1e-6 && len(pieces) > 0 {
		half := math.Max(1e-3, pieces[0].Length/2)
		return [2]float64{lo - half, hi + half}
	}
	return [2]float64{lo, hi}
}

func shaftMasses(list []layout.Unbalance) []ShaftMassDoc {
	out := []ShaftMassDoc{}
	for _, m := range list {
		out = append(out, ShaftMassDoc{AtMM: millimetres(m.At), AngleDeg: deg(m.Angle), UnbalanceKgmm: tidy(1e3 * m.Amount)})
	}
	return out
}

// edits writes the shafts, and the counterweights where there are new ones, as the file has them.
func (d *ShaftsDoc) edits(t *layout.Train, stay []layout.Shaft, s balance.ShaftSet) {
	if len(s.Counterweights) > 0 {
		var list []string
		for _, m := range balance.JoinCounterweights(t.Counterweights, s.Counterweights) {
			if m.Amount < 1e-9 {
				continue
			}
			throw := ""
			if m.Throw > 0 && m.Throw <= len(t.Throws) {
				throw = ", throw: " + fileName(t.Throws[m.Throw-1].Name)
			}
			list = append(list, "{"+massText(m)+throw+"}")
		}
		text := "[" + strings.Join(list, ", ") + "]"
		if list == nil {
			text = "none"
		}
		d.Edits = append(d.Edits, EditDoc{"crank.counterweights", text})
	}
	if len(s.Shafts) > 0 || len(t.Shafts) > len(stay) {
		var list []string
		for _, shaft := range slices.Concat(stay, s.Shafts) {
			var masses []string
			for _, m := range shaft.Masses {
				masses = append(masses, "{"+massText(m)+"}")
			}
			list = append(list, fmt.Sprintf("{speed_ratio: %g, y: %s, z: %s, masses: [%s]}",
				shaft.SpeedRatio, lengthText(shaft.Y), lengthText(shaft.Z), strings.Join(masses, ", ")))
		}
		d.Edits = append(d.Edits, EditDoc{"balance_shafts", "[" + strings.Join(list, ", ") + "]"})
	}
}

// massText writes a mass with seven digits: a finer one nobody makes.
func massText(m layout.Unbalance) string {
	amount, _ := strconv.ParseFloat(strconv.FormatFloat(m.Amount, 'e', 6, 64), 64)
	angle := num.Degrees(math.Round(m.Angle.Deg()*1e5) / 1e5)
	return fmt.Sprintf("at: %s, angle: %s, unbalance: %s", lengthText(m.At),
		spec.Quantity[spec.Angle]{SI: float64(angle)}, spec.Quantity[spec.Moment]{SI: amount})
}

// lengthText writes a length to the nanometre.
func lengthText(v float64) string {
	return spec.Quantity[spec.Length]{SI: math.Round(v*1e9) / 1e9}.String()
}

var plainName = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`)

// fileName writes a name so that any reader of the file takes it for a text.
func fileName(name string) string {
	if plainName.MatchString(name) && !slices.Contains([]string{"true", "false", "null", "yes", "no", "on", "off", "y", "n"}, strings.ToLower(name)) {
		return name
	}
	return strconv.Quote(name)
}
