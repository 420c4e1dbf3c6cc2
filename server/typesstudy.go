package server

import "crankwright/report"

// Types of the search: studies, what they say, how they run, and what they found.

// StudyEntry is one study in the folder.
type StudyEntry struct {
	File       string `json:"file" doc:"file name inside the folder"`
	Etag       string `json:"etag" doc:"changes with the content of the file"`
	Name       string `json:"name" doc:"name of the study; the file name where it cannot be read"`
	Base       string `json:"base,omitempty" doc:"engine file that it varies"`
	Problems   int    `json:"problems" doc:"how many things are wrong with the file itself"`
	Results    string `json:"results" enum:"none,part,whole" doc:"what is kept beside it"`
	Running    bool   `json:"running" doc:"it is being searched now"`
	Done       uint64 `json:"done" doc:"candidates that were looked at"`
	Candidates uint64 `json:"candidates" doc:"of the space of the search whose results are kept; 0: there are none"`
	Kept       uint64 `json:"kept" doc:"candidates that nothing left out"`
	Evolved    bool   `json:"evolved" doc:"a part of the space is looked at, by evolution; whole then says that the search has ended"`
}

// StudyList is the studies of the folder.
type StudyList struct {
	Revision int          `json:"revision" doc:"of the folder"`
	Studies  []StudyEntry `json:"studies" doc:"by name"`
	Workers  string       `json:"workers,omitempty" doc:"searches are shared with workers: the command that starts one"`
}

// StudyView is the text of a study.
type StudyView struct {
	File  string `json:"file" doc:"file name inside the folder"`
	Etag  string `json:"etag" doc:"of the text on disk; a save must give it"`
	Text  string `json:"text" doc:"of the study"`
	Saved bool   `json:"saved" doc:"the text is what is on disk"`
}

// StudySave replaces the text of a study.
type StudySave struct {
	Etag string `json:"etag" minLength:"1" doc:"of the text that the change starts from"`
	Text string `json:"text" doc:"it is saved even where it has problems"`
}

// NewStudy makes a study.
type NewStudy struct {
	File   string  `json:"file,omitempty" maxLength:"200" doc:"its name; left out: made of the name of the study"`
	Name   string  `json:"name,omitempty" maxLength:"200" doc:"name of the study; left out: made of its base"`
	Base   string  `json:"base,omitempty" maxLength:"250" doc:"engine file in the folder that a new study varies"`
	Text   *string `json:"text,omitempty" doc:"its text, instead of a base"`
	CopyOf string  `json:"copy_of,omitempty" maxLength:"250" doc:"study in the folder that is copied, instead of a base"`
}

// StudyDraft is a study as it stands or would stand.
type StudyDraft struct {
	File string  `json:"file" maxLength:"250" doc:"study in the folder; its text is taken where text is left out"`
	Text *string `json:"text,omitempty" doc:"text that nobody has saved"`
}

// StudyCheck is what a study says, before anything is computed.
type StudyCheck struct {
	Problems []Problem  `json:"problems" doc:"everything that is wrong, by place; empty: Plan is there"`
	Plan     *StudyPlan `json:"plan,omitempty" doc:"what the study looks at; left out where something is wrong with it"`
}

// StudyPlan is what a study looks at and wants.
type StudyPlan struct {
	Name    string              `json:"name" doc:"of the study"`
	Base    string              `json:"base" doc:"engine file that it varies"`
	Size    report.StudySizeDoc `json:"size" doc:"how many candidates there are, and why; of an axis at most 60 values: the first ones and the last where there are more"`
	Aims    []StudyColumn       `json:"aims" doc:"figures of which less is better, or more"`
	Require []string            `json:"require" doc:"what leaves a candidate out, in words"`
	Columns []StudyColumn       `json:"columns" doc:"what every candidate that is kept has"`
	Digest  string              `json:"digest" doc:"changes with anything on which a result depends"`
}

// StudyColumn is one value of every candidate.
type StudyColumn struct {
	Key    string   `json:"key" doc:"such as layout.bank_angle or free_force_order_2"`
	Name   string   `json:"name" doc:"in words"`
	Unit   string   `json:"unit" doc:"1: none"`
	Kind   string   `json:"kind" enum:"input,figure" doc:"input: it varies; figure: it is computed"`
	Better string   `json:"better" enum:"less,more,neither" doc:"neither: it is no aim"`
	Values int      `json:"values" doc:"of an input whose values are words: how many; a value is then the index of its words, from 0. 0: a number"`
	Words  []string `json:"words,omitempty" doc:"the words of such a column, where they are asked for"`
}

