package report

import (
	"fmt"

	"crankwright/search"
	"crankwright/study"
)

// EvolutionDoc says how an evolutionary search went.
type EvolutionDoc struct {
	Evaluations uint64             `json:"evaluations_1" jsonschema_description:"candidates that were looked at"`
	Most        uint64             `json:"most_evaluations_1" jsonschema_description:"it ends with the generation in which so many were looked at"`
	Generations int                `json:"generations_1"`
	Size        int                `json:"generation_candidates_1"`
	Seed        uint64             `json:"seed"`
	Still       int                `json:"still_generations_1" jsonschema_description:"for so many generations, up to the last, the front has stayed as it is"`
	MostStill   int                `json:"most_still_generations_1" jsonschema_description:"it also ends after so many"`
	Ended       bool               `json:"ended"`
	Course      []EvolutionStepDoc `json:"course" jsonschema_description:"by generation"`
}

// EvolutionStepDoc is how far an evolutionary search was after a generation.
type EvolutionStepDoc struct {
	Looked uint64 `json:"looked_at_1"`
	Kept   uint64 `json:"kept_1"`
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
	c.Words = append(c.Words, e.how(),
		"Where figures come from the fast path, one kept candidate of every thousand was held against the whole analysis of its engine; a difference would have ended the search.")
	return d
}

// how says how the search went, and why it ended.
func (e *EvolutionDoc) how() string {
	words := fmt.Sprintf("%s of %d, seed %d: the same seed gives the same candidates.", counted(e.Generations, "generation", "generations"), e.Size, e.Seed)
	still := ""
	if e.Still > 0 {
		still = fmt.Sprintf("the front has stayed as it is for %s", counted(e.Still, "generation", "generations"))
	}
	switch {
	case !e.Ended && still == "":
		return words + " It has not ended."
	case !e.Ended:
		return words + " It has not ended; " + still + "."
	case e.Still >= e.MostStill:
		return words + " It ended because " + still + "."
	case still == "":
		return words + " It ended at the number of candidates that it was given, while the front was still growing: a larger number may find better ones."
	}
	return words + " It ended at the number of candidates that it was given; " + still + "."
}
