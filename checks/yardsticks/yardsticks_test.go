package yardsticks

import (
	"flag"
	"fmt"
	"strings"
	"testing"
)

var measure = flag.Bool("measure", false, "measure and print the table; make bench-yardsticks does it")

func contests(t *testing.T, step int) []*contest {
	t.Helper()
	f := gather(t)
	list := append(engines(t, f), vees{step}.contest(t, f))
	return append(append(list, shafts(t, f)...), mounts(t, f)...)
}

// Everybody finds the same numbers; the study is a coarse one.
func TestAllAgree(t *testing.T) {
	for _, c := range contests(t, 20) {
		c.agree(t)
	}
}

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
