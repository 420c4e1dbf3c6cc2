package study

// MostBest is how many candidates are listed for each aim [1]. Definition.
const MostBest = 20

// Outcome is what a range of candidates yielded.
type Outcome struct {
	Looked uint64    // candidates that were looked at
	Left   []Count   // by rule
	Kept   uint64    // candidates that no rule left out
	Front  []Point   // not dominated by any other that was kept, by number
	Best   [][]Point // by aim, the best first, at most MostBest
}