// StudyPoint is one candidate.
type StudyPoint struct {
	Index  uint64     `json:"index" doc:"its number"`
	Values []*float64 `json:"values" doc:"by column; null: there is no such value"`
	Words  []string   `json:"words" doc:"by column: the value as people read it, without its unit"`
	Alike  uint64     `json:"alike" doc:"how many more, with higher numbers, have the same values of every aim"`
}

// StudyRun is how a search stands.
type StudyRun struct {
	File        string        `json:"file" doc:"of the study"`
	State       string        `json:"state" enum:"none,running,part,whole" doc:"none: nothing is kept; part: it can go on; whole: every candidate was looked at, or the evolutionary search has ended"`
	Failure     string        `json:"failure,omitempty" doc:"why the last run ended"`
	Stale       string        `json:"stale,omitempty" doc:"how the files differ from those of the results; empty: they are the same"`
	Done        uint64        `json:"done" doc:"candidates that were looked at"`
	Total       uint64        `json:"total" doc:"candidates that are to be looked at; of an evolutionary search at most, to a generation"`
	Kept        uint64        `json:"kept" doc:"candidates that nothing left out"`
	PerSecond   float64       `json:"per_second" doc:"of the run that is under way"`
	SecondsLeft float64       `json:"seconds_left" doc:"until it is done at that pace, roughly; 0: not known, or nothing is under way"`
	LeftOut     []StudyLeft   `json:"left_out" doc:"by rule"`
	Agrees      bool          `json:"agrees" doc:"every candidate that was looked at is accounted for: left out by a rule, or kept"`
	Columns     []StudyColumn `json:"columns" doc:"what the values of points mean"`
	Front       []StudyPoint  `json:"front" doc:"not dominated by any other that was looked at, by number; at most as many as are asked for"`
	FrontSize   int           `json:"front_size" doc:"how many candidates are on the front"`
	Best        []StudyBest   `json:"best" doc:"by aim"`

	Evolution *StudyEvolution `json:"evolution,omitempty" doc:"how the candidates are chosen; left out: every one is looked at"`
}

// StudyLeft is how many candidates a rule left out.
type StudyLeft struct {
	Rule  string `json:"rule" doc:"in words"`
	Count uint64 `json:"count" doc:"candidates that it left out"`
	First uint64 `json:"first" doc:"number of the first of them"`
}

// StudyBest is the best candidates by one aim.
type StudyBest struct {
	Aim    string       `json:"aim" doc:"key of its column"`
	Points []StudyPoint `json:"points" doc:"the best first"`
}

// StudyPointsHead is the header of the points.
type StudyPointsHead struct {
	Kept    uint64        `json:"kept" doc:"candidates that were kept"`
	Count   int           `json:"count" doc:"how many of them follow"`
	Columns []StudyColumn `json:"columns" doc:"in the sequence in which they follow"`
}

// StudyQuery asks for candidates that were kept.
type StudyQuery struct {
	Filter  string   `json:"filter,omitempty" maxLength:"4000" doc:"in trade words, such as layout.bank_angle >= 60 deg and length <= 600 mm; empty: all"`
	SQL     string   `json:"sql,omitempty" maxLength:"20000" doc:"instead of a filter: a query of the table candidates"`
	Columns []string `json:"columns,omitempty" maxItems:"200" doc:"keys; left out: all"`
	Sort    string   `json:"sort,omitempty" maxLength:"200" doc:"key of a column, with a minus sign for the largest first; left out: by number"`
	Front   bool     `json:"front,omitempty" doc:"only candidates of the front"`
	Limit   int      `json:"limit,omitempty" minimum:"0" maximum:"10000" doc:"0: 100"`
}

// StudyRows answers a query.
type StudyRows struct {
	Columns []StudyColumn `json:"columns" doc:"of the answer"`
	Rows    [][]string    `json:"rows" doc:"as people read them, without units"`
	Index   []uint64      `json:"index" doc:"number of the candidate of each row; empty where a query gives none"`
	More    bool          `json:"more" doc:"there are more rows than the limit"`
	Matched uint64        `json:"matched" doc:"rows that satisfy the filter, also those beyond the limit; of SQL: rows returned"`
	Whole   bool          `json:"whole" doc:"the search has ended: these are all that there will be, unless an evolutionary one goes on with larger numbers"`
}

// StudyCandidate is one candidate as an engine.
type StudyCandidate struct {
	Index    uint64         `json:"index" doc:"its number"`
	Name     string         `json:"name" doc:"of the engine that it is"`
	File     string         `json:"file" doc:"a name that is free for it"`
	Settings []StudySetting `json:"settings" doc:"what differs from the base"`
	Values   []StudyValue   `json:"values" doc:"what the search found; empty where the candidate was not kept"`
	Text     string         `json:"text" doc:"of its engine file"`
	Problems []Problem      `json:"problems" doc:"of that file"`
	Fixed    string         `json:"fixed,omitempty" doc:"why it cannot be refined between the steps; empty: it can"`
}

