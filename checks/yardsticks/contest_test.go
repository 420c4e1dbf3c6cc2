package yardsticks

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

// contest is a piece of work that we and others do.
type contest struct {
	work   string
	ours   func(n int) error                       // does it n times
	apart  func(theirs []float64) (float64, error) // how far the numbers of a rival are from ours, relative [1]
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

// aims are how many times faster than each library we want to be [1].
func aims() map[string]float64 {
	return map[string]float64{"C": 1, "NumPy": 20, "SciPy": 20, "Simbody": 5000}
}

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
		largest := 0
		for i, v := range theirs {
			if math.Abs(v) > math.Abs(theirs[largest]) {
				largest = i
			}
		}
		theirs[largest] *= 1 + 1e-6
		if gap, err := c.apart(theirs); err == nil && gap <= tolerance {
			t.Errorf("%s: a millionth of a number is not seen: %.2g", c.work, gap)
		}
	}
}

// Rounds of a measurement, and how long one turn of one of those who take part in it lasts at least.
const (
	rounds = 11
	turn   = 60 * time.Millisecond
)

// measure times everybody in turns and writes lines of the table: medians, ratios, aims.
func (c *contest) measure(t *testing.T, table *strings.Builder) {
	t.Helper()
	everybody := []func(n int) (float64, error){func(n int) (float64, error) {
		from := time.Now()
		err := c.ours(n)
		return time.Since(from).Seconds(), err
	}}
	for _, r := range c.rivals {
		everybody = append(everybody, func(n int) (float64, error) { return r.program.seconds(r.way, n) })
	}
	times, count := make([][]float64, len(everybody)), make([]int, len(everybody))
	for round := range rounds + 1 {
		for i, run := range everybody {
			if round == 0 { // find out how many evaluations a turn has
				for n := 1; count[i] == 0; n *= 4 {
					s, err := run(n)
					if err != nil {
						t.Fatal(err)
					}
					if s > turn.Seconds()/8 {
						count[i] = max(1, int(float64(n)*turn.Seconds()/s))
					}
				}
				continue
			}
			s, err := run(count[i])
			if err != nil {
				t.Fatal(err)
			}
			times[i] = append(times[i], s/float64(count[i]))
		}
	}
	median := func(i int) float64 {
		slices.Sort(times[i])
		return times[i][rounds/2]
	}
	ours := median(0)
	fmt.Fprintf(table, "| %s | Crankwright | %s | | | |\n", c.work, shown(ours))
	best := map[string]int{}
	for i, r := range c.rivals {
		if b, ok := best[r.library]; !ok || median(i+1) < median(b+1) {
			best[r.library] = i
		}
	}
	for i, r := range c.rivals {
		ratio, aim, met := median(i+1)/ours, "", ""
		if best[r.library] == i {
			aim, met = fmt.Sprintf("%g", aims()[r.library]), "no"
			if ratio >= aims()[r.library] {
				met = "yes"
			}
		}
		fmt.Fprintf(table, "| | %s, %s | %s | %.3g | %s | %s |\n", r.library, r.way, shown(median(i+1)), ratio, aim, met)
	}
}

// shown writes a time with its unit.
func shown(seconds float64) string {
	switch {
	case seconds < 1e-3:
		return fmt.Sprintf("%.3g µs", seconds*1e6)
	case seconds < 1:
		return fmt.Sprintf("%.3g ms", seconds*1e3)
	}
	return fmt.Sprintf("%.3g s", seconds)
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
