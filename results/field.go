package results

import (
	"math"
	"reflect"
	"strings"

	"github.com/parquet-go/parquet-go"

	"crankwright/spec"
	"crankwright/study"
)

// Names of the columns that every file has beside those of the problem.
const (
	candidateField = "candidate"
	alikeField     = "alike" // of front.parquet only
)

// field is a column as it is kept.
type field struct {
	study.Column
	Field string // its name in Parquet files: the key and the unit, such as free_force_order_2_N
	// numbers are the values of an axis whose texts are all numbers with a unit, in Unit; it is kept as numbers.
	numbers []float64
	codes   map[string]float64 // index of each text, of a column that is kept as texts
}

// fieldOf says how a column is kept.
func fieldOf(c study.Column) field {
	f := field{Column: c}
	if f.Unit == "" {
		f.Unit = "1"
	}
	if c.Texts != nil {
		f.numbers = numbersOf(c.Texts, f.Unit)
		if f.numbers == nil {
			f.codes = map[string]float64{}
			for i, t := range c.Texts {
				if _, twice := f.codes[t]; !twice {
					f.codes[t] = float64(i)
				}
			}
		}
	}
	f.Field = word(c.Key)
	if !f.text() {
		f.Field += "_" + unitWord(f.Unit)
	}
	return f
}

// fieldsOf says how columns are kept.
func fieldsOf(columns []study.Column) []field {
	var list []field
	for _, c := range columns {
		list = append(list, fieldOf(c))
	}
	return list
}

// text reports whether the column is kept as texts.
func (f field) text() bool { return f.Texts != nil && f.numbers == nil }

// kept returns a value of a batch as it is kept: texts stay indices.
func (f field) kept(x float64) float64 {
	if f.numbers == nil || math.IsNaN(x) {
		return x
	}
	return f.numbers[int(x)]
}

// numbersOf returns texts as numbers in a unit, or nil where one of them is none.
func numbersOf(texts []string, unit string) []float64 {
	list := make([]float64, len(texts))
	for i, t := range texts {
		x, err := spec.InUnit(t, unit)
		if err != nil {
			return nil
		}
		list[i] = x
	}
	return list
}

// word makes a key one word of letters, digits and underlines.
func word(key string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '_'
	}, key)
}

// unitWords writes a unit as the keys of the JSON documents do: kg m² is kgm2, m/s m_per_s.
var unitWords = strings.NewReplacer("%", "pct", "°", "deg", "µ", "u", "μ", "u", "²", "2", "³", "3", "⁴", "4", "⁻", "-", "^", "",
	" ", "", "·", "", "*", "", "1/", "per_", "/", "_per_")

func unitWord(unit string) string { return word(unitWords.Replace(unit)) }

// schema returns the columns of a Parquet file in the sequence of the problem.
func schema(fields []field, alike bool) *parquet.Schema {
	list := []parquet.Field{named{parquet.Encoded(parquet.Leaf(parquet.Int64Type), &parquet.DeltaBinaryPacked), candidateField}}
	for _, f := range fields {
		var n parquet.Node
		switch {
		case f.text():
			n = parquet.Encoded(parquet.String(), &parquet.RLEDictionary)
		case f.Kind == study.Input:
			n = parquet.Encoded(parquet.Leaf(parquet.DoubleType), &parquet.RLEDictionary)
		default:
			n = parquet.Encoded(parquet.Leaf(parquet.DoubleType), &parquet.ByteStreamSplit)
		}
		list = append(list, named{parquet.Optional(n), f.Field})
	}
	if alike {
		list = append(list, named{parquet.Leaf(parquet.Int64Type), alikeField})
	}
	group := parquet.Group{}
	for _, f := range list {
		group[f.Name()] = f
	}
	return parquet.NewSchema("candidates", inSequence{group, list})
}

// inSequence is a group whose fields keep their sequence; parquet.Group sorts them by name.
type inSequence struct {
	parquet.Group
	fields []parquet.Field
}

func (g inSequence) Fields() []parquet.Field { return g.fields }

// named is a node with its name.
type named struct {
	parquet.Node
	name string
}

func (n named) Name() string { return n.name }

// Value is asked for only where rows are Go values; ours are columns.
func (n named) Value(base reflect.Value) reflect.Value { return base.MapIndex(reflect.ValueOf(n.name)) }
