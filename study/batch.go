package study

// Batch holds candidates by column (structure of arrays), in growing sequence of their numbers.
type Batch struct {
	Index  []uint64    // number of each candidate
	Values [][]float64 // by column of the problem, then by candidate; NaN where there is no such value
}

// NewBatch returns a batch of no candidates with a number of columns [1]. Definition.
func NewBatch(columns int) *Batch { return &Batch{Values: make([][]float64, columns)} }

// Len returns the number of candidates [1]. Definition.
func (b *Batch) Len() int { return len(b.Index) }

// Reset empties the batch and keeps its room.
//
// Nothing is returned [1]. Definition.
func (b *Batch) Reset() {
	b.Index = b.Index[:0]
	for i := range b.Values {
		b.Values[i] = b.Values[i][:0]
	}
}

// Row returns all values of one candidate, copied.
//
//   - i: its place in the batch [1], from 0, below Len
//
// Result: by column, in the unit of each [1]. Definition.
func (b *Batch) Row(i int) []float64 {
	row := make([]float64, len(b.Values))
	for k, column := range b.Values {
		row[k] = column[i]
	}
	return row
}

// Append adds a candidate.
//
//   - index: its number [1]
//   - values: by column, in the unit of each
//
// Nothing is returned. Definition.
func (b *Batch) Append(index uint64, values []float64) {
	b.Index = append(b.Index, index)
	for k := range b.Values {
		b.Values[k] = append(b.Values[k], values[k])
	}
}

// Count is how many candidates a rule left out, and the first of them.
type Count struct {
	N     uint64
	First uint64 // number of the first, where N is above 0
}

// Add counts one more candidate; numbers come in growing sequence.
//
// Nothing is returned [1]. Definition.
func (c *Count) Add(index uint64) {
	if c.N == 0 {
		c.First = index
	}
	c.N++
}

// Merge adds what another range counted by the same rule.
//
// Nothing is returned [1]. Definition.
func (c *Count) Merge(other Count) {
	if other.N > 0 && (c.N == 0 || other.First < c.First) {
		c.First = other.First
	}
	c.N += other.N
}
