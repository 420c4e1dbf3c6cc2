package results

import (
	"encoding/json"
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"crankwright/study"
)

// MostPerShard bounds the candidates of one range, and with them the memory that a range needs while it is written.
const MostPerShard = 1 << 17

// MostShards bounds the number of files.
const MostShards = 1_000_000

// paceSeconds is how long one processor should need for a range: short enough that little is lost when it is stopped.
const paceSeconds = 3

// format changes whenever a folder of before cannot be read any more.
const format = 1

// Per returns how many candidates a shard of a problem has: what one processor does in a few seconds, so it does not
// depend on the machine.
func Per(p study.Problem) uint64 {
	return min(MostPerShard, paceSeconds*uint64(max(1, p.Pace())))
}

// record is study.json: all that is known of a study before it runs.
type record struct {
	Format    int         `json:"format_1"`
	Study     string      `json:"study"`
	Digest    string      `json:"digest"`
	Size      uint64      `json:"candidates_1"`
	ShardSize uint64      `json:"shard_candidates_1,omitempty"`
	Pace      int         `json:"pace_candidates_1"`
	Blocks    []blockDoc  `json:"blocks"`
	Columns   []columnDoc `json:"columns"`
	Aims      []aimDoc    `json:"aims"`
	Rules     []string    `json:"rules"`
	Inputs    []inputDoc  `json:"inputs"`
	Evolution *Evolution  `json:"evolution,omitempty"` // nil: every candidate is looked at
}

type blockDoc struct {
	Name string    `json:"name"`
	Axes []axisDoc `json:"axes"`
}

type axisDoc struct {
	Key   string `json:"key"`
	Count int    `json:"values_1"`
}

type columnDoc struct {
	Key   string   `json:"key"`
	Field string   `json:"field"`
	Name  string   `json:"name"`
	Unit  string   `json:"unit"`
	Kind  string   `json:"kind"`
	Texts []string `json:"texts,omitempty"`
}

type aimDoc struct {
	Column string `json:"column"`
	Better string `json:"better"`
}

type inputDoc struct {
	Name string `json:"name"`
	File string `json:"file"`
}

var (
	kinds  = map[study.Kind]string{study.Input: "input", study.Figure: "figure"}
	better = map[bool]string{false: "less", true: "more"}
)

// recordOf writes a problem down, and how it is searched where not every candidate is looked at. The errors say why it cannot
// be kept.
func recordOf(p study.Problem, b study.Bundle, by *Evolution) (*record, error) {
	size, err := p.Space().Size()
	if err != nil {
		return nil, err
	}
	r := &record{
		Format: format, Study: b.Study, Digest: p.Digest(), Size: size, Pace: p.Pace(),
		Rules: append([]string{}, p.Rules()...), Inputs: inputsOf(b), Evolution: by,
	}
	if by == nil {
		r.ShardSize = Per(p)
	}
	if n := r.shards(); n > MostShards {
		return nil, fmt.Errorf("%d candidates would need %d files of %d candidates each, and %d is the most; vary fewer keys, or in larger steps, or search a part of them by evolution", size, n, r.ShardSize, MostShards)
	}
	for _, k := range p.Space().Blocks {
		doc := blockDoc{Name: k.Name, Axes: []axisDoc{}}
		for _, a := range k.Axes {
			doc.Axes = append(doc.Axes, axisDoc{a.Key, a.Count})
		}
		r.Blocks = append(r.Blocks, doc)
	}
	columns := p.Columns()
	taken := map[string]bool{candidateField: true, alikeField: true}
	for _, c := range columns {
		f := fieldOf(c)
		if taken[strings.ToLower(f.Field)] {
			return nil, fmt.Errorf("two columns would be called %s", f.Field)
		}
		taken[strings.ToLower(f.Field)] = true
		r.Columns = append(r.Columns, columnDoc{c.Key, f.Field, c.Name, f.Unit, kinds[c.Kind], c.Texts})
	}
	for _, a := range p.Aims() {
		if a.Column < 0 || a.Column >= len(columns) {
			return nil, fmt.Errorf("an aim has column %d of %d", a.Column, len(columns))
		}
		r.Aims = append(r.Aims, aimDoc{columns[a.Column].Key, better[a.More]})
	}
	return r, nil
}

// bytes returns the text of study.json.
func (r *record) bytes() ([]byte, error) {
	data, err := json.MarshalIndent(r, "", "  ")
	return append(data, '\n'), err
}

