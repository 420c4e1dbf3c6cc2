package draw

import (
	"fmt"
	"strings"
)

// PDF returns the book as a file.
//
// Result: PDF 1.7 [-] with vector marks, embedded fonts, outline, links, page labels and, where Root tells it, the structure
// of the text. It holds no date, so that the same book gives the same bytes. Errors: a book without pages, a
// page without size, a bookmark or link whose target stands nowhere. Definition.
func (b Book) PDF() ([]byte, error) {
	if len(b.Pages) == 0 {
		return nil, fmt.Errorf("a book has no page; it needs at least one")
	}
	w := &bookWriter{pdfWriter: newPDFWriter(), book: b, targets: map[string]string{}}
	w.catalog, w.tree, w.outline, w.info, w.structure = w.reserve(), w.reserve(), w.reserve(), w.reserve(), w.reserve()
	for i := range w.fonts {
		w.fonts[i] = w.reserve()
	}
	for i, p := range b.Pages {
		if !pageLength(p.Width) || !pageLength(p.Height) {
			return nil, fmt.Errorf("page %d of %d is %g by %g points; both must be greater than zero", i+1, len(b.Pages), p.Width, p.Height)
		}
		n := w.reserve()
		w.pages = append(w.pages, n)
		for _, t := range p.targets {
			if _, ok := w.targets[t.name]; !ok {
				w.targets[t.name] = fmt.Sprintf("[%d 0 R/XYZ 0 %s null]", n, coordinate(p.Height-t.y))
			}
		}
	}
	if b.Root != nil {
		b.Root.clear()
		w.number(b.Root)
	}
	for i := range b.Pages {
		if err := w.page(i); err != nil {
			return nil, err
		}
	}
	for i, n := range w.fonts {
		if len(w.letters.letters[i]) == 0 {
			continue
		}
		if err := w.letters.write(w.pdfWriter, n, i); err != nil {
			return nil, err
		}
	}
	if err := w.bookmarks(); err != nil {
		return nil, err
	}
	w.parts()
	w.head()
	return w.finish(w.catalog, w.info)
}

// bookWriter writes one book.
type bookWriter struct {
	*pdfWriter
	book                                    Book
	catalog, tree, outline, info, structure int
	fonts                                   [3]int // objects
	pages                                   []int  // objects
	letters                                 pdfFonts
	targets                                 map[string]string // destination of a name
	owners, linkOwners                      []string          // entries of the table from marks and links to parts
}

// head writes the objects that hold the document together.
func (w *bookWriter) head() {
	var kids strings.Builder
	for _, n := range w.pages {
		fmt.Fprintf(&kids, "%d 0 R ", n)
	}
	w.object(w.tree, fmt.Sprintf("<</Type/Pages/Kids[%s]/Count %d>>", strings.TrimSpace(kids.String()), len(w.pages)))
	catalog := fmt.Sprintf("<</Type/Catalog/Pages %d 0 R/Lang%s/ViewerPreferences<</DisplayDocTitle true>>/PageLabels<</Nums[0<</S/D>>]>>", w.tree, pdfText(w.book.Language))
	if len(w.book.Bookmarks) > 0 {
		catalog += fmt.Sprintf("/Outlines %d 0 R/PageMode/UseOutlines", w.outline)
	}
	if w.book.Root != nil {
		catalog += fmt.Sprintf("/MarkInfo<</Marked true>>/StructTreeRoot %d 0 R", w.structure)
	}
	w.object(w.catalog, catalog+">>")
	w.object(w.info, fmt.Sprintf("<</Title %s/Subject %s/Producer(crankwright)>>", pdfText(Plain(w.book.Title)), pdfText(Plain(w.book.Subject))))
}

// page writes a page with its content and links.
func (w *bookWriter) page(i int) error {
	p := w.book.Pages[i]
	c := &pdfPage{theme: lightTheme(), fonts: &w.letters}
	fmt.Fprintf(&c.b, "1 0 0 -1 0 %s cm\n1 j\n", coordinate(p.Height))
	var owners []string
	for _, s := range p.spans {
		if len(s.nodes) == 0 {
			continue
		}
		if s.part == nil || s.part.object == 0 {
			c.b.WriteString("/Artifact BMC\n") //nolint:misspell // as the format spells it
		} else {
			fmt.Fprintf(&c.b, "/%s<</MCID %d>>BDC\n", s.part.Kind, len(owners))
			s.part.marks = append(s.part.marks, partMark{page: w.pages[i], id: len(owners)})
			owners = append(owners, fmt.Sprintf("%d 0 R", s.part.object))
		}
		if s.zoom != 0 {
			fmt.Fprintf(&c.b, "q %g 0 0 %g %s %s cm\n", s.zoom, s.zoom, coordinate(s.at.x), coordinate(s.at.y))
		}
		c.words = s.zoom == 0 && s.part != nil
		c.nodes(s.nodes)
		if s.zoom != 0 {
			c.b.WriteString("Q\n")
		}
		c.b.WriteString("EMC\n")
	}
	content := w.reserve()
	if err := w.stream(content, "", c.b.Bytes()); err != nil {
		return err
	}
	var fonts, annotations strings.Builder
	for j, used := range c.used {
		if used {
			fmt.Fprintf(&fonts, "/F%d %d 0 R", j, w.fonts[j])
		}
	}
	for _, l := range p.links {
		to, ok := w.targets[l.target]
		if !ok {
			return fmt.Errorf("page %d: a link leads to %q, which stands on no page", i+1, l.target)
		}
		n := w.reserve()
		fmt.Fprintf(&annotations, "%d 0 R ", n)
		body := fmt.Sprintf("<</Type/Annot/Subtype/Link/Border[0 0 0]/F 4/Rect[%s %s %s %s]/Dest%s",
			coordinate(l.box.x0), coordinate(p.Height-l.box.y1), coordinate(l.box.x1), coordinate(p.Height-l.box.y0), to)
		if l.part != nil && l.part.object != 0 {
			key := len(w.book.Pages) + len(w.linkOwners)
			body += fmt.Sprintf("/StructParent %d", key)
			w.linkOwners = append(w.linkOwners, fmt.Sprintf("%d %d 0 R", key, l.part.object))
			l.part.links = append(l.part.links, n)
		}
		w.object(n, body+">>")
	}
	w.object(w.pages[i], fmt.Sprintf("<</Type/Page/Parent %d 0 R/MediaBox[0 0 %s %s]/Contents %d 0 R/Resources<</Font<<%s>>>>/Annots[%s]/StructParents %d/Tabs/S>>",
		w.tree, coordinate(p.Width), coordinate(p.Height), content, fonts.String(), strings.TrimSpace(annotations.String()), i))
	w.owners = append(w.owners, fmt.Sprintf("%d[%s]", i, strings.Join(owners, " ")))
	return nil
}

