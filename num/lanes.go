package num

// The loops of Grid in which its time goes. Where the processor has them, four lanes work at once; each angle gets the
// same sums and products in the same sequence either way, so that the bits are the same.

// add adds four terms to every value.
func add(to []float64, t *[4]term) {
	r0, r1, r2, r3 := t[0].row[:len(to)], t[1].row[:len(to)], t[2].row[:len(to)], t[3].row[:len(to)]
	f := [4]float64{t[0].f, t[1].f, t[2].f, t[3].f}
	j := 0
	if n := len(to) &^ 3; n > 0 && wide() {
		addFour(&to[0], n, &f, &r0[0], &r1[0], &r2[0], &r3[0])
		j = n
	}
	for ; j < len(to); j++ {
		to[j] += f[0]*r0[j] + f[1]*r1[j] + f[2]*r2[j] + f[3]*r3[j]
	}
}

// addScaled adds one term to every value.
func addScaled(to []float64, t term) {
	r := t.row[:len(to)]
	j := 0
	if n := len(to) &^ 3; n > 0 && wide() {
		addOne(&to[0], n, t.f, &r[0])
		j = n
	}
	for ; j < len(to); j++ {
		to[j] += t.f * r[j]
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
	if n := (quarter - 1) &^ 3; n > 0 && wide() {
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
