package results

import (
	"context"
	"fmt"
	"math/bits"
)

// MostPoints is how many rows Columns returns at most.
const MostPoints = 4_000_000

// Cloud is many rows by column, for pictures.
type Cloud struct {
	Columns []CloudColumn
	Index   []uint64 // number of each candidate
	Kept    uint64   // candidates that were kept; where there are fewer rows, the others are left out evenly
	Whole   bool     // the study is finished
}

// CloudColumn is one column of a cloud.
type CloudColumn struct {
	Key, Name, Unit string
	Texts           []string  // a value is the index of its text; nil: a number in Unit
	Values          []float32 // NaN: there is none
}

// Columns returns the values of some keys for all candidates that were kept, or for most of them, spread evenly: of every
// run of equally many candidates one, which looks like chance and is the same every time.
func (f *Folder) Columns(ctx context.Context, keys []string, most int) (*Cloud, error) {
	if most < 1 || most > MostPoints {
		return nil, fmt.Errorf("the number of points is %d; it is 1 to %d", most, MostPoints)
	}
	wanted, err := f.findAll(keys)
	if err != nil {
		return nil, err
	}
	src, err := f.scan(nil)
	if err != nil {
		return nil, err
	}
	defer src.close()
	o, whole, err := f.Outcome()
	if err != nil {
		return nil, err
	}
	cloud := &Cloud{Kept: o.Kept, Whole: whole}
	n := int(min(uint64(most), o.Kept))
	cloud.Index = make([]uint64, 0, n)
	for _, c := range wanted {
		is := f.rowColumn(c)
		d := CloudColumn{Key: is.Key, Name: is.Name, Unit: is.Unit, Values: make([]float32, 0, n)}
		if is.Text {
			d.Texts = f.fields[c].Texts
		}
		cloud.Columns = append(cloud.Columns, d)
	}
	return cloud, cloud.fill(ctx, src, wanted, spread{of: o.Kept, n: uint64(n)})
}

// fill takes the rows that the spread picks.
func (c *Cloud) fill(ctx context.Context, src source, wanted []int, pick spread) error {
	from := uint64(0)
	rows := []int{}
	for pick.i < pick.n {
		if err := ctx.Err(); err != nil {
			return err
		}
		b, err := src.next()
		if b == nil || err != nil {
			return err
		}
		rows = rows[:0]
		for pick.i < pick.n && pick.at() < from+uint64(b.n) {
			rows = append(rows, int(pick.at()-from))
			pick.i++
		}
		from += uint64(b.n)
		if len(rows) == 0 {
			continue
		}
		number, err := b.column(candidateColumn)
		if err != nil {
			return err
		}
		for _, i := range rows {
			c.Index = append(c.Index, uint64(number[i]))
		}
		for k, column := range wanted {
			list, err := b.column(column)
			if err != nil {
				return err
			}
			to := c.Columns[k].Values
			for _, i := range rows {
				to = append(to, float32(list[i]))
			}
			c.Columns[k].Values = to
		}
	}
	return nil
}

// spread picks n rows of many: one of each of n runs that are as long as each other, to a row. Which of a run follows from
// its number by multiplication with an odd constant, so that no axis of the space keeps step with it.
type spread struct{ of, n, i uint64 }

// begin returns where a run begins.
func (s spread) begin(i uint64) uint64 {
	hi, lo := bits.Mul64(i, s.of)
	q, _ := bits.Div64(hi, lo, s.n)
	return q
}

// at returns the row that is picked of run i.
func (s spread) at() uint64 {
	from, to := s.begin(s.i), s.begin(s.i+1)
	offset, _ := bits.Mul64(s.i*0x9E3779B97F4A7C15, to-from) // the golden ratio, as a fraction of 2⁶⁴
	return from + offset
}
