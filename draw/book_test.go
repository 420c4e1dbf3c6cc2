package draw

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// pdfFile is a file read back: what stands under each number.
type pdfFile struct {
	objects map[int]string
	streams map[int][]byte
	root    int
}

var (
	objectStart = regexp.MustCompile(`^(\d+) 0 obj\n<<(.*)>>\nstream\n`)
	reference   = regexp.MustCompile(`(\d+) 0 R`)
)

func number(t *testing.T, text, key string) int {
	t.Helper()
	m := regexp.MustCompile(`/` + key + ` ?(\d+)`).FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("no /%s in %.200s", key, text)
	}
	n, _ := strconv.Atoi(m[1])
	return n
}

// readPDF reads a file by its table of objects alone, as a viewer does.
func readPDF(t *testing.T, data []byte) pdfFile {
	t.Helper()
	m := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(data)
	if m == nil {
		t.Fatal("the file does not end as one of its kind")
	}
	at, _ := strconv.Atoi(string(m[1]))
	streamAt := func(at int) (n int, head string, body []byte) {
		found := objectStart.FindSubmatch(data[at:])
		if found == nil {
			t.Fatalf("no object with a stream stands at %d: %.60q", at, data[at:])
		}
		n, _ = strconv.Atoi(string(found[1]))
		head = string(found[2])
		from := at + len(found[0])
		length := number(t, head, "Length")
		if !bytes.HasPrefix(data[from+length:], []byte("\nendstream\nendobj\n")) {
			t.Fatalf("the stream of object %d is not as long as it says", n)
		}
		z, err := zlib.NewReader(bytes.NewReader(data[from : from+length]))
		if err != nil {
			t.Fatal(err)
		}
		if body, err = io.ReadAll(z); err != nil {
			t.Fatalf("object %d: %v", n, err)
		}
		return n, head, body
	}
	_, head, table := streamAt(at)
	f := pdfFile{objects: map[int]string{}, streams: map[int][]byte{}, root: number(t, head, "Root")}
	if size := number(t, head, "Size"); len(table) != 7*size {
		t.Fatalf("the table has %d bytes for %d objects", len(table), size)
	}
	packed := map[int][]string{}
	for n := 1; 7*n < len(table); n++ {
		kind, at, third := table[7*n], int(binary.BigEndian.Uint32(table[7*n+1:])), int(binary.BigEndian.Uint16(table[7*n+5:]))
		switch kind {
		case 0:
			continue
		case 1:
			number, head, body := streamAt(at)
			if number != n {
				t.Fatalf("object %d stands where the table has %d", number, n)
			}
			f.objects[n], f.streams[n] = head, body
		case 2:
			if packed[at] == nil {
				place := binary.BigEndian.Uint32(table[7*at+1:])
				_, head, body := streamAt(int(place))
				fields := strings.Fields(string(body[:number0(head, "First")]))
				for i := 0; i < len(fields); i += 2 {
					from, _ := strconv.Atoi(fields[i+1])
					end := len(body) - number0(head, "First")
					if i+3 < len(fields) {
						end, _ = strconv.Atoi(fields[i+3])
					}
					packed[at] = append(packed[at], fields[i]+" "+string(body[number0(head, "First")+from:number0(head, "First")+end]))
				}
			}
			name, text, _ := strings.Cut(packed[at][third], " ")
			if name != strconv.Itoa(n) {
				t.Fatalf("place %d of object %d holds object %s, not %d", third, at, name, n)
			}
			f.objects[n] = text
		}
	}
	return f
}

func number0(text, key string) int {
	n, _ := strconv.Atoi(regexp.MustCompile(`/` + key + ` ?(\d+)`).FindStringSubmatch(text)[1])
	return n
}

// check holds a file against what every file must have.
func (f pdfFile) check(t *testing.T) {
	t.Helper()
	for n, text := range f.objects {
		if strings.Count(text, "<<") != strings.Count(text, ">>") {
			t.Errorf("object %d opens more than it closes: %.100s", n, text)
		}
		for _, m := range reference.FindAllStringSubmatch(text, -1) {
			k, _ := strconv.Atoi(m[1])
			if _, ok := f.objects[k]; !ok {
				t.Errorf("object %d refers to %d, which is not there: %.100s", n, k, text)
			}
		}
	}
	if !strings.Contains(f.objects[f.root], "/Type/Catalog") {
		t.Errorf("the root is %.100s", f.objects[f.root])
	}
}

