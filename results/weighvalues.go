package results

import (
	"errors"
	"fmt"
	"io"
	"sync"

	"github.com/klauspost/compress/zstd"
	"github.com/parquet-go/parquet-go"
	pq "github.com/parquet-go/parquet-go/format"
)

// spare is how many values a packed group may have beyond those of its page: groups are filled up.
const spare = 64

// weighFrame goes over the blocks of packed bytes. They must be one frame, which is not larger unpacked than a page may be.
func weighFrame(r io.ReaderAt, at, n int64) error {
	if n == 0 {
		return nil
	}
	data := make([]byte, min(n, zstd.HeaderMaxSize))
	if _, err := r.ReadAt(data, at); err != nil {
		return err
	}
	var h zstd.Header
	if err := h.Decode(data); err != nil {
		return fmt.Errorf("the file is damaged: %w", err)
	}
	if h.Skippable || h.HasFCS && h.FrameContentSize > mostPage {
		return errTooBig
	}
	end := at + n
	at += int64(h.HeaderSize)
	for blocks := int64(1); ; blocks++ {
		var b [3]byte
		if at+int64(len(b)) > end {
			return errCut
		}
		if _, err := r.ReadAt(b[:], at); err != nil {
			return err
		}
		block := int64(b[0]) | int64(b[1])<<8 | int64(b[2])<<16
		size := block >> 3
		if block>>1&3 == 1 { // one byte, over and over
			size = 1
		}
		if at += int64(len(b)) + size; at > end {
			return errCut
		}
		if blocks*blockSize > mostPage {
			return errTooBig
		}
		if block&1 == 1 {
			break
		}
	}
	if h.HasCheckSum {
		at += 4
	}
	if at != end {
		return errors.New("the file is damaged: a page does not end where it should")
	}
	return nil
}

// unpackers unpack no more than a page may have.
var unpackers = sync.Pool{New: func() any {
	d, err := zstd.NewReader(nil, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxMemory(mostPage), zstd.WithDecoderLowmem(true))
	if err != nil {
		return err
	}
	return d
}}

// unpacked returns the bytes of a packed page.
func unpacked(data []byte) ([]byte, error) {
	got := unpackers.Get()
	d, ok := got.(*zstd.Decoder)
	if !ok {
		return nil, fmt.Errorf("nothing can be unpacked: %v", got)
	}
	defer unpackers.Put(d)
	return d.DecodeAll(data, nil)
}

// chunk returns one column of a group, after the counts within its values were weighed.
func (s *shardFile) chunk(group, column int) (parquet.ColumnChunk, error) {
	m := &s.Metadata().RowGroups[group].Columns[column].MetaData
	if err := weighValues(s.bytes, s.Size(), m); err != nil {
		return nil, err
	}
	return s.RowGroups()[group].ColumnChunks()[column], nil
}

// weighValues goes over the values of a column of a group whose packing counts for itself: a few bytes can say that a value stands
// a billion times.
func weighValues(r io.ReaderAt, size int64, m *pq.ColumnMetaData) error {
	return eachPage(r, size, m, func(p head, at int64) error {
		if p.kind == pq.DictionaryPage {
			return nil // values one after the other
		}
		levels := make([]byte, p.levels)
		if _, err := r.ReadAt(levels, at); err != nil {
			return err
		}
		if err := weighRuns(levels, 1, p.values); err != nil {
			return err
		}
		switch p.encoding {
		case pq.Plain, pq.ByteStreamSplit:
			return nil // likewise
		case pq.RLEDictionary, pq.DeltaBinaryPacked:
		default:
			return errOther
		}
		packed := make([]byte, p.packed-p.levels)
		if _, err := r.ReadAt(packed, at+p.levels); err != nil {
			return err
		}
		data, err := unpacked(packed)
		switch {
		case err != nil:
			return fmt.Errorf("the file is damaged: %w", err)
		case len(data) == 0:
			return nil
		case p.encoding == pq.DeltaBinaryPacked:
			return weighDeltas(data, p.values)
		case data[0] > 32:
			return errOther
		}
		return weighRuns(data[1:], uint64(data[0]), p.values)
	})
}

// weighRuns goes over values of some bits each, in runs of one value and in groups of eight.
func weighRuns(data []byte, bits uint64, most int64) error {
	w := walker{data: data}
	sum := uint64(0)
	for len(w.data) > 0 {
		n, err := w.number()
		if err != nil {
			return err
		}
		count, size := n>>1, (bits+7)/8
		if n&1 == 1 {
			size = min(count*bits, uint64(len(w.data))) // the last group may be cut
			count *= 8
		}
		if n>>1 > uint64(most+spare) {
			return errTooBig
		}
		if sum += count; sum > uint64(most+spare) {
			return errTooBig
		}
		if err := w.skip(size); err != nil {
			return err
		}
	}
	return nil
}

// weighDeltas looks at the count in front of numbers that are packed as differences.
func weighDeltas(data []byte, most int64) error {
	w := walker{data: data}
	var n [3]uint64 // size of a block, parts of it, values
	for i := range n {
		var err error
		if n[i], err = w.number(); err != nil {
			return err
		}
	}
	if n[2] > uint64(most) || n[0] > rowsPerGroup || n[1] > n[0] {
		return errTooBig
	}
	return nil
}
