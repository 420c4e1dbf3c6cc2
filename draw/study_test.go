package draw

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// studyFigures are the figures of a search, which need no engine.
func studyFigures() map[string]Figure {
	length := Criterion{Name: "Length", Unit: "mm", LowerIsBetter: true, Limits: []Bound{{Value: 620, AtMost: true}}}
	force := Criterion{Name: "Free force, order 2", Unit: "N", LowerIsBetter: true}
	even := Criterion{Name: "Firing evenness", Unit: ""}
	var cloud []Place
	for i := range 4000 {
		a, b := float64(i%89)/89, float64(i%61)/61
		cloud = append(cloud, Place{480 + 130*a, 9000 * (1.2 - a) * (0.3 + b)})
	}
	front := []FrontPlace{{12, 480, 3240}, {870, 520, 2409}, {19, 560, 1579}, {3000, 610, 540}}
	var lines []FrontLine
	for i := range 40 {
		f := float64(i) / 39
		lines = append(lines, FrontLine{Number: uint64(100 + i), Values: []float64{480 + 130*f, 3240 * (1 - f*f), 0.6 + 0.3*math.Sin(3*f)}, Marked: i%13 == 0})
	}
	nan := math.NaN()
	var steps []CourseStep
	for i := range uint64(20) {
		f := math.Min(1, float64(i)/12)
		step := CourseStep{Looked: 150 * (i + 1), Front: int(min(2*i, 21)), Best: []float64{610 - 130*f*f, 9000 - 8000*math.Sqrt(math.Floor(6*f)/6), 0.9}}
		if i < 2 {
			step.Best = []float64{nan, nan, nan}
		}
		steps = append(steps, step)
	}
	late := []CourseStep{{100, 0, []float64{nan, nan}}, {200, 1, []float64{620.00001, nan}}, {300, 4, []float64{620, nan}}}
	return map[string]Figure{
		"study-course":      StudyCourse("four-cylinder vees", []Criterion{length, force, even}, 40_000, steps),
		"study-course.late": StudyCourse("", []Criterion{length, force}, 300, late),
		"study-course.one":  StudyCourse("four-cylinder vees", []Criterion{length}, 40_000, steps[:1]),
		"study-course.none": StudyCourse("nothing", []Criterion{length, force}, 40_000, steps[:2]),
		"study-front.two":   StudyFront("four-cylinder vees", length, force, cloud, 40_000, front, true),
		"study-front.three": StudyFront("", length, even, nil, 4, []FrontPlace{{1, 500, 0.9}, {2, 510, 0.8}}, false),
		"study-front.none":  StudyFront("nothing", length, force, nil, 0, nil, true),
		"study-aims":        StudyAims("four-cylinder vees", []Criterion{length, force, even}, lines),
		"study-aims.one":    StudyAims("", []Criterion{length, force}, lines[:1]),
	}
}

// Snapshots: go test ./draw -update writes testdata/study/<figure>.svg anew.
func TestStudySnapshots(t *testing.T) {
	for name, f := range studyFigures() {
		snapshot(t, "study", name, f)
		if _, err := f.PDF(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		checkChoice(t, name, f)
	}
}

// Whatever a search finds can be drawn.
func TestAnyStudy(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		a := anyChoice{r}
		var kept []Place
		for range rapid.IntRange(0, 30).Draw(r, "kept") {
			kept = append(kept, Place{a.value(), a.value()})
		}
		var front []FrontPlace
		var lines []FrontLine
		aims := []Criterion{a.criterion(), a.criterion(), a.criterion()}
		for i := range rapid.IntRange(0, 12).Draw(r, "front") {
			front = append(front, FrontPlace{uint64(i), a.value(), a.value()})
			lines = append(lines, FrontLine{uint64(i), []float64{a.value(), a.value(), a.value()}[:rapid.IntRange(2, 3).Draw(r, "values")], rapid.Bool().Draw(r, "marked")})
		}
		var steps []CourseStep
		for range rapid.IntRange(0, 12).Draw(r, "generations") {
			steps = append(steps, CourseStep{rapid.OneOf(rapid.Uint64Range(0, 3000), rapid.Uint64()).Draw(r, "looked"), rapid.OneOf(rapid.IntRange(0, 50), rapid.Int()).Draw(r, "on the front"), []float64{a.value(), a.value(), a.value()}[:rapid.IntRange(0, 3).Draw(r, "best")]})
		}
		checkChoice(t, "course", StudyCourse(a.name(), aims, rapid.Uint64Range(0, 3000).Draw(r, "all"), steps))
		checkChoice(t, "front", StudyFront(a.name(), aims[0], aims[1], kept, uint64(len(kept)), front, rapid.Bool().Draw(r, "two")))
		checkChoice(t, "aims", StudyAims(a.name(), aims[:rapid.IntRange(1, 3).Draw(r, "aims")], lines))
	}) // labels may not lie on each other
}
