package search

import (
	"runtime"
	"sync"

	"crankwright/study"
)

// EvolveOptions say how an evolutionary search goes on.
type EvolveOptions struct {
	Evaluations uint64 // after which it ends; 0: a tenth of the space, at least 2000, at most 100,000
	Still       int    // it also ends when the front stays as it is for so many generations; 0: 20
	Size        int    // candidates of a generation; 0: 100
	Seed        uint64
	Processors  int // 0: all
}

// Evolved is what an evolutionary search found.
type Evolved struct {
	Outcome     *study.Outcome
	Kept        *study.Batch // every candidate that no rule left out, by number
	Generations int
	Whole       bool // every candidate of the space was looked at, so that the front is exact
}

// Evolve searches a space that is too large to be enumerated. The result depends on the seed and the options, not on the number
// of processors. tell is told after every generation; it may be nil. Error: study.ErrStopped together with what was found
// so far, where stop says so; options that are not possible.
func (p *Problem) Evolve(opt EvolveOptions, stop func() bool, tell func(Evolved)) (*Evolved, error) {
	size, err := p.space.Size()
	if err != nil {
		return nil, err
	}
	if opt.Evaluations == 0 {
		opt.Evaluations = min(max(size/10, 2000), 100_000)
	}
	if opt.Still == 0 {
		opt.Still = 20
	}
	if opt.Processors <= 0 {
		opt.Processors = runtime.GOMAXPROCS(0)
	}
	search, err := study.NewEvolution(p.space, p.aims, study.EvolutionOptions{Size: opt.Size, Seed: opt.Seed})
	if err != nil {
		return nil, err
	}
	group := make([]*evaluator, opt.Processors)
	for i := range group {
		group[i] = p.newEvaluator()
	}
	out := &Evolved{Outcome: study.NewOutcome(p), Kept: study.NewBatch(len(p.columns))}
	for search.Told() < opt.Evaluations && search.Still() < opt.Still {
		asked := search.Ask()
		if len(asked) == 0 {
			out.Whole = true
			break
		}
		asked = asked[:min(uint64(len(asked)), opt.Evaluations-search.Told())]
		kept, left, err := p.generation(group, asked, stop, out.Outcome)
		if err != nil {
			return out, err
		}
		if err := search.Tell(kept, left); err != nil {
			return out, err
		}
		out.Kept = joinBatches(out.Kept, kept)
		out.Generations++
		if tell != nil {
			tell(*out)
		}
	}
	return out, nil
}

// generation evaluates candidates on several processors; what each yields is put together by number.
func (p *Problem) generation(group []*evaluator, asked []uint64, stop func() bool, sum *study.Outcome) (kept *study.Batch, left []uint64, err error) {
	batches := make([]*study.Batch, len(asked))
	counts := make([][]study.Count, len(asked))
	errs := make([]error, len(group))
	var wg sync.WaitGroup
	for g, e := range group {
		wg.Go(func() {
			for k := g; k < len(asked); k += len(group) {
				e.trusted = k != 0
				batches[k], counts[k] = study.NewBatch(len(p.columns)), make([]study.Count, len(p.rules))
				if errs[g] = e.Evaluate(study.Shard{From: asked[k], To: asked[k] + 1}, batches[k], counts[k], stop); errs[g] != nil {
					return
				}
			}
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, nil, err
		}
	}
	kept = study.NewBatch(len(p.columns))
	for k, b := range batches {
		if b.Len() == 0 {
			left = append(left, asked[k])
		}
		kept = joinBatches(kept, b)
		sum.Add(p, study.Shard{From: asked[k], To: asked[k] + 1}, b, counts[k])
	}
	return kept, left, nil
}

// joinBatches merges two batches by number.
func joinBatches(a, b *study.Batch) *study.Batch {
	if a.Len() == 0 || b.Len() == 0 || a.Index[a.Len()-1] < b.Index[0] {
		a.Index = append(a.Index, b.Index...)
		for c := range a.Values {
			a.Values[c] = append(a.Values[c], b.Values[c]...)
		}
		return a
	}
	out := study.NewBatch(len(a.Values))
	i, j := 0, 0
	take := func(from *study.Batch, r int) {
		out.Index = append(out.Index, from.Index[r])
		for c := range out.Values {
			out.Values[c] = append(out.Values[c], from.Values[c][r])
		}
	}
	for i < a.Len() || j < b.Len() {
		if j == b.Len() || i < a.Len() && a.Index[i] < b.Index[j] {
			take(a, i)
			i++
		} else {
			take(b, j)
			j++
		}
	}
	return out
}
