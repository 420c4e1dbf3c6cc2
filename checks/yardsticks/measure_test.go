//go:build unix

package yardsticks

import (
	"flag"
	"fmt"
	"slices"
	"strings"
	"syscall"
	"testing"
)

var measure = flag.Bool("measure", false, "measure and print the table; make bench-yardsticks does it")

// TestMeasure prints the table of docs/performance.md. It fails where numbers differ, never because somebody is slow.
func TestMeasure(t *testing.T) {
	if !*measure {
		t.Skip("speed is measured by make bench-yardsticks, not tested")
	}
	var table strings.Builder
	table.WriteString("| work | by | time | times ours | aim | met |\n| --- | --- | --- | --- | --- | --- |\n")
	for _, c := range contests(t, 1) {
		c.agree(t)
		if t.Failed() {
			return
		}
		c.measure(t, &table)
	}
	fmt.Print(table.String())
}

// aims are how many times faster than each library we want to be [1].
func aims() map[string]float64 {
	return map[string]float64{"C": 1, "NumPy": 20, "SciPy": 20, "Simbody": 5000}
}

// Rounds of a measurement, and how long one turn of one of those who take part in it lasts at least.
const (
	rounds = 9
	turn   = 0.04 // [s]
)

// measure times everybody in turns and writes lines of the table: medians, ratios, aims.
func (c *contest) measure(t *testing.T, table *strings.Builder) {
	t.Helper()
	everybody := []func(n int) (float64, error){func(n int) (float64, error) {
		from := processor()
		err := c.ours(n)
		return processor() - from, err
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
					if s > turn/8 {
						count[i] = max(1, int(float64(n)*turn/s))
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

// processor returns the processor time that this process has used [s]. Everybody is measured by it: other work on the machine
// does not lengthen it as much as it does the time on the wall.
func processor() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return float64(u.Utime.Sec+u.Stime.Sec) + 1e-6*float64(u.Utime.Usec+u.Stime.Usec)
}
