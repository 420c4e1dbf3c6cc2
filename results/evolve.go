package results

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"

	"crankwright/spec"
	"crankwright/study"
)

// Evolution says how an evolutionary search goes on; see study.Evolution. Seed and Size decide what it looks at, the others when
// it ends, so that a search that has ended goes on with larger ones.
type Evolution struct {
	Seed        uint64 `json:"seed_1"`        // of the random numbers
	Size        int    `json:"generation_1"`  // candidates of a generation; 0: 100
	Evaluations uint64 `json:"evaluations_1"` // it ends with the generation in which so many were looked at; 0: see DefaultEvaluations
	Still       int    `json:"still_1"`       // it also ends when the front stays as it is for so many generations; 0: 20
}

// Step is how far an evolutionary search was after a generation.
type Step struct {
	Looked, Kept uint64    // candidates so far
	Front        int       // points of the front
	Still        int       // generations, up to this one, in which the front has stayed as it is
	Best         []float64 // by aim; NaN: none was kept yet
}

// DefaultEvaluations is how many candidates an evolutionary search looks at where nothing else is said: a tenth of the space, at
// least 2000, at most 100,000.
func DefaultEvaluations(size uint64) uint64 { return min(max(size/10, 2000), 100_000) }

// CreateEvolution is Create for a search that looks at a part of a space which is too large to be looked at whole. Its generations
// take the place of ranges, and Run goes on with them where it was stopped. It goes on with a folder of the same seed and
// size of generation.
func CreateEvolution(dir string, p study.Problem, b study.Bundle, by Evolution) (*Folder, error) {
	size, err := p.Space().Size()
	if err != nil {
		return nil, err
	}
	by.Size, by.Still = cmp.Or(by.Size, 100), cmp.Or(by.Still, 20)
	by.Evaluations = cmp.Or(by.Evaluations, DefaultEvaluations(size))
	if by.Still < 0 {
		return nil, fmt.Errorf("it cannot end after %d generations without a change; give 1 or more", by.Still)
	}
	if _, err := study.NewEvolution(p.Space(), p.Aims(), study.EvolutionOptions{Size: by.Size, Seed: by.Seed}); err != nil {
		return nil, err
	}
	rec, err := recordOf(p, b, &by)
	if err != nil {
		return nil, err
	}
	return createFolder(dir, rec, b)
}

// Evolution returns how the candidates of the folder are chosen; ok is false where it looks at every one.
func (f *Folder) Evolution() (by Evolution, ok bool) {
	if f.rec.Evolution == nil {
		return by, false
	}
	return *f.rec.Evolution, true
}

// Course returns how an evolutionary search went, generation by generation, as far as the last Outcome knows.
func (f *Folder) Course() []Step {
	f.mu.Lock()
	defer f.mu.Unlock()
	return slices.Clone(f.course)
}

// stepOf describes an outcome after a generation; before is the front before it.
func (f *Folder) stepOf(o *study.Outcome, before []study.Point) Step {
	s := Step{Looked: o.Looked, Kept: o.Kept, Front: len(o.Front)}
	if sameFront(before, o.Front, f.prob.aims) {
		s.Still = 1
		if n := len(f.course); n > 0 {
			s.Still += f.course[n-1].Still
		}
	}
	for k, a := range f.prob.aims {
		best := math.NaN()
		if len(o.Best[k]) > 0 {
			best = o.Best[k][0].Values[a.Column]
		}
		s.Best = append(s.Best, best)
	}
	return s
}

// sameFront reports whether two fronts are equal by every aim. Of candidates that are alike the one of lowest number stands in a
// front, so that their numbers may differ.
func sameFront(a, b []study.Point, aims []study.Aim) bool {
	rows := func(list []study.Point) [][]float64 {
		out := make([][]float64, len(list))
		for i, p := range list {
			for _, aim := range aims {
				out[i] = append(out[i], p.Values[aim.Column])
			}
		}
		slices.SortFunc(out, slices.Compare)
		return out
	}
	return len(a) == len(b) && slices.EqualFunc(rows(a), rows(b), slices.Equal)
}

