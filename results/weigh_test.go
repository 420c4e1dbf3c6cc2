package results

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/klauspost/compress/zstd"
	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	pq "github.com/parquet-go/parquet-go/format"
)

// aFile returns a whole file of a folder of results, and the folder.
func aFile(t *testing.T) ([]byte, *Folder) {
	t.Helper()
	f := ran(t, usual)
	data, err := os.ReadFile(f.shardName(0))
	if err != nil {
		t.Fatal(err)
	}
	return data, f
}

// footed puts a foot under bytes.
func footed(body, foot []byte) []byte {
	out := append(bytes.Clone(body), foot...)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(foot)))
	return append(out, "PAR1"...)
}

// withPage returns a file like another whose first column is one page, with a head and bytes of our choice.
func withPage(t *testing.T, good []byte, change func(h *pq.PageHeader, m *pq.ColumnMetaData), packed []byte) []byte {
	t.Helper()
	f, err := parquet.OpenFile(bytes.NewReader(good), int64(len(good)), parquet.SkipPageIndex(true))
	if err != nil {
		t.Fatal(err)
	}
	proto := &thrift.CompactProtocol{}
	meta := f.Metadata()
	m := &meta.RowGroups[0].Columns[0].MetaData
	h := pq.PageHeader{Type: pq.DataPageV2, UncompressedPageSize: 100, CompressedPageSize: int32(len(packed))}
	h.DataPageHeaderV2.Valid = true
	h.DataPageHeaderV2.V = pq.DataPageHeaderV2{NumValues: 5, NumRows: 5, Encoding: pq.DeltaBinaryPacked}
	change(&h, m)
	head, err := thrift.Marshal(proto, &h)
	if err != nil {
		t.Fatal(err)
	}
	n := int(binary.LittleEndian.Uint32(good[len(good)-8:]))
	body := bytes.Clone(good[:len(good)-8-n])
	m.DataPageOffset, m.TotalCompressedSize = int64(len(body)), int64(len(head)+len(packed))
	foot, err := thrift.Marshal(proto, meta)
	if err != nil {
		t.Fatal(err)
	}
	return footed(append(append(body, head...), packed...), foot)
}

func packed(t *testing.T, data []byte) []byte {
	t.Helper()
	w, err := zstd.NewWriter(nil)
	if err != nil {
		t.Fatal(err)
	}
	return w.EncodeAll(data, nil)
}

// TestBombsAreRefused reads small files that ask for gigabytes, or for more depth than a process has: they are refused for
// little memory, in no time.
func TestBombsAreRefused(t *testing.T) {
	good, folder := aFile(t)
	as := func(change func(h *pq.PageHeader, m *pq.ColumnMetaData), packed []byte) []byte {
		return withPage(t, good, change, packed)
	}
	none := func(*pq.PageHeader, *pq.ColumnMetaData) {}
	small := packed(t, []byte("small"))
	huge := packed(t, make([]byte, 256<<20))
	var streamed bytes.Buffer // without its size in front
	w, err := zstd.NewWriter(&streamed)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.CopyN(w, zeros{}, 256<<20); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	most := []byte{0xff, 0xff, 0xff, 0xff, 0x07} // 2³¹ − 1
	if _, _, err := folder.rec.read(good, folder.fields); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		"a list of 2³¹ columns":         footed([]byte("PAR1"), append([]byte{0x15, 0x02, 0x19, 0xfc}, most...)),
		"a list of as many as there is": footed([]byte("PAR1"), append([]byte{0x15, 0x02, 0x19, 0xfc, 0x80, 0x80, 0x80, 0x08}, make([]byte, 20<<20)...)),
		"a map of 2³¹ keys":             footed([]byte("PAR1"), append([]byte{0x1b}, append(most, 0x88)...)),
		"a text of 2³¹ bytes":           footed([]byte("PAR1"), append([]byte{0x68}, most...)),
		"eight million structures":      footed([]byte("PAR1"), bytes.Repeat([]byte{0x1c}, 8<<20)),
		"eight million lists":           footed([]byte("PAR1"), append([]byte{0x19}, bytes.Repeat([]byte{0x19}, 8<<20)...)),
		"a foot longer than the file":   append([]byte("PAR1"), 0xff, 0xff, 0xff, 0x7f, 'P', 'A', 'R', '1'),
		"a page of 2 GiB":               as(func(h *pq.PageHeader, _ *pq.ColumnMetaData) { h.UncompressedPageSize = math.MaxInt32 }, small),
		"a page of 2 GiB, packed":       as(func(h *pq.PageHeader, _ *pq.ColumnMetaData) { h.CompressedPageSize = math.MaxInt32 }, small),
		"2³¹ values":                    as(func(h *pq.PageHeader, _ *pq.ColumnMetaData) { h.DataPageHeaderV2.V.NumValues = math.MaxInt32 }, small),
		"levels of 2 GiB": as(func(h *pq.PageHeader, _ *pq.ColumnMetaData) {
			h.DataPageHeaderV2.V.DefinitionLevelsByteLength = math.MaxInt32
		}, small),
		"256 MiB in one frame":            as(none, huge),
		"256 MiB in a frame without size": as(none, streamed.Bytes()),
		"frame after frame":               as(none, bytes.Repeat(packed(t, make([]byte, 1<<20)), 500)),
		"another way of packing":          as(func(_ *pq.PageHeader, m *pq.ColumnMetaData) { m.Codec = pq.Gzip }, small),
		"a page that is not in the file":  as(func(_ *pq.PageHeader, m *pq.ColumnMetaData) { m.DictionaryPageOffset = math.MaxInt64 }, small),
		"a head that says 2³¹ of its text": as(func(h *pq.PageHeader, _ *pq.ColumnMetaData) {
			h.DataPageHeaderV2.V.Statistics.MinValue = make([]byte, 100<<10)
		}, small),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		from := time.Now()
		_, _, err := folder.rec.read(data, folder.fields)
		took := time.Since(from)
		runtime.ReadMemStats(&after)
		if err == nil {
			t.Errorf("%s: it is taken", name)
		}
		if more := after.TotalAlloc - before.TotalAlloc; more > 64<<20+uint64(len(data)) || took > 5*time.Second {
			t.Errorf("%s: %d MiB and %s to refuse %d KiB", name, more>>20, took, len(data)>>10)
		}
	}
}

