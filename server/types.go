package server

import "crankwright/report"

// The types of this file are what several operations of the API speak; OpenAPI and the front end's client are
// generated from them. Lengths are in mm and angles in degrees, as everywhere outside the program.

// LineUp is the folder as it stands.
type LineUp struct {
	Folder    string        `json:"folder" doc:"name of the folder, without its path"`
	Revision  int           `json:"revision" doc:"grows with every change, ours or from outside"`
	Engines   []EngineEntry `json:"engines" doc:"engine files by name"`
	Briefs    []BriefEntry  `json:"briefs" doc:"briefs by name"`
	Snapshots []Snapshot    `json:"snapshots" doc:"named states of the whole line-up, newest first"`
	Undo      string        `json:"undo,omitempty" doc:"what undo would take back; empty: nothing"`
	Redo      string        `json:"redo,omitempty" doc:"what redo would do again; empty: nothing"`
	Left      string        `json:"left,omitempty" doc:"of undo and redo: which files stay as they are, and why; empty: none"`
}

// EngineEntry is one engine file in the folder.
type EngineEntry struct {
	File        string `json:"file" doc:"file name inside the folder"`
	Etag        string `json:"etag" doc:"changes with the content of the file"`
	Name        string `json:"name" doc:"name of the engine; the file name where it cannot be read"`
	Arrangement string `json:"arrangement,omitempty" doc:"as the layout of the file names it; left out: it names none"`
	Cylinders   int    `json:"cylinders" doc:"how many the engine has; 0: not known"`
	Problems    int    `json:"problems" doc:"how many things are wrong with it; 0: it can be evaluated"`
}

// Snapshot is a named state of the line-up.
type Snapshot struct {
	Name    string   `json:"name" doc:"under which it was kept"`
	Made    string   `json:"made" format:"date-time" doc:"when it was kept, in UTC"`
	Engines []string `json:"engines" doc:"file names"`
}

// EngineView is all that the workbench shows of one engine.
type EngineView struct {
	File     string           `json:"file" doc:"file name inside the folder; empty: the text has none yet"`
	Etag     string           `json:"etag" doc:"of the text on disk; a save must give it"`
	Text     string           `json:"text" doc:"the file as it stands, or would stand"`
	Saved    bool             `json:"saved" doc:"the text is what is on disk"`
	Problems []Problem        `json:"problems" doc:"everything that is wrong, by place; empty: Result and Geometry are there"`
	Result   *report.Document `json:"result,omitempty" doc:"the same as evaluate --json --curves --contributions prints"`
	Geometry *report.Geometry `json:"geometry,omitempty" doc:"what a drawing needs"`
	Fields   []Field          `json:"fields" doc:"every input, given or estimated, by chapter"`
	Reasons  []Reason         `json:"reasons" doc:"explanations in words, by order"`
	Firing   []string         `json:"firing_reasons" doc:"the firing explained in words"`
}

// Problem is one thing that is wrong in a file.
type Problem struct {
	Line    int    `json:"line" doc:"of the text, from 1; 0: it has no place there"`
	Column  int    `json:"column" doc:"in characters, from 1; 0: it has no place in the text"`
	Path    string `json:"path,omitempty" doc:"key that it is about, as in Field"`
	What    string `json:"what" doc:"is wrong, in words"`
	Allowed string `json:"allowed,omitempty" doc:"what would be right; left out: nothing to say"`
}

// Reason explains one order.
type Reason struct {
	Order    float64         `json:"order" doc:"per crank revolution"`
	Sections []ReasonSection `json:"sections" doc:"one by one"`
}

// ReasonSection is one thing explained.
type ReasonSection struct {
	Heading string   `json:"heading" doc:"of the section; may be empty"`
	Lines   []string `json:"lines" doc:"in sentences"`
}

// Field is one input of an engine file.
type Field struct {
	Path      string   `json:"path" doc:"key in the file, such as rod.length or layout.bank_angle"`
	Label     string   `json:"label" doc:"in words"`
	Chapter   string   `json:"chapter" doc:"which section of the engine page it belongs to"`
	Kind      string   `json:"kind" enum:"quantity,count,word,text,flag,list" doc:"how it is edited"`
	Dimension string   `json:"dimension,omitempty" doc:"length, mass, angle, speed, …"`
	Units     []string `json:"units,omitempty" doc:"units that it takes, the usual one first"`
	Words     []string `json:"words,omitempty" doc:"words that it takes"`
	Text      string   `json:"text" doc:"as it stands in the file, or the estimate as people read it; empty: nothing"`
	Value     *float64 `json:"value,omitempty" doc:"SI value of a quantity or count"`
	Given     bool     `json:"given" doc:"stands in the file"`
	Rule      string   `json:"rule,omitempty" doc:"how it was estimated"`
	Source    string   `json:"source,omitempty" doc:"where the rule comes from"`
	Help      string   `json:"help,omitempty" doc:"what it is"`
	Least     *float64 `json:"least,omitempty" doc:"lower end of a slider, SI"`
	Most      *float64 `json:"most,omitempty" doc:"upper end of a slider, SI"`
	Step      *float64 `json:"step,omitempty" doc:"step of a slider, SI"`
}

// Edit sets one key of a file; the rest of the text stays as it is, comments included.
type Edit struct {
	Path string  `json:"path" doc:"key, such as rod.length or layout.pins[1]"`
	Text *string `json:"text,omitempty" doc:"new value as it would stand in the file; left out: the key is removed"`
}
