package spec

import (
	"bytes"
	"fmt"
	"strings"

	"crankwright/mechanics/parts"
)

// PricesSuffix ends the names of files with price tables.
const PricesSuffix = ".prices.yaml"

// ReadPrices reads a price table. file is the name that messages show; the error is Errors with everything that is wrong.
func ReadPrices(file string, data []byte) (parts.Prices, error) {
	c := &collector{file: file}
	var table PriceTable
	if decodeFile(c, data, &table) == nil {
		return parts.Prices{}, c.sorted()
	}
	p := parts.Prices{Name: table.Name.Value, Reference: table.Reference.SI, Of: map[string]parts.Price{}}
	r := &priceReader{collector: c, into: p.Of, line: map[string]int{}}
	if table.Name.missing() {
		c.fail(table.at, "write name: Prices of our shop, or say that they are invented", "name is missing")
	}
	switch q := &table.Reference; {
	case q.missing():
		c.fail(table.at, "write reference: 1000", "reference, the points that are a cost index of 1, is missing")
	case q.Given() && q.SI > parts.MaxPoints:
		c.fail(q.at, fmt.Sprintf("%g points are the most", parts.MaxPoints), "reference: %s is not possible", q.Text)
	}
	for i := range table.Prices {
		r.price(&table.Prices[i])
	}
	r.lacking(&table)
	if err := c.sorted(); err != nil {
		return parts.Prices{}, err
	}
	return p, nil
}

// ReadPricesFile reads a price table from disk.
func ReadPricesFile(path string) (parts.Prices, error) {
	data, err := ReadWhole(path)
	if err != nil {
		return parts.Prices{}, err
	}
	return ReadPrices(path, data)
}

type priceReader struct {
	*collector
	into map[string]parts.Price
	line map[string]int
	bad  bool // a row whose part is unknown: which prices are missing cannot be told
}

func (r *priceReader) price(row *PartPrice) {
	switch {
	case !row.Given():
		r.bad = true
		return
	case row.Part.missing():
		r.fail(row.at, "write - {part: valve, each: 2.2}", "part is missing")
	}
	if !row.Part.Given() {
		r.bad = true
		return
	}
	key := row.Part.Value
	if line := r.line[key]; line > 0 {
		r.fail(row.Part.at, "give each part one price", "part: %q has a price in line %d already", key, line)
		return
	}
	r.line[key] = row.at.Line
	price := parts.Price{Each: row.Each.SI, PerKg: row.PerKg.SI}
	own, other, name, why := &row.Each, &row.PerMetre, "each", "it is counted in pieces"
	if unitOf(key) == parts.Metre {
		own, other, name, why = other, own, "per_metre", "it is counted by length"
		price.Each = row.PerMetre.SI
	}
	if !other.missing() {
		r.fail(other.at, "give "+name, "%s: %s", key, why)
	} else if own.missing() {
		r.fail(row.at, "write "+name+": 10", "%s of %q is missing; %s", name, key, why)
	}
	for _, q := range []*Quantity[Price]{own, &row.PerKg} {
		if q.Given() && q.SI > parts.MaxPoints {
			r.fail(q.at, fmt.Sprintf("%g points are the most", parts.MaxPoints), "%s: %s is not possible", key, q.Text)
		}
	}
	r.into[key] = price
}

// lacking names the parts that have no price: none is taken for granted.
func (r *priceReader) lacking(table *PriceTable) {
	if r.bad {
		return
	}
	var names []string
	for _, k := range parts.Kinds() {
		if r.line[k.Key] == 0 {
			names = append(names, k.Key)
		}
	}
	if len(names) == 0 {
		return
	}
	more := ""
	if n := len(names); n > 5 {
		more = fmt.Sprintf(" and %d more", n-5)
		names = names[:5]
	}
	r.fail(table.at, "give every part a price, such as - {part: valve, each: 2.2}", "prices: there is none for %s%s", strings.Join(names, ", "), more)
}

func unitOf(key string) string {
	for _, k := range parts.Kinds() {
		if k.Key == key {
			return k.Unit
		}
	}
	return ""
}

// WritePrices writes a price table as a file that ReadPrices reads to the same values.
func WritePrices(p parts.Prices) []byte {
	var b bytes.Buffer
	b.WriteString("# Points for every part, machined face and metre. Change what you know better: 'crankwright cost --prices FILE' uses them.\n")
	b.WriteString("# " + parts.Invented + "\n")
	fmt.Fprintf(&b, "name: %s\nreference: %s # points that are a cost index of 1\nprices:\n", quoted(p.Name), formatNumber(p.Reference))
	group := parts.Group("")
	for _, k := range parts.Kinds() {
		if k.Group != group {
			group = k.Group
			fmt.Fprintf(&b, "  # %s\n", group)
		}
		unit := "each"
		if k.Unit == parts.Metre {
			unit = "per_metre"
		}
		fmt.Fprintf(&b, "  - {part: %s, %s: %s", k.Key, unit, formatNumber(p.Of[k.Key].Each))
		if kg := p.Of[k.Key].PerKg; kg > 0 {
			b.WriteString(", per_kg: " + formatNumber(kg))
		}
		b.WriteString("}\n")
	}
	return b.Bytes()
}
