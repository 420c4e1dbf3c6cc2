package report

import (
	"fmt"

	"crankwright/num"
	"crankwright/search"
	"crankwright/study"
)

// EvolutionDoc says how an evolutionary search went.
type EvolutionDoc struct {
	Evaluations uint64             `json:"evaluations_1" jsonschema_description:"candidates that were looked at"`
	Most        uint64             `json:"most_evaluations_1" jsonschema_description:"it ends with the generation in which so many were looked at"`
	Generations int                `json:"generations_1" jsonschema_description:"that are done"`
	Size        int                `json:"generation_candidates_1" jsonschema_description:"candidates in a generation"`
	Seed        uint64             `json:"seed" jsonschema_description:"of the random choice; the same seed gives the same result"`
	Still       int                `json:"still_generations_1" jsonschema_description:"for so many generations, up to the last, the front has stayed as it is"`
	MostStill   int                `json:"most_still_generations_1" jsonschema_description:"it also ends after so many"`
	Ended       bool               `json:"ended" jsonschema_description:"it has come to its end; else it can go on"`
	Course      []EvolutionStepDoc `json:"course" jsonschema_description:"by generation"`
}

// EvolutionStepDoc is how far an evolutionary search was after a generation.
type EvolutionStepDoc struct {
	Looked uint64 `json:"looked_at_1" jsonschema_description:"candidates that were looked at by then"`
	Kept   uint64 `json:"kept_1" jsonschema_description:"of them, those that no rule left out"`
	Front  int    `json:"front_1" jsonschema_description:"candidates of it"`
	Best   []any  `json:"best" jsonschema_description:"by aim, in its unit; null: none was kept yet"`
}

// NewEvolvedDoc describes what an evolutionary search found so far.
//
//   - folder: of the results; may be empty
func NewEvolvedDoc(p *search.Problem, o *study.Outcome, folder string, e EvolutionDoc) *StudyDoc {
	d := NewStudyDoc(p, o, folder, o.Looked == p.Size().Total)
	if e.Course == nil {
		e.Course = []EvolutionStepDoc{}
	}
	e.Evaluations = o.Looked
	d.Evolution = &e
	c := &d.Certificate
	c.Words = c.Words[:1]
	if !d.Whole {
		c.Words[0] = fmt.Sprintf("%s of %s were looked at, chosen by an evolutionary search: what it has not looked at may be better.",
			exactly(o.Looked), candidates(d.Size.Total))
	}
	c.Words = append(c.Words, e.how(d.Whole),
		"Where figures come from the fast path, one kept candidate of every thousand was held against the whole analysis of its engine; a difference would have ended the search.")
	return d
}

// how says how the search went, and why it ended.
func (e *EvolutionDoc) how(whole bool) string {
	words := fmt.Sprintf("%s of %d, seed %d: the same seed gives the same candidates.", counted(e.Generations, "generation", "generations"), e.Size, e.Seed)
	return words + " " + e.ending(whole)
}

// ending is why as a sentence.
func (e *EvolutionDoc) ending(whole bool) string {
	if !e.Ended {
		return num.Capital(e.why(whole)) + "."
	}
	return "It ended because " + e.why(whole) + "."
}

// why says why the search ended, or that it has not, and whether its front was still growing.
func (e *EvolutionDoc) why(whole bool) string {
	still := ""
	if e.Still > 0 {
		still = fmt.Sprintf("the front has stayed as it is for %s", counted(e.Still, "generation", "generations"))
	}
	switch {
	case !e.Ended && still == "":
		return "it has not ended"
	case !e.Ended:
		return "it has not ended; " + still
	case whole:
		return "every candidate was looked at"
	case e.Evaluations < e.Most:
		return fmt.Sprintf("the front has stayed as it is for %s", counted(max(e.Still, e.MostStill), "generation", "generations"))
	case still == "":
		return "it had looked at as many candidates as it was given, while the front was still growing: a larger number may find better ones"
	}
	return "it had looked at as many candidates as it was given; " + still
}

// looked says how many candidates were looked at.
func (e *EvolutionDoc) looked(whole bool) string {
	switch {
	case whole:
		return "all of them were looked at"
	case !e.Ended:
		return exactly(e.Evaluations) + " of them were looked at so far"
	}
	return exactly(e.Evaluations) + " of them were looked at"
}

// frontCaption says what the front is.
func (d *StudyDoc) frontCaption() string {
	other := "no other beats"
	if !d.Whole {
		other = "no other that was looked at beats"
	}
	return fmt.Sprintf("The front: %s that %s", candidates(uint64(len(d.Front))), other)
}

// noFront says why there is no front.
func (d *StudyDoc) noFront() string {
	if d.Whole {
		return "No candidate was kept, so there is no front: something that is required cannot be had."
	}
	return "No candidate that was looked at was kept, so there is no front yet: what is required may be hard to have, or cannot be had."
}
