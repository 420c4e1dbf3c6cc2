package report

import (
	"math"
	"slices"

	"crankwright/brief"
	"crankwright/search"
	"crankwright/spec"
	"crankwright/study"
)

// StudyDoc is what a study found: what the verbs study run, show and evolve print with --json.
type StudyDoc struct {
	Study       StudyTaskDoc       `json:"study" jsonschema_description:"what is varied and wanted"`
	Size        StudySizeDoc       `json:"size" jsonschema_description:"how many candidates there are"`
	Folder      string             `json:"folder,omitempty" jsonschema_description:"of the results"`
	Digest      string             `json:"digest" jsonschema_description:"changes with every file of the study, and with the program where it would find something else"`
	Whole       bool               `json:"whole" jsonschema_description:"every candidate was looked at, so the front is exact"`
	Certificate CertificateDoc     `json:"certificate" jsonschema_description:"whether every candidate is accounted for"`
	Columns     []StudyColumnDoc   `json:"columns" jsonschema_description:"in the sequence of the values of candidates"`
	Front       []StudyPointDoc    `json:"front" jsonschema_description:"candidates that no other is better than in one aim and as good as in the others, by number"`
	Best        []StudyBestDoc     `json:"best" jsonschema_description:"by aim, the best first"`
	Evolution   *EvolutionDoc      `json:"evolution,omitempty" jsonschema_description:"only a part was looked at, chosen by an evolutionary search"`
	Caution     string             `json:"caution" jsonschema_description:"what the numbers are not good for"`
	Cloud       *StudyCloud        `json:"-"` // of all that were kept, for pictures; nil: the front alone is drawn
	Refined     []*StudyRefinedDoc `json:"-"` // candidates that were refined, for a report
	aims        []study.Aim        // columns
}

// StudyTaskDoc is what a study asks.
type StudyTaskDoc struct {
	Name     string           `json:"name" jsonschema_description:"of the study"`
	File     string           `json:"file" jsonschema_description:"of the study"`
	Base     string           `json:"base" jsonschema_description:"engine file that is varied"`
	Brief    string           `json:"brief,omitempty" jsonschema_description:"file of the brief whose limits are required; left out: none"`
	SpeedRPM float64          `json:"speed_rpm,omitempty" jsonschema_description:"of all results; not given: each engine's rated speed"`
	Vary     []StudyVariesDoc `json:"vary" jsonschema_description:"what varies"`
	Required []LimitDoc       `json:"required" jsonschema_description:"limits that a candidate must keep"`
	Aims     []StudyAimDoc    `json:"aims" jsonschema_description:"figures of which less is better, or more"`
}

// StudyVariesDoc is one thing that varies.
type StudyVariesDoc struct {
	Key    string   `json:"key" jsonschema_description:"such as layout.bank_angle"`
	Values []string `json:"values" jsonschema_description:"as they would stand in an engine file; none: all phasings, or all firing orders"`
}

// StudyAimDoc is what is wanted of a candidate.
type StudyAimDoc struct {
	Key    string `json:"key" jsonschema_description:"of the figure"`
	Name   string `json:"name" jsonschema_description:"in words"`
	Unit   string `json:"unit" jsonschema_description:"of its values; 1: none"`
	Better string `json:"better" jsonschema:"enum=less,enum=more" jsonschema_description:"which way is better"`
}

// CertificateDoc says what became of every candidate.
type CertificateDoc struct {
	Enumerated uint64         `json:"enumerated_1" jsonschema_description:"candidates of the study"`
	Looked     uint64         `json:"looked_at_1" jsonschema_description:"candidates that were looked at"`
	Left       []StudyLeftDoc `json:"left_out" jsonschema_description:"by the rule that comes first"`
	Kept       uint64         `json:"kept_1" jsonschema_description:"candidates that no rule left out"`
	Sum        uint64         `json:"left_out_and_kept_1" jsonschema_description:"the sum of both"`
	Complete   bool           `json:"complete" jsonschema_description:"left out and kept are together all candidates of the study"`
	Words      []string       `json:"words" jsonschema_description:"the same in sentences"`
}

// StudyLeftDoc is how many candidates a rule left out.
type StudyLeftDoc struct {
	Rule  string  `json:"rule" jsonschema_description:"in words"`
	N     uint64  `json:"candidates_1" jsonschema_description:"that it left out"`
	First *uint64 `json:"first_1,omitempty" jsonschema_description:"number of the first"`
}

// StudyColumnDoc is one value of every candidate.
type StudyColumnDoc struct {
	Key  string `json:"key" jsonschema_description:"such as layout.bank_angle or free_force_order_2"`
	Name string `json:"name" jsonschema_description:"in words"`
	Unit string `json:"unit" jsonschema_description:"of its values; 1: none"`
	Kind string `json:"kind" jsonschema:"enum=input,enum=figure" jsonschema_description:"input: it varies; figure: it is computed"`
}

// StudyPointDoc is a candidate.
type StudyPointDoc struct {
	Number uint64            `json:"candidate_1" jsonschema_description:"its number"`
	Alike  uint64            `json:"alike_1" jsonschema_description:"candidates with higher numbers and the same values of every aim"`
	Inputs []StudySettingDoc `json:"inputs" jsonschema_description:"what it sets in the base, as it would stand in an engine file"`
	Values []any             `json:"values" jsonschema_description:"by column, in its unit; null: there is none; of words the place in their list, from 0"`
}

