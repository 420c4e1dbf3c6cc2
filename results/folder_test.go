package results

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"crankwright/study"
)

// content returns every file of a folder.
func content(t testing.TB, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		rel, _ := filepath.Rel(dir, name)
		all[filepath.ToSlash(rel)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func same(t testing.TB, want, got map[string]string) {
	t.Helper()
	for name := range want {
		if got[name] != want[name] {
			t.Errorf("%s differs: %d bytes and %d", name, len(want[name]), len(got[name]))
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			t.Errorf("%s is there and should not be", name)
		}
	}
}

// whole evaluates everything in one range, without a folder.
func whole(t testing.TB, p invented) (*study.Batch, *study.Outcome) {
	t.Helper()
	n, _ := p.Space().Size()
	kept, left := study.NewBatch(6), make([]study.Count, 2)
	r := study.Shard{To: n}
	if err := p.Evaluator().Evaluate(r, kept, left, func() bool { return false }); err != nil {
		t.Fatal(err)
	}
	o := study.NewOutcome(p)
	o.Add(p, r, kept, left)
	return kept, o
}

func TestRunYieldsTheOutcomeOfOneRange(t *testing.T) {
	f := ran(t, usual)
	got, done, err := f.Outcome()
	if err != nil || !done {
		t.Fatal(done, err)
	}
	_, want := whole(t, usual)
	if fmt.Sprint(want.Front) != fmt.Sprint(got.Front) || fmt.Sprint(want.Best) != fmt.Sprint(got.Best) || fmt.Sprint(want.Left) != fmt.Sprint(got.Left) || want.Kept != got.Kept || want.Looked != got.Looked {
		t.Errorf("want %v\n got %v", want, got)
	}
	if len(got.Front) < 3 || got.Left[0].N == 0 || got.Left[1].N == 0 {
		t.Errorf("the test decides nothing: %v", got)
	}
	b, err := f.Bundle()
	if err != nil || fmt.Sprint(b) != fmt.Sprint(bundle) {
		t.Errorf("the files of the study: %v, %v", b, err)
	}
}

// The sequence of ranges, the number of processors and Put or PutEncoded change no byte.
func TestSequenceChangesNoByte(t *testing.T) {
	want := content(t, ran(t, usual).Dir())
	dir := t.TempDir()
	f := create(t, dir, usual)
	list := f.Missing()
	slices.Reverse(list)
	enc, err := NewEncoder(usual)
	if err != nil {
		t.Fatal(err)
	}
	ev := usual.Evaluator()
	for i, r := range list {
		kept, left := study.NewBatch(6), make([]study.Count, 2)
		if err := ev.Evaluate(r, kept, left, func() bool { return false }); err != nil {
			t.Fatal(err)
		}
		for range 2 { // twice: the second changes nothing
			if i%2 == 0 {
				err = f.Put(r, kept, left)
			} else {
				var data []byte
				if data, err = enc.Encode(r, kept, left); err == nil {
					err = f.PutEncoded(data)
				}
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		if i == 3 {
			if _, err := f.Finish(); err == nil || !strings.Contains(err.Error(), "still to be done") {
				t.Error("Finish before the end:", err)
			}
		}
	}
	if len(f.Missing()) != 0 {
		t.Error("still missing:", f.Missing())
	}
	if _, err := f.Finish(); err != nil {
		t.Fatal(err)
	}
	same(t, want, content(t, dir))
}

func TestCancelKeepsWhatIsDone(t *testing.T) {
	want := content(t, ran(t, usual).Dir())
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	slow := usual
	count := 0
	slow.each = func() {
		if count++; count == 1000 {
			cancel()
		}
	}
	f := create(t, dir, slow)
	last := Progress{}
	err := Run(ctx, slow, f, Options{Processors: 1, Tell: func(p Progress) { last = p }})
	if !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	if count > 1100 {
		t.Errorf("went on for %d candidates", count-1000)
	}
	if last.Shards < 10 || last.Shards == last.Of || last.Done < 60*uint64(last.Shards) || last.Total != 2790 || len(last.Front) == 0 {
		t.Errorf("%+v", last)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f = create(t, dir, usual)
	if n := len(f.Missing()); n != last.Of-last.Shards {
		t.Errorf("%d missing, %d done of %d", n, last.Shards, last.Of)
	}
	if err := Run(t.Context(), usual, f, Options{Processors: 2}); err != nil {
		t.Fatal(err)
	}
	same(t, want, content(t, dir))
}

func TestCreateRefuses(t *testing.T) {
	dir := ran(t, usual).Dir()
	other := usual
	other.digest = "b"
	refused := func(dir string, p study.Problem, words string) {
		t.Helper()
		f, err := Create(dir, p, bundle)
		if err == nil {
			_ = f.Close()
		}
		if err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("want %q, have %v", words, err)
		}
	}
	refused(dir, other, "another study")
	f := create(t, dir, usual)
	refused(dir, usual, "another process is writing")
	_ = f.Close()
	create(t, dir, usual)
	mine := t.TempDir()
	if err := os.WriteFile(filepath.Join(mine, "letter.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	refused(mine, usual, "letter.txt")
	huge := usual
	huge.steps = 1 << 20
	refused(t.TempDir(), tall{huge}, "is the most")
	if _, err := Open(mine); err == nil || !strings.Contains(err.Error(), "no folder of results") {
		t.Error(err)
	}
}

// tall is a problem with a space of its own.
type tall struct{ invented }

func (tall) Space() study.Space {
	return study.Space{Blocks: []study.Block{{Axes: []study.Axis{{Key: "a", Count: 1 << 26}, {Key: "b", Count: 1 << 20}}}}}
}
func (tall) Columns() []study.Column { return invented{steps: 1}.Columns() }

func TestPutRefusesWhatIsWrong(t *testing.T) {
	for words, spoil := range map[string]func(*study.Batch, []study.Count){
		"infinite":         func(b *study.Batch, _ []study.Count) { b.Values[3][0] = math.Inf(1) },
		"out of sequence":  func(b *study.Batch, _ []study.Count) { b.Index[1] = b.Index[0] },
		"kept or left out": func(_ *study.Batch, l []study.Count) { l[0].N++ },
		"values, and this": func(b *study.Batch, _ []study.Count) { b.Values[1][0] = 3 },
		"values for":       func(b *study.Batch, _ []study.Count) { b.Values[2] = b.Values[2][1:] },
	} {
		p := usual
		p.spoil = spoil
		err := Run(t.Context(), p, create(t, t.TempDir(), p), Options{})
		if err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("want %q, have %v", words, err)
		}
	}
}

// A range that somebody has damaged or exchanged is missing, and is done anew.
func TestDamagedIsMissing(t *testing.T) {
	f := ran(t, usual)
	want := content(t, f.Dir())
	damage := map[string]func([]byte) []byte{
		"000003.parquet": func(b []byte) []byte { return b[:len(b)/2] },
		"000005.parquet": func([]byte) []byte { return nil },
		"000007.parquet": func(b []byte) []byte { return bytes.Repeat([]byte{7}, len(b)) },
		"000009.parquet": func([]byte) []byte { return []byte(want["shards/000010.parquet"]) },
	}
	for name, change := range damage {
		name = filepath.Join(f.Dir(), shardsName, name)
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, change(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	g := create(t, f.Dir(), usual)
	if list := g.Missing(); len(list) != 4 || list[0].Number != 3 || list[3].Number != 9 {
		t.Error(list)
	}
	if err := Run(t.Context(), usual, g, Options{}); err != nil {
		t.Fatal(err)
	}
	same(t, want, content(t, f.Dir()))
	if err := g.PutEncoded([]byte(want["front.parquet"])); err == nil || !strings.Contains(err.Error(), "refused") {
		t.Error(err)
	}
}

func TestReaderSeesWhatIsDone(t *testing.T) {
	dir := t.TempDir()
	w := create(t, dir, usual)
	r, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.PutEncoded(nil); err == nil || !strings.Contains(err.Error(), "reading only") {
		t.Error(err)
	}
	n := uint64(0)
	for _, s := range w.Missing()[:5] {
		kept, left := study.NewBatch(6), make([]study.Count, 2)
		if err := usual.Evaluator().Evaluate(s, kept, left, func() bool { return false }); err != nil {
			t.Fatal(err)
		}
		if err := w.Put(s, kept, left); err != nil {
			t.Fatal(err)
		}
		n += s.To - s.From
		o, whole, err := r.Outcome()
		if err != nil || whole || o.Looked != n {
			t.Error(o.Looked, n, whole, err)
		}
	}
}

func TestMeter(t *testing.T) {
	var m Meter
	at := time.Unix(0, 0)
	for i := range 100 {
		rate := m.rate(at, uint64(i)*50)
		if i > 0 && math.Abs(rate-200) > 1e-9 {
			t.Fatal(rate)
		}
		at = at.Add(tellEvery)
	}
	if len(m.seen) > 60 {
		t.Error(len(m.seen), "readings are kept")
	}
}
