package server

// Types of the search of a part of a study by evolution.

// StudyStart says how a study is searched.
type StudyStart struct {
	Evolution *StudyEvolve `json:"evolution,omitempty" doc:"look at a part of the candidates, bred generation by generation; left out: look at every one"`
}

// StudyEvolve asks for an evolutionary search. What is left out is as in the results that are there, else as the text says.
type StudyEvolve struct {
	Evaluations *uint64 `json:"evaluations,omitempty" minimum:"1" maximum:"9007199254740991" doc:"it ends with the generation in which so many candidates were looked at; else a tenth of the space, at least 2000, at most 100 000"`
	Generation  *int    `json:"generation,omitempty" minimum:"4" maximum:"10000" doc:"candidates of a generation; else 100"`
	Seed        *uint64 `json:"seed,omitempty" maximum:"9007199254740991" doc:"of the random numbers: the same seed gives the same results; else 1"`
	Still       *int    `json:"still,omitempty" minimum:"1" maximum:"1000000" doc:"it also ends when the front stays as it is for so many generations; else 20"`
}

// StudyEvolution is how an evolutionary search stands.
type StudyEvolution struct {
	Seed        uint64 `json:"seed" doc:"of the random numbers"`
	Generation  int    `json:"generation" doc:"candidates of a generation"`
	Evaluations uint64 `json:"evaluations" doc:"it ends with the generation in which so many candidates were looked at"`
	Still       int    `json:"still" doc:"it also ends when the front stays as it is for so many generations"`
	Generations int    `json:"generations" doc:"that are done"`
	Unchanged   int    `json:"unchanged" doc:"for so many generations, up to the last, the front has stayed as it is"`
	Ended       bool   `json:"ended" doc:"it goes on only with larger numbers, and not at all where every candidate of the space was looked at"`
	Space       uint64 `json:"space" doc:"candidates of the space; nothing is known of those that were not looked at"`
}