// sameSearch refuses to go on with a folder whose candidates are chosen in another way.
func sameSearch(dir string, by, was *Evolution) error {
	switch {
	case (by == nil) && (was == nil):
		return nil
	case by == nil:
		return fmt.Errorf("%s: this folder holds an evolutionary search, which has not looked at every candidate; choose another folder, or remove this one", dir)
	case was == nil:
		return fmt.Errorf("%s: this folder holds a search of every candidate; choose another folder for an evolutionary one, or remove this one", dir)
	case by.Seed != was.Seed || by.Size != was.Size:
		return fmt.Errorf("%s: this folder holds an evolutionary search with seed %d and generations of %d; go on with these, or choose another folder", dir, was.Seed, was.Size)
	}
	return nil
}

// reopen takes away what says that an evolutionary search has ended, where it is to end otherwise now.
func (f *Folder) reopen(text []byte) error {
	if f.rec.Evolution == nil {
		return nil
	}
	if was, err := os.ReadFile(filepath.Join(f.dir, recordName)); err != nil || string(was) == string(text) {
		return nil //nolint:nilerr // a folder that is new has ended nothing
	}
	for _, name := range []string{outcomeName, frontName} {
		if err := os.Remove(filepath.Join(f.dir, name)); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	return nil
}

// bred takes in the generations that were done since. What follows one that is damaged is looked at when that was done anew.
func (f *Folder) bred() error {
	for {
		n := f.count
		if _, err := os.Stat(f.shardName(n)); errors.Is(err, os.ErrNotExist) {
			return nil
		}
		o, err := f.readShard(n)
		if err != nil {
			f.damaged[n] = struct{}{}
			return nil //nolint:nilerr // Run does it anew
		}
		f.take(n, o)
	}
}

// lookBred takes in what another process has done since, and whether the search has ended.
func (f *Folder) lookBred() error {
	o := f.finished() // before the generations: none comes after it
	if err := f.refresh(); err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.whole = o != nil && o.Looked == f.sum.Looked
	return nil
}

// evolve does the generations that the folder lacks, and finishes it.
func (f *Folder) evolve(ctx context.Context, p study.Problem, processors int, tell func(Progress)) error {
	by := *f.rec.Evolution
	search, err := study.NewEvolution(p.Space(), p.Aims(), study.EvolutionOptions{Size: by.Size, Seed: by.Seed})
	if err != nil {
		return err
	}
	r := &running{folder: f, tell: tell, partly: make([]atomic.Uint64, processors)}
	group := make([]study.Evaluator, processors)
	for i := range group {
		group[i] = p.Evaluator()
	}
	defer Unhurried(p)()
	var teller sync.WaitGroup
	stopTelling := make(chan struct{})
	teller.Go(func() { r.telling(stopTelling) })
	err = r.generations(ctx, search, group, by)
	close(stopTelling)
	teller.Wait()
	if err == nil {
		err = f.endEvolution()
	}
	r.progress()
	return err
}

// generations goes on until the search ends. Generations that are on disk are told again, and not evaluated.
func (r *running) generations(ctx context.Context, search *study.Evolution, group []study.Evaluator, by Evolution) error {
	f := r.folder
	for n := 0; n < f.generationsDone() || search.Told() < by.Evaluations && search.Still() < by.Still; n++ {
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		asked := search.Ask()
		if len(asked) == 0 {
			return nil // every candidate of the space was looked at
		}
		if n >= MostShards {
			return fmt.Errorf("%s: %d generations are the most; give larger ones", f.dir, MostShards)
		}
		kept, err := f.generation(n, asked)
		if err != nil {
			if err := r.breed(ctx, n, asked, group); err != nil {
				return err
			}
			if kept, err = f.generation(n, asked); err != nil { // what is told is what a process that goes on reads
				return err
			}
		}
		if err := search.Tell(kept, without(asked, kept.Index)); err != nil {
			return err
		}
	}
	return nil
}

func (f *Folder) generationsDone() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.count
}

