package num

// The loops in which the time of Grid and Transform goes. Where the processor has them, four lanes work at once; each value
// gets the same sums and products in the same sequence either way, so that the bits are the same.

// terms are to be summed.
type terms []Term

// over sums the terms and a mean. Each row is at least as long as what is summed.
func (t terms) over(to []float64, mean float64) {
	if len(t) == 0 {
		fill(to, mean)
		return
	}
	j := 0
	if n := len(to) &^ 3; n > 0 && Wide() {
		sumTerms(&to[0], n, mean, &t[0], len(t))
		j = n
	}
	if to = to[j:]; len(to) == 0 {
		return
	}
	fill(to, mean)
	for _, one := range t {
		for i, v := range one.Row[j : j+len(to)] {
			to[i] += one.Factor * v
		}
	}
}

func fill(dst []float64, v float64) {
	if v == 0 {
		clear(dst)
		return
	}
	for j := range dst {
		dst[j] = v
	}
}

// reflect writes a period of which the sums of cosines and sines over its first half are there, both ends included: cosines
// are even, sines odd.
func reflect(dst, cos, sin []float64) {
	period := len(dst)
	half := period / 2
	dst[0] = cos[0]
	j := 1
	if n := half &^ 3; n > 0 && Wide() {
		reflectFour(&dst[1], &dst[period-1], n, &cos[1], &sin[1])
		j += n
	}
	for ; j <= half; j++ {
		dst[j], dst[period-j] = cos[j]+sin[j], cos[j]-sin[j]
	}
	if period%2 == 0 {
		dst[half] = cos[half]
	}
}

// spread adds what is odd half a period on to the values of a period, of which the first half are there: cos and sin are
// the sums of its cosines and sines over a quarter, both ends included.
func spread(dst, cos, sin []float64) {
	period := len(dst)
	half, quarter := period/2, period/4
	e, last := dst[0], dst[quarter]
	dst[0], dst[half] = e+cos[0], e-cos[0]
	dst[quarter], dst[half+quarter] = last+sin[quarter], last-sin[quarter]
	up, past, back, end := dst[:quarter], dst[half:half+quarter], dst[quarter:half+1], dst[half+quarter:]
	cos, sin = cos[:quarter], sin[:quarter]
	j := 1
	if n := (quarter - 1) &^ 3; n > 0 && Wide() {
		spreadFour(&up[1], &past[1], &dst[half-1], &dst[period-1], n, &cos[1], &sin[1])
		j += n
	}
	for ; j < quarter; j++ {
		a, b := up[j], back[quarter-j]
		odd, oddBack := sin[j]+cos[j], sin[j]-cos[j]
		up[j], past[j] = a+odd, a-odd
		back[quarter-j], end[quarter-j] = b+oddBack, b-oddBack
	}
}

// double writes a curve of two revolutions from terms of which half a revolution is given: of what repeats then and of what
// changes sign.
func double(dst []float64, steady, turning terms) {
	half := len(dst) / 4
	for _, t := range [2]terms{steady, turning} {
		for i := range t {
			_ = t[i].Row[:half]
		}
	}
	j := 0
	if n := half &^ 3; n > 0 && Wide() {
		doubleFour(&dst[0], n, half, steady, turning)
		j = n
	}
	for ; j < half; j++ {
		a, b := 0.0, 0.0
		for i := range steady {
			a += steady[i].Factor * steady[i].Row[j]
		}
		for i := range turning {
			b += turning[i].Factor * turning[i].Row[j]
		}
		dst[j], dst[half+j] = a+b, a-b
		dst[2*half+j], dst[3*half+j] = a+b, a-b
	}
}
