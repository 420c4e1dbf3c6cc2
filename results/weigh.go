package results

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/parquet-go/parquet-go"
	pq "github.com/parquet-go/parquet-go/format"
)

// A folder of results may come from a stranger, and a few bytes of a Parquet file can ask its reader for gigabytes or for a depth
// that ends the process. So what a file says of itself is weighed first. The limits are far above what this package writes.
const (
	mostText  = 256 << 20 // bytes of study.json, of outcome.json, of an input and of the foot of a Parquet file
	mostPage  = 64 << 20  // bytes of a page, unpacked
	mostHead  = 64 << 10  // bytes of the head of a page
	mostItems = 1 << 18   // items of all lists of a foot
	mostDepth = 16        // structures in structures
	blockSize = 128 << 10 // bytes of a block of Zstandard, unpacked
)

// Types of the compact protocol of Thrift, in which Parquet describes itself.
const (
	thriftTrue = iota + 1
	thriftFalse
	thriftByte
	thriftShort
	thriftInt
	thriftLong
	thriftDouble
	thriftBytes
	thriftList
	thriftSet
	thriftMap
	thriftStruct
	thriftUUID
)

var (
	errCut    = errors.New("the file is cut short")
	errTooBig = errors.New("the file asks for more memory than results need")
	errOther  = errors.New("the file is packed in another way than results are")
)

// walker goes over a description without building anything of it.
type walker struct {
	data  []byte // that is left
	items int
}

func (w *walker) skip(n uint64) error {
	if n > uint64(len(w.data)) {
		return errCut
	}
	w.data = w.data[n:]
	return nil
}

func (w *walker) byte() (byte, error) {
	if len(w.data) == 0 {
		return 0, errCut
	}
	b := w.data[0]
	w.data = w.data[1:]
	return b, nil
}

func (w *walker) number() (uint64, error) {
	n, size := binary.Uvarint(w.data)
	if size <= 0 {
		return 0, errCut
	}
	w.data = w.data[size:]
	return n, nil
}

// signedOf undoes the zigzag by which Thrift writes whole numbers of either sign.
func signedOf(n uint64) int64 { return int64(n>>1) ^ -int64(n&1) }

// structure goes over one structure. tell hears the whole numbers of the outermost structure, as those of field 0, and those of the
// structures that are its fields; it may be nil.
func (w *walker) structure(depth int, of int64, tell func(of, field, value int64)) error {
	if depth > mostDepth {
		return errTooBig
	}
	field := int64(0)
	for {
		b, err := w.byte()
		if err != nil || b == 0 {
			return err
		}
		if delta := int64(b >> 4); delta != 0 {
			field += delta
		} else {
			n, err := w.number()
			if err != nil {
				return err
			}
			field = signedOf(n)
		}
		if err := w.value(b&15, depth, of, field, tell); err != nil {
			return err
		}
	}
}

// value goes over one value of some kind, as structure does.
func (w *walker) value(kind byte, depth int, of, field int64, tell func(of, field, value int64)) error {
	switch kind {
	case thriftTrue, thriftFalse:
		return nil
	case thriftByte:
		return w.skip(1)
	case thriftShort, thriftInt, thriftLong:
		n, err := w.number()
		if err == nil && tell != nil && depth <= 2 {
			tell(of, field, signedOf(n))
		}
		return err
	case thriftDouble:
		return w.skip(8)
	case thriftUUID:
		return w.skip(16)
	case thriftBytes:
		n, err := w.number()
		if err != nil {
			return err
		}
		return w.skip(n)
	case thriftList, thriftSet:
		b, err := w.byte()
		if err != nil {
			return err
		}
		n := uint64(b >> 4)
		if n == 15 {
			if n, err = w.number(); err != nil {
				return err
			}
		}
		return w.list(n, depth, b&15)
	case thriftMap:
		n, err := w.number()
		if err != nil || n == 0 {
			return err
		}
		b, err := w.byte()
		if err != nil {
			return err
		}
		return w.list(n, depth, b>>4, b&15)
	case thriftStruct:
		if depth > 1 {
			tell = nil
		}
		return w.structure(depth+1, field, tell)
	}
	return errors.New("the file describes itself in a way that is unknown")
}

// list goes over the items of a list, or over the keys and values of a map. Every item takes a byte or more.
func (w *walker) list(n uint64, depth int, kinds ...byte) error {
	if n > uint64(len(w.data)) {
		return errCut
	}
	if w.items += int(n); w.items > mostItems {
		return errTooBig
	}
	for range n {
		for _, kind := range kinds {
			if kind == thriftTrue || kind == thriftFalse {
				kind = thriftByte
			}
			if err := w.value(kind, depth, 0, 0, nil); err != nil {
				return err
			}
		}
	}
	return nil
}