// generation reads from disk the candidates of a generation that were kept. Error: it is not there, is damaged, or is another
// than what is asked.
func (f *Folder) generation(n int, asked []uint64) (kept *study.Batch, err error) {
	s, err := openFile(f.shardName(n), f.fields)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	o, at, err := s.outcome(f.rec)
	if err != nil {
		return nil, err
	}
	kept = study.NewBatch(len(f.fields))
	for group := range s.RowGroups() {
		if err := guarded(func() error { return f.rowsOf(s, group, kept) }); err != nil {
			return nil, err
		}
	}
	if at.Number != n || o.Looked != uint64(len(asked)) || len(without(kept.Index, asked)) > 0 {
		return nil, errors.New("the file is of another generation")
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if n == f.count {
		f.take(n, o)
	}
	return kept, nil
}

// rowsOf appends the candidates of a group.
func (f *Folder) rowsOf(s *shardFile, group int, kept *study.Batch) error {
	chunk, err := s.chunk(group, 0)
	if err != nil {
		return err
	}
	numbers, err := f.read(chunk, candidateColumn, nil, int(s.RowGroups()[group].NumRows()))
	if err != nil {
		return err
	}
	for _, x := range numbers {
		kept.Index = append(kept.Index, uint64(x))
	}
	for c := range f.fields {
		if chunk, err = s.chunk(group, c+1); err != nil {
			return err
		}
		list := &kept.Values[c]
		if *list, err = f.read(chunk, c, *list, len(kept.Index)); err != nil {
			return err
		}
		if len(*list) != len(kept.Index) {
			return fmt.Errorf("%s has %d values for %d candidates", f.fields[c].Key, len(*list), len(kept.Index))
		}
	}
	return nil
}

// without returns the numbers of a list that another lacks; both ascend.
func without(list, other []uint64) []uint64 {
	var out []uint64
	for _, n := range list {
		for len(other) > 0 && other[0] < n {
			other = other[1:]
		}
		if len(other) == 0 || other[0] != n {
			out = append(out, n)
		}
	}
	return out
}

// parts is into how many lists a generation is cut, at least, where it has as many candidates.
const parts = 16

// breed evaluates a generation and writes it. What it writes does not depend on the number of processors.
func (r *running) breed(ctx context.Context, number int, asked []uint64, group []study.Evaluator) error {
	lists := slices.Collect(slices.Chunk(asked, max(1, len(asked)/parts)))
	batches := make([]*study.Batch, len(lists))
	counts := make([][]study.Count, len(lists))
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var next atomic.Int64
	var wg sync.WaitGroup
	for i, e := range group[:min(len(group), len(lists))] {
		wg.Go(func() {
			done := uint64(0)
			for ctx.Err() == nil {
				k := int(next.Add(1)) - 1
				if k >= len(lists) {
					return
				}
				b, c := study.NewBatch(len(r.folder.fields)), make([]study.Count, len(r.folder.rec.Rules))
				stop := func() bool {
					r.partly[i].Store(done + looked(b, c))
					return ctx.Err() != nil
				}
				if err := e.Pick(lists[k], b, c, stop); err != nil {
					cancel(err) // where ctx ended it, the cause of ctx stays what it is
					return
				}
				batches[k], counts[k] = b, c
				done += uint64(len(lists[k]))
			}
		})
	}
	wg.Wait()
	defer func() {
		for i := range r.partly {
			r.partly[i].Store(0)
		}
	}()
	if err := context.Cause(ctx); err != nil {
		return err
	}
	kept, left := study.NewBatch(len(r.folder.fields)), make([]study.Count, len(r.folder.rec.Rules))
	for k, b := range batches {
		kept.Index = append(kept.Index, b.Index...)
		for c := range b.Values {
			kept.Values[c] = append(kept.Values[c], b.Values[c]...)
		}
		for i, c := range counts[k] {
			left[i].Merge(c)
		}
	}
	if others := without(kept.Index, asked); len(others) > 0 {
		return fmt.Errorf("candidate %d was evaluated and not asked for", others[0])
	}
	f, at := r.folder, study.Shard{Number: number, From: asked[0], To: asked[len(asked)-1] + 1}
	data, err := newEncoder(f.rec).encode(at, uint64(len(asked)), kept, left)
	if err != nil {
		return err
	}
	return spec.WriteFileAtomic(f.shardName(number), data)
}

// looked is how many candidates an evaluator has come past.
func looked(kept *study.Batch, left []study.Count) uint64 {
	n := uint64(kept.Len())
	for _, c := range left {
		n += c.N
	}
	return n
}

// endEvolution writes what the search found.
func (f *Folder) endEvolution() error {
	f.mu.Lock()
	o, n := f.sum.Clone(), f.count
	f.mu.Unlock()
	d := docOf(f.rec, o, nil, o.Looked)
	d.Generations = n
	if d.Sum != o.Looked {
		return fmt.Errorf("%s: %d candidates were left out or kept, of %d that were looked at: a generation was counted wrongly; remove the folder and run the search again", f.dir, d.Sum, o.Looked)
	}
	if err := f.conclude(o, d); err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.whole = true
	return nil
}
