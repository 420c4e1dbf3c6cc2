package torque

import (
	"fmt"

	"crankwright/num"
)

// Impulse is one push at the drive end: a stretch in which the torque lies above its mean.
type Impulse struct {
	At     num.Angle // crank angle of its peak [rad]
	Peak   float64   // largest torque [N m]
	Work   float64   // work above the mean over the stretch [J]
	Length num.Angle // crank angle for which the torque stays above the mean [rad]
	Gap    num.Angle // from its peak to the next impulse's, the last to the first of the next cycle [rad]
	Trough float64   // lowest torque before the next impulse [N m]
}

// leastImpulse is the share of the largest impulse's work below which a stretch is a ripple [1]. Definition.
const leastImpulse = 0.02

// Impulses returns the tractive impulses of a torque over two revolutions.
//
//   - torque: total torque at the drive end [N m] at equal angles over two revolutions, at least 8
//
// Result [N m] in the sequence of the angles. Stretches with less than a fiftieth of the largest work count
// as ripples and are left out; a torque that is constant has none. Errors: too few values, values that
// are not finite. Definition.
func Impulses(torque []float64) ([]Impulse, error) {
	n := len(torque)
	if n < 8 || n > MostSamples || !finite(torque...) {
		return nil, fmt.Errorf("torque: impulses need 8 to %d finite torques over two revolutions, there are %d", MostSamples, n)
	}
	mean := meanOf(torque)
	step := 2 * num.Turn / num.Angle(n)
	start := -1 // a value at or below the mean, from which every stretch is whole
	for j, v := range torque {
		if v <= mean {
			start = j
			break
		}
	}
	if start < 0 {
		return nil, nil
	}
	var all []Impulse
	most, first := 0.0, 0
	flush := func(end int) { // the stretch from first up to below end
		if end == first {
			return
		}
		p, best := Impulse{Peak: torque[first%n], Length: step * num.Angle(end-first)}, first
		for j := first; j < end; j++ {
			v := torque[j%n]
			p.Work += (v - mean) * float64(step)
			if v > p.Peak {
				p.Peak, best = v, j
			}
		}
		value, off := top(torque, best%n)
		p.Peak, p.At = value, (step * num.Angle(float64(best)+off)).Wrap(2*num.Turn)
		most = max(most, p.Work)
		all = append(all, p)
	}
	first = start
	for j := start; j <= start+n; j++ {
		if torque[j%n] <= mean {
			flush(j)
			first = j + 1
		}
	}
	kept := all[:0]
	for _, p := range all {
		if p.Work >= leastImpulse*most && p.Work > 0 {
			kept = append(kept, p)
		}
	}
	return inSequence(kept, torque, step), nil
}

// inSequence turns the list so that it begins with the smallest angle, and fills in gaps and troughs.
func inSequence(list []Impulse, torque []float64, step num.Angle) []Impulse {
	first := 0
	for i := range list {
		if list[i].At < list[first].At {
			first = i
		}
	}
	out := append(append([]Impulse{}, list[first:]...), list[:first]...)
	n := len(torque)
	for i := range out {
		next := out[(i+1)%len(out)].At
		if i == len(out)-1 {
			next += 2 * num.Turn
		}
		out[i].Gap = next - out[i].At
		out[i].Trough = out[i].Peak
		for j := int(out[i].At / step); j <= int(next/step); j++ {
			out[i].Trough = min(out[i].Trough, torque[j%n])
		}
	}
	return out
}
