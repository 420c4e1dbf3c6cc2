package spec

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// choose decides which column is what, and reads those that are used.
func (r *traceReader) choose() bool {
	r.angle, r.time, r.number = -1, -1, -1
	speed := -1
	var unknown []int
	for j := range r.columns {
		c := &r.columns[j]
		switch c.kind {
		case angleColumn:
			r.once(&r.angle, j)
		case timeColumn:
			r.once(&r.time, j)
		case cycleColumn:
			r.once(&r.number, j)
		case speedColumn:
			r.once(&speed, j)
		case pressureColumn:
			r.pressures = append(r.pressures, j)
		case unknownColumn:
			unknown = append(unknown, j)
		case otherColumn, fillerWord:
		}
	}
	if r.angle < 0 && r.time < 0 && len(unknown) > 0 && unknown[0] == 0 && len(unknown)+len(r.pressures) > 1 && r.grows(0) {
		r.angle, unknown = 0, unknown[1:]
		r.remark("the first column is taken as the crank angle: it grows")
	}
	if len(r.pressures) == 0 {
		r.pressures = unknown
		if len(unknown) > 0 && len(r.columns) > 1 {
			r.remark("taken as pressure: %s", r.named(unknown))
		}
	} else if len(unknown) > 0 {
		r.remark("not used: %s", r.named(unknown))
	}
	if len(r.pressures) == 0 {
		r.fail(Position{r.first + 1, 1}, `name it in the line above the numbers, such as "p [bar]"`, "there is no column of pressure")
		return false
	}
	if r.angle >= 0 {
		r.time = -1
	}
	used := []int{}
	for _, j := range []*int{&r.angle, &r.time, &r.number, &speed} {
		if *j >= 0 {
			used = append(used, *j)
			*j = len(used) - 1
		}
	}
	columns := make([]traceColumn, 0, len(used)+len(r.pressures))
	for _, j := range append(slices.Clone(used), r.pressures...) {
		columns = append(columns, r.columns[j])
	}
	used = append(used, r.pressures...)
	for i := range r.pressures {
		r.pressures[i] = len(used) - len(r.pressures) + i
	}
	if !r.read(used) {
		return false
	}
	r.columns = columns
	if speed >= 0 {
		r.speed = r.meanOf(speed) * columns[speed].factorOr(math.Pi/30)
	}
	return true
}

// once takes a column, unless there is one of its kind already.
func (r *traceReader) once(to *int, j int) {
	if *to >= 0 {
		r.remark("not used: %s", r.named([]int{j}))
		return
	}
	*to = j
}

func (r *traceReader) named(columns []int) string {
	words := make([]string, len(columns))
	for i, j := range columns {
		words[i] = fmt.Sprintf("column %d", j+1)
		if name := r.columns[j].name; name != "" {
			words[i] = fmt.Sprintf("%q", name)
		}
	}
	return strings.Join(words, ", ")
}

func (c *traceColumn) factorOr(otherwise float64) float64 {
	if c.unit == "" {
		return otherwise
	}
	return c.factor
}

func (r *traceReader) meanOf(k int) float64 {
	sum := 0.0
	for _, row := range r.rows {
		sum += row.v[k]
	}
	return sum / float64(len(r.rows))
}

// grows reports whether a column grows from line to line, but for the few places where a cycle begins anew.
func (r *traceReader) grows(j int) bool {
	last, rises, all := math.NaN(), 0, 0
	for i := r.first; i < len(r.lines) && all < 3000; i++ {
		cells := split(r.lines[i], r.sep)
		if j >= len(cells) {
			continue
		}
		v, ok := traceNumber(cells[j].text, r.comma)
		if !ok {
			continue
		}
		if v > last {
			rises++
		}
		last = v
		all++
	}
	return all > 2 && float64(rises) > 0.98*float64(all-1)-1
}

// curves makes the trace of the numbers.
func (r *traceReader) curves() *layout.Trace {
	θ, starts := r.angles()
	if θ == nil {
		return nil
	}
	t := &layout.Trace{Speed: r.speed, Cycles: 1}
	p := r.pascals(t)
	if p == nil {
		return nil
	}
	t.Angles, t.Pressures = θ, p
	r.average(t, starts)
	period := r.cycle.Period()
	// the same place of the next cycle closes the curve and is no sample of its own
	for n := len(t.Angles); n > 1 && t.Angles[n-1]-t.Angles[0] > period-1e-6; n-- {
		t.Angles = t.Angles[:n-1]
		for k := range t.Pressures {
			t.Pressures[k] = t.Pressures[k][:n-1]
		}
	}
	if n := len(t.Angles); n < leastTraceValues {
		r.fail(Position{r.first + 1, 1}, fmt.Sprintf("a cycle needs at least %d, and should have 360 or more", leastTraceValues), "a cycle of the trace has only %s", num.Counted(n, "sample", "samples"))
		return nil
	}
	if span := t.Angles[len(t.Angles)-1] - t.Angles[0]; span < 0.4*period {
		r.fail(Position{r.first + 1, 1}, "give a whole cycle, or at least the revolution about firing top dead centre", "the trace covers only %.4g deg of %g deg", span.Deg(), period.Deg())
		return nil
	}
	r.place(t)
	r.cylinders(t)
	return t
}

