package report

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"math/cmplx"
	"slices"
	"strconv"
	"strings"

	"crankwright/draw"
	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
)

//go:embed card.gohtml
var cardMarkup string

// BobweightDoc is the bobweight card of a crank: the JSON object that balance bobweight --json prints.
type BobweightDoc struct {
	Name          string       `json:"name" jsonschema_description:"name of the engine"`
	FactorPercent float64      `json:"factor_percent" jsonschema_description:"share of the reciprocating masses that the bobweights carry"`
	PartsFrom     string       `json:"parts_from" jsonschema_description:"the list of weighed parts, or: engine file"`
	Parts         []BobPartDoc `json:"parts" jsonschema_description:"the parts that are counted, one a line"`
	Pins          []BobPinDoc  `json:"pins" jsonschema_description:"the bobweight of each crankpin"`
	BestPercent   float64      `json:"best_factor_percent" jsonschema_description:"the factor that leaves least turning with the crank"`
	Needless      bool         `json:"needless" jsonschema_description:"the bobweights cancel each other in force and in moment: the crank needs none on the machine"`
	SpeedRPM      float64      `json:"speed_rpm,omitempty" jsonschema_description:"speed of the forces below; missing where the file has none"`
	Takes         FirstDoc     `json:"taken_by_half" jsonschema_description:"what bobweights with 50 % take: it turns with the crank"`
	Left          FirstDoc     `json:"left" jsonschema_description:"first order left with the chosen factor"`
	LeftAtHalf    FirstDoc     `json:"left_at_half" jsonschema_description:"first order left with 50 %"`
	Words         []string     `json:"words" jsonschema_description:"why the factor is right or not for this crank"`
	Assumptions   []string     `json:"assumptions" jsonschema_description:"what is assumed in the bobweights, in sentences"`
	Edits         []EditDoc    `json:"edits" jsonschema_description:"changes of the engine file that give the crank the counterweights which the balancing machine leaves on it"`
	Estimated
	Caution string `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// BobPartDoc is one line of the list of parts.
type BobPartDoc struct {
	Part     string  `json:"part" jsonschema_description:"the part in words, as the list names it"`
	MassG    float64 `json:"mass_g" jsonschema_description:"of one piece"`
	Count    int     `json:"count" jsonschema_description:"pieces in each cylinder"`
	Kind     string  `json:"kind" jsonschema:"enum=rotating,enum=reciprocating" jsonschema_description:"whether it turns with the crankpin or slides with the piston"`
	Cylinder string  `json:"cylinder" jsonschema_description:"the cylinder that has it, or: all"`
	CountedG float64 `json:"counted_g" jsonschema_description:"what one cylinder's pieces add to the bobweight"`
	Guessed  bool    `json:"estimated,omitempty" jsonschema_description:"its mass, or how it is divided, is estimated: nobody gave it"`
}

// BobPinDoc is the bobweight of one crankpin.
type BobPinDoc struct {
	Throw          string   `json:"throw" jsonschema_description:"name of the throw"`
	Cylinders      []string `json:"cylinders" jsonschema_description:"names of those whose rods the pin carries"`
	RotatingG      float64  `json:"rotating_g" jsonschema_description:"mass that turns with the pin"`
	ReciprocatingG float64  `json:"reciprocating_g" jsonschema_description:"mass that slides with the pistons"`
	BobweightG     float64  `json:"bobweight_g" jsonschema_description:"mass of the bobweight: what turns, and the chosen share of what slides"`
	LinkedRod      bool     `json:"linked_rod" jsonschema_description:"a linked rod is among them: its big end counts as if it sat on the pin"`
	Guessed        bool     `json:"estimated,omitempty" jsonschema_description:"an estimated mass is in it"`
}

// FirstDoc is a shaking of the first order, as amounts per ω² and as ellipses at the speed.
type FirstDoc struct {
	WithKgmm           float64   `json:"with_crank_kgmm" jsonschema_description:"part of the force that turns with the crank, over the square of the speed"`
	AgainstKgmm        float64   `json:"against_crank_kgmm" jsonschema_description:"part of the force that turns against the crank, over the square of the speed"`
	MomentWithKgmm2    float64   `json:"moment_with_crank_kgmm2" jsonschema_description:"part of the moment that turns with the crank, over the square of the speed"`
	MomentAgainstKgmm2 float64   `json:"moment_against_crank_kgmm2" jsonschema_description:"part of the moment that turns against the crank, over the square of the speed"`
	Force              ForceDoc  `json:"force" jsonschema_description:"the force at the speed of the answer; all 0 where it has none"`
	Moment             MomentDoc `json:"moment" jsonschema_description:"the moment at the speed of the answer; all 0 where it has none"`
}

// Bobweights collects the card of a crank. ω is the speed of its forces [rad/s], 0 where none is known;
// from names the list of parts.
func Bobweights(t *layout.Train, c *balance.Card, ω float64, from string) BobweightDoc {
	d := BobweightDoc{
		Name: t.Name, FactorPercent: tidy(100 * c.Factor), PartsFrom: from, BestPercent: tidy(100 * c.Best), Needless: c.Needless(), SpeedRPM: rpm(ω),
		Takes: firstDoc(t, c.Sliding, ω), Left: firstDoc(t, c.Left, ω), LeftAtHalf: firstDoc(t, c.AtHalf, ω),
		Words: c.Words(), Estimated: estimatedOf(t), Caution: Caution,
	}
	ofFile := from == PartsFromFile
	for _, p := range c.Parts {
		share, of := 1.0, "all"
		if p.Kind == balance.Reciprocating {
			share = c.Factor
		}
		if p.Cylinder > 0 {
			of = t.Cylinders[p.Cylinder-1].Name
		}
		d.Parts = append(d.Parts, BobPartDoc{
			Part: p.Name, MassG: tidy(1e3 * p.Mass), Count: p.Count, Kind: p.Kind.String(), Cylinder: of,
			CountedG: tidy(1e3 * p.Mass * float64(p.Count) * share), Guessed: ofFile && guessedPart(t, p),
		})
	}
	linked := false
	for _, b := range c.Bobs {
		pin := BobPinDoc{
			Throw: t.Throws[b.Throw].Name, Cylinders: []string{}, LinkedRod: b.Linked,
			RotatingG: tidy(1e3 * b.Rotating), ReciprocatingG: tidy(1e3 * b.Reciprocating), BobweightG: tidy(1e3 * b.Mass),
		}
		for _, i := range b.Cylinders {
			pin.Cylinders = append(pin.Cylinders, t.Cylinders[i].Name)
			for _, p := range c.Parts {
				pin.Guessed = pin.Guessed || ofFile && (p.Cylinder == 0 || p.Cylinder == i+1) && guessedPart(t, p)
			}
		}
		linked = linked || b.Linked
		d.Pins = append(d.Pins, pin)
	}
	d.Assumptions = []string{"The ring masses sit on the pins, with their centre of gravity on the pin's axis and in its middle plane."}
	if ofFile {
		d.Assumptions = append(d.Assumptions, d.massesFrom()+" The rod is divided between its two ends by its centre of gravity. Weigh the parts before a crank is balanced with this card: shells, oil, locks and rings are in it only where the file counts them.")
	}
	if len(t.Shafts) > 0 {
		d.Assumptions = append(d.Assumptions, "What the balance shafts of the engine take is not counted in what is left.")
	}
	if !ofFile {
		d.Assumptions = append(d.Assumptions, "What is left counts the weighed parts, not the masses of the engine file.")
	}
	if linked {
		d.Assumptions = append(d.Assumptions, "The big end of a linked rod counts as if it sat on the crankpin; what its true motion changes is in what is left.")
	}
	d.Edits = []EditDoc{{"crank.counterweights", spec.CounterweightsText(t, c.Counterweights(t))}}
	return d
}

// guessedPart tells whether the mass of a part of the engine file, or how the rod is divided into two, was estimated.
func guessedPart(t *layout.Train, p balance.Part) bool {
	keys := []string{"piston.mass"}
	if strings.HasPrefix(p.Name, "rod") {
		keys = []string{"rod.mass", "rod.cg_from_big_end", "rod.length"}
	}
	return slices.ContainsFunc(t.Estimates, func(e layout.Estimate) bool {
		key := e.Key
		if list, of, ok := strings.Cut(key, "]."); ok { // of one cylinder
			if p.Cylinder > 0 && list != fmt.Sprintf("layout.cylinders[%d", p.Cylinder-1) {
				return false
			}
			key = of
		}
		return slices.Contains(keys, key)
	})
}

// guessed counts the parts whose masses are estimated.
func (d *BobweightDoc) guessed() int {
	n := 0
	for _, p := range d.Parts {
		if p.Guessed {
			n++
		}
	}
	return n
}

// massesFrom says where the masses of the card come from that has no list of weighed parts.
func (d *BobweightDoc) massesFrom() string {
	switch d.guessed() {
	case 0:
		return "The masses are those of the engine file."
	case len(d.Parts):
		return "All masses are estimated: the engine file gives none of them, and engines scatter about the rule by which they were found."
	}
	return "The masses marked as estimated are not in the engine file, and engines scatter about the rule by which they were found; the others are those of the file."
}

// PartsFromFile is what BobweightDoc.PartsFrom says where no list of parts was given.
const PartsFromFile = "engine file"

func firstDoc(t *layout.Train, f balance.First, ω float64) FirstDoc {
	d := FirstDoc{
		WithKgmm: kgmm(f.With), AgainstKgmm: kgmm(f.Against),
		MomentWithKgmm2: tidy(1e6 * cmplx.Abs(f.MomentWith)), MomentAgainstKgmm2: tidy(1e6 * cmplx.Abs(f.MomentAgainst)),
	}
	if t.Rotation == layout.Clockwise {
		f = f.Mirror()
	}
	g := complex(ω*ω, 0)
	e, m := num.EllipseOf(f.With*g, f.Against*g), num.EllipseOf(f.MomentWith*g, f.MomentAgainst*g)
	d.Force = ForceDoc{WithN: pair(f.With * g), AgainstN: pair(f.Against * g), MajorN: e.Major, MinorN: e.Minor, AxisDeg: deg(e.Axis)}
	d.Moment = MomentDoc{WithNm: pair(f.MomentWith * g), AgainstNm: pair(f.MomentAgainst * g), MajorNm: m.Major, MinorNm: m.Minor, AxisDeg: deg(m.Axis)}
	return d
}

// bobFacts is the line below the title of a card.
func bobFacts(d BobweightDoc) string {
	text := fmt.Sprintf("Factor %s of the reciprocating masses; parts: %s", percent(d.FactorPercent), d.PartsFrom)
	if n := d.guessed(); n > 0 {
		text += fmt.Sprintf(", %d of %s estimated", n, counted(len(d.Parts), "mass", "masses"))
	}
	if d.SpeedRPM > 0 {
		text += "; forces at " + num.Digits(d.SpeedRPM, 5) + " rpm"
	}
	return text + "."
}

func percent(v float64) string { return num.Digits(v, 4) + " %" }

// grams writes a mass on the card, to a tenth of a gram.
func grams(g float64) string { return strconv.FormatFloat(g, 'f', 1, 64) }

// bobTables are the tables of a card, for all faces alike.
func bobTables(d BobweightDoc) (parts, pins draw.CardSection) {
	pins = draw.CardSection{Heading: "Bobweight of each crankpin", Heads: []string{"throw", "cylinders", "rotating [g]", "reciprocating [g]", "bobweight [g]"}}
	for _, p := range d.Pins {
		pins.Rows = append(pins.Rows, []string{p.Throw, strings.Join(p.Cylinders, ", "), grams(p.RotatingG), grams(p.ReciprocatingG), grams(p.BobweightG)})
	}
	parts = draw.CardSection{Heading: "Parts of each cylinder", Heads: []string{"part", "kind", "cylinder", "mass [g]", "count", "counted [g]"}}
	for _, p := range d.Parts {
		parts.Rows = append(parts.Rows, []string{p.Part, p.Kind, p.Cylinder, grams(p.MassG), strconv.Itoa(p.Count), grams(p.CountedG)})
	}
	if d.guessed() == 0 {
		return parts, pins
	}
	word := map[bool]string{true: "estimated", false: "given"}
	parts.Heads, pins.Heads = append(parts.Heads, "the mass is"), append(pins.Heads, "the mass is")
	for i, p := range d.Parts {
		parts.Rows[i] = append(parts.Rows[i], word[p.Guessed])
	}
	for i, p := range d.Pins {
		pins.Rows[i] = append(pins.Rows[i], word[p.Guessed])
	}
	return parts, pins
}

// leftLines says what the first order keeps at the speed.
func leftLines(d BobweightDoc) []string {
	if d.SpeedRPM == 0 {
		return nil
	}
	span := func(name, unit string, low, high float64) string {
		switch {
		case high == 0:
			return "no " + name
		case high-low < 1e-6*high:
			return name + " of " + num.Shown(high, unit)
		default:
			return name + " from " + num.Shown(low, unit) + " to " + num.Shown(high, unit)
		}
	}
	say := func(head string, f FirstDoc) string {
		return head + ": " + span("force", "N", f.Force.MinorN, f.Force.MajorN) + ", " + span("moment", "N m", f.Moment.MinorNm, f.Moment.MajorNm) + "."
	}
	lines := []string{say("Left of the first order with "+percent(d.FactorPercent)+" at "+num.Digits(d.SpeedRPM, 5)+" rpm", d.Left)}
	if d.FactorPercent != 50 {
		lines = append(lines, say("Left with 50 %", d.LeftAtHalf))
	}
	return lines
}

// BobweightText returns a card as text for a terminal.
func BobweightText(d BobweightDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(d.Name + ": bobweights")
	s.paragraph("", bobFacts(d))
	parts, pins := bobTables(d)
	s.section(pins)
	s.section(parts)
	s.heading("Why this factor")
	for _, w := range append(d.Words, leftLines(d)...) {
		s.paragraph("  - ", w)
	}
	s.heading("Taken for granted")
	for _, w := range d.Assumptions {
		s.paragraph("  - ", w)
	}
	s.estimated(d.Estimates)
	s.caution()
	return s.String()
}

// section writes a table of a card.
func (s *sheet) section(t draw.CardSection) {
	s.heading(t.Heading)
	heads := make([]column, len(t.Heads))
	for i, h := range t.Heads {
		heads[i] = column{head: []string{h}, left: !strings.HasSuffix(h, "]") && h != "count"}
	}
	var rows [][]cell
	for _, r := range t.Rows {
		row := make([]cell, len(r))
		for i, text := range r {
			row[i] = cell{text: shownText(text)}
		}
		rows = append(rows, row)
	}
	s.table(heads, rows)
}

// bobCard sets a card for paper.
func bobCard(d BobweightDoc) draw.Card {
	parts, pins := bobTables(d)
	return draw.Card{
		ID: "bobweight-card-" + d.Name, Title: "Bobweight card: " + d.Name, Facts: bobFacts(d), Foot: d.Caution,
		Sections: []draw.CardSection{
			pins, parts,
			{Heading: "Why this factor", Lines: append(append([]string{}, d.Words...), leftLines(d)...)},
			{Heading: "Taken for granted", Lines: d.Assumptions},
		},
	}
}

// BobweightFigure returns a card as an A4 page that can be written as PDF, SVG or PNG.
func BobweightFigure(d BobweightDoc) draw.Figure { return draw.CardFigure(bobCard(d)) }

// BobweightHTML returns a card as a self-contained page that prints on A4, black on white, without any
// script or request.
func BobweightHTML(d BobweightDoc) ([]byte, error) {
	t, err := template.New("card").Parse(cardMarkup)
	if err != nil {
		return nil, fmt.Errorf("card template: %w", err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, bobCard(d)); err != nil {
		return nil, fmt.Errorf("card: %w", err)
	}
	return b.Bytes(), nil
}

// BobweightCSV returns the bobweights as comma-separated values, one line a crankpin.
func BobweightCSV(d BobweightDoc) ([]byte, error) {
	rows := [][]string{{"name", "throw", "cylinders", "factor_percent", "rotating_g", "reciprocating_g", "bobweight_g", "estimated"}}
	for _, p := range d.Pins {
		rows = append(rows, []string{
			d.Name, p.Throw, strings.Join(p.Cylinders, " "), number(d.FactorPercent),
			number(p.RotatingG), number(p.ReciprocatingG), number(p.BobweightG), strconv.FormatBool(p.Guessed),
		})
	}
	return WriteCSV(rows)
}
