package results

import (
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/parquet-go/parquet-go"

	"crankwright/study"
)

// candidateColumn stands for the number of a candidate where other columns have their index.
const candidateColumn = -1

// block is some rows, one after another: a group of a file, or a list in memory. A column is read when it is asked for.
type block struct {
	n       int
	number  []float64   // of each candidate; exact, see study.MostCandidates
	columns [][]float64 // by column: the value in its unit, the index of its text, or NaN
	loaded  []bool      // by column, the last for number
	load    func(c int, dst []float64) ([]float64, error)
}

// column returns a column of the block, or the numbers of its candidates. It is valid until the next block.
func (b *block) column(c int) ([]float64, error) {
	at := &b.number
	flag := &b.loaded[len(b.columns)]
	if c >= 0 {
		at, flag = &b.columns[c], &b.loaded[c]
	}
	if !*flag {
		list, err := b.load(c, (*at)[:0])
		if err != nil {
			return nil, err
		}
		if len(list) != b.n {
			return nil, fmt.Errorf("a column has %d values for %d rows", len(list), b.n)
		}
		*at, *flag = list, true
	}
	return *at, nil
}

// bounds returns the least and the largest value of a column among some rows; ok is false where they are not known.
type bounds func(c int) (lo, hi float64, ok bool)

// source yields block after block, and none at the end.
type source interface {
	next() (*block, error)
	close()
}

// scanner reads the ranges of a folder that are done.
type scanner struct {
	f      *Folder
	shards []int
	may    func(bounds) bool // false: no row within these bounds is wanted
	file   *shardFile
	name   string
	groups []parquet.RowGroup
	block  block
}

func (f *Folder) newBlock() block {
	return block{columns: make([][]float64, len(f.fields)), loaded: make([]bool, len(f.fields)+1)}
}

