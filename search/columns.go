package search

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/spec"
	"crankwright/study"
)

// mostSpelled is the largest number of cylinders whose firing order fits into the digits of a number.
const mostSpelled = 9

// layOut makes the columns: what makes the block, what varies, what is computed.
func (p *Problem) layOut(shape, rest []spec.Variation) {
	numbers := map[string][]float64{}
	for _, v := range slices.Concat(shape, rest) {
		first := len(p.columns)
		switch {
		case v.Key == pinsKey && v.All:
			most := 0
			for _, b := range p.blocks {
				most = max(most, b.places)
			}
			for k := range most {
				p.columns = append(p.columns, study.Column{Key: fmt.Sprintf("pin_%d", k+1), Name: fmt.Sprintf("Pin %d", k+1), Unit: "deg"})
			}
		case v.Key == ordersKey && v.All:
			p.columns = append(p.columns, study.Column{Key: "firing_order", Name: "Firing order", Unit: "1"})
		default:
			c := study.Column{Key: v.Key, Name: nameOfKey(v.Key), Unit: "1"}
			values, unit, ok := quantities(v.Values)
			if c.Unit = unit; !ok {
				c.Unit, c.Texts, values = "1", v.Values, nil
				for i := range v.Values {
					values = append(values, float64(i))
				}
			}
			p.columns = append(p.columns, c)
			numbers[v.Key] = values
		}
		for _, b := range p.blocks {
			for _, a := range b.axes {
				if a.key == v.Key {
					a.column, a.numbers = first, numbers[v.Key]
				}
			}
		}
	}
	inputs := len(p.columns)
	for i := range p.figures {
		f := &p.figures[i]
		p.columns = append(p.columns, study.Column{Key: f.Key, Name: f.Name, Unit: f.Unit, Kind: study.Figure})
	}
	for i := range p.aims {
		p.aims[i].Column += inputs
	}
	for _, b := range p.blocks {
		b.row = make([]float64, inputs)
		for i := range b.row {
			b.row[i] = math.NaN()
		}
		for i, v := range shape {
			b.row[i] = numbers[v.Key][slices.Index(v.Values, b.shape[i].Text)]
		}
	}
}

// fill writes the inputs of a candidate behind those of the block: of the axes from first on; −1: of the block, too.
func (b *block) fill(row []float64, digits, steps []int, first int) {
	if first < 0 {
		copy(row, b.row)
	}
	for i := max(0, first); i < len(b.axes); i++ {
		switch a := b.axes[i]; {
		case a.kind == phasings:
			for k, s := range steps {
				row[a.column+k] = 360 * float64(s) / float64(len(b.units))
			}
		case a.kind == allOrders: // once its sequence is known
		default:
			row[a.column] = a.numbers[digits[i]]
		}
	}
}

// spelled writes a firing order as the digits of a number; of more cylinders than there are digits the number of the schedule.
func spelled(order []int, schedule int) float64 {
	if len(order) > mostSpelled {
		return float64(schedule)
	}
	n := 0
	for _, c := range order {
		n = 10*n + c + 1
	}
	return float64(n)
}

// nameOfKey writes a key for people.
func nameOfKey(key string) string {
	switch key {
	case spec.StrokeOverBore:
		return "Stroke over bore"
	case spec.RodOverThrow:
		return "Rod length over throw"
	}
	words := strings.NewReplacer(".", " ", "_", " ", "[", " ", "]", "").Replace(strings.TrimPrefix(key, "layout."))
	return strings.ToUpper(words[:1]) + words[1:]
}