func (f pdfFile) ofType(kind string) []int {
	var out []int
	for n, text := range f.objects {
		if strings.Contains(text, "/Type/"+kind+"/") || strings.Contains(text, "/Type/"+kind+">") {
			out = append(out, n)
		}
	}
	return out
}

func testBook() Book {
	root := &Part{Kind: "Document"}
	b := Book{Title: "A book", Subject: "of three pages", Language: "en", Root: root}
	f := newSheet("x", "A figure (with brackets) λ", nil).empty("nothing")
	for i := range 3 {
		p := &Page{Width: 595, Height: 842}
		p.As(root.Add("H1"))
		p.Text(40, 60, fmt.Sprintf("Heading %d, 12\u202f345 N 中", i+1), Font{Size: 14, Bold: true}, InkPlain)
		p.Target(fmt.Sprintf("page-%d", i), 50)
		p.As(nil)
		p.Line(40, 70, 500, 70, 1, InkRule)
		figure := root.Add("Figure")
		figure.Alt = f.Desc
		p.As(figure)
		p.Place(f, 40, 80, 0.5)
		p.As(root.Add("P").Add("Link"))
		p.Text(40, 700, "to the next page", Font{Size: 9, Mono: true}, InkSoft)
		p.Link(40, 690, 100, 12, fmt.Sprintf("page-%d", (i+1)%3))
		b.Pages = append(b.Pages, p)
	}
	b.Bookmarks = []Bookmark{{Title: "One", Target: "page-0", Kids: []Bookmark{{Title: "Two", Target: "page-1"}, {Title: "Two again", Target: "page-1"}}}, {Title: "Three", Target: "page-2"}}
	return b
}

func TestBookCanBeReadBack(t *testing.T) {
	b := testBook()
	data, err := b.PDF()
	if err != nil {
		t.Fatal(err)
	}
	again, err := testBook().PDF()
	if err != nil || !bytes.Equal(data, again) {
		t.Error("the same book does not give the same bytes")
	}
	if again, err = b.PDF(); err != nil || !bytes.Equal(data, again) {
		t.Error("a book written twice does not give the same bytes")
	}
	f := readPDF(t, data)
	f.check(t)
	if n := len(f.ofType("Page")); n != 3 {
		t.Errorf("%d pages, want 3", n)
	}
	if n := len(f.ofType("Annot")); n != 3 {
		t.Errorf("%d links, want 3", n)
	}
	titles := 0
	for _, text := range f.objects {
		for _, m := range []string{"One", "Two", "Two again", "Three"} {
			if strings.Contains(text, "/Title "+pdfText(m)+"/Parent") {
				titles++
			}
		}
	}
	if titles != 4 {
		t.Errorf("%d bookmarks, want 4", titles)
	}
	// what the structure tells stands in the pages, and the other way round
	told, marked := 0, 0
	for n, text := range f.objects {
		told += strings.Count(text, "/Type/MCR")
		if strings.Contains(text, "/Type/Page/") {
			marked += strings.Count(string(f.streams[number(t, text, "Contents")]), "/MCID")
		}
		if strings.Contains(text, "/S/Figure") && !strings.Contains(text, "/Alt<feff") {
			t.Errorf("the figure %d has no words", n)
		}
	}
	if told != 9 || marked != 9 {
		t.Errorf("%d marks told of, %d marked, want 9 and 9", told, marked)
	}
}

// Letters keep their codes: what is drawn alike, or lacking, can still be copied.
func TestBookLettersCanBeCopied(t *testing.T) {
	data, err := testBook().PDF()
	if err != nil {
		t.Fatal(err)
	}
	all := ""
	for _, s := range readPDF(t, data).streams {
		all += string(s)
	}
	for _, r := range []string{"\u202f", "中", "λ", " "} {
		if !strings.Contains(all, "<"+utf16Hex(r)+">\nendbfchar") {
			t.Errorf("no code stands for %q", r)
		}
	}
}

func TestBookRefuses(t *testing.T) {
	for want, change := range map[string]func(*Book){
		"no page":                    func(b *Book) { b.Pages = nil },
		"greater than zero":          func(b *Book) { b.Pages[1].Width = 0 },
		`"nowhere", which stands on`: func(b *Book) { b.Pages[0].Link(0, 0, 1, 1, "nowhere") },
		`"Two" leads to "elsewhere"`: func(b *Book) { b.Bookmarks[0].Kids[0].Target = "elsewhere" },
	} {
		b := testBook()
		change(&b)
		if _, err := b.PDF(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want an error with %q", err, want)
		}
	}
}

