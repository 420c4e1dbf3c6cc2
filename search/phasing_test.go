package search

import (
	"fmt"
	"slices"
	"testing"
)

var everyTwins = []Twins{{}, {Mirror: true}, {Reversal: true}, {Both: true}, {Mirror: true, Reversal: true, Both: true}}

// TestPhasingsAgainstBruteForce counts classes of twins by joining every phasing with all its twins, with no use of the
// normal form, and against Burnside's lemma.
func TestPhasingsAgainstBruteForce(t *testing.T) {
	for throws := 1; throws <= 5; throws++ {
		for steps := 1; steps <= 10-throws-throws/5; steps++ {
			if throws == 5 && steps > 3 {
				break
			}
			for _, twins := range everyTwins {
				p, err := NewPhasings(throws, steps, twins)
				if err != nil {
					t.Fatal(err)
				}
				classes, seen := 0, map[string]bool{}
				total := 1
				for range throws {
					total *= steps
				}
				for i := range total {
					a := make([]int, throws)
					for k, r := 0, i; k < throws; k, r = k+1, r/steps {
						a[k] = r % steps
					}
					if seen[fmt.Sprint(a)] {
						continue
					}
					classes++
					listed := 0
					group := []func([]int){func([]int) {}}
					group = append(group, twins.operations()...)
					members := map[string][]int{}
					for _, do := range group {
						for c := range steps {
							b := slices.Clone(a)
							do(b)
							for k := range b {
								b[k] = ((b[k]+c)%steps + steps) % steps
							}
							seen[fmt.Sprint(b)] = true
							members[fmt.Sprint(b)] = b
						}
					}
					for k := range p.Len() {
						if _, ok := members[fmt.Sprint(p.At(nil, k))]; ok {
							listed++
						}
					}
					if listed != 1 {
						t.Errorf("%d throws, %d steps, %+v: the class of %v is listed %d times", throws, steps, twins, a, listed)
					}
				}
				if b := CountPhasings(throws, steps, twins); p.Len() != classes || b.Int64() != int64(classes) {
					t.Errorf("%d throws, %d steps, %+v: %d listed, %v by Burnside, %d by brute force", throws, steps, twins, p.Len(), b, classes)
				}
			}
		}
	}
}

// TestBurnsideOfLarge compares listing and counting where brute force is out of reach.
func TestBurnsideOfLarge(t *testing.T) {
	for _, c := range []struct{ throws, steps int }{{6, 6}, {6, 12}, {8, 4}, {7, 5}, {4, 36}} {
		for _, twins := range everyTwins {
			p, err := NewPhasings(c.throws, c.steps, twins)
			if err != nil {
				t.Fatal(err)
			}
			if b := CountPhasings(c.throws, c.steps, twins); b.Int64() != int64(p.Len()) {
				t.Errorf("%d throws, %d steps, %+v: %d listed, %v by Burnside", c.throws, c.steps, twins, p.Len(), b)
			}
		}
	}
}
