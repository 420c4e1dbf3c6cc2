package report

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"strings"

	"crankwright/analysis"
	"crankwright/draw"
)

// pageLive is the line-up in motion, and what stands where nothing moves.
type pageLive struct {
	ID, Title string
	Lead      string
	At        string       // the crank angle of the still figures
	Still     string       // what is said where it stands still on purpose
	Stills    []pageFigure // the engines at one crank angle
	Data      template.JS  // a lineUpData as JSON
	Player    template.JS
	Hash      string // of the player, as the content security policy names it; empty: there is none
}

// lineUpData is what the player reads: PageData of web/src/offline/player.ts.
type lineUpData struct {
	Version int           `json:"version"`
	Title   string        `json:"title"`
	Made    string        `json:"made"`
	Angle   float64       `json:"angle"`
	Pace    float64       `json:"pace"` // seconds a turn
	Drawn   lineUpDrawn   `json:"drawn"`
	Engines []lineUpPart  `json:"engines"`
	Rows    []ComparedRow `json:"rows"` // none: the report has a table of its own
	Caution string        `json:"caution"`
}

// lineUpDrawn says what of the forces is drawn.
type lineUpDrawn struct {
	Orders    string `json:"orders"`
	Resultant bool   `json:"resultant"`
	Couple    bool   `json:"couple"`
	Parts     bool   `json:"parts"`
	Trace     bool   `json:"trace"`
	Flashes   bool   `json:"flashes"`
}

// lineUpPart is one engine. Summary and estimates stay empty: the report says them elsewhere.
type lineUpPart struct {
	Geometry     *Geometry     `json:"geometry"`
	Result       lineUpResult  `json:"result"`
	Displacement float64       `json:"displacement"`
	Summary      []string      `json:"summary"`
	Estimates    []EstimateDoc `json:"estimates"`
}

// lineUpResult is the part of a Document that moves.
type lineUpResult struct {
	Name     string     `json:"name"`
	SpeedRPM float64    `json:"speed_rpm"`
	Rotation string     `json:"rotation"`
	Balance  BalanceDoc `json:"balance"`
}

// newLive makes the line-up, which stands still where there is no player.
func newLive(rep *Report) (*pageLive, error) {
	at := degreesShown(shownAt)
	l := &pageLive{ID: "line-up", Title: "The line-up in motion", At: at, Still: "All engines from the drive end. On paper they stand still, at " + at + " of crank angle."}
	drawn := drawnOf(rep.Results)
	l.Lead = "All engines from the drive end, at the same crank angle and on one scale. " + drawn.words() + "A cylinder lights up when it fires."
	if len(rep.Results) == 1 {
		l.Title = "The engine in motion"
		l.Lead = "The engine from the drive end. " + drawn.words() + "A cylinder lights up when it fires."
		l.Still = "The engine from the drive end. On paper it stands still, at " + at + " of crank angle."
	}
	for i, r := range rep.Results {
		l.Stills = append(l.Stills, placed(draw.EndView(r, shownAt), fmt.Sprintf("still-%d", i+1)))
	}
	if strings.TrimSpace(rep.Player) == "" {
		l.Lead = "The line-up does not move: the program that wrote this report was built without the player of the front end. The engines stand at " + at + " of crank angle."
		l.Still = ""
		return l, nil
	}
	data := lineUpData{
		Version: 1, Title: l.Title, Angle: turned(shownAt), Pace: 4,
		Drawn: drawn, Rows: []ComparedRow{}, Caution: Caution,
	}
	for _, r := range rep.Results {
		d := NewDocument(r, Detail{})
		data.Engines = append(data.Engines, lineUpPart{
			Geometry: NewGeometry(r), Displacement: d.DisplacementCM3, Summary: []string{}, Estimates: []EstimateDoc{},
			Result: lineUpResult{Name: d.Name, SpeedRPM: d.SpeedRPM, Rotation: d.Rotation, Balance: d.Balance},
		})
	}
	text, err := json.Marshal(data) // < and > are escaped, so that no name ends the script
	if err != nil {
		return nil, fmt.Errorf("the line-up cannot be written as JSON: %w", err)
	}
	player := scriptText(rep.Player)
	sum := sha256.Sum256([]byte(player))
	l.Data, l.Player = template.JS(text), template.JS(player) // escaped above; a script of ours
	l.Hash = "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
	return l, nil
}

// drawnOf chooses the arrows that have something to show.
func drawnOf(rs []*analysis.Result) lineUpDrawn {
	d := lineUpDrawn{Orders: "all", Flashes: true}
	for _, r := range rs {
		d.Resultant = d.Resultant || r.Peaks.Force > 0
		d.Couple = d.Couple || r.Peaks.Moment > 0
	}
	d.Trace = d.Resultant
	return d
}

// words say what the arrows are.
func (d lineUpDrawn) words() string {
	const force, couple = "The thick arrow is the resultant of all shaking forces on the block and the line the path of its tip", "the thin pair of arrows is their couple"
	switch {
	case d.Resultant && d.Couple:
		return force + "; " + couple + ". Arrows of a kind share one scale. "
	case d.Resultant:
		return force + ". "
	case d.Couple:
		return "No force shakes the block; " + couple + ". "
	}
	return "Neither a force nor a couple shakes the block. "
}

// scriptText is a script as it may stand inside a page: nothing in it ends the script, and a browser reads the
// very bytes whose hash the policy names.
func scriptText(s string) string {
	return strings.NewReplacer("\r\n", "\n", "\r", "\n", "</", `<\/`, "<!--", `<\!--`).Replace(s)
}
