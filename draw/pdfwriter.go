package draw

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"
	"unicode/utf16"
)

// pdfWriter writes numbered objects and remembers where they stand. Objects without a stream are packed together,
// for a tagged document has thousands of small ones.
type pdfWriter struct {
	b      bytes.Buffer
	places []pdfPlace // of object n; the first stands for none
	small  []pdfSmall // waiting to be packed
	packer *zlib.Writer
	err    error
}

// pdfPlace is where an object stands: in the file, or in another object at an index.
type pdfPlace struct {
	at, index int
	inside    bool
}

type pdfSmall struct {
	n    int
	body string
}

func newPDFWriter() *pdfWriter {
	w := &pdfWriter{places: make([]pdfPlace, 1)}
	w.b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	return w
}

// reserve returns the number of an object that is still to be written.
func (w *pdfWriter) reserve() int {
	w.places = append(w.places, pdfPlace{})
	return len(w.places) - 1
}

// object writes an object without a stream.
func (w *pdfWriter) object(n int, body string) {
	w.small = append(w.small, pdfSmall{n, body})
	if len(w.small) == 200 {
		w.pack()
	}
}

// pack writes the waiting objects as one stream.
func (w *pdfWriter) pack() {
	if len(w.small) == 0 {
		return
	}
	var index, bodies strings.Builder
	n := w.reserve()
	for i, o := range w.small {
		fmt.Fprintf(&index, "%d %d ", o.n, bodies.Len())
		bodies.WriteString(o.body + "\n")
		w.places[o.n] = pdfPlace{at: n, index: i, inside: true}
	}
	entries := fmt.Sprintf("/Type/ObjStm/N %d/First %d", len(w.small), index.Len())
	w.small = nil
	if err := w.stream(n, entries, []byte(index.String()+bodies.String())); err != nil && w.err == nil {
		w.err = err
	}
}

// stream writes an object with data, packed.
func (w *pdfWriter) stream(n int, entries string, data []byte) error {
	var packed bytes.Buffer
	if w.packer == nil {
		w.packer = zlib.NewWriter(&packed)
	} else {
		w.packer.Reset(&packed)
	}
	z := w.packer
	if _, err := z.Write(data); err != nil {
		return fmt.Errorf("the page cannot be packed: %w", err)
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("the page cannot be packed: %w", err)
	}
	w.places[n] = pdfPlace{at: w.b.Len()}
	fmt.Fprintf(&w.b, "%d 0 obj\n<</Filter/FlateDecode/Length %d%s>>\nstream\n", n, packed.Len(), entries)
	w.b.Write(packed.Bytes())
	w.b.WriteString("\nendstream\nendobj\n")
	return nil
}

// finish writes the table of all objects and ends the file.
func (w *pdfWriter) finish(catalog, info int) ([]byte, error) {
	w.pack()
	if w.err != nil {
		return nil, w.err
	}
	self := w.reserve()
	start := w.b.Len()
	w.places[self] = pdfPlace{at: start}
	table := make([]byte, 0, 7*len(w.places))
	for i, p := range w.places {
		kind, third := byte(1), p.index
		switch {
		case p.inside:
			kind = 2
		case p.at == 0: // no object; the first begins the list of free ones
			kind = 0
			if i == 0 {
				third = 0xffff
			}
		}
		table = append(table, kind, byte(p.at>>24), byte(p.at>>16), byte(p.at>>8), byte(p.at), byte(third>>8), byte(third))
	}
	if err := w.stream(self, fmt.Sprintf("/Type/XRef/Size %d/W[1 4 2]/Root %d 0 R/Info %d 0 R", len(w.places), catalog, info), table); err != nil {
		return nil, err
	}
	fmt.Fprintf(&w.b, "startxref\n%d\n%%%%EOF\n", start)
	return w.b.Bytes(), nil
}

func pdfText(s string) string { return "<feff" + utf16Hex(s) + ">" }

func utf16Hex(s string) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04x", u)
	}
	return b.String()
}
