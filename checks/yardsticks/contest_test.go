package yardsticks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"testing"
)

// contest is a piece of work that we and others do.
type contest struct {
	work   string
	ours   func(n int) error                       // does it n times
	apart  func(theirs []float64) (float64, error) // how far the numbers of a rival are from ours, relative [1]
	cut    int                                     // numbers before it and behind it are of two sorts; 0: all are of one
	rivals []rival
}

// rival is a program that does the work in one way.
type rival struct {
	library string
	way     string
	program *program
}

// tolerance is how far the numbers may be apart [1].
const tolerance = 1e-9

func (c *contest) add(library string, p *program, ways ...string) {
	for _, way := range ways {
		c.rivals = append(c.rivals, rival{library, way, p})
	}
}

// agree fails unless every rival finds our numbers, and a number that is not quite ours is seen.
func (c *contest) agree(t *testing.T) {
	t.Helper()
	for _, r := range c.rivals {
		theirs, err := r.program.give(r.way)
		if err != nil {
			t.Fatal(err)
		}
		gap, err := c.apart(theirs)
		if err != nil {
			t.Fatalf("%s, %s %s: %v", c.work, r.library, r.way, err)
		}
		t.Logf("%s, %s %s: %.1e apart", c.work, r.library, r.way, gap)
		if !(gap <= tolerance) {
			t.Errorf("%s, %s %s: %.2g apart, %.2g is accepted", c.work, r.library, r.way, gap, tolerance)
		}
		for _, sort := range [][]float64{theirs[:c.cut], theirs[c.cut:]} {
			if len(sort) == 0 {
				continue
			}
			largest := 0
			for i, v := range sort {
				if math.Abs(v) > math.Abs(sort[largest]) {
					largest = i
				}
			}
			right := sort[largest]
			sort[largest] *= 1 + 1e-6
			if gap, err := c.apart(theirs); err == nil && gap <= tolerance {
				t.Errorf("%s: a millionth of a number is not seen: %.2g", c.work, gap)
			}
			sort[largest] = right
		}
	}
}

// groups measures numbers in groups, each against the largest of it: the largest gap.
func groups(ours, theirs []float64, size int) (float64, error) {
	if len(ours) != len(theirs) {
		return 0, fmt.Errorf("%d numbers, ours are %d", len(theirs), len(ours))
	}
	worst := 0.0
	for at := 0; at < len(ours); at += size {
		most, gap := 0.0, 0.0
		for i := at; i < min(at+size, len(ours)); i++ {
			most, gap = max(most, math.Abs(ours[i])), max(gap, math.Abs(ours[i]-theirs[i]))
		}
		switch {
		case !(gap <= math.MaxFloat64):
			return 0, fmt.Errorf("a number is none")
		case most > 0:
			worst = max(worst, gap/most)
		case gap > 0:
			return 0, fmt.Errorf("what is 0 is %g", gap)
		}
	}
	return worst, nil
}

// parts appends the real and the imaginary part.
func parts(to []float64, c complex128) []float64 { return append(to, real(c), imag(c)) }

// sortedRows sorts columns by their first ones, row by row.
func sortedRows(columns [][]float64, keys int) [][]float64 {
	order := make([]int, len(columns[0]))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		for _, c := range columns[:keys] {
			if c[a] != c[b] {
				return cmp.Compare(c[a], c[b])
			}
		}
		return 0
	})
	out := make([][]float64, len(columns))
	for k, c := range columns {
		for _, i := range order {
			out[k] = append(out[k], c[i])
		}
	}
	return out
}