// angles returns the crank angle of each row, growing through all cycles, and the rows where cycles begin where a
// column counts them.
func (r *traceReader) angles() (θ []num.Angle, starts []int) {
	period := float64(r.cycle.Period())
	n := len(r.rows)
	θ = make([]num.Angle, n)
	switch {
	case r.angle >= 0:
		factor := r.angleFactor()
		low, high := math.Inf(1), math.Inf(-1)
		for _, row := range r.rows {
			low, high = math.Min(low, row.v[r.angle]*factor), math.Max(high, row.v[r.angle]*factor)
		}
		if high-low > 1e6 {
			r.fail(Position{r.rows[0].line, 1}, "crank angles in deg or rad are expected", "the crank angles are out of all measure")
			return nil, nil
		}
		return r.unwrap(θ, factor, high-low)
	case r.time >= 0:
		if !(r.speed > 0.1 && r.speed < 1e4) {
			r.fail(r.columns[r.time].at, `add a line such as "# speed = 3000 rpm", or a column of crank angle`, "the trace goes by time, but the speed of the crank is not told")
			return nil, nil
		}
		factor := r.timeFactor()
		for i, row := range r.rows {
			θ[i] = num.Angle((row.v[r.time] - r.rows[0].v[r.time]) * factor * r.speed)
			if i > 0 && !(θ[i] > θ[i-1]) {
				r.fail(Position{row.line, 1}, "the time has to grow from line to line", "the time is %g after %g", row.v[r.time], r.rows[i-1].v[r.time])
				if len(r.list) >= maxTraceErrors {
					return nil, nil
				}
			}
		}
		if θ[n-1] > 1e6 || len(r.list) > 0 {
			if len(r.list) == 0 {
				r.fail(r.columns[r.time].at, "look at the unit of the time", "the trace lasts for more than a hundred thousand cycles")
			}
			return nil, nil
		}
		r.remark("the crank angles are taken from the time at %s; the speed is taken as constant", num.Shown(r.speed*30/math.Pi, "rpm"))
	default:
		cycles := 1
		if r.number >= 0 {
			for i := 1; i < n; i++ {
				if r.rows[i].v[r.number] != r.rows[i-1].v[r.number] {
					cycles++
				}
			}
		}
		for i := range θ {
			θ[i] = num.Angle(float64(cycles) * period * float64(i) / float64(n))
		}
		r.remark("the file has no crank angles: its %d samples are spread evenly over %d cycle(s)", n, cycles)
	}
	return θ, nil
}

// unwrap lets the angles grow where they begin anew in every revolution or cycle.
func (r *traceReader) unwrap(θ []num.Angle, factor, span float64) ([]num.Angle, []int) {
	period := float64(r.cycle.Period())
	n := len(r.rows)
	usual := span / float64(n)
	turns := 2 * math.Pi * math.Max(1, math.Round((span+usual)/(2*math.Pi)))
	base, started := 0.0, 0.0
	var starts []int
	for i, row := range r.rows {
		a := row.v[r.angle] * factor
		if i == 0 {
			θ[0] = num.Angle(a)
			starts = append(starts, 0)
			started = a
			continue
		}
		before := r.rows[i-1]
		next := r.number >= 0 && row.v[r.number] != before.v[r.number]
		fall := before.v[r.angle]*factor - a
		switch {
		case next:
			if short := period*float64(len(starts)) - 0.1 - (base + a - started); short > 0 {
				base += 2 * math.Pi * math.Ceil(short/(2*math.Pi))
			}
			starts = append(starts, i)
		case fall > period/8:
			base += turns
			if span < 0.6*period { // the other strokes may be missing
				starts = append(starts, i)
			}
		case fall >= 0 && !(fall == 0 && i == n-1):
			r.fail(Position{row.line, 1}, "the crank angle has to grow from line to line, or to begin anew", "the crank angle is %g after %g", row.v[r.angle], before.v[r.angle])
			if len(r.list) >= maxTraceErrors {
				return nil, nil
			}
		}
		θ[i] = num.Angle(base + a)
	}
	if len(r.list) > 0 {
		return nil, nil
	}
	if r.number < 0 {
		if span < 0.6*period && len(starts) > 1 && r.alike(starts) {
			// each run of angles is the revolution about firing top dead centre of one cycle
			for k, from := range starts {
				to := n
				if k+1 < len(starts) {
					to = starts[k+1]
				}
				for i := from; i < to; i++ {
					θ[i] += num.Angle(float64(k) * (period - turns))
				}
			}
		}
		starts = nil
	}
	for i := 1; i < n; i++ { // both ends of a cycle were written
		if θ[i] <= θ[i-1] {
			θ[i] = θ[i-1] + 1e-9
		}
	}
	return θ, starts
}

