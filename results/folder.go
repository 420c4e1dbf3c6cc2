package results

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"

	"crankwright/spec"
	"crankwright/study"
)

// Names within a folder.
const (
	recordName  = "study.json"
	columnsName = "columns.md"
	inputsName  = "inputs"
	shardsName  = "shards"
	frontName   = "front.parquet"
	outcomeName = "outcome.json"
	lockName    = "lock"
	shardEnd    = ".parquet"
)

// Suffix ends the names of folders of results.
const Suffix = ".results"

// Beside returns the folder of the results of a study file, unless another is wanted: beside it, with its name.
func Beside(file string) string {
	return strings.TrimSuffix(strings.TrimSuffix(file, ".yaml"), ".study") + Suffix
}

// Folder holds the results of one study. Its methods may be called from several goroutines.
type Folder struct {
	dir    string
	rec    *record
	prob   *recorded
	fields []field

	mu      sync.Mutex
	locked  *os.File // nil: for reading only
	done    []bool   // by shard
	count   int
	sum     *study.Outcome   // of all that is done
	whole   bool             // outcome.json says so, of a folder that is open for reading or of an evolutionary search
	course  []Step           // of an evolutionary search, by generation
	damaged map[int]struct{} // files that cannot be read
}

// Close lets go of the folder; another process may then write into it.
func (f *Folder) Close() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.locked == nil {
		return nil
	}
	err := f.locked.Close()
	f.locked = nil
	return err
}

// writable reports whether this process is the one that writes.
func (f *Folder) writable() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.locked != nil
}

// Dir returns the folder's path.
func (f *Folder) Dir() string { return f.dir }

// Path returns where a file of the folder stands; see the list of names in the comment of the package.
func (f *Folder) Path(name string) string { return filepath.Join(f.dir, filepath.FromSlash(name)) }

// Problem returns what the study asks, as the folder tells it. Its evaluators do nothing.
func (f *Folder) Problem() study.Problem { return f.prob }

// Name returns the name of the study's file.
func (f *Folder) Name() string { return f.rec.Study }

// Digest returns the digest of the problem whose results these are.
func (f *Folder) Digest() string { return f.rec.Digest }

// Bundle returns the files of the study as they were.
func (f *Folder) Bundle() (study.Bundle, error) {
	b := study.Bundle{Study: f.rec.Study, Files: map[string][]byte{}}
	for _, in := range f.rec.Inputs {
		if !filepath.IsLocal(filepath.FromSlash(in.File)) {
			return b, fmt.Errorf("%s: cannot be read: %s is not within the folder", filepath.Join(f.dir, recordName), in.File)
		}
		data, err := readText(filepath.Join(f.dir, inputsName, filepath.FromSlash(in.File)))
		if err != nil {
			return b, err
		}
		b.Files[in.Name] = data
	}
	return b, nil
}

func (f *Folder) shardName(n int) string {
	return filepath.Join(f.dir, shardsName, fmt.Sprintf("%06d%s", n, shardEnd))
}

