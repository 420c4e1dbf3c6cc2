package search

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"path"
	"runtime"
	"slices"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/mechanics/parts"
	"crankwright/spec"
	"crankwright/study"
)

// version changes whenever the same study would give other results.
const version = "5"

// Problem is a study joined with its base engine and its brief. It implements study.Problem.
type Problem struct {
	Study *spec.Study
	Brief *brief.Brief // nil: none

	bundle  study.Bundle
	blocks  []*block
	space   study.Space
	starts  []uint64 // numbers of the first candidate of every block, and of one beyond the last
	columns []study.Column
	figures []figure       // the columns that are computed, behind the inputs
	scope   analysis.Scope // of the whole analysis
	aims    []study.Aim
	rules   []string
	limits  []limit       // cheap ones first
	prices  *parts.Prices // by which parts are priced; nil: the invented ones
	needs   brief.Chapter // the dearest that a figure needs
	digest  string
	grains  [][2]float64 // by order of orders, then for figures that are no order: steps in a newton and a newton metre to which they are rounded
}

// figure is a column that is computed.
type figure struct {
	brief.Measure
	fast int // which of the fast figures it is; −1: none
}

// limit is a requirement.
type limit struct {
	brief.Limit
	figure int // index into figures
}

// Rules that are no requirements.
const (
	cannotBe   = iota // no engine
	cannotFire        // the crank cannot fire like that
	notKnown          // a figure that is wanted cannot be found
	firstLimit
)

// Open joins the files of a study. Errors: spec.Errors for a file that is wrong, with its place; a base or a brief that
// is not there; a study that asks for what cannot be.
func Open(b study.Bundle) (*Problem, error) {
	text, ok := b.Files[b.Study]
	if !ok {
		return nil, fmt.Errorf("there is no study %q", b.Study)
	}
	s, err := spec.ReadStudy(b.Study, text)
	if err != nil {
		return nil, err
	}
	return join(s, b)
}

// join is Open with the study read.
func join(s *spec.Study, b study.Bundle) (*Problem, error) {
	var err error
	p := &Problem{Study: s, bundle: b}
	if s.Brief != "" {
		text, ok := b.Files[s.Brief]
		if !ok {
			return nil, fmt.Errorf("%s: there is no brief %q", b.Study, s.Brief)
		}
		if p.Brief, err = spec.ReadBrief(s.Brief, text); err != nil {
			return nil, err
		}
		if err = spec.ReadBriefPrices(p.Brief, func(name string) ([]byte, error) { return p.read(path.Join(path.Dir(s.Brief), name)) }); err != nil {
			return nil, fmt.Errorf("%s: %w", s.Brief, err)
		}
		p.prices = p.Brief.Prices
	}
	if s.Prices != "" {
		text, ok := b.Files[s.Prices]
		if !ok {
			return nil, fmt.Errorf("%s: there is no price table %q", b.Study, s.Prices)
		}
		table, err := spec.ReadPrices(s.Prices, text)
		if err != nil {
			return nil, err
		}
		if p.prices = &table; p.Brief != nil {
			p.Brief.Prices = p.prices
		}
	}
	if _, ok := b.Files[s.Base]; !ok {
		return nil, fmt.Errorf("%s: there is no engine file %q", b.Study, s.Base)
	}
	if err := p.want(); err != nil {
		return nil, err
	}
	if err := p.spread(); err != nil {
		return nil, err
	}
	p.setGrains()
	if _, err := p.space.Size(); err != nil {
		return nil, fmt.Errorf("%s: %w; vary less, or in coarser steps", b.Study, err)
	}
	p.starts = []uint64{0}
	for _, b := range p.space.Blocks {
		n, _ := b.Size()
		p.starts = append(p.starts, p.starts[len(p.starts)-1]+n)
	}
	p.digest = p.fingerprint(runtime.GOARCH)
	return p, nil
}

