package report

import (
	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/parts"
)

// CostsDoc is what engines cost by one price table: what the verb cost prints with --json.
type CostsDoc struct {
	Engines     []CostDoc       `json:"engines" jsonschema_description:"one by one, in the sequence in which they were given"`
	Differences []DifferenceDoc `json:"differences" jsonschema_description:"each engine after the first beside the first"`
	Invented    string          `json:"invented" jsonschema_description:"what the prices are worth"`
	Table       string          `json:"table,omitempty" jsonschema_description:"text of the price table, to be edited; in the answer of the server"`
	Caution     string          `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// CostDoc is what one engine costs: the key cost of evaluate --json.
type CostDoc struct {
	Name     string         `json:"name" jsonschema_description:"name of the engine"`
	Prices   string         `json:"prices" jsonschema_description:"name of the price table"`
	Points   float64        `json:"points_1" jsonschema_description:"that the whole engine costs"`
	Index    float64        `json:"index_1" jsonschema_description:"points over the reference of the table"`
	Ref      float64        `json:"reference_points_1" jsonschema_description:"points that are an index of 1"`
	Groups   []GroupCostDoc `json:"groups" jsonschema_description:"by group of parts"`
	Rows     []CostRowDoc   `json:"rows" jsonschema_description:"in the order of the parts list"`
	Summary  []string       `json:"summary" jsonschema_description:"the result in sentences"`
	Invented string         `json:"invented,omitempty" jsonschema_description:"what the prices are worth"`
	Estimated
	Assumed []EstimateDoc `json:"assumed,omitempty" jsonschema_description:"what the file left out of making and block and how it was filled; in evaluate it stands beside the estimates"`
}

// GroupCostDoc is what a group of parts costs.
type GroupCostDoc struct {
	Group    string  `json:"group" jsonschema_description:"such as crank train"`
	Points   float64 `json:"points_1" jsonschema_description:"that its parts cost"`
	SharePct float64 `json:"share_pct" jsonschema_description:"of the points of the engine"`
}

// CostRowDoc is what a line of the parts list costs.
type CostRowDoc struct {
	Part     string  `json:"part" jsonschema_description:"as in a price table"`
	Group    string  `json:"group" jsonschema_description:"such as crank train"`
	Count    float64 `json:"count" jsonschema_description:"in the unit"`
	Unit     string  `json:"unit" jsonschema:"enum=1,enum=m" jsonschema_description:"pieces, or metres"`
	Each     float64 `json:"price_each" jsonschema_description:"points for one unit"`
	PerKg    float64 `json:"price_per_kg,omitempty" jsonschema_description:"points for a kilogram"`
	MassKg   float64 `json:"mass_kg,omitempty" jsonschema_description:"that is paid for; left out: unknown, or nothing is paid for it"`
	Points   float64 `json:"points_1" jsonschema_description:"that the line costs"`
	SharePct float64 `json:"share_pct" jsonschema_description:"of the points of the engine"`
}

// DifferenceDoc says what makes one engine dearer than another.
type DifferenceDoc struct {
	Name    string          `json:"name" jsonschema_description:"name of the engine"`
	Than    string          `json:"than" jsonschema_description:"name of the engine that it is compared with"`
	Points  float64         `json:"points_1" jsonschema_description:"more than the other; negative: less"`
	Rows    []DifferenceRow `json:"rows" jsonschema_description:"the largest difference first; sums to points_1"`
	Summary string          `json:"summary" jsonschema_description:"the difference in a sentence"`
}

// DifferenceRow is what one kind of part adds to a difference.
type DifferenceRow struct {
	Part   string  `json:"part" jsonschema_description:"as in a price table"`
	Group  string  `json:"group" jsonschema_description:"such as crank train"`
	Unit   string  `json:"unit" jsonschema:"enum=1,enum=m" jsonschema_description:"pieces, or metres"`
	Count  float64 `json:"count" jsonschema_description:"in the unit"`
	Than   float64 `json:"than_count" jsonschema_description:"of the other engine"`
	Points float64 `json:"points_1" jsonschema_description:"more than the other; negative: less"`
}

// NewCostDoc collects what an engine costs.
func NewCostDoc(name string, c *parts.Cost) *CostDoc {
	d := &CostDoc{
		Name: name, Prices: c.Prices.Name, Points: tidy(c.Points), Index: tidy(c.Index), Ref: tidy(c.Prices.Reference),
		Groups: []GroupCostDoc{}, Rows: []CostRowDoc{}, Summary: explain.Cost(c), Invented: parts.Invented,
	}
	for _, g := range c.Groups {
		d.Groups = append(d.Groups, GroupCostDoc{string(g.Group), tidy(g.Points), tidy(100 * g.Share)})
	}
	for _, r := range c.Rows {
		d.Rows = append(d.Rows, CostRowDoc{
			Part: r.Key, Group: string(r.Group), Count: tidy(r.Count), Unit: r.Unit, Each: tidy(r.Price.Each), PerKg: tidy(r.Price.PerKg),
			MassKg: tidy(r.Weight), Points: tidy(r.Points), SharePct: tidy(100 * r.Share),
		})
	}
	return d
}

// NewCostsDoc sets the costs of engines side by side; results are of analysis with Parts, priced by one table.
func NewCostsDoc(rs []*analysis.Result) *CostsDoc {
	d := &CostsDoc{Engines: []CostDoc{}, Differences: []DifferenceDoc{}, Invented: parts.Invented, Caution: Caution}
	for i, r := range rs {
		one := NewCostDoc(r.Train.Name, r.Parts.Cost)
		one.Invented, one.Estimated, one.Assumed = "", estimatedOf(r.Train), assumedFor(r.Train, analysis.OfCost)
		d.Engines = append(d.Engines, *one)
		if i == 0 {
			continue
		}
		a, b := rs[0].Parts.Cost, r.Parts.Cost
		diff := DifferenceDoc{
			Name: r.Train.Name, Than: rs[0].Train.Name, Points: tidy(noMinusZero(b.Points - a.Points)), Rows: []DifferenceRow{},
			Summary: explain.Dearer(a, b, rs[0].Train.Name, r.Train.Name),
		}
		for _, x := range parts.Differ(a, b) {
			diff.Rows = append(diff.Rows, DifferenceRow{Part: x.Key, Group: string(x.Group), Unit: x.Unit, Count: tidy(x.CountB), Than: tidy(x.CountA), Points: tidy(x.More)})
		}
		d.Differences = append(d.Differences, diff)
	}
	return d
}