func TestFontLines(t *testing.T) {
	f := Font{Size: 10}
	for _, text := range []string{"", " ", "one", "several words that need some lines to stand in", strings.Repeat("endless", 40), "a\u00a0b c", "日本語のエンジン名前がとても長い", "1\u202f234 N"} {
		for _, width := range []float64{1, 30, 80, 400} {
			lines := f.Lines(text, width)
			for _, l := range lines {
				if f.Width(l) > width+1e-9 && len([]rune(l)) > 1 {
					t.Errorf("%q at %g: the line %q is %g wide", text, width, l, f.Width(l))
				}
			}
			squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
			if squeeze(strings.Join(lines, "")) != squeeze(text) {
				t.Errorf("%q at %g: letters were lost in %q", text, width, lines)
			}
		}
	}
	if got := f.Cut("a long name", 30); f.Width(got) > 30 || !strings.HasSuffix(got, "…") {
		t.Errorf("cut to %q", got)
	}
	if got := string(Lacking("a中b\u202fλ中♯")); got != "♯中" {
		t.Errorf("lacking %q", got)
	}
}

// What is left of a font draws the letters that are used as the whole font does, also those that are composed of others.
func TestSubsetDrawsTheSame(t *testing.T) {
	for _, f := range []*face{regular(), bold(), mono()} {
		letters := "Aéλö½Ω中→≈²·−"
		var used []int
		for _, r := range letters {
			used = append(used, int(f.glyph(r).index))
		}
		data, err := subset(f.data, used)
		if err != nil {
			t.Fatal(err)
		}
		if len(data) > len(f.data)/3 {
			t.Errorf("%s: %d bytes of %d are left", f.name, len(data), len(f.data))
		}
		if checksum(data) != 0xB1B0AFBA {
			t.Errorf("%s: the sum is %x", f.name, checksum(data))
		}
		part, err := fontTables(data)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := fontTables(f.data)
		if err != nil {
			t.Fatal(err)
		}
		outline := func(t map[string][]byte, i int) string {
			at := func(i int) uint32 {
				if binary.BigEndian.Uint16(t["head"][50:]) == 1 {
					return binary.BigEndian.Uint32(t["loca"][4*i:])
				}
				return 2 * uint32(binary.BigEndian.Uint16(t["loca"][2*i:]))
			}
			return strings.TrimRight(string(t["glyf"][at(i):at(i+1)]), "\x00")
		}
		composed := 0
		for _, i := range used {
			if outline(part, i) != outline(whole, i) {
				t.Errorf("%s: glyph %d differs", f.name, i)
			}
			for _, c := range components([]byte(outline(whole, i))) {
				composed++
				if outline(part, c) == "" || outline(part, c) != outline(whole, c) {
					t.Errorf("%s: glyph %d, a part of %d, differs", f.name, c, i)
				}
			}
		}
		if outline(part, int(f.glyph('Q').index)) != "" {
			t.Errorf("%s: a letter that is not used is there", f.name)
		}
		t.Logf("%s: %d bytes of %d, %d parts", f.name, len(data), len(f.data), composed)
	}
	for _, bad := range [][]byte{nil, make([]byte, 12), append([]byte{0, 1, 0, 0, 0, 9}, make([]byte, 40)...)} {
		if _, err := subset(bad, nil); err == nil {
			t.Errorf("%x is taken for a font", bad)
		}
	}
}

func TestComponents(t *testing.T) {
	head := []byte{0xff, 0xff, 0, 0, 0, 0, 0, 0, 0, 0}
	glyph := append(append([]byte{}, head...), 0, 0x21, 0, 7, 0, 0, 0, 0, // words follow, and more
		0, 0x28, 1, 2, 0, 0, 0x40, 0, // bytes and a scale follow, and more
		0, 0x40, 0, 9, 0, 0, 0, 0, 0, 0, // two scales, the last
		0, 0, 0, 11)
	if got := fmt.Sprint(components(glyph)); got != "[7 258 9]" {
		t.Errorf("got %s", got)
	}
	if got := components([]byte{0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x21, 0, 7}); got != nil {
		t.Errorf("a plain glyph has parts %v", got)
	}
}
