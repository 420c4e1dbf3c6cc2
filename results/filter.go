package results

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"crankwright/spec"
)

// A filter in trade words is read as
//
//	any        = all { "or" all }
//	all        = one { "and" one }
//	one        = "not" one | "(" any ")" | comparison
//	comparison = key ( = | != | < | <= | > | >= ) value
//
// with a value such as 2 kN, none, [0, 180] deg or 'full or half'. A candidate without the value satisfies no
// comparison but "key = none".

// condition is a filter, or a part of it.
type condition interface {
	// eval sets out for every row of the block.
	eval(b *block, out []bool) error
	// may reports whether a row within some bounds can satisfy it.
	may(b bounds) bool
}

// parser reads a filter.
type parser struct {
	f     *Folder
	text  string
	at    int
	depth int
}

// mostNested bounds how deep parentheses and "not" stand in each other.
const mostNested = 200

// filter reads a filter; an empty one is nil.
func (f *Folder) filter(text string) (condition, error) {
	p := &parser{f: f, text: text}
	if p.blank(); p.at == len(text) {
		return nil, nil
	}
	c, err := p.any()
	if err == nil && p.at < len(text) {
		err = fmt.Errorf("'%s' is not expected here; join conditions with 'and' or 'or'", p.rest())
	}
	if err != nil {
		return nil, fmt.Errorf("filter: %w", err)
	}
	return c, nil
}

func (p *parser) blank() {
	for p.at < len(p.text) {
		r, n := utf8.DecodeRuneInString(p.text[p.at:])
		if !unicode.IsSpace(r) {
			return
		}
		p.at += n
	}
}

// rest returns what is still to be read, as much as a message can show.
func (p *parser) rest() string {
	const most = 30
	text := strings.TrimSpace(p.text[p.at:])
	if utf8.RuneCountInString(text) > most {
		return string([]rune(text)[:most]) + "…"
	}
	return text
}

// word takes a word such as "and" where it is next.
func (p *parser) word(w string) bool {
	p.blank()
	if !wordAt(p.text, p.at, w) {
		return false
	}
	p.at += len(w)
	p.blank()
	return true
}

// wordAt reports whether a word stands at a place, by itself.
func wordAt(text string, at int, w string) bool {
	if len(text)-at < len(w) || !strings.EqualFold(text[at:at+len(w)], w) {
		return false
	}
	before, _ := utf8.DecodeLastRuneInString(text[:at])
	after, _ := utf8.DecodeRuneInString(text[at+len(w):])
	return (at == 0 || !inKey(before)) && (at+len(w) == len(text) || !inKey(after))
}

// inKey reports whether a letter can be part of a key.
func inKey(r rune) bool {
	return unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("._-", r)
}

func (p *parser) any() (condition, error) { return p.joined("or", p.all) }
func (p *parser) all() (condition, error) { return p.joined("and", p.one) }

// joined reads parts with one word between them.
func (p *parser) joined(w string, part func() (condition, error)) (condition, error) {
	var list []condition
	for {
		c, err := part()
		if err != nil {
			return nil, err
		}
		list = append(list, c)
		if !p.word(w) {
			break
		}
	}
	if len(list) == 1 {
		return list[0], nil
	}
	return &join{list: list, or: w == "or"}, nil
}

// one reads what stands between "and" and "or".
func (p *parser) one() (condition, error) {
	if p.depth++; p.depth > mostNested {
		return nil, fmt.Errorf("more than %d parentheses stand in each other", mostNested)
	}
	defer func() { p.depth-- }()
	if p.word("not") {
		c, err := p.one()
		return &not{c}, err
	}
	if p.blank(); strings.HasPrefix(p.text[p.at:], "(") {
		p.at++
		c, err := p.any()
		if err != nil {
			return nil, err
		}
		if p.blank(); !strings.HasPrefix(p.text[p.at:], ")") {
			return nil, fmt.Errorf("a parenthesis is not closed before '%s'", p.rest())
		}
		p.at++
		p.blank()
		return c, nil
	}
	return p.comparison()
}

