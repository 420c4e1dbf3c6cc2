package results

import (
	"runtime/debug"
	"testing"

	"crankwright/study"
)

// paced is a problem of a certain pace.
type paced struct {
	study.Problem
	pace int
}

func (p paced) Pace() int { return p.pace }

// TestUnhurriedIsGivenBack: whatever the sequence in which searches end, the collector is as it was.
func TestUnhurriedIsGivenBack(t *testing.T) {
	is := func(want int) {
		t.Helper()
		got := debug.SetGCPercent(100)
		debug.SetGCPercent(got)
		if got != want {
			t.Errorf("the collector is at %d %%, want %d %%", got, want)
		}
	}
	was := debug.SetGCPercent(120)
	defer debug.SetGCPercent(was)
	fast := Unhurried(paced{pace: 2_000_000})
	is(120)
	one := Unhurried(paced{pace: 100})
	is(rare)
	two := Unhurried(paced{pace: 2})
	one()
	one()
	fast()
	is(rare)
	two()
	is(120)
}
