package results

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"crankwright/study"
)

// breeding is an evolutionary search of the usual problem in 20 generations: 400 of 2790 candidates.
var breeding = Evolution{Seed: 3, Size: 20, Evaluations: 400, Still: 1000}

// evolving opens a folder for an evolutionary search, to be closed by the test.
func evolving(t testing.TB, dir string, p study.Problem, by Evolution) *Folder {
	t.Helper()
	f, err := CreateEvolution(dir, p, bundle, by)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

// evolved returns the folder of a search that has ended, open for reading.
func evolved(t testing.TB, p study.Problem, by Evolution, processors int) *Folder {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "results")
	f := evolving(t, dir, p, by)
	if err := Run(t.Context(), p, f, Options{Processors: processors}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestEvolutionOnAnyNumberOfProcessors(t *testing.T) {
	f := evolved(t, usual, breeding, 1)
	want := content(t, f.Dir())
	for _, n := range []int{2, 7} {
		same(t, want, content(t, evolved(t, usual, breeding, n).Dir()))
	}
	o, ended, err := f.Outcome()
	if err != nil || !ended || o.Looked != 400 || len(o.Front) < 3 || o.Left[0].N == 0 || o.Left[1].N == 0 {
		t.Errorf("%v %v %+v", ended, err, o)
	}
	// every candidate of a file is what the problem says of it, and counts once
	kept, _ := whole(t, usual)
	rows, err := f.Query(t.Context(), Query{Limit: 1000})
	if err != nil || uint64(len(rows.Rows)) != o.Kept || !rows.Whole {
		t.Fatalf("%d rows of %d: %v", len(rows.Rows), o.Kept, err)
	}
	last := int64(-1)
	for _, row := range rows.Rows {
		n := row[0].(uint64)
		at, ok := slices.BinarySearch(kept.Index, n)
		if int64(n) <= last || !ok || kept.Values[5][at] != row[6] {
			t.Fatalf("after %d: %v", last, row)
		}
		last = int64(n)
	}
	first, err := f.Query(t.Context(), Query{Limit: 5})
	if err != nil || fmt.Sprint(first.Rows) != fmt.Sprint(rows.Rows[:5]) || !first.More || first.Matched != o.Kept {
		t.Errorf("the first five are %v, %v", first, err)
	}
	row, ok, err := f.Row(t.Context(), uint64(last))
	if err != nil || !ok || fmt.Sprint(row.Rows[0]) != fmt.Sprint(rows.Rows[len(rows.Rows)-1]) {
		t.Errorf("%v %v %v", row, ok, err)
	}
	cloud, err := f.Columns(t.Context(), nil, 1000)
	if err != nil || uint64(len(cloud.Index)) != o.Kept {
		t.Errorf("%d points, %v", len(cloud.Index), err)
	}
	course := f.Course()
	if len(course) != 20 || course[19].Looked != 400 || course[19].Front != len(o.Front) || course[19].Best[0] != o.Best[0][0].Values[3] || course[0].Kept >= course[19].Kept {
		t.Errorf("%d generations, the last %+v", len(course), course[len(course)-1])
	}
	if by, ok := f.Evolution(); !ok || by != breeding {
		t.Errorf("%v %v", by, ok)
	}
}

// The generations are those that study.Evolution asks for, told candidate by candidate.
func TestEvolutionIsThatOfStudy(t *testing.T) {
	f := evolved(t, usual, breeding, 2)
	search, err := study.NewEvolution(usual.Space(), usual.Aims(), study.EvolutionOptions{Size: breeding.Size, Seed: breeding.Seed})
	if err != nil {
		t.Fatal(err)
	}
	e, o := usual.Evaluator(), study.NewOutcome(usual)
	for search.Told() < breeding.Evaluations {
		for _, n := range search.Ask() {
			kept, left := study.NewBatch(6), make([]study.Count, 2)
			if err := e.Pick([]uint64{n}, kept, left, func() bool { return false }); err != nil {
				t.Fatal(err)
			}
			var out []uint64
			if kept.Len() == 0 {
				out = []uint64{n}
			}
			if err := search.Tell(kept, out); err != nil {
				t.Fatal(err)
			}
			o.Add(usual, study.Shard{From: n, To: n + 1}, kept, left)
		}
	}
	got, _, err := f.Outcome()
	if err != nil || got.Looked != o.Looked || fmt.Sprint(got.Left) != fmt.Sprint(o.Left) || !slices.EqualFunc(got.Front, o.Front, func(a, b study.Point) bool { return a.Index == b.Index && a.Alike == b.Alike }) {
		t.Errorf("%+v\n%+v\n%v", got, o, err)
	}
}

// A search ends by a front that has stayed for just as many generations as it was given, and says so.
func TestEvolutionEndsWhereTheFrontStays(t *testing.T) {
	ended := 0
	for seed := range uint64(4) {
		by := Evolution{Seed: seed, Size: 8, Evaluations: 2000, Still: 3}
		f := evolved(t, usual, by, 1)
		if _, _, err := f.Outcome(); err != nil {
			t.Fatal(err)
		}
		course := f.Course()
		for n, g := range course {
			if last := n == len(course)-1; g.Still > by.Still || !last && g.Still == by.Still || last && g.Still < by.Still && g.Looked < by.Evaluations {
				t.Errorf("seed %d, generation %d of %d: the front has stayed for %d generations, with %d candidates", seed, n+1, len(course), g.Still, g.Looked)
			}
		}
		if course[len(course)-1].Still == by.Still {
			ended++
		}
	}
	if ended == 0 {
		t.Error("no search ended because its front stayed")
	}
}

func TestEvolutionGoesOn(t *testing.T) {
	want := content(t, evolved(t, usual, breeding, 2).Dir())
	dir := filepath.Join(t.TempDir(), "results")
	slow := usual
	count, stop := 0, func() {}
	var mu sync.Mutex
	slow.each = func() {
		mu.Lock()
		defer mu.Unlock()
		if count++; count%70 == 0 {
			stop()
		}
	}
	stops := 0
	for {
		ctx, cancel := context.WithCancel(t.Context())
		mu.Lock()
		stop = cancel
		mu.Unlock()
		f := evolving(t, dir, slow, breeding)
		err := Run(ctx, slow, f, Options{Processors: 2})
		cancel()
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		if err == nil {
			break
		}
		if !errors.Is(err, context.Canceled) {
			t.Fatal(err)
		}
		stops++
		read, err := Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		if o, ended, err := read.Outcome(); err != nil || ended || o.Looked != uint64(len(read.Course())*20) || stops > 1 && o.Looked == 0 {
			t.Fatalf("stopped %d times: %v, %v, %+v", stops, ended, err, o)
		}
	}
	if stops < 4 {
		t.Errorf("it was stopped %d times only", stops)
	}
	same(t, want, content(t, dir))
}

// A search that has ended goes on with a larger number, and is then what it would have been with it from the start.
func TestEvolutionGoesFurther(t *testing.T) {
	further := breeding
	further.Evaluations = 600
	want := content(t, evolved(t, usual, further, 2).Dir())
	f := evolved(t, usual, breeding, 2)
	again := evolving(t, f.Dir(), usual, further)
	if p := again.Progress(); p.Done != 400 || p.Total != 600 {
		t.Errorf("%d of %d", p.Done, p.Total)
	}
	if _, ended, err := again.Outcome(); ended || err != nil {
		t.Errorf("it has ended before it goes on: %v", err)
	}
	if _, ended, err := f.Outcome(); ended || err != nil {
		t.Errorf("a reader says that it has ended: %v", err)
	}
	if err := Run(t.Context(), usual, again, Options{}); err != nil {
		t.Fatal(err)
	}
	if _, ended, err := f.Outcome(); !ended || err != nil {
		t.Errorf("a reader says that it goes on: %v", err)
	}
	same(t, want, content(t, f.Dir()))
	if err := again.Close(); err != nil {
		t.Fatal(err)
	}
	// a smaller number takes nothing away
	again = evolving(t, f.Dir(), usual, breeding)
	if err := Run(t.Context(), usual, again, Options{}); err != nil {
		t.Fatal(err)
	}
	got := content(t, f.Dir())
	for _, changed := range []string{recordName} {
		delete(got, changed)
		delete(want, changed)
	}
	same(t, want, got)
}

func TestEvolutionOfASmallSpaceIsExact(t *testing.T) {
	small := usual
	small.steps = 5
	f := evolved(t, small, Evolution{Seed: 1, Size: 16, Evaluations: 1000, Still: 1000}, 2)
	got, ended, err := f.Outcome()
	_, want := whole(t, small)
	if err != nil || !ended || !got.Equal(want) {
		t.Errorf("%v\n%+v\n%+v", err, got, want)
	}
	f = evolved(t, small, Evolution{}, 1)
	if got, ended, err := f.Outcome(); err != nil || !ended || !got.Equal(want) {
		t.Errorf("by default: %v %v", got, err)
	}
	if by, _ := f.Evolution(); by != (Evolution{0, 100, 2000, 20}) {
		t.Errorf("%+v", by)
	}
}

func TestEvolutionDoesDamagedAnew(t *testing.T) {
	f := evolved(t, usual, breeding, 2)
	want := content(t, f.Dir())
	for _, spoil := range []func(name string) error{
		os.Remove,
		func(name string) error { return os.Truncate(name, 100) },
		func(name string) error { return os.WriteFile(name, []byte(want["shards/000012.parquet"]), 0o644) },
	} {
		if err := spoil(f.shardName(11)); err != nil {
			t.Fatal(err)
		}
		again := evolving(t, f.Dir(), usual, breeding)
		err := Run(t.Context(), usual, again, Options{})
		if err := errors.Join(err, again.Close()); err != nil {
			t.Fatal(err)
		}
		same(t, want, content(t, f.Dir()))
	}
}

func TestEvolutionRefuses(t *testing.T) {
	bred, all := evolved(t, usual, breeding, 1).Dir(), ran(t, usual).Dir()
	other := breeding
	other.Seed = 4
	for _, c := range []struct {
		dir  string
		by   Evolution
		want string
	}{
		{all, breeding, "holds a search of every candidate"},
		{bred, other, "seed 3 and generations of 20"},
		{bred, Evolution{Seed: 3, Size: 30}, "seed 3 and generations of 20"},
		{t.TempDir(), Evolution{Size: 2}, "a generation of 2 candidates is not possible"},
		{t.TempDir(), Evolution{Still: -1}, "give 1 or more"},
	} {
		if f, err := CreateEvolution(c.dir, usual, bundle, c.by); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want %s", f, err, c.want)
		}
	}
	if _, err := Create(bred, usual, bundle); err == nil || !strings.Contains(err.Error(), "holds an evolutionary search") {
		t.Error(err)
	}
	f := evolving(t, filepath.Join(t.TempDir(), "a"), usual, breeding)
	if err := f.Put(f.rec.shard(0), study.NewBatch(6), make([]study.Count, 2)); err == nil {
		t.Error("a range is put into an evolutionary search")
	}
	if _, err := f.Finish(); err == nil {
		t.Error("it is finished as if every candidate had been looked at")
	}
	wrong := usual
	wrong.spoil = func(kept *study.Batch, _ []study.Count) {
		if kept.Len() > 0 {
			kept.Index[0]++
		}
	}
	if err := Run(t.Context(), wrong, f, Options{}); err == nil {
		t.Error("an evaluator that returns other candidates is believed")
	}
	if names := slices.Collect(maps.Keys(content(t, f.Dir()))); slices.ContainsFunc(names, func(s string) bool { return strings.HasPrefix(s, shardsName) }) {
		t.Errorf("what it returned is kept: %v", names)
	}
}