// operators by how they may be written; longer ones first.
var operators = []struct{ text, op string }{
	{"<=", "<="}, {">=", ">="}, {"!=", "!="}, {"<>", "!="}, {"==", "="}, {"≤", "<="}, {"≥", ">="}, {"≠", "!="}, {"=", "="}, {"<", "<"}, {">", ">"},
}

// comparison reads a key, an operator and a value.
func (p *parser) comparison() (condition, error) {
	from := p.at
	for p.at < len(p.text) {
		r, n := utf8.DecodeRuneInString(p.text[p.at:])
		if !inKey(r) {
			break
		}
		p.at += n
	}
	key := p.text[from:p.at]
	if key == "" {
		if p.at == len(p.text) {
			return nil, fmt.Errorf("a condition is missing at the end, such as '%s'", p.f.example())
		}
		return nil, fmt.Errorf("a key is needed before '%s', as in '%s'", p.rest(), p.f.example())
	}
	c, err := p.f.find(key)
	if err != nil {
		return nil, err
	}
	p.blank()
	op := ""
	for _, o := range operators {
		if strings.HasPrefix(p.text[p.at:], o.text) {
			op = o.op
			p.at += len(o.text)
			break
		}
	}
	if op == "" {
		return nil, fmt.Errorf("after %s one of = != < <= > >= is needed", key)
	}
	value, err := p.value()
	if err != nil {
		return nil, err
	}
	if value == "" {
		return nil, fmt.Errorf("a value is missing after %s %s", key, op)
	}
	return p.f.compare(c, key, op, value)
}

// value reads up to the next "and", "or" or closing parenthesis that is not in brackets or quotes.
func (p *parser) value() (string, error) {
	p.blank()
	if p.at < len(p.text) && (p.text[p.at] == '\'' || p.text[p.at] == '"') {
		end := strings.IndexByte(p.text[p.at+1:], p.text[p.at])
		if end < 0 {
			return "", fmt.Errorf("a quotation mark is not closed in %s", p.rest())
		}
		text := p.text[p.at+1 : p.at+1+end]
		p.at += end + 2
		p.blank()
		return text, nil
	}
	from, depth := p.at, 0
	for p.at < len(p.text) {
		r, n := utf8.DecodeRuneInString(p.text[p.at:])
		switch {
		case strings.ContainsRune("[{(", r):
			depth++
		case depth > 0 && strings.ContainsRune("]})", r):
			depth--
		case depth == 0 && (r == ')' || wordAt(p.text, p.at, "and") || wordAt(p.text, p.at, "or")):
			return strings.TrimSpace(p.text[from:p.at]), nil
		}
		p.at += n
	}
	return strings.TrimSpace(p.text[from:p.at]), nil
}

// example is a condition of this study.
func (f *Folder) example() string {
	for i, c := range f.fields {
		if !c.text() {
			return f.short(i) + " < 2 " + strings.TrimSpace(strings.TrimPrefix(c.Unit, "1"))
		}
	}
	return candidateField + " < 1000"
}

// nothing is the word for a value that is not there.
const nothing = "none"

// compare makes a comparison of a column with a value.
func (f *Folder) compare(c int, key, op, value string) (condition, error) {
	if c != candidateColumn && f.fields[c].text() {
		return f.compareText(c, key, op, value)
	}
	if strings.EqualFold(value, nothing) && (op == "=" || op == "!=") {
		return &missing{c, op == "="}, nil
	}
	unit := "1"
	if c != candidateColumn {
		unit = f.fields[c].Unit
	}
	x, err := spec.InUnit(value, unit)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", key, err)
	}
	return &compared{column: c, op: op, value: x}, nil
}

// compareText makes a comparison of a column that is kept as texts.
func (f *Folder) compareText(c int, key, op, value string) (condition, error) {
	if op != "=" && op != "!=" {
		return nil, fmt.Errorf("%s has values in words, which are = or != only", key)
	}
	texts := f.fields[c].Texts
	set := &among{column: c, in: make([]bool, len(texts)), not: op == "!="}
	for i, t := range texts {
		set.in[i] = squeezed(t) == squeezed(value)
	}
	if slices.Contains(set.in, true) {
		return set, nil
	}
	if near := spec.Nearest(value, texts); near != "" {
		return nil, fmt.Errorf("%s has no value '%s'; is '%s' meant?", key, value, near)
	}
	const most = 8
	list := strings.Join(texts[:min(len(texts), most)], "', '")
	if len(texts) > most {
		return nil, fmt.Errorf("%s has no value '%s'; it has '%s' and %d more", key, value, list, len(texts)-most)
	}
	return nil, fmt.Errorf("%s has no value '%s'; it has '%s'", key, value, list)
}

