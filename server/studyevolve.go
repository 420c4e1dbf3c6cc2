package server

import (
	"cmp"
	"fmt"
	"net/http"

	"crankwright/results"
	"crankwright/search"
)

// createResults makes the folder of a search, or goes on with the one that is there.
//
//   - by: how its candidates are chosen; nil: every one
func createResults(dir string, p *search.Problem, by *results.Evolution) (*results.Folder, error) {
	if by == nil {
		return results.Create(dir, p, p.Bundle())
	}
	return results.CreateEvolution(dir, p, p.Bundle(), *by)
}

// wantedEvolution says how the candidates of a search are to be chosen; nil: every one. Error: the results that are there were
// found in another way, or a number is not possible.
//
//   - was: the results that are there; nil: there are none
func wantedEvolution(file string, was *results.Folder, ask *StudyEvolve) (*results.Evolution, error) {
	var by results.Evolution
	bred := false
	if was != nil {
		by, bred = was.Evolution()
	}
	switch {
	case ask == nil && bred:
		return nil, failure(http.StatusConflict, results.Beside(file)+" holds a search by evolution; go on with that one, or set its results aside first (Run anew) to look at every candidate")
	case ask == nil:
		return nil, nil
	case was != nil && !bred:
		return nil, failure(http.StatusConflict, results.Beside(file)+" holds a search of every candidate; set its results aside first (Run anew) to search a part by evolution")
	case !bred:
		by.Seed = 1
	}
	old := by
	overwrite(&by.Evaluations, ask.Evaluations)
	overwrite(&by.Size, ask.Generation)
	overwrite(&by.Seed, ask.Seed)
	overwrite(&by.Still, ask.Still)
	if bred && (by.Seed != old.Seed || by.Size != old.Size) {
		return nil, failure(http.StatusConflict, fmt.Sprintf("%s holds a search by evolution with seed %d and generations of %d; go on with these, or set its results aside first (Run anew)", results.Beside(file), old.Seed, old.Size))
	}
	if size := uint64(cmp.Or(by.Size, 100)); by.Evaluations/size >= results.MostShards {
		return nil, badField("body.evolution.evaluations", fmt.Sprintf("%d candidates in generations of %d would be more than %d generations; look at fewer candidates, or make the generations larger", by.Evaluations, size, results.MostShards))
	}
	return &by, nil
}

// overwrite sets what is given.
func overwrite[T any](to, from *T) {
	if from != nil {
		*to = *from
	}
}

// sameResults reports whether two folders hold the results of the same search, given the same numbers.
func sameResults(a, b *results.Folder) bool {
	one, bred := a.Evolution()
	other, alsoBred := b.Evolution()
	return a.Digest() == b.Digest() && bred == alsoBred && one == other
}

// spaceOf is how many candidates the space of results has.
func spaceOf(f *results.Folder) uint64 {
	n, _ := f.Problem().Space().Size() // it was checked when the folder was opened
	return n
}

// shownEvolution says how the evolutionary search of a folder stands; nil: it looks at every candidate.
//
//   - ended: it has come to its end
func shownEvolution(f *results.Folder, ended bool) *StudyEvolution {
	by, bred := f.Evolution()
	if !bred {
		return nil
	}
	e := &StudyEvolution{Seed: by.Seed, Generation: by.Size, Evaluations: by.Evaluations, Still: by.Still, Ended: ended, Space: spaceOf(f)}
	if course := f.Course(); len(course) > 0 {
		e.Generations, e.Unchanged = len(course), course[len(course)-1].Still
	}
	return e
}
