package study

// Point is a candidate with all its values.
type Point struct {
	Index  uint64
	Values []float64 // by column
	Alike  uint64    // how many more candidates, with higher numbers, have the same values of every aim
}