// squeezed is a text without blanks, in small letters: how a value was spaced does not matter.
func squeezed(t string) string { return strings.ToLower(strings.Join(strings.Fields(t), "")) }

// join is satisfied where all of its conditions are, or one of them.
type join struct {
	list []condition
	or   bool
	part []bool
}

func (j *join) eval(b *block, out []bool) error {
	for i, c := range j.list {
		if i == 0 {
			if err := c.eval(b, out); err != nil {
				return err
			}
			continue
		}
		if slices.Index(out, !j.or) < 0 {
			return nil // decided for every row: the further columns need not be read
		}
		j.part = append(j.part[:0], out...)
		if err := c.eval(b, j.part); err != nil {
			return err
		}
		for k, x := range j.part {
			if j.or {
				out[k] = out[k] || x
			} else {
				out[k] = out[k] && x
			}
		}
	}
	return nil
}

func (j *join) may(b bounds) bool {
	for _, c := range j.list {
		if c.may(b) == j.or {
			return j.or
		}
	}
	return !j.or
}

// not is satisfied where its condition is not.
type not struct{ c condition }

func (n *not) eval(b *block, out []bool) error {
	err := n.c.eval(b, out)
	for i := range out {
		out[i] = !out[i]
	}
	return err
}

func (n *not) may(bounds) bool { return true }

// missing is satisfied where there is no value, or where there is one.
type missing struct {
	column int
	is     bool
}

func (m *missing) eval(b *block, out []bool) error {
	list, err := b.column(m.column)
	for i, x := range list {
		out[i] = math.IsNaN(x) == m.is
	}
	return err
}

func (m *missing) may(bounds) bool { return true }

// among is satisfied by some texts.
type among struct {
	column int
	in     []bool
	not    bool
}

func (a *among) eval(b *block, out []bool) error {
	list, err := b.column(a.column)
	for i, x := range list {
		out[i] = x == x && a.in[int(x)] != a.not
	}
	return err
}

func (a *among) may(bounds) bool { return true }

// compared is a comparison of numbers. Those that differ by a part in 10⁹ are equal: a value that was converted from one
// unit to another is still the value that was meant.
type compared struct {
	column int
	op     string
	value  float64
	exact  bool // no such dust: SQL compares to the last digit
}

// limits returns between which numbers a value counts as equal.
func (c *compared) limits() (lo, hi float64) {
	dust := 1e-9 * math.Abs(c.value)
	if c.exact || c.column == candidateColumn {
		dust = 0
	}
	return c.value - dust, c.value + dust
}

func (c *compared) eval(b *block, out []bool) error {
	list, err := b.column(c.column)
	if err != nil {
		return err
	}
	lo, hi := c.limits()
	switch c.op {
	case "<":
		for i, x := range list {
			out[i] = x < lo
		}
	case "<=":
		for i, x := range list {
			out[i] = x <= hi
		}
	case ">":
		for i, x := range list {
			out[i] = x > hi
		}
	case ">=":
		for i, x := range list {
			out[i] = x >= lo
		}
	case "=":
		for i, x := range list {
			out[i] = x >= lo && x <= hi
		}
	default:
		for i, x := range list {
			out[i] = x < lo || x > hi
		}
	}
	return nil
}

func (c *compared) may(b bounds) bool {
	least, most, ok := b(c.column)
	if !ok {
		return true
	}
	lo, hi := c.limits()
	switch c.op {
	case "<":
		return least < lo
	case "<=":
		return least <= hi
	case ">":
		return most > hi
	case ">=":
		return most >= lo
	case "=":
		return most >= lo && least <= hi
	}
	return least < lo || most > hi
}
