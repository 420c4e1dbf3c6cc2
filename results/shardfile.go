package results

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"github.com/parquet-go/parquet-go"

	"crankwright/study"
)

// shardFile is a Parquet file of a folder, opened.
type shardFile struct {
	*parquet.File
	bytes  io.ReaderAt
	closer io.Closer
}

func (s *shardFile) Close() error { return s.closer.Close() }

// guarded calls something that reads bytes which may be damaged: what the Parquet reader panics with is an error here.
func guarded(read func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("the file is damaged (%v)", r)
		}
	}()
	return read()
}

// openFile opens a Parquet file and checks that it has the columns of the study.
func openFile(name string, fields []field) (*shardFile, error) {
	f, size, err := openRegular(name)
	if err != nil {
		return nil, err
	}
	s, err := parse(f, size, fields)
	if err != nil {
		_ = f.Close()
		return nil, err
	}
	s.closer = f
	return s, nil
}

// parse opens the bytes of a Parquet file, after what they say of themselves was weighed.
func parse(r io.ReaderAt, size int64, fields []field) (*shardFile, error) {
	s := &shardFile{}
	err := guarded(func() error {
		if size < 12 {
			return errCut
		}
		if err := weighFoot(r, size); err != nil {
			return err
		}
		f, err := parquet.OpenFile(r, size, parquet.SkipBloomFilters(true), parquet.SkipPageIndex(true))
		if err != nil {
			return err
		}
		if want := schema(fields, false); !parquet.EqualNodes(want, f.Schema()) {
			return errors.New("the file has other columns than the study")
		}
		for _, g := range f.RowGroups() {
			if g.NumRows() < 1 || g.NumRows() > rowsPerGroup {
				return fmt.Errorf("the file has a group of %d rows", g.NumRows())
			}
		}
		s.File, s.bytes = f, r
		return weighPages(r, size, f)
	})
	if err != nil {
		return nil, err
	}
	return s, nil
}

// outcome reads what a file says of its range.
func (s *shardFile) outcome(r *record) (*study.Outcome, study.Shard, error) {
	text, ok := s.Lookup(statsKey)
	if !ok {
		return nil, study.Shard{}, errors.New("the file has no counts")
	}
	d := &outcomeDoc{}
	if err := json.Unmarshal([]byte(text), d); err != nil {
		return nil, study.Shard{}, err
	}
	if d.Shard == nil {
		return nil, study.Shard{}, errors.New("the file is not of a range")
	}
	at := study.Shard{Number: d.Shard.Number, From: d.Shard.From, To: d.Shard.To}
	if r.Evolution == nil && (at != r.shard(at.Number) || d.Size != at.To-at.From) {
		return nil, at, errors.New("the file is of a range that the study does not have")
	}
	o, err := d.outcome(r)
	if err == nil && uint64(s.NumRows()) != o.Kept {
		err = fmt.Errorf("the file has %d rows, and %d candidates were kept", s.NumRows(), o.Kept)
	}
	return o, at, err
}

// shards returns the number of ranges of the study; none of an evolutionary search, whose generations no one knows before.
func (r *record) shards() int {
	if r.ShardSize == 0 {
		return 0
	}
	return int((r.Size + r.ShardSize - 1) / r.ShardSize)
}

// shard returns a range of the study, or an empty one.
func (r *record) shard(number int) study.Shard {
	if number < 0 || number >= r.shards() {
		return study.Shard{Number: -1}
	}
	from := uint64(number) * r.ShardSize
	return study.Shard{Number: number, From: from, To: min(from+r.ShardSize, r.Size)}
}

// read returns the outcome of bytes that stand for a file.
func (r *record) read(data []byte, fields []field) (*study.Outcome, study.Shard, error) {
	s, err := parse(bytes.NewReader(data), int64(len(data)), fields)
	if err != nil {
		return nil, study.Shard{}, err
	}
	return s.outcome(r)
}