// bookmarks writes the outline.
func (w *bookWriter) bookmarks() error {
	if len(w.book.Bookmarks) == 0 {
		return nil
	}
	first, last, err := w.entries(w.book.Bookmarks, w.outline)
	if err != nil {
		return err
	}
	w.object(w.outline, fmt.Sprintf("<</Type/Outlines/First %d 0 R/Last %d 0 R/Count %d>>", first, last, len(w.book.Bookmarks)))
	return nil
}

// entries writes the bookmarks of one level; those below are closed.
func (w *bookWriter) entries(list []Bookmark, parent int) (first, last int, err error) {
	numbers := make([]int, len(list))
	for i := range list {
		numbers[i] = w.reserve()
	}
	for i, m := range list {
		to, ok := w.targets[m.Target]
		if !ok {
			return 0, 0, fmt.Errorf("the bookmark %q leads to %q, which stands on no page", m.Title, m.Target)
		}
		body := fmt.Sprintf("<</Title %s/Parent %d 0 R/Dest%s", pdfText(Plain(m.Title)), parent, to)
		if i > 0 {
			body += fmt.Sprintf("/Prev %d 0 R", numbers[i-1])
		}
		if i+1 < len(list) {
			body += fmt.Sprintf("/Next %d 0 R", numbers[i+1])
		}
		if len(m.Kids) > 0 {
			a, b, err := w.entries(m.Kids, numbers[i])
			if err != nil {
				return 0, 0, err
			}
			body += fmt.Sprintf("/First %d 0 R/Last %d 0 R/Count -%d", a, b, len(m.Kids))
		}
		w.object(numbers[i], body+">>")
	}
	return numbers[0], numbers[len(numbers)-1], nil
}

// clear forgets what writing the book left in its parts.
func (p *Part) clear() {
	p.marks, p.links, p.object = nil, nil, 0
	for _, q := range p.parts {
		q.clear()
	}
}

// number gives every part that holds something an object.
func (w *bookWriter) number(p *Part) {
	p.object = w.reserve()
	for _, q := range p.parts {
		w.number(q)
	}
}

// parts writes the structure of the text.
func (w *bookWriter) parts() {
	if w.book.Root == nil {
		return
	}
	w.part(w.book.Root, w.structure)
	w.object(w.structure, fmt.Sprintf("<</Type/StructTreeRoot/K %d 0 R/ParentTree<</Nums[%s]>>/ParentTreeNextKey %d>>",
		w.book.Root.object, strings.Join(append(w.owners, w.linkOwners...), " "), len(w.owners)+len(w.linkOwners)))
}

func (w *bookWriter) part(p *Part, parent int) {
	var kids strings.Builder
	for _, m := range p.marks {
		fmt.Fprintf(&kids, "<</Type/MCR/Pg %d 0 R/MCID %d>>", m.page, m.id)
	}
	for _, n := range p.links {
		fmt.Fprintf(&kids, "<</Type/OBJR/Obj %d 0 R>>", n)
	}
	for _, q := range p.parts {
		fmt.Fprintf(&kids, "%d 0 R ", q.object)
		w.part(q, p.object)
	}
	body := fmt.Sprintf("<</Type/StructElem/S/%s/P %d 0 R/K[%s]", p.Kind, parent, strings.TrimSpace(kids.String()))
	if p.Alt != "" {
		body += "/Alt" + pdfText(Plain(p.Alt))
	}
	switch {
	case p.Head != "" && p.Columns > 1:
		body += fmt.Sprintf("/A<</O/Table/Scope/%s/ColSpan %d>>", p.Head, p.Columns)
	case p.Head != "":
		body += "/A<</O/Table/Scope/" + p.Head + ">>"
	case p.Columns > 1:
		body += fmt.Sprintf("/A<</O/Table/ColSpan %d>>", p.Columns)
	}
	w.object(p.object, body+">>")
}
