package choice

import (
	"cmp"
	"math"
	"slices"
)

// WeightFlip is how far the weight of one aim, all others kept, must move before another leads.
type WeightFlip struct {
	Aim    int
	Now    float64 // [points]
	Down   *Turn   // at Now or below; nil: nowhere down to 0
	Up     *Turn   // at Now or above; nil: nowhere up to Most
	Spread Range   // the range of the problem, for comparison [points]
}

// Turn is where another alternative takes the lead.
type Turn struct {
	At     float64 // in points, or in the unit of the criterion
	Leader int
}

// WeightFlips returns for each aim how far its weight must move before another alternative leads.
//
//	Σ_k w_k (a_k(leader) − a_k(other)) = 0, linear in each w_k
//
// with
//   - weights: of all aims [points]
//   - leader: the first with these weights
//   - standing: alternatives that may take its place
//
// Where another is level already, it leads on one side of where the weight stands. Result in points, exact. Definition.
func (p *Problem) WeightFlips(weights []float64, leader int, standing []int) []WeightFlip {
	scores := p.Scores(weights)
	out := make([]WeightFlip, len(p.Aims))
	for k := range p.Aims {
		f := WeightFlip{Aim: k, Now: weights[k], Spread: p.Aims[k].Weight}
		others := 0.0
		for j, w := range weights {
			if j != k {
				others += w
			}
		}
		for _, o := range standing {
			if o == leader || others < 1e-9 { // a weight alone decides the same, however large it is
				continue
			}
			lead, slope := 0.0, 0.0
			for j, w := range weights {
				d := scores[leader].Worths[j] - scores[o].Worths[j]
				lead += w * d
				if j == k {
					slope = d
				}
			}
			if math.Abs(slope) <= same {
				continue
			}
			at := weights[k] - math.Max(lead, 0)/slope // a lead of nothing may be below it by rounding
			switch {
			case slope > 0 && at >= 0 && (f.Down == nil || at > f.Down.At):
				f.Down = &Turn{at, o}
			case slope < 0 && at <= Most && (f.Up == nil || at < f.Up.At):
				f.Up = &Turn{at, o}
			}
		}
		out[k] = f
	}
	return out
}

// Joint is the smallest change of all weights at once with which another alternative leads.
type Joint struct {
	Other    int
	By       float64   // how far each weight moves at most [points]
	Possible bool      // there are weights between 0 and Most with which it leads
	Weights  []float64 // with which both are level [points]
}

// JointFlip returns the smallest step that all weights must take at once, each in the direction that
// helps the other, before it draws level with the leader.
//
//	least t with Σ_k w_k d_k = 0 for |w_k − w⁰_k| ≤ t, 0 ≤ w_k ≤ Most
//
// with
//   - weights: w⁰ [points]
//   - leader, other: alternatives
//
// Result in points, exact: the lead falls in straight lines between the steps at which a weight reaches
// its end. Definition.
func (p *Problem) JointFlip(weights []float64, leader, other int) Joint {
	scores := p.Scores(weights)
	d := make([]float64, len(weights))
	lead := 0.0
	var stops []float64 // steps at which a weight reaches its end
	for k, w := range weights {
		d[k] = scores[leader].Worths[k] - scores[other].Worths[k]
		lead += w * d[k]
		switch {
		case d[k] > 0:
			stops = append(stops, w)
		case d[k] < 0:
			stops = append(stops, Most-w)
		}
	}
	j := Joint{Other: other}
	moved := func(t float64) []float64 {
		out := slices.Clone(weights)
		for k := range out {
			switch {
			case d[k] > 0:
				out[k] = math.Max(0, out[k]-t)
			case d[k] < 0:
				out[k] = math.Min(Most, out[k]+t)
			}
		}
		return out
	}
	if lead <= 0 {
		j.Possible, j.Weights = true, moved(0)
		return j
	}
	slices.Sort(stops)
	from, left := 0.0, lead
	for _, stop := range stops {
		then := dot(moved(stop), d)
		if then <= 0 {
			j.Possible = true
			j.By = stop
			if left > then {
				j.By = from + (stop-from)*left/(left-then)
			}
			j.Weights = moved(j.By)
			if slices.Max(j.Weights) < 1e-9 { // no weight at all decides nothing
				j.Possible, j.Weights = false, nil
			}
			return j
		}
		from, left = stop, then
	}
	return j
}

// ValueFlip is how much better an alternative must be on one criterion, all else kept, to take the lead.
type ValueFlip struct {
	Criterion int
	Now       float64 // in the unit of the criterion
	Needs     float64 // where it draws level
	Possible  bool    // the criterion is worth enough; otherwise not even its best value is
}

// ValueFlips returns what an alternative would have to be, on one criterion at a time, to draw level with
// the leader.
//
//   - weights: [points]
//   - leader, other: alternatives
//
// Result in the unit of each criterion that counts, those that are possible first, by the part of the
// value function that they have to climb. Definition.
func (p *Problem) ValueFlips(weights []float64, leader, other int) []ValueFlip {
	shares := Shares(weights)
	scores := p.Scores(weights)
	gap := scores[leader].Total - scores[other].Total
	type ranked struct {
		flip  ValueFlip
		climb float64
	}
	var list []ranked
	for _, c := range p.used() {
		weight := 0.0 // of the criterion in the total
		for k, a := range p.Aims {
			of := 0.0
			for _, part := range a.Parts {
				of += part.Share
			}
			for _, part := range a.Parts {
				if part.Criterion == c {
					weight += shares[k] * part.Share / of
				}
			}
		}
		now := p.Alternatives[other].Values[c]
		r := ranked{flip: ValueFlip{Criterion: c, Now: now}, climb: math.Inf(1)}
		worth := p.Criteria[c].Worth
		if weight > 0 {
			r.climb = gap / weight
			if at, ok := worth.reaches(now, worth.Of(now)+r.climb, p.Criteria[c].Better); ok {
				r.flip.Possible, r.flip.Needs = true, at
			}
		}
		list = append(list, r)
	}
	slices.SortStableFunc(list, func(a, b ranked) int {
		if a.flip.Possible != b.flip.Possible {
			if a.flip.Possible {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.climb, b.climb)
	})
	out := make([]ValueFlip, len(list))
	for i, r := range list {
		out[i] = r.flip
	}
	return out
}

// reaches returns the first value on the way to the better side that is worth so much.
func (w Worth) reaches(from, worth float64, better int) (float64, bool) {
	const slack = 1e-12
	if worth > 1+slack {
		return 0, false
	}
	points := slices.Clone(w)
	if better < 0 {
		slices.Reverse(points)
	}
	at, has := from, w.Of(from)
	if has >= worth-slack {
		return from, true
	}
	for _, b := range points {
		if (b.At-at)*float64(better) <= 0 {
			continue
		}
		if b.Worth >= worth-slack {
			if b.Worth <= has {
				return b.At, true
			}
			return at + (b.At-at)*math.Min(1, (worth-has)/(b.Worth-has)), true
		}
		at, has = b.At, b.Worth
	}
	return 0, false
}
