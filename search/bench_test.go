//go:build unix

package search

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"

	"crankwright/spec"
	"crankwright/study"
)

// BenchmarkFastVeeFour: bank angles, phasings, firing orders of a four-cylinder vee; orders 1 and 2, force and couple, firing
// evenness; candidates a second.
func BenchmarkFastVeeFour(b *testing.B) {
	s := vees()
	s.Vary[0].Values = steps(40, 180, 1, "deg")
	s.Vary[1].Step = 1 * math.Pi / 180
	p := joined(b, s)
	size, err := p.Space().Size()
	if err != nil {
		b.Fatal(err)
	}
	kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
	e := p.Evaluator()
	n := uint64(0)
	before := processor()
	for b.Loop() {
		kept.Reset()
		if err := e.Evaluate(study.Shard{To: size}, kept, left, func() bool { return false }); err != nil {
			b.Fatal(err)
		}
		n += size
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds()/1e6, "million/s")
	b.ReportMetric(float64(n)/(processor()-before)/1e6, "million/cpu-s")
}

// BenchmarkCores shares a study out among all cores, in ranges as package results does, the results kept nowhere: with -cpu 1,2
// it says how much two cores do.
func BenchmarkCores(b *testing.B) {
	fast := vees()
	fast.Vary[0].Values = steps(40, 180, 1, "deg")
	fast.Vary[1].Step = 0.25 * math.Pi / 180
	full := vees()
	full.Vary[0].Values = steps(60, 120, 2, "deg")
	full.Aims = less("peak_free_force", "length", "torque_unevenness", "cost_index")
	for name, s := range map[string]*spec.Study{"fast": fast, "full": full} {
		p := joined(b, s)
		size, err := p.Space().Size()
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			group := make([]study.Evaluator, runtime.GOMAXPROCS(0))
			for i := range group {
				group[i] = p.Evaluator()
			}
			shards := study.Shards(size, size/24)
			for b.Loop() {
				var next atomic.Int64
				var wg sync.WaitGroup
				for _, e := range group {
					wg.Go(func() {
						kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
						for k := next.Add(1) - 1; int(k) < len(shards); k = next.Add(1) - 1 {
							kept.Reset()
							if err := e.Evaluate(shards[k], kept, left, func() bool { return false }); err != nil {
								b.Error(err)
							}
						}
					})
				}
				wg.Wait()
			}
			b.ReportMetric(float64(b.N)*float64(size)/b.Elapsed().Seconds(), "candidates/s")
		})
	}
}

// processor returns the processor time that this process has used [s], which other work on the machine does not lengthen as
// much as it does the time on the wall.
func processor() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return float64(u.Utime.Sec+u.Stime.Sec) + 1e-6*float64(u.Utime.Usec+u.Stime.Usec)
}

// BenchmarkFullVeeFour: candidates of a four-cylinder vee with gas, torque, room and mass a second.
func BenchmarkFullVeeFour(b *testing.B) {
	for name, keys := range map[string][]string{
		"orders":          {"peak_free_force"},
		"room":            {"peak_free_force", "length"},
		"torque":          {"peak_free_force", "torque_unevenness"},
		"room_torque":     {"peak_free_force", "length", "torque_unevenness"},
		"room_parts_torq": {"peak_free_force", "length", "torque_unevenness", "cost_index"},
	} {
		b.Run(name, func(b *testing.B) {
			s := vees()
			s.Vary[2] = spec.Variation{Key: "stroke", Values: []string{"84 mm", "86 mm"}}
			s.Aims = less(keys...)
			p := joined(b, s)
			size, err := p.Space().Size()
			if err != nil {
				b.Fatal(err)
			}
			kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
			e := p.Evaluator()
			n, from := uint64(0), uint64(0)
			before := processor()
			for b.Loop() {
				kept.Reset()
				if err := e.Evaluate(study.Shard{From: from, To: from + 10}, kept, left, func() bool { return false }); err != nil {
					b.Fatal(err)
				}
				n += 10
				from = (from + 10) % (size - 20)
			}
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "engines/s")
			b.ReportMetric(float64(n)/(processor()-before), "engines/cpu-s")
		})
	}
}

// BenchmarkPick: single candidates of the study of BenchmarkFastVeeFour, drawn by chance as an evolutionary search asks for them:
// each is an engine that shares nothing with the one before.
func BenchmarkPick(b *testing.B) {
	s := vees()
	s.Vary[0].Values = steps(40, 180, 1, "deg")
	s.Vary[1].Step = 1 * math.Pi / 180
	p := joined(b, s)
	size, err := p.Space().Size()
	if err != nil {
		b.Fatal(err)
	}
	kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
	e, at := p.Evaluator(), uint64(1)
	for b.Loop() {
		kept.Reset()
		at = (at + 2654435761) % size
		if err := e.Pick([]uint64{at}, kept, left, func() bool { return false }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "candidates/s")
}