// weighFoot goes over what a file says of itself at its end, before a reader believes it.
func weighFoot(r io.ReaderAt, size int64) error {
	var end [8]byte
	if _, err := r.ReadAt(end[:], size-int64(len(end))); err != nil {
		return err
	}
	n := int64(binary.LittleEndian.Uint32(end[:]))
	if string(end[4:]) != "PAR1" || n > size-12 {
		return errCut
	}
	if n > mostText {
		return errTooBig
	}
	foot := make([]byte, n)
	if _, err := r.ReadAt(foot, size-int64(len(end))-n); err != nil {
		return err
	}
	w := walker{data: foot}
	return w.structure(1, 0, nil)
}

// weighPages goes over the heads of all pages of a file.
func weighPages(r io.ReaderAt, size int64, f *parquet.File) error {
	for _, g := range f.Metadata().RowGroups {
		for i := range g.Columns {
			if err := weighChunk(r, size, &g.Columns[i].MetaData); err != nil {
				return err
			}
		}
	}
	return nil
}

// weighChunk goes over the pages of one column of a group.
func weighChunk(r io.ReaderAt, size int64, m *pq.ColumnMetaData) error {
	return eachPage(r, size, m, func(p head, at int64) error {
		return weighFrame(r, at+p.levels, p.packed-p.levels)
	})
}

// eachPage calls for every page of a column of a group, with where it stands behind its head.
func eachPage(r io.ReaderAt, size int64, m *pq.ColumnMetaData, visit func(p head, at int64) error) error {
	if m.Codec != pq.Zstd {
		return errOther
	}
	at := m.DataPageOffset
	if m.DictionaryPageOffset != 0 {
		at = m.DictionaryPageOffset
	}
	if at < 0 || m.TotalCompressedSize < 0 || at > size || m.TotalCompressedSize > size-at {
		return errCut
	}
	for end := at + m.TotalCompressedSize; at < end; {
		p, err := readHead(r, at, end-at)
		if err != nil {
			return err
		}
		switch {
		case p.kind != pq.DataPageV2 && p.kind != pq.DictionaryPage || p.repeated:
			return errOther
		case p.packed < 0 || p.levels > p.packed || p.packed > end-at-p.size:
			return errCut
		case p.unpacked > mostPage || p.values > rowsPerGroup:
			return errTooBig
		}
		at += p.size
		if err := visit(p, at); err != nil {
			return err
		}
		at += p.packed
	}
	return nil
}

// head is what the head of a page says.
type head struct {
	size             int64 // of the head itself
	kind             pq.PageType
	packed, unpacked int64 // bytes of the page
	levels           int64 // bytes that stand before the packed ones
	values           int64
	encoding         pq.Encoding
	repeated         bool
}

// Structures of the head of a page, by their fields.
const (
	headData, headDictionary, headData2 = 5, 7, 8
)

// readHead reads the head of a page, which has at most so many bytes.
func readHead(r io.ReaderAt, at, most int64) (head, error) {
	for n := int64(1 << 10); ; n *= 8 {
		n = min(n, most, mostHead)
		data := make([]byte, n)
		if _, err := r.ReadAt(data, at); err != nil {
			return head{}, err
		}
		h := head{kind: -1}
		w := walker{data: data}
		err := w.structure(1, 0, h.tell)
		if errors.Is(err, errCut) && n < min(most, mostHead) {
			continue
		}
		h.size = n - int64(len(w.data))
		return h, err
	}
}

// tell takes in one number of a head.
func (h *head) tell(of, field, value int64) {
	switch {
	case of == 0 && field == 1:
		h.kind = pq.PageType(value)
	case of == 0 && field == 2:
		h.unpacked = value
	case of == 0 && field == 3:
		h.packed = value
	case field == 1 && (of == headData || of == headDictionary || of == headData2):
		h.values = max(h.values, value)
	case of == headData2 && field == 4:
		h.encoding = pq.Encoding(value)
	case of == headData2 && field == 5:
		if h.levels = value; value < 0 {
			h.levels = mostPage
		}
	case of == headData2 && field == 6:
		h.repeated = value != 0
	}
}

// openRegular opens a file of a folder of results: a pipe would wait for ever.
func openRegular(name string) (*os.File, int64, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, 0, err
	}
	if !info.Mode().IsRegular() {
		return nil, 0, errors.New("it is no regular file")
	}
	f, err := os.Open(name)
	return f, info.Size(), err
}

// readText reads study.json, outcome.json or an input.
func readText(name string) ([]byte, error) {
	f, size, err := openRegular(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	if size > mostText {
		return nil, fmt.Errorf("it has %d bytes, and %d are the most", size, int64(mostText))
	}
	return io.ReadAll(io.LimitReader(f, mostText))
}