// Gather reads the files of a study: its own, its base, its brief and the pressures that the base names. read returns a
// file by the name that the study or the base uses. The error is spec.Errors where a file that is named cannot be had, at the
// place of its name, and where one is wrong.
func Gather(name string, read func(name string) ([]byte, error)) (study.Bundle, error) {
	b := study.Bundle{Study: path.Base(name), Files: map[string][]byte{}}
	text, err := read(name)
	if err != nil {
		return b, err
	}
	b.Files[b.Study] = text
	s, err := spec.ReadStudy(b.Study, text)
	if err != nil {
		return b, err
	}
	take := func(file string, at spec.Position, key, name string) error {
		if name == "" {
			return nil
		}
		if b.Files[name], err = read(name); err != nil {
			return spec.Errors{{File: file, Line: at.Line, Column: at.Column, What: fmt.Sprintf("%s: %v", key, err)}}
		}
		return nil
	}
	for _, f := range []struct {
		at        spec.Position
		key, name string
	}{{s.BaseAt, "base", s.Base}, {s.BriefAt, "brief", s.Brief}, {s.PricesAt, "prices", s.Prices}} {
		if err := take(b.Study, f.at, f.key, f.name); err != nil {
			return b, err
		}
	}
	if s.Brief != "" {
		wants, err := spec.ReadBrief(s.Brief, b.Files[s.Brief])
		if err != nil {
			return b, err
		}
		if wants.PricesFile != "" {
			name := path.Join(path.Dir(s.Brief), wants.PricesFile)
			if b.Files[name], err = read(name); err != nil {
				return b, fmt.Errorf("%s: prices: %w", s.Brief, err)
			}
		}
	}
	t, err := spec.NewTemplate(s.Base, b.Files[s.Base], nil)
	if err != nil {
		return b, err
	}
	return b, take(s.Base, t.Engine().Locate("gas.trace"), "trace", t.Engine().Gas.Trace.Value)
}

// read returns a file of the bundle.
func (p *Problem) read(name string) ([]byte, error) {
	data, ok := p.bundle.Files[name]
	if !ok {
		return nil, fmt.Errorf("there is no file %q beside the study", name)
	}
	return data, nil
}

// fingerprint changes with every file, with the program where it gives other results, and with the kind of processor: exp, log
// and hypot differ from one to the other in their last digits.
func (p *Problem) fingerprint(processor string) string {
	h := sha256.New()
	h.Write(fmt.Appendf(nil, "search %s on %s\n", version, processor))
	for _, name := range slices.Sorted(maps.Keys(p.bundle.Files)) {
		h.Write(fmt.Appendf(nil, "%q %d\n", name, len(p.bundle.Files[name])))
		h.Write(p.bundle.Files[name])
	}
	return hex.EncodeToString(h.Sum(nil))
}

// want finds what figures are asked for: aims first, then what is required.
func (p *Problem) want() error {
	s := p.Study
	limits := slices.Clone(s.Require)
	if p.Brief != nil {
		limits = append(limits, p.Brief.Limits...)
	}
	var aims []spec.StudyAim
	if aims = s.Aims; len(aims) == 0 && p.Brief != nil {
		for _, pr := range p.Brief.Priorities {
			if pr.Weight.High == 0 {
				continue
			}
			for _, part := range pr.Aim().Parts {
				m, _ := brief.MeasureOf(part.Measure)
				if !slices.ContainsFunc(aims, func(a spec.StudyAim) bool { return a.Measure == m.Key }) {
					aims = append(aims, spec.StudyAim{Measure: m.Key, More: m.Better > 0})
				}
			}
		}
	}
	if len(aims) == 0 {
		return fmt.Errorf("%s: nothing is wanted: give minimise, maximise, or a brief with priorities", p.bundle.Study)
	}
	at := func(key string) (int, error) {
		if i := slices.IndexFunc(p.figures, func(f figure) bool { return f.Key == key }); i >= 0 {
			return i, nil
		}
		m, ok := brief.MeasureOf(key)
		if !ok {
			return 0, fmt.Errorf("%s: there is no figure %q", p.bundle.Study, key)
		}
		if key == brief.CostIndex && p.prices != nil {
			m.Name = "Cost index, " + p.prices.Label()
		}
		p.figures = append(p.figures, figure{m, slices.Index(fastKeys(), key)})
		return len(p.figures) - 1, nil
	}
	for _, a := range aims {
		i, err := at(a.Measure)
		if err != nil {
			return err
		}
		if slices.ContainsFunc(p.aims, func(b study.Aim) bool { return b.Column == i }) {
			continue
		}
		p.aims = append(p.aims, study.Aim{Column: i, More: a.More}) // moved behind the inputs by spread
	}
	for _, l := range limits {
		i, err := at(l.Measure)
		if err != nil {
			return err
		}
		p.limits = append(p.limits, limit{l, i})
	}
	slices.SortStableFunc(p.limits, func(a, b limit) int { return cmp.Compare(p.figures[a.figure].cost(), p.figures[b.figure].cost()) })
	p.scope = analysis.FewFigures
	for _, f := range p.figures {
		if f.Key == "flywheel_inertia" {
			p.scope = analysis.OnlyFigures
		}
		p.needs = max(p.needs, f.Needs)
	}
	p.rules = []string{"the engine cannot be built", "the crank cannot fire like that", "a wanted figure cannot be found"}
	for _, l := range p.limits {
		side := ">="
		if l.AtMost {
			side = "<="
		}
		p.rules = append(p.rules, fmt.Sprintf("not %s %s %s", l.Measure, side, spec.MeasureShown(l.Measure, l.Bound)))
	}
	return nil
}