// TestValuesThatCountForThemselves reads columns whose packed values say that there are billions of them.
func TestValuesThatCountForThemselves(t *testing.T) {
	good, folder := aFile(t)
	most := []byte{0xfe, 0xff, 0xff, 0xff, 0x0f} // a run of 2³¹ − 1
	groups := []byte{0xff, 0xff, 0xff, 0xff, 0x0f}
	encoded := func(e pq.Encoding) func(h *pq.PageHeader, m *pq.ColumnMetaData) {
		return func(h *pq.PageHeader, _ *pq.ColumnMetaData) { h.DataPageHeaderV2.V.Encoding = e }
	}
	for name, data := range map[string][]byte{
		"a run of numbers in a list":  withPage(t, good, encoded(pq.RLEDictionary), packed(t, append(append([]byte{8}, most...), 0))),
		"groups of no bits":           withPage(t, good, encoded(pq.RLEDictionary), packed(t, append([]byte{0}, groups...))),
		"groups of no bits, the old":  withPage(t, good, encoded(pq.Encoding(2)), packed(t, append([]byte{0}, groups...))),
		"many runs":                   withPage(t, good, encoded(pq.RLEDictionary), packed(t, append([]byte{0}, bytes.Repeat([]byte{0xfe, 0xff, 0x03}, 1<<20)...))),
		"numbers of 200 bits":         withPage(t, good, encoded(pq.RLEDictionary), packed(t, []byte{200, 2, 1})),
		"differences of 2⁴⁰ numbers":  withPage(t, good, encoded(pq.DeltaBinaryPacked), packed(t, []byte{0x80, 0x01, 4, 0x80, 0x80, 0x80, 0x80, 0x80, 0x20, 0})),
		"differences in a huge block": withPage(t, good, encoded(pq.DeltaBinaryPacked), packed(t, []byte{0x80, 0x80, 0x80, 0x80, 0x08, 4, 5, 0})),
		"an encoding of texts":        withPage(t, good, encoded(pq.DeltaByteArray), packed(t, []byte{0x80, 0x01, 4, 0x80, 0x80, 0x80, 0x80, 0x08, 0})),
		"levels without end": withPage(t, good, func(h *pq.PageHeader, _ *pq.ColumnMetaData) {
			h.DataPageHeaderV2.V.DefinitionLevelsByteLength = int32(len(most) + 1)
		}, append(append(bytes.Clone(most), 1), packed(t, []byte{0x80, 0x01, 4, 5, 0})...)),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		s, err := parse(bytes.NewReader(data), int64(len(data)), folder.fields)
		if err == nil {
			_, err = s.chunk(0, 0)
		}
		runtime.ReadMemStats(&after)
		if err == nil {
			t.Errorf("%s: it is taken", name)
		}
		if more := after.TotalAlloc - before.TotalAlloc; more > 64<<20 {
			t.Errorf("%s: %d MiB to refuse %d bytes", name, more>>20, len(data))
		}
	}
	s, err := parse(bytes.NewReader(good), int64(len(good)), folder.fields)
	if err != nil {
		t.Fatal(err)
	}
	for c := range len(folder.fields) + 1 {
		if _, err := s.chunk(0, c); err != nil {
			t.Errorf("column %d of a good file: %v", c, err)
		}
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	clear(p)
	return len(p), nil
}

// TestHugeAndStrangeFiles opens folders whose files have a terabyte, or are pipes, or say numbers that no study has.
func TestHugeAndStrangeFiles(t *testing.T) {
	for _, name := range []string{recordName, outcomeName} {
		_, f := aFile(t)
		if err := os.Truncate(filepath.Join(f.dir, name), 1<<40); err != nil {
			t.Skipf("the disk has no files with holes: %v", err)
		}
		again, err := Open(f.dir)
		if name == recordName {
			if err == nil || !strings.Contains(err.Error(), "are the most") {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if _, whole, err := again.Outcome(); err != nil || !whole { // the shards tell it as well
			t.Errorf("%s: %v %v", name, whole, err)
		}
	}
	_, f := aFile(t)
	pipe := f.shardName(1)
	if err := os.Remove(pipe); err != nil {
		t.Fatal(err)
	}
	if err := exec.Command("mkfifo", pipe).Run(); err != nil {
		t.Skip("this system has no pipes with names")
	}
	ended := make(chan error, 1)
	go func() {
		_, err := f.Query(t.Context(), Query{Limit: MostLimit})
		ended <- err
	}()
	select {
	case err := <-ended:
		if err == nil || !strings.Contains(err.Error(), "no regular file") {
			t.Error(err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("a pipe in the place of a file holds the reader up")
	}
}

// TestRecordsThatLie reads what stands in study.json of a folder from a stranger.
func TestRecordsThatLie(t *testing.T) {
	_, f := aFile(t)
	text, err := f.rec.bytes()
	if err != nil {
		t.Fatal(err)
	}
	size := `"shard_candidates_1": ` + number(int(f.rec.ShardSize))
	if !strings.Contains(string(text), size) {
		t.Fatalf("there is no %s", size)
	}
	for _, lie := range [][2]string{
		{size, `"shard_candidates_1": 18446744073709551615`},
		{size, `"shard_candidates_1": -1`},
		{size, `"shard_candidates_1": 0`},
		{`"values_1": 30`, `"values_1": 4611686018427387904`},
		{`"values_1": 30`, `"values_1": -30`},
		{`"values_1": 30`, `"values_1": 29`},
		{`"format_1": 1`, `"format_1": 2`},
		{`"blocks": [`, `"blocks": ` + strings.Repeat("[", 20000)},
	} {
		bad := strings.Replace(string(text), lie[0], lie[1], 1)
		if bad == string(text) {
			t.Fatalf("there is no %s", lie[0])
		}
		if _, err := readRecord([]byte(bad)); err == nil {
			t.Errorf("%.60s is taken", lie[1])
		}
	}
}

// TestLinksAreNotFollowed goes on with the results of a stranger in whose folder a name is a link: what it leads to stays as it is.
func TestLinksAreNotFollowed(t *testing.T) {
	for _, name := range []string{columnsName, outcomeName, frontName, lockName, shardsName, inputsName, shardsName + "/000001.parquet", inputsName + "/pilot.study.yaml", inputsName + "/elsewhere"} {
		_, f := aFile(t)
		outside := filepath.Join(t.TempDir(), "mine")
		link := filepath.Join(f.dir, filepath.FromSlash(name))
		info, err := os.Stat(link)
		switch {
		case err == nil && info.IsDir():
			err = os.Rename(link, outside)
		case err == nil || name == lockName:
			err = os.Remove(link)
			if err == nil || os.IsNotExist(err) {
				err = os.WriteFile(outside, []byte("mine"), 0o600)
			}
		}
		if err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(outside, link); err != nil {
			t.Skip("this system has no links")
		}
		before := content(t, filepath.Dir(outside))
		again, err := Create(f.dir, usual, bundle)
		if err == nil {
			_ = again.Close()
			t.Errorf("%s: results are written through a link", name)
		} else if !strings.Contains(err.Error(), "it is a link") {
			t.Errorf("%s: %v", name, err)
		}
		same(t, before, content(t, filepath.Dir(outside)))
	}
}
