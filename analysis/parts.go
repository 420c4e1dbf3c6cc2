package analysis

import (
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/parts"
)

// Parts is what an engine is made of, and what follows: each part, or why it cannot be found.
type Parts struct {
	names   []string
	List    *parts.List
	Rubs    []parts.Rub // friction by part; nil where there is none to split
	NoRubs  string      // why there is none
	Cost    *parts.Cost
	NoCost  string // why there is none
	Jobs    []parts.Job
	Cooling parts.Flow
}

// PartsOptions say by which prices parts are priced.
type PartsOptions struct {
	Prices *parts.Prices      // nil: the invented ones
	Masses map[string]float64 // of all parts of a kind together, by key [kg]; nil: those of its room and mass, where they can be found
}

// NewParts counts the parts of an engine that has been analysed, prices them, and says how it is reached and cooled.
//
//   - r: of Run; its Drive gives the friction that is split over the parts
//   - opt: prices [1] and masses [kg]
//
// Result in SI [m, kg, Pa] and points. What cannot be found is no error of the rest. Definition.
func NewParts(r *Result, opt PartsOptions) *Parts {
	l, err := parts.Count(r.Train)
	if err != nil { // Run has validated the train, so that this is never seen
		return &Parts{List: &parts.List{}, NoCost: Said(err), NoRubs: Said(err)}
	}
	p := &Parts{names: firing.Names(r.Train), List: l, Jobs: parts.Service(r.Train, l), Cooling: parts.Flows(r.Train, l, r.Measures)}
	prices := parts.UsualPrices()
	if opt.Prices != nil {
		prices = *opt.Prices
	}
	if opt.Masses == nil {
		opt.Masses = spaceMasses(r)
	}
	if p.Cost, err = parts.CostOf(l, prices, opt.Masses); err != nil {
		p.NoCost = Said(err)
	}
	switch f := r.Drive; {
	case f == nil && r.NoDrive != "":
		p.NoRubs = r.NoDrive
	case f == nil:
		p.NoRubs = "gas and friction were not computed"
	default:
		p.Rubs, err = parts.Rubbed(f.Friction.Parts, f.Friction.Total, f.Friction.Rub, len(r.Train.Shafts))
		if err != nil {
			p.NoRubs = Said(err)
		}
	}
	return p
}

// spaceMasses are the masses of castings and crank [kg] by which they are priced; nil where they cannot be found.
func spaceMasses(r *Result) map[string]float64 {
	e := r.Space
	if e == nil {
		var err error
		if e, err = envelope.Size(r.Train, nil); err != nil {
			return nil
		}
	}
	keys := map[envelope.Part]string{envelope.BlockPart: "block casting", envelope.HeadPart: "cylinder head", envelope.CrankPart: "crank"}
	masses := map[string]float64{}
	for _, p := range e.Pieces {
		if key := keys[p.Part]; key != "" {
			masses[key] = p.Body.Mass
		}
	}
	return masses
}

// Cylinder returns the name of a cylinder.
//
//   - i: index into the train's cylinders
//
// Result [-]. Definition.
func (p *Parts) Cylinder(i int) string { return p.names[i] }

// figures lists the numbers of parts and cost; none where they were not asked for.
func (p *Parts) figures() []Figure {
	if p == nil {
		return nil
	}
	l := p.List
	out := []Figure{
		{"part_count", "Parts", "1", l.Pieces(), -1},
		{"heads", "Cylinder heads", "1", float64(l.Heads), -1},
		{"camshafts", "Camshafts", "1", l.Of("camshaft"), -1},
		{"camshaft_drives", "Camshaft drives", "1", float64(len(l.Drives)), -1},
		{"camshaft_drive_length", "Chain or belt of the camshaft drives", "mm", 1e3 * l.DriveLength(), -1},
		{"main_bearings", "Main bearings", "1", float64(l.Mains), -1},
		{"machined_faces", "Machined faces and honed bores", "1", l.Faces(), -1},
		{"exhaust_length", "Exhaust pipes to the collectors", "mm", 1e3 * l.ExhaustLength(), -1},
	}
	if p.Cost != nil {
		out = append(out, Figure{"cost_index", "Cost index, " + p.Cost.Prices.Label(), "1", p.Cost.Index, -1})
	}
	if n := len(p.Cooling.Of); n > 0 {
		out = append(out, Figure{"hottest_place", "Score of the worst-cooled cylinder", "1", p.Cooling.Of[p.Cooling.Worst].Score, -1})
	}
	return append(out, Figure{"service_score", "Score of routine service", "1", parts.ServiceScore(p.Jobs), -1})
}