// readRecord reads the text of study.json again.
func readRecord(data []byte) (*record, error) {
	r := &record{}
	if err := json.Unmarshal(data, r); err != nil {
		return nil, err
	}
	if r.Format != format {
		return nil, fmt.Errorf("it has format %d, and this program reads format %d", r.Format, format)
	}
	p := r.problem()
	size, err := p.Space().Size()
	switch {
	case err != nil:
		return nil, err
	case size != r.Size || (r.ShardSize < 1) != (r.Evolution != nil) || r.ShardSize > MostPerShard || r.shards() > MostShards:
		return nil, errors.New("its numbers do not agree")
	case len(p.aims) != len(r.Aims):
		return nil, errors.New("it names an aim that is no column")
	}
	return r, nil
}

// recorded is a problem as study.json tells it: all but the evaluators.
type recorded struct {
	*record
	space   study.Space
	columns []study.Column
	aims    []study.Aim
}

// problem returns what was searched, without what evaluates it.
func (r *record) problem() *recorded {
	p := &recorded{record: r}
	for _, b := range r.Blocks {
		k := study.Block{Name: b.Name}
		for _, a := range b.Axes {
			k.Axes = append(k.Axes, study.Axis{Key: a.Key, Count: a.Count})
		}
		p.space.Blocks = append(p.space.Blocks, k)
	}
	at := map[string]int{}
	for i, c := range r.Columns {
		kind := study.Figure
		if c.Kind == kinds[study.Input] {
			kind = study.Input
		}
		at[c.Key] = i
		p.columns = append(p.columns, study.Column{Key: c.Key, Name: c.Name, Unit: c.Unit, Kind: kind, Texts: c.Texts})
	}
	for _, a := range r.Aims {
		if i, ok := at[a.Column]; ok {
			p.aims = append(p.aims, study.Aim{Column: i, More: a.Better == better[true]})
		}
	}
	return p
}

func (p *recorded) Space() study.Space         { return p.space }
func (p *recorded) Columns() []study.Column    { return p.columns }
func (p *recorded) Aims() []study.Aim          { return p.aims }
func (p *recorded) Rules() []string            { return p.record.Rules }
func (p *recorded) Digest() string             { return p.record.Digest }
func (p *recorded) Pace() int                  { return p.record.Pace }
func (p *recorded) Evaluator() study.Evaluator { return nowhere{} }

// nowhere evaluates nothing: a folder does not know how.
type nowhere struct{}

var errNowhere = errors.New("a folder of results evaluates no candidates")

func (nowhere) Evaluate(study.Shard, *study.Batch, []study.Count, func() bool) error {
	return errNowhere
}

func (nowhere) Pick([]uint64, *study.Batch, []study.Count, func() bool) error { return errNowhere }

// inputsOf gives each file of a bundle a place below inputs/: under its own name where that stays within the folder.
func inputsOf(b study.Bundle) []inputDoc {
	names := make([]string, 0, len(b.Files))
	for name := range b.Files {
		names = append(names, name)
	}
	slices.Sort(names)
	list := []inputDoc{}
	for i, name := range names {
		file := name
		if file != path.Clean(file) || !filepath.IsLocal(file) || strings.ContainsAny(file, `\:`) || strings.HasPrefix(file, "elsewhere/") {
			last := strings.Map(func(r rune) rune {
				if strings.ContainsRune(`\:/`, r) {
					return '_'
				}
				return r
			}, path.Base(file))
			file = fmt.Sprintf("elsewhere/%d-%s", i, strings.TrimLeft(last, "."))
		}
		list = append(list, inputDoc{name, file})
	}
	return list
}

// columnsText is columns.md.
func (r *record) columnsText() []byte {
	var s strings.Builder
	fmt.Fprintf(&s, "# Columns of %s\n\n", r.Study)
	s.WriteString("The files in `shards` and `front.parquet` are Apache Parquet, compressed with Zstandard. Numbers are in the unit that\n" +
		"ends the column's name (1: none, pct: per cent, kgm2: kg m²). No value: the candidate has none.\n\n" +
		"| column | key | what it is | unit | from |\n| --- | --- | --- | --- | --- |\n")
	cell := strings.NewReplacer("|", "\\|", "\n", " ").Replace
	fmt.Fprintf(&s, "| %s | | number of the candidate in the space of the study, from 0 | 1 | |\n", candidateField)
	for _, c := range r.Columns {
		unit := c.Unit
		if c.Texts != nil && c.Field == word(c.Key) {
			unit = "in words"
		}
		fmt.Fprintf(&s, "| %s | %s | %s | %s | %s |\n", c.Field, cell(c.Key), cell(c.Name), cell(unit), c.Kind)
	}
	fmt.Fprintf(&s, "| %s | | front.parquet only: how many more candidates, with higher numbers, have the same values of every aim | 1 | |\n", alikeField)
	return []byte(s.String())
}
