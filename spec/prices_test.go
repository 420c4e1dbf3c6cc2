package spec

import (
	"bytes"
	"errors"
	"os"
	"reflect"
	"strings"
	"testing"

	"crankwright/mechanics/parts"
)

const pricesExample = "../examples/invented.prices.yaml"

func TestTheExampleIsTheUsualPrices(t *testing.T) {
	data, err := os.ReadFile(pricesExample)
	if err != nil {
		t.Fatal(err)
	}
	if want := WritePrices(parts.UsualPrices()); !bytes.Equal(data, want) {
		t.Errorf("%s is not what 'crankwright new --prices' writes", pricesExample)
	}
	p, err := ReadPricesFile(pricesExample)
	if err != nil || !reflect.DeepEqual(p, parts.UsualPrices()) {
		t.Errorf("%v: %+v", err, p)
	}
	if !strings.Contains(string(data), "invented") {
		t.Error("the table does not say that it is invented")
	}
}

func TestPricesThatCannotBe(t *testing.T) {
	whole := string(WritePrices(parts.UsualPrices()))
	for _, c := range []struct{ from, to, want string }{
		{"each: 2.2}", "eech: 2.2}", `did you mean "each"`},
		{"part: valve,", "part: valv,", `did you mean "valve"`},
		{"each: 2.2}", "per_metre: 2.2}", "it is counted in pieces; give each"},
		{"per_metre: 7}", "each: 7}", "it is counted by length; give per_metre"},
		{"each: 2.2}", "each: -2.2}", "it must not be negative"},
		{"each: 2.2}", "each: 1e12}", "points are the most"},
		{"reference: 825", "reference: 0", "it must be greater than zero"},
		{"reference: 825", "referenze: 1000", `did you mean "reference"`},
		{"  - {part: valve, each: 2.2}\n", "", "prices: there is none for valve; give every part a price"},
		{"part: pushrod,", "part: valve,", `"valve" has a price in line`},
		{"- {part: valve, each: 2.2}", "- {each: 2.2}", "part is missing"},
		{"name: Invented prices\n", "", "name is missing"},
	} {
		text := strings.Replace(whole, c.from, c.to, 1)
		if text == whole {
			t.Errorf("%q is not in the table", c.from)
		}
		_, err := ReadPrices("p.yaml", []byte(text))
		var list Errors
		if !errors.As(err, &list) || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "p.yaml:") {
			t.Errorf("%q for %q: %v; want %q", c.to, c.from, err, c.want)
		}
	}
	if _, err := ReadPrices("p.yaml", nil); err == nil {
		t.Error("an empty table is read")
	}
}

func TestSchemaOfPrices(t *testing.T) {
	s := compiled(t, PricesSchema)
	whole := string(WritePrices(parts.UsualPrices()))
	for text, good := range map[string]bool{
		whole: true,
		strings.Replace(whole, "each: 2.2}", "eech: 2.2}", 1):      false,
		strings.Replace(whole, "part: valve,", "part: valv,", 1):   false,
		strings.Replace(whole, "reference: 825", "refer: 1", 1):    false,
		strings.Replace(whole, "each: 2.2}", "each: [1, 2] }", 1):  false,
		strings.Replace(whole, "each: 2.2}", "each: \"2.2\" }", 1): true,
	} {
		d := parseDocument(&collector{}, []byte(text))
		tree := asEditorsSee(d.root, d)
		if err := s.Validate(tree); (err == nil) != good {
			t.Errorf("the schema says %v of a table that is good: %v", err, good)
		}
	}
}

func FuzzReadPrices(f *testing.F) {
	whole := WritePrices(parts.UsualPrices())
	seedWith(f, "prices", func(data []byte) { f.Add(data) }, "../examples/*.prices.yaml")
	f.Add(whole)
	f.Add([]byte("name: x\nreference: 1\nprices: [{part: valve, each: 1}]"))
	f.Add([]byte("prices: {a: 1}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bounded(t, len(data))()
		p, err := ReadPrices("f", data)
		if err != nil {
			refused(t, err, yamlLines(string(data)))
			return
		}
		if err := p.Validate(); err != nil {
			t.Fatalf("a table that is read cannot be used: %v", err)
		}
		again, err := ReadPrices("again", WritePrices(p))
		if err != nil || !reflect.DeepEqual(again, p) {
			t.Fatalf("written and read again: %+v, then %+v %v", p, again, err)
		}
	})
}
