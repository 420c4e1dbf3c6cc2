package yardsticks

import "testing"

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
