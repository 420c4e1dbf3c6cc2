package choice_test

import (
	"math"
	"testing"

	"crankwright/choice"
)

// table makes a problem of values that are worth what they are: criteria from 0, the worst, to 1.
func table(rows map[string][]float64, names ...string) *choice.Problem {
	p := &choice.Problem{}
	for _, n := range names {
		p.Alternatives = append(p.Alternatives, choice.Alternative{Name: n, Values: rows[n]})
	}
	for i := range rows[names[0]] {
		key := string(rune('p' + i))
		p.Criteria = append(p.Criteria, choice.Criterion{Key: key, Name: key, Unit: "1", Better: 1, Worth: choice.Linear(0, 1)})
		p.Aims = append(p.Aims, choice.Aim{Key: key, Name: key, Weight: choice.Range{Low: 0, High: 10}, Parts: []choice.Part{{Criterion: i, Share: 1}}})
	}
	return p
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s: %g, want %g within %g", what, got, want, within)
	}
}

// TestTwoCriteria is the exact example that can be checked by hand: A (1, 0), B (0, 1), C (0.6, 0.6), all
// weights alike. A is first where w₁ > 0.6, B where w₁ < 0.4.
func TestTwoCriteria(t *testing.T) {
	p := table(map[string][]float64{"A": {1, 0}, "B": {0, 1}, "C": {0.6, 0.6}}, "A", "B", "C")
	a, err := p.Accept(nil, choice.Options{Draws: 400_000, Seed: 1, AnyWeights: true})
	if err != nil {
		t.Fatal(err)
	}
	want := [][]float64{{0.4, 0.1, 0.5}, {0.4, 0.1, 0.5}, {0.2, 0.8, 0}}
	for i, row := range want {
		for r, v := range row {
			near(t, p.Alternatives[i].Name, a.Rank[i][r], v, 0.004)
		}
	}
	for i, v := range []float64{0.8, 0.2, 0.5} {
		near(t, "central weight of "+p.Alternatives[i].Name, a.Central[i][0], v, 0.003)
		near(t, "confidence of "+p.Alternatives[i].Name, a.Confidence[i], 1, 0)
	}
}

// TestThreeCriteria is the Monte Carlo case with 2 million draws of another generator (standard error 0.0003).
func TestThreeCriteria(t *testing.T) {
	p := table(map[string][]float64{"A": {1, 0.2, 0.4}, "B": {0.3, 1, 0.5}, "C": {0.6, 0.6, 0.6}}, "A", "B", "C")
	a, err := p.Accept(nil, choice.Options{Draws: 2_000_000, Seed: 1, AnyWeights: true})
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range []float64{0.328, 0.451, 0.2205} {
		near(t, "first rank", a.Rank[i][0], v, 0.0015)
	}
	for r, v := range []float64{0.2205, 0.7685, 0.0109} {
		near(t, "rank of C", a.Rank[2][r], v, 0.0015)
	}
	for i, row := range [][]float64{{0.613, 0.162, 0.225}, {0.186, 0.545, 0.270}, {0.219, 0.156, 0.625}} {
		for k, v := range row {
			near(t, "central weight", a.Central[i][k], v, 0.0015)
		}
	}
}