// alike reports whether the first two runs of rows have the same curve, so that each is a cycle of its own.
func (r *traceReader) alike(starts []int) bool {
	end := len(r.rows)
	if len(starts) > 2 {
		end = starts[2]
	}
	n := min(starts[1]-starts[0], end-starts[1])
	k := r.pressures[0]
	mean := 0.0
	for i := range n {
		mean += r.rows[i].v[k] / float64(n)
	}
	apart, size := 0.0, 0.0
	for i := range n {
		a, b := r.rows[starts[0]+i].v[k], r.rows[starts[1]+i].v[k]
		apart += (a - b) * (a - b)
		size += (a - mean) * (a - mean)
	}
	return apart < 0.3*size
}

// angleFactor is that of the unit, or of the unit that the size of the steps suggests.
func (r *traceReader) angleFactor() float64 {
	c := &r.columns[r.angle]
	if c.unit != "" {
		return c.factor
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, row := range r.rows {
		low, high = math.Min(low, row.v[r.angle]), math.Max(high, row.v[r.angle])
	}
	if high-low <= 13 {
		r.remark("the unit of the crank angle is not said: rad, as it runs over %.4g", high-low)
		return 1
	}
	r.remark("the unit of the crank angle is not said: deg, as it runs over %.4g", high-low)
	return math.Pi / 180
}

// timeFactor is that of the unit, or of the unit in which a sample is a likely part of a turn.
func (r *traceReader) timeFactor() float64 {
	c := &r.columns[r.time]
	if c.unit != "" {
		return c.factor
	}
	n := len(r.rows)
	step := (r.rows[n-1].v[r.time] - r.rows[0].v[r.time]) / float64(n-1) * r.speed
	for _, u := range []struct {
		name   string
		factor float64
	}{{"s", 1}, {"ms", 1e-3}, {"us", 1e-6}} {
		if step*u.factor < 0.2 { // 11 degrees
			r.remark("the unit of the time is not said: %s, which makes a sample each %s deg", u.name, num.Digits(step*u.factor*180/math.Pi, 3))
			return u.factor
		}
	}
	return 1e-6
}

// place counts the crank angles from firing top dead centre, which the peak tells from the other dead centres.
func (r *traceReader) place(t *layout.Trace) {
	period := r.cycle.Period()
	peaks := make([]num.Angle, len(t.Pressures))
	for k, p := range t.Pressures {
		best := 0
		for i := range p {
			if p[i] > p[best] {
				best = i
			}
		}
		peaks[k] = t.Angles[best]
	}
	const usual = 10 * math.Pi / 180 // where a peak usually is
	halves := num.Angle(math.Round(float64(peaks[0]-usual)/math.Pi)) * math.Pi
	for i := range t.Angles {
		t.Angles[i] -= halves
	}
	if turned := math.Abs(float64(halves.Wrap(period))); turned > 1e-6 && float64(period)-turned > 1e-6 {
		r.remark("the pressure peaks at %s deg of the file: firing top dead centre is taken as %s deg", num.Digits(peaks[0].Deg(), 4), num.Digits(halves.Deg(), 4))
	}
	for k, at := range peaks {
		away := (at - peaks[0] + period/2).Wrap(period) - period/2
		if !t.Shared && math.Abs(away.Deg()) > 60 {
			t.Shared = true
			r.remark("the pressures of columns %s and %s peak %s deg apart: the crank angles count from firing top dead centre of the first for all",
				r.label(0), r.label(k), num.Digits(away.Deg(), 3))
		}
	}
}

func (r *traceReader) label(k int) string {
	if name := r.columns[r.pressures[k]].name; name != "" {
		return fmt.Sprintf("%q", name)
	}
	return fmt.Sprint(k + 1)
}

// cylinders names the columns.
func (r *traceReader) cylinders(t *layout.Trace) {
	if len(r.pressures) < 2 {
		return
	}
	given := 0
	for _, j := range r.pressures {
		name := r.columns[j].cylinder
		if name != "" && !slices.Contains(t.Cylinders, name) {
			given++
		}
		t.Cylinders = append(t.Cylinders, name)
	}
	if given < len(r.pressures) {
		for k := range t.Cylinders {
			t.Cylinders[k] = fmt.Sprint(k + 1)
		}
		r.remark("the columns of pressure do not name their cylinders: they are taken as those of 1 to %d", len(r.pressures))
	}
}