// refresh takes in the ranges that were done since. A file that is damaged is not done; Run does it anew.
func (f *Folder) refresh() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.rec.Evolution != nil {
		return f.bred()
	}
	if f.count == len(f.done) {
		return nil
	}
	list, err := os.ReadDir(filepath.Join(f.dir, shardsName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range list {
		digits, ok := strings.CutSuffix(e.Name(), shardEnd)
		n, err := strconv.Atoi(digits)
		if !ok || err != nil || n < 0 || n >= len(f.done) || f.done[n] || f.shardName(n) != filepath.Join(f.dir, shardsName, e.Name()) {
			continue
		}
		o, err := f.readShard(n)
		if err != nil {
			f.damaged[n] = struct{}{}
			continue
		}
		f.take(n, o)
	}
	return nil
}

func (f *Folder) readShard(n int) (*study.Outcome, error) {
	s, err := openFile(f.shardName(n), f.fields)
	if err != nil {
		return nil, err
	}
	o, at, err := s.outcome(f.rec)
	if err == nil && at.Number != n {
		err = errors.New("the file is of another range")
	}
	return o, errors.Join(err, s.Close())
}

// take counts a range as done.
func (f *Folder) take(n int, o *study.Outcome) {
	before := f.sum.Front
	f.sum.Merge(f.prob, o)
	if f.rec.Evolution != nil {
		f.done = append(f.done, false)
		f.course = append(f.course, f.stepOf(f.sum, before))
	}
	f.done[n] = true
	f.count++
	delete(f.damaged, n)
}

// Missing returns the ranges that are not done, in sequence.
func (f *Folder) Missing() []study.Shard {
	f.mu.Lock()
	defer f.mu.Unlock()
	var list []study.Shard
	for n, done := range f.done {
		if !done {
			list = append(list, f.rec.shard(n))
		}
	}
	return list
}

// Put keeps what a range yielded. A range that is done already stays as it is.
func (f *Folder) Put(r study.Shard, kept *study.Batch, left []study.Count) error {
	data, err := newEncoder(f.rec).Encode(r, kept, left)
	if err != nil {
		return err
	}
	return f.PutEncoded(data)
}

// ErrRefused is returned for bytes that are no range of the study.
var ErrRefused = errors.New("a range is refused")

// PutEncoded keeps a range that an Encoder has written, perhaps elsewhere. It refuses bytes that are damaged or of
// another study. A range that is done already stays as it is.
func (f *Folder) PutEncoded(data []byte) error {
	switch {
	case !f.writable():
		return fmt.Errorf("%s: the folder is open for reading only", f.dir)
	case f.rec.Evolution != nil:
		return fmt.Errorf("%s: %w: an evolutionary search has no ranges", f.dir, ErrRefused)
	}
	o, r, err := f.rec.read(data, f.fields)
	if err != nil {
		return fmt.Errorf("%s: %w: %w", f.dir, ErrRefused, err)
	}
	f.mu.Lock()
	done := f.done[r.Number]
	f.mu.Unlock()
	if done {
		return nil
	}
	if err := spec.WriteFileAtomic(f.shardName(r.Number), data); err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if !f.done[r.Number] {
		f.take(r.Number, o)
	}
	return nil
}

// Finish writes front.parquet and outcome.json when every range is done, and returns the outcome. It checks that
// those left out and those kept are together all candidates.
func (f *Folder) Finish() (*study.Outcome, error) {
	if !f.writable() {
		return nil, fmt.Errorf("%s: the folder is open for reading only", f.dir)
	}
	o, whole, err := f.Outcome()
	if err != nil {
		return nil, err
	}
	if !whole {
		return nil, fmt.Errorf("%s: %d of %d parts are still to be done", f.dir, len(f.done)-f.count, len(f.done))
	}
	d := docOf(f.rec, o, nil, f.rec.Size)
	if d.Sum != f.rec.Size || d.Looked != f.rec.Size {
		return nil, fmt.Errorf("%s: %d candidates were left out or kept, of %d: a part was counted wrongly; remove the folder and run the study again", f.dir, d.Sum, f.rec.Size)
	}
	return o, f.conclude(o, d)
}

// conclude writes front.parquet, and then outcome.json.
func (f *Folder) conclude(o *study.Outcome, d *outcomeDoc) error {
	rows, alike := study.NewBatch(len(f.fields)), []uint64{}
	for _, p := range o.Front {
		rows.Index, alike = append(rows.Index, p.Index), append(alike, p.Alike)
		for i, x := range p.Values {
			rows.Values[i] = append(rows.Values[i], x)
		}
	}
	data, err := newEncoder(f.rec).file(rows, alike, "")
	if err != nil {
		return err
	}
	if err := f.write(frontName, data); err != nil {
		return err
	}
	text, err := d.bytes(true)
	if err != nil {
		return err
	}
	return f.write(outcomeName, text)
}

// Outcome returns what all ranges that are done yielded, and whether they are the whole space; of an evolutionary search what all
// generations yielded, and whether it has ended.
func (f *Folder) Outcome() (o *study.Outcome, whole bool, err error) {
	if !f.writable() {
		if err := f.look(); err != nil {
			return nil, false, err
		}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.sum.Clone(), f.whole || f.rec.Evolution == nil && f.count == len(f.done), nil
}

// look takes in what another process has done since.
func (f *Folder) look() error {
	f.mu.Lock()
	whole := f.whole
	f.mu.Unlock()
	if f.rec.Evolution != nil {
		return f.lookBred()
	}
	if whole {
		return nil
	}
	if o := f.finished(); o != nil {
		f.mu.Lock()
		defer f.mu.Unlock()
		f.sum, f.whole = o, true
		return nil
	}
	return f.refresh()
}

// finished reads outcome.json, or returns nil where it is not there or not whole.
func (f *Folder) finished() *study.Outcome {
	data, err := readText(filepath.Join(f.dir, outcomeName))
	if err != nil {
		return nil
	}
	d := &outcomeDoc{}
	if json.Unmarshal(data, d) != nil || d.Shard != nil || f.rec.Evolution == nil && d.Size != f.rec.Size {
		return nil
	}
	o, err := d.outcome(f.rec)
	if err != nil {
		return nil
	}
	return o
}
