package study

import (
	"encoding/binary"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func anySpace(t *rapid.T, most int) Space {
	var s Space
	for range rapid.IntRange(1, 4).Draw(t, "blocks") {
		var b Block
		for range rapid.IntRange(0, 4).Draw(t, "axes") {
			b.Axes = append(b.Axes, Axis{Key: "a", Count: rapid.IntRange(1, most).Draw(t, "count"), Ordered: rapid.Bool().Draw(t, "ordered")})
		}
		s.Blocks = append(s.Blocks, b)
	}
	return s
}

// TestSpaceIsCountedThrough walks through a space by nested counting and wants the numbers 0, 1, 2 … in that sequence.
func TestSpaceIsCountedThrough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpace(t, 5)
		next := uint64(0)
		for k, b := range s.Blocks {
			var walk func(digits []int)
			walk = func(digits []int) {
				if len(digits) < len(b.Axes) {
					for d := range b.Axes[len(digits)].Count {
						walk(append(slices.Clone(digits), d))
					}
					return
				}
				if i := s.Index(k, digits); i != next {
					t.Fatalf("block %d %v has number %d, want %d", k, digits, i, next)
				}
				if block, got := s.At(nil, next); block != k || !slices.Equal(got, digits) {
					t.Fatalf("number %d is block %d %v, want %d %v", next, block, got, k, digits)
				}
				next++
			}
			walk(nil)
		}
		if n, err := s.Size(); n != next || err != nil {
			t.Fatalf("size %d (%v), want %d", n, err, next)
		}
		if block, _ := s.At(nil, next); block != -1 {
			t.Fatalf("there is a candidate %d of %d", next, next)
		}
	})
}

func TestAtAllocatesNothing(t *testing.T) {
	s := Space{[]Block{{Axes: []Axis{{Count: 7}, {Count: 9}}}}}
	dst := make([]int, 2)
	if n := testing.AllocsPerRun(10, func() { _, dst = s.At(dst, 40) }); n > 0 || !slices.Equal(dst, []int{4, 4}) {
		t.Errorf("%g allocations, digits %v", n, dst)
	}
}

func TestSizeOfSpaces(t *testing.T) {
	axes := func(counts ...int) Block {
		var b Block
		for _, c := range counts {
			b.Axes = append(b.Axes, Axis{Key: "crank.stroke", Count: c})
		}
		return b
	}
	for _, c := range []struct {
		name  string
		space Space
		size  uint64
		err   string
	}{
		{"no blocks", Space{}, 0, ""},
		{"no axes", Space{[]Block{{}}}, 1, ""},
		{"the largest", Space{[]Block{axes(1<<20, 1<<20, 1<<13)}}, 1 << 53, ""},
		{"one more than the largest", Space{[]Block{axes(1<<20, 1<<20, 1<<13), {}}}, 0, "more than 9007199254740992 candidates"},
		{"past 64 bits", Space{[]Block{axes(math.MaxInt, math.MaxInt, math.MaxInt)}}, 0, "more than 9007199254740992 candidates"},
		{"past 64 bits to a small number", Space{[]Block{axes(1<<32, 1<<32, 5)}}, 0, "more than 9007199254740992 candidates"},
		{"an axis of nothing", Space{[]Block{axes(3, 0)}}, 0, "crank.stroke has no values"},
		{"less than nothing", Space{[]Block{axes(-3)}}, 0, "crank.stroke has no values"},
	} {
		n, err := c.space.Size()
		if n != c.size || (err == nil) != (c.err == "") || err != nil && !strings.Contains(err.Error(), c.err) {
			t.Errorf("%s: %d (%v), want %d (%s)", c.name, n, err, c.size, c.err)
		}
	}
}

func TestNoSuchCandidate(t *testing.T) {
	s := Space{[]Block{{Axes: []Axis{{Count: 2}, {Count: 3}}}, {}}}
	for _, c := range []struct {
		block  int
		digits []int
	}{{-1, nil}, {2, nil}, {0, []int{1}}, {0, []int{1, 3}}, {0, []int{-1, 0}}, {1, []int{0}}} {
		if i := s.Index(c.block, c.digits); i != MostCandidates {
			t.Errorf("block %d %v has number %d", c.block, c.digits, i)
		}
	}
}

func TestShardsHoldEveryCandidateOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Uint64Range(0, 1<<20).Draw(t, "size")
		if rapid.Bool().Draw(t, "large") {
			size = math.MaxUint64 - size
		}
		per := rapid.Uint64Range(size/1000, math.MaxUint64).Draw(t, "per")
		if size > 1<<21 {
			per = max(per, size/1000)
		}
		next := uint64(0)
		for i, r := range Shards(size, per) {
			if r.Number != i || r.From != next || r.To <= r.From || r.To-r.From > max(1, per) || r.To-r.From < max(1, per) && r.To != size {
				t.Fatalf("shard %d is %+v, after %d", i, r, next)
			}
			next = r.To
		}
		if next != size {
			t.Fatalf("the shards end at %d of %d", next, size)
		}
	})
}

// FuzzSpace wants that no space and no number makes anything panic, and that what At returns leads back to the number.
func FuzzSpace(f *testing.F) {
	f.Add([]byte{2, 0, 0, 0, 0, 0, 0, 0, 3, 0, 0, 0, 0, 0, 0, 0}, uint64(4), 0, 1)
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0x80}, uint64(0), 0, 0)
	f.Add([]byte{255, 255, 255, 255, 255, 255, 255, 0x7f, 255, 255, 255, 255, 255, 255, 255, 0x7f}, uint64(1)<<63, 1, 2)
	f.Fuzz(func(t *testing.T, counts []byte, i uint64, block, split int) {
		var axes []Axis
		for ; len(counts) >= 8; counts = counts[8:] {
			axes = append(axes, Axis{Key: "a", Count: int(binary.LittleEndian.Uint64(counts))})
		}
		at := min(max(split, 0), len(axes))
		s := Space{[]Block{{Axes: axes[:at]}, {Axes: axes[at:]}}}
		n, err := s.Size()
		digits := make([]int, len(axes))
		for k := range digits {
			digits[k] = split
		}
		if number := s.Index(block, digits); err == nil && number != MostCandidates && number >= n {
			t.Fatalf("number %d of %d", number, n)
		}
		k, got := s.At(nil, i)
		if err != nil {
			return
		}
		if (k >= 0) != (i < n) {
			t.Fatalf("candidate %d of %d is in block %d", i, n, k)
		}
		if k >= 0 && s.Index(k, got) != i {
			t.Fatalf("candidate %d is %v, which is candidate %d", i, got, s.Index(k, got))
		}
	})
}