// cost sorts figures by what it takes to compute them.
func (f *figure) cost() int {
	if f.fast >= 0 {
		return -1
	}
	return int(f.Needs)
}

// chapters lists what figures need, cheap ones first, beyond inertia and firing.
func (p *Problem) chapters() []brief.Chapter {
	var list []brief.Chapter
	for _, c := range []brief.Chapter{brief.Space, brief.Parts, brief.Drive, brief.Lasting} {
		if slices.ContainsFunc(p.figures, func(f figure) bool { return f.Needs == c || c == brief.Lasting && f.Needs == brief.Mounted }) {
			list = append(list, c)
		}
	}
	return list
}

// Fast tells whether every figure comes from the fast path.
func (p *Problem) Fast() bool {
	return !slices.ContainsFunc(p.figures, func(f figure) bool { return f.fast < 0 })
}

// Space returns the blocks and axes of the study.
func (p *Problem) Space() study.Space { return p.space }

// Columns returns the inputs that vary and the figures that are computed.
func (p *Problem) Columns() []study.Column { return slices.Clone(p.columns) }

// Aims returns what is wanted.
func (p *Problem) Aims() []study.Aim { return slices.Clone(p.aims) }

// Rules returns for what reasons a candidate can be left out.
func (p *Problem) Rules() []string { return slices.Clone(p.rules) }

// PinsDiffer reports whether some candidates have one pin a throw and some two, while the engine gives the unbalance of a
// pin, so that those with two carry it twice.
func (p *Problem) PinsDiffer() bool {
	varies := func(key string) bool {
		return slices.ContainsFunc(p.Study.Vary, func(v spec.Variation) bool { return v.Key == key })
	}
	if varies("crank.throw_unbalance") {
		return false
	}
	for _, b := range p.blocks {
		if !b.template.Gives("crank.throw_unbalance") {
			continue
		}
		if varies("layout.each_rod_own_pin") {
			return true
		}
		for _, a := range b.axes {
			if a.key == "layout.pin_split" && slices.Contains(a.numbers, 0) && slices.ContainsFunc(a.numbers, func(x float64) bool { return x != 0 }) {
				return true
			}
		}
	}
	return false
}

// Digest changes with everything on which a result depends.
func (p *Problem) Digest() string { return p.digest }

// Bundle returns the files of the study.
func (p *Problem) Bundle() study.Bundle { return p.bundle }

// Pace estimates how many candidates a processor does in a second, for the size of shards and for people.
func (p *Problem) Pace() int {
	if p.Fast() {
		for _, b := range p.blocks {
			if b.inner() < 64 && b.dead == "" { // reading the engine anew is what takes time
				return 10_000
			}
		}
		return 2_000_000
	}
	pace := 3000
	for _, c := range p.chapters() {
		pace = min(pace, map[brief.Chapter]int{brief.Space: 1000, brief.Parts: 900, brief.Drive: 400, brief.Lasting: 2}[c])
	}
	return pace
}

var _ study.Problem = (*Problem)(nil)