// StudySettingDoc is a key of an engine file with its value.
type StudySettingDoc struct {
	Key  string `json:"key" jsonschema_description:"such as layout.bank_angle"`
	Text string `json:"text" jsonschema_description:"its value, as the file writes it"`
}

// StudyBestDoc is the list of the best by one aim.
type StudyBestDoc struct {
	Aim    string          `json:"aim" jsonschema_description:"key of the figure"`
	Points []StudyPointDoc `json:"points" jsonschema_description:"the best candidates by it"`
}

// StudyCloud is the candidates that were kept, or most of them, by column.
type StudyCloud struct {
	Index  []uint64    // number of each
	Values [][]float32 // by aim
}

// NewStudyDoc describes what a study found so far.
//
//   - folder: of the results; may be empty
//   - whole: every candidate was looked at
func NewStudyDoc(p *search.Problem, o *study.Outcome, folder string, whole bool) *StudyDoc {
	d := &StudyDoc{
		Study: newStudyTaskDoc(p), Size: NewStudySizeDoc(p, 0, 0), Folder: folder, Digest: p.Digest(), Whole: whole,
		Columns: []StudyColumnDoc{}, Front: []StudyPointDoc{}, Best: []StudyBestDoc{}, Caution: Caution,
		aims: p.Aims(),
	}
	columns := p.Columns()
	for _, c := range columns {
		kind := "figure"
		if c.Kind == study.Input {
			kind = "input"
		}
		d.Columns = append(d.Columns, StudyColumnDoc{c.Key, c.Name, c.Unit, kind})
	}
	for _, q := range o.Front {
		d.Front = append(d.Front, newStudyPointDoc(p, q))
	}
	for k, list := range o.Best {
		best := StudyBestDoc{Aim: columns[d.aims[k].Column].Key, Points: []StudyPointDoc{}}
		for _, q := range list {
			best.Points = append(best.Points, newStudyPointDoc(p, q))
		}
		d.Best = append(d.Best, best)
	}
	d.certify(p, o)
	return d
}

func newStudyTaskDoc(p *search.Problem) StudyTaskDoc {
	s := p.Study
	d := StudyTaskDoc{
		Name: s.Name, File: p.Bundle().Study, Base: s.Base, Brief: s.Brief, SpeedRPM: rpm(s.Speed),
		Vary: []StudyVariesDoc{}, Required: []LimitDoc{}, Aims: []StudyAimDoc{},
	}
	for _, v := range s.Vary {
		d.Vary = append(d.Vary, StudyVariesDoc{v.Key, append([]string{}, v.Values...)})
	}
	limits := slices.Clone(s.Require)
	if p.Brief != nil {
		limits = append(limits, p.Brief.Limits...)
	}
	d.Required = NewBriefDoc(&brief.Brief{Limits: limits}).Limits
	columns := p.Columns()
	for _, a := range p.Aims() {
		c := columns[a.Column]
		better := "less"
		if a.More {
			better = "more"
		}
		d.Aims = append(d.Aims, StudyAimDoc{c.Key, c.Name, c.Unit, better})
	}
	return d
}

func newStudyPointDoc(p *search.Problem, q study.Point) StudyPointDoc {
	d := StudyPointDoc{Number: q.Index, Alike: q.Alike, Inputs: settingDocs(p.Inputs(q)), Values: make([]any, len(q.Values))}
	for i, v := range q.Values {
		if !math.IsNaN(v) {
			d.Values[i] = v
		}
	}
	return d
}

func settingDocs(list []spec.Setting) []StudySettingDoc {
	out := []StudySettingDoc{}
	for _, s := range list {
		out = append(out, StudySettingDoc(s))
	}
	return out
}

// value returns the value of an aim, NaN where there is none.
func (d *StudyDoc) value(q StudyPointDoc, aim int) float64 {
	if c := d.aims[aim].Column; c < len(q.Values) {
		if v, ok := q.Values[c].(float64); ok {
			return v
		}
	}
	return math.NaN()
}

// Telling returns the numbers of at most so many candidates of the front that tell most: the best by each aim, then those
// that give up least in all of them together, each as a share of its range over the front.
func (d *StudyDoc) Telling(most int) []uint64 {
	var list []uint64
	for _, i := range d.telling(most) {
		list = append(list, d.Front[i].Number)
	}
	return list
}

// telling is Telling, with places in the front in the sequence in which they tell.
func (d *StudyDoc) telling(most int) []int {
	given := make([]float64, len(d.Front)) // what each gives up
	var first []int
	for k, a := range d.aims {
		low, high, best := math.Inf(1), math.Inf(-1), -1
		for i, q := range d.Front {
			v := d.value(q, k)
			if best < 0 || a.More && v > d.value(d.Front[best], k) || !a.More && v < d.value(d.Front[best], k) {
				best = i
			}
			low, high = math.Min(low, v), math.Max(high, v)
		}
		for i, q := range d.Front {
			switch v := d.value(q, k); {
			case !(high > low):
			case a.More:
				given[i] += (high - v) / (high - low)
			default:
				given[i] += (v - low) / (high - low)
			}
		}
		if best >= 0 && !slices.Contains(first, best) {
			first = append(first, best)
		}
	}
	var rest []int
	for i := range d.Front {
		if !slices.Contains(first, i) {
			rest = append(rest, i)
		}
	}
	slices.SortStableFunc(rest, func(i, j int) int {
		switch {
		case given[i] < given[j]:
			return -1
		case given[i] > given[j]:
			return 1
		}
		return 0
	})
	list := slices.Concat(first, rest)
	return list[:min(len(list), most)]
}