// StudySetting is one key of the engine file of a candidate.
type StudySetting struct {
	Key  string `json:"key" doc:"such as layout.bank_angle"`
	Name string `json:"name" doc:"in words"`
	Text string `json:"text" doc:"as it stands in the file"`
}

// StudyValue is one figure of a candidate.
type StudyValue struct {
	Key  string `json:"key" doc:"such as free_force_order_2"`
	Name string `json:"name" doc:"in words"`
	Unit string `json:"unit" doc:"1: none"`
	Text string `json:"text" doc:"as people read it, without its unit"`
}

// KeepCandidate writes a candidate as an engine file.
type KeepCandidate struct {
	File string `json:"file,omitempty" maxLength:"200" doc:"name of the new file; left out: made of the name of the candidate"`
}

// StudyRefineStart says how a candidate is refined between the steps of its study.
type StudyRefineStart struct {
	Toward      string `json:"toward,omitempty" maxLength:"200" doc:"key of the aim to improve while no other gets worse; left out: all of them together"`
	Evaluations int    `json:"evaluations,omitempty" minimum:"0" maximum:"5000" doc:"engines to analyse at most; 0: 400"`
}

// StudyRefine is how the refinement of a candidate stands.
type StudyRefine struct {
	Index   uint64        `json:"index" doc:"number of the candidate"`
	State   string        `json:"state" enum:"none,running,failed,done" doc:"none: it was not asked for"`
	Toward  string        `json:"toward,omitempty" doc:"key of the one aim that is improved; empty: all of them together"`
	Done    int           `json:"done" doc:"engines that were analysed"`
	Most    int           `json:"most" doc:"engines that are analysed at most; it may end earlier"`
	Failure string        `json:"failure,omitempty" doc:"why it failed"`
	Result  *StudyRefined `json:"result,omitempty" doc:"when it is done"`
}

// StudyRefined is a candidate between the steps of its study.
type StudyRefined struct {
	Better      bool                 `json:"better" doc:"some aim is better, none is worse, and everything required is kept; else it is the candidate itself"`
	Evaluations int                  `json:"evaluations" doc:"engines that were analysed"`
	Moved       []StudyMoved         `json:"moved" doc:"what could move, and how far it went"`
	Figures     []StudyRefinedFigure `json:"figures" doc:"what that does"`
	Settings    []StudySetting       `json:"settings" doc:"what differs from the base"`
	Name        string               `json:"name" doc:"of the engine that it is"`
	File        string               `json:"file" doc:"a name that is free for it"`
	Text        string               `json:"text" doc:"of its engine file"`
}

// StudyMoved is how far a number went.
type StudyMoved struct {
	Key    string `json:"key" doc:"such as layout.bank_angle"`
	Name   string `json:"name" doc:"in words"`
	Unit   string `json:"unit" doc:"1: none"`
	Before string `json:"before" doc:"as people read it, without its unit"`
	After  string `json:"after" doc:"as before"`
}

// StudyRefinedFigure is what became of a figure.
type StudyRefinedFigure struct {
	Key    string `json:"key" doc:"such as free_force_order_2"`
	Name   string `json:"name" doc:"in words"`
	Unit   string `json:"unit" doc:"1: none"`
	Wanted string `json:"wanted" enum:"less,more,limit" doc:"limit: it is no aim, and it has to keep what is required"`
	Before string `json:"before" doc:"as people read it, without its unit"`
	After  string `json:"after" doc:"as before"`
	Change string `json:"change" enum:"less,more,same" doc:"how it went from before to after"`
}

// StudyWords is what a study of a base may say.
type StudyWords struct {
	Vary     []VaryInfo    `json:"vary" doc:"what can vary"`
	Measures []MeasureInfo `json:"measures" doc:"figures that may be required, or be aims where one side is better"`
	Briefs   []BriefEntry  `json:"briefs" doc:"briefs of the folder, whose limits a study can take over"`
}

// VaryInfo is one thing that can vary.
type VaryInfo struct {
	Key     string `json:"key" doc:"such as layout.bank_angle"`
	Name    string `json:"name" doc:"in words"`
	Chapter string `json:"chapter" doc:"as of a Field; search: keys that only a study knows"`
	Present string `json:"present" doc:"its value in the base, as people read it; empty: nothing"`
	Line    string `json:"line" doc:"what a study would say, to be edited: {from: 60 deg, to: 120 deg, step: 5 deg}"`
	Help    string `json:"help,omitempty" doc:"what it is; left out: its name says it"`
}