// scan starts to read all ranges that are done; may can be nil. A damaged file is an error, not a gap.
func (f *Folder) scan(may func(bounds) bool) (*scanner, error) {
	if !f.writable() {
		if err := f.look(); err != nil {
			return nil, err
		}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	for n := range f.damaged {
		return nil, f.damage(f.shardName(n), errors.New("it cannot be read"))
	}
	s := &scanner{f: f, may: may, block: f.newBlock()}
	for n, done := range f.done {
		if done || f.whole {
			s.shards = append(s.shards, n)
		}
	}
	return s, nil
}

// damage says what to do about a file that cannot be read.
func (f *Folder) damage(name string, err error) error {
	return fmt.Errorf("%s: damaged: %w; remove this file and run the study again, which does its part anew", name, err)
}

func (s *scanner) next() (*block, error) {
	for {
		for len(s.groups) > 0 {
			g := s.groups[0]
			s.groups = s.groups[1:]
			if s.may != nil && !s.may(s.f.boundsOf(g)) {
				continue
			}
			b := &s.block
			b.n = int(g.NumRows())
			clear(b.loaded)
			file, number, name := s.file, len(s.file.RowGroups())-len(s.groups)-1, s.name
			b.load = func(c int, dst []float64) ([]float64, error) {
				err := guarded(func() error {
					chunk, err := file.chunk(number, c+1)
					if err == nil {
						dst, err = s.f.read(chunk, c, dst, b.n)
					}
					return err
				})
				if err != nil {
					return nil, s.f.damage(name, err)
				}
				return dst, nil
			}
			return b, nil
		}
		s.close()
		if len(s.shards) == 0 {
			return nil, nil
		}
		n := s.shards[0]
		s.shards = s.shards[1:]
		if s.may != nil && s.f.rec.Evolution == nil && !s.may(rangeBounds(s.f.rec.shard(n))) {
			continue
		}
		s.name = s.f.shardName(n)
		file, err := openFile(s.name, s.f.fields)
		if err != nil {
			return nil, s.f.damage(s.name, err)
		}
		s.file, s.groups = file, file.RowGroups()
	}
}

func (s *scanner) close() {
	if s.file != nil {
		_ = s.file.Close()
		s.file, s.groups = nil, nil
	}
}

// rangeBounds knows the numbers of the candidates of a range.
func rangeBounds(r study.Shard) bounds {
	return func(c int) (lo, hi float64, ok bool) { return float64(r.From), float64(r.To - 1), c == candidateColumn }
}

// boundsOf returns what the statistics of a group say of numbers.
func (f *Folder) boundsOf(g parquet.RowGroup) bounds {
	chunks := g.ColumnChunks()
	return func(c int) (lo, hi float64, ok bool) {
		if c >= 0 && f.fields[c].text() {
			return 0, 0, false
		}
		chunk, is := chunks[c+1].(*parquet.FileColumnChunk)
		if !is {
			return 0, 0, false
		}
		err := guarded(func() error {
			least, most, has := chunk.Bounds()
			switch {
			case !has:
			case c == candidateColumn:
				lo, hi, ok = float64(least.Int64()), float64(most.Int64()), true
			default:
				lo, hi, ok = least.Double(), most.Double(), true
			}
			return nil
		})
		return lo, hi, ok && err == nil && lo <= hi
	}
}

// read reads one column of a group.
func (f *Folder) read(chunk parquet.ColumnChunk, c int, dst []float64, n int) ([]float64, error) {
	pages := chunk.Pages()
	defer func() { _ = pages.Close() }()
	for {
		p, err := pages.ReadPage()
		if errors.Is(err, io.EOF) {
			return dst, nil
		}
		if err != nil {
			return nil, err
		}
		if int64(len(dst))+p.NumRows() > int64(n) {
			parquet.Release(p)
			return nil, errors.New("a column has too many values")
		}
		dst, err = f.readPage(p, c, dst)
		parquet.Release(p)
		if err != nil {
			return nil, err
		}
	}
}

// readPage appends the values of a page: numbers, indices of texts, NaN where there is none.
func (f *Folder) readPage(p parquet.Page, c int, dst []float64) ([]float64, error) {
	data := p.Data()
	if c == candidateColumn {
		for _, x := range data.Int64() {
			dst = append(dst, float64(x))
		}
		return dst, nil
	}
	levels := p.DefinitionLevels()
	if d := p.Dictionary(); d != nil {
		table, err := f.table(d, c)
		if err != nil {
			return nil, err
		}
		indices, k := data.Int32(), 0
		for _, l := range levels {
			x := math.NaN()
			if l > 0 {
				x = table[indices[k]]
				k++
			}
			dst = append(dst, x)
		}
		return dst, nil
	}
	if f.fields[c].text() {
		return nil, errors.New("a column of texts has no list of them")
	}
	values := data.Double()
	if len(values) == len(levels) {
		return append(dst, values...), nil
	}
	k := 0
	for _, l := range levels {
		x := math.NaN()
		if l > 0 {
			x = values[k]
			k++
		}
		dst = append(dst, x)
	}
	return dst, nil
}

// table returns the values of a page's dictionary.
func (f *Folder) table(d parquet.Dictionary, c int) ([]float64, error) {
	table := make([]float64, d.Len())
	for i := range table {
		v := d.Index(int32(i))
		if !f.fields[c].text() {
			table[i] = v.Double()
			continue
		}
		code, ok := f.fields[c].codes[string(v.ByteArray())]
		if !ok {
			return nil, fmt.Errorf("%q is no value of %s", v.ByteArray(), f.fields[c].Key)
		}
		table[i] = code
	}
	return table, nil
}

// listed is a source of points in memory, such as the front.
type listed struct {
	f    *Folder
	list []study.Point
	done bool
}

func (l *listed) next() (*block, error) {
	if l.done || len(l.list) == 0 {
		return nil, nil
	}
	l.done = true
	b := l.f.newBlock()
	b.n = len(l.list)
	b.load = func(c int, dst []float64) ([]float64, error) {
		for _, p := range l.list {
			if c == candidateColumn {
				dst = append(dst, float64(p.Index))
			} else {
				dst = append(dst, l.f.fields[c].kept(p.Values[c]))
			}
		}
		return dst, nil
	}
	return &b, nil
}

func (*listed) close() {}

// from returns all candidates that were kept, or only those of the front.
func (f *Folder) from(front bool, may func(bounds) bool) (source, error) {
	if !front {
		return f.scan(may)
	}
	o, _, err := f.Outcome()
	if err != nil {
		return nil, err
	}
	return &listed{f: f, list: o.Front}, nil
}
