package report

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/decision"
	"crankwright/explain"
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
)

// RoomDoc is the axial budget of a crank: what the verb room prints with --json, and the key room of bearings.
type RoomDoc struct {
	Name      string      `json:"name,omitempty" jsonschema_description:"name of the engine; left out where the room is part of another answer"`
	LengthMM  float64     `json:"length_mm" jsonschema_description:"from the first face of the first part to the last of the last"`
	Parts     []RoomPart  `json:"parts" jsonschema_description:"from the free end to the drive end"`
	Pitches   []RoomPitch `json:"pitches" jsonschema_description:"distances of neighbouring bays, and what asks for them"`
	Bays      []RoomBay   `json:"bays" jsonschema_description:"what fills each bay between two main bearings"`
	SpeedRPM  float64     `json:"speed_rpm,omitempty" jsonschema_description:"crank speed, at full load, at which margins are found; left out where no wish asks for them"`
	AsIs      *MarginsDoc `json:"as_is,omitempty" jsonschema_description:"what bearings and webs bear as the file has them, beside what wishes make of it"`
	NoMargins string      `json:"no_margins,omitempty" jsonschema_description:"why it cannot be found what bearings and webs bear"`
	Conflicts []string    `json:"conflicts" jsonschema_description:"parts that have less than they need"`
	Summary   []string    `json:"summary" jsonschema_description:"the result in sentences"`
	Estimated
	Caution string `json:"caution,omitempty" jsonschema_description:"what the numbers are not good for; left out where the room is part of another answer"`
}

// RoomPart is a stretch of the crank.
type RoomPart struct {
	Kind    string  `json:"kind" jsonschema:"enum=main journal,enum=crankpin,enum=web,enum=flying web,enum=flange,enum=shaft" jsonschema_description:"what it is"`
	Name    string  `json:"name" jsonschema_description:"of the journal or pin; of a web the two that it joins"`
	FromMM  float64 `json:"from_mm" jsonschema_description:"its face towards the free end, along x"`
	ToMM    float64 `json:"to_mm" jsonschema_description:"its other face; before from_mm: the neighbours overlap"`
	WidthMM float64 `json:"width_mm" jsonschema_description:"from face to face; negative: the neighbours overlap"`
	NeedMM  float64 `json:"need_mm" jsonschema_description:"least width: the file's own, or common practice"`
	SlackMM float64 `json:"slack_mm" jsonschema_description:"width beyond the need; negative: a conflict"`
}

// RoomPitch is the distance of two neighbouring bays.
type RoomPitch struct {
	HaveMM  float64 `json:"have_mm" jsonschema_description:"from the middle of one bay to that of the next"`
	CrankMM float64 `json:"crank_mm" jsonschema_description:"what journals, webs and pins need"`
	BoresMM float64 `json:"bores_mm" jsonschema_description:"what bores and their walls need; 0: no two bores of one bank stand there"`
	SetBy   string  `json:"set_by" jsonschema:"enum=bores,enum=crank" jsonschema_description:"which of the two needs more"`
	SlackMM float64 `json:"slack_mm" jsonschema_description:"distance beyond the larger need; negative: there is too little room"`
}

// RoomBay is what fills a bay, from the middle of one main to that of the next.
type RoomBay struct {
	Name      string  `json:"name" jsonschema_description:"its throws"`
	SpacingMM float64 `json:"spacing_mm" jsonschema_description:"from the middle of one main to that of the next"`
	MainMM    float64 `json:"main_mm" jsonschema_description:"half of the main on either side"`
	WebMM     float64 `json:"web_mm" jsonschema_description:"each of the two"`
	PinMM     float64 `json:"pin_mm" jsonschema_description:"each"`
	MiddleMM  float64 `json:"middle_mm" jsonschema_description:"flying web or flange between two pins; 0 with one pin"`
	SlackMM   float64 `json:"slack_mm" jsonschema_description:"what is left over; negative: the parts overlap"`
	StaggerMM float64 `json:"stagger_mm" jsonschema_description:"of the two cylinders of the bay"`
	RodMM     float64 `json:"rod_mm" jsonschema_description:"of pin for each rod"`
	Pins      int     `json:"pins" jsonschema_description:"how many crankpins stand in it"`
	Wish      []Wish  `json:"wish,omitempty" jsonschema_description:"what another spacing or stagger does, by who gives way"`
}

// Wish is what becomes of a bay when its spacing or stagger changes.
type Wish struct {
	GivesWay string  `json:"gives_way" jsonschema:"enum=webs,enum=bearings,enum=all" jsonschema_description:"what is narrowed or widened"`
	MainMM   float64 `json:"main_mm" jsonschema_description:"width of the main journal then"`
	WebMM    float64 `json:"web_mm" jsonschema_description:"width of each web then"`
	PinMM    float64 `json:"pin_mm" jsonschema_description:"width of each pin then"`
	MiddleMM float64 `json:"middle_mm" jsonschema_description:"width of the flying web or flange between two pins then; 0 with one pin"`
	RodMM    float64 `json:"rod_mm" jsonschema_description:"of pin for each rod then"`
	Possible bool    `json:"possible" jsonschema_description:"every width is greater than zero and the bores have room"`
	Lacks    string  `json:"lacks,omitempty" jsonschema_description:"what has no room"`

	Margins   *MarginsDoc `json:"margins,omitempty" jsonschema_description:"what bearings and webs of the whole engine bear where every bay is made so; left out where it is not possible"`
	NoMargins string      `json:"no_margins,omitempty" jsonschema_description:"why that cannot be found"`
}

// MarginsDoc is the worst of bearings, oil films and webs of an engine.
type MarginsDoc struct {
	MainMPa   float64 `json:"main_MPa" jsonschema_description:"largest specific load of a main bearing; 0: unknown"`
	BigEndMPa float64 `json:"big_end_MPa" jsonschema_description:"largest specific load of a big end; 0: unknown"`
	FilmUM    float64 `json:"film_um" jsonschema_description:"thinnest oil film; 0: unknown"`
	FilmIn    string  `json:"film_in,omitempty" jsonschema_description:"bearing that has it"`
	Lost      bool    `json:"film_lost" jsonschema_description:"the metals touch there"`
	Settled   bool    `json:"film_settled" jsonschema_description:"the path of the journal repeats; else the film is about right"`
	Q         float64 `json:"q_1" jsonschema_description:"smallest acceptability factor of the crank; 0: not assessed"`
	NoQ       string  `json:"no_q,omitempty" jsonschema_description:"why it is not assessed"`
}

func marginsDoc(m *analysis.Margins) *MarginsDoc {
	d := &MarginsDoc{NoQ: m.NoStrength}
	if m.Main != nil {
		d.MainMPa = tidy(m.Main.Specific.Peak / 1e6)
	}
	if m.BigEnd != nil {
		d.BigEndMPa = tidy(m.BigEnd.Specific.Peak / 1e6)
	}
	if c := m.Thin; c != nil {
		d.FilmUM, d.FilmIn, d.Lost, d.Settled = tidy(1e6*c.Film.MinFilm), c.Name, c.Lost(), c.Film.Settled
	}
	if m.Weakest != nil {
		d.Q = boundedQ(m.Weakest.Assessment.Worst().Q)
	}
	return d
}

func pitchDoc(p bearing.Pitch) RoomPitch {
	by := "crank"
	if p.BoresSet() {
		by = "bores"
	}
	return RoomPitch{HaveMM: inMM(p.Have), CrankMM: inMM(p.Crank), BoresMM: inMM(p.Bores), SetBy: by, SlackMM: inMM(p.Slack())}
}

// RoomWish is a wish for another spacing of the mains of a bay, or another stagger of its cylinders.
type RoomWish struct {
	Spacing, Stagger float64         // [m]; 0: as it is
	Engine           *decision.Recut // of the same file: to find what bearings and webs then bear; nil: that is left open
	NoEngine         string          // why there is none
}

// asks reports whether anything is wished.
func (w *RoomWish) asks() bool { return w.Spacing > 0 || w.Stagger > 0 }

// NewRoomDoc collects the axial budget of a train; wish adds what another spacing or stagger does to every bay where
// it can be asked for, and is an error where it can nowhere. bays are those of analysis.Room.
func NewRoomDoc(t *layout.Train, budget *bearing.Budget, bays []bearing.Widths, wish RoomWish) (*RoomDoc, error) {
	d := &RoomDoc{Name: t.Name, Parts: []RoomPart{}, Pitches: []RoomPitch{}, Bays: []RoomBay{}, Conflicts: []string{}, Summary: explain.Room(budget, bays), Estimated: estimatedOf(t), Caution: Caution}
	for _, p := range budget.Parts {
		d.Parts = append(d.Parts, RoomPart{
			Kind: string(p.Kind), Name: p.Name, FromMM: inMM(p.From), ToMM: inMM(p.To), WidthMM: inMM(p.To - p.From),
			NeedMM: inMM(p.Need), SlackMM: inMM(p.Slack()),
		})
	}
	if wish.asks() {
		d.NoMargins = wish.NoEngine
		if wish.Engine != nil {
			as := wish.Engine.AsItIs()
			d.SpeedRPM, d.AsIs = rpm(as.Speed), marginsDoc(as)
		}
	}
	if n := len(budget.Parts); n > 0 {
		d.LengthMM = inMM(budget.Parts[n-1].To - budget.Parts[0].From)
	}
	for _, p := range budget.Pitches {
		d.Pitches = append(d.Pitches, pitchDoc(p))
	}
	for _, p := range budget.Conflicts() {
		d.Conflicts = append(d.Conflicts, fmt.Sprintf("%s %s", p.Kind, p.Name))
	}
	for i, b := range bearing.Bays(t) {
		if i >= len(bays) || bays[i].Pins == 0 {
			continue
		}
		bay, err := bayDoc(t, b, bays[i], wish)
		if err != nil {
			return nil, err
		}
		d.Bays = append(d.Bays, bay)
	}
	staggered := func(b RoomBay) bool { return b.StaggerMM > 0 }
	switch {
	case wish.Stagger > 0 && !slices.ContainsFunc(d.Bays, staggered):
		return nil, errors.New("another stagger is asked for, and no throw has cylinders that stand staggered along the crank")
	case wish.Spacing > 0 && len(d.Bays) == 0:
		return nil, errors.New("another spacing is asked for, and no bay lies between two mains with one or two pins")
	}
	return d, nil
}

func bayDoc(t *layout.Train, b bearing.Bay, w bearing.Widths, wish RoomWish) (RoomBay, error) {
	d := RoomBay{
		SpacingMM: inMM(w.Spacing), MainMM: inMM(w.Main), WebMM: inMM(w.Web), PinMM: inMM(w.Pin), MiddleMM: inMM(w.Middle),
		SlackMM: inMM(w.Slack), StaggerMM: inMM(w.Stagger), RodMM: inMM(w.Rod), Pins: w.Pins,
	}
	for i, throw := range b.Throws {
		if i > 0 {
			d.Name += " and "
		}
		d.Name += t.Throws[throw].Name
	}
	if !wish.asks() || wish.Spacing == 0 && w.Stagger == 0 {
		return d, nil
	}
	if w.Stagger == 0 {
		wish.Stagger = 0
	}
	found, err := w.Wish(wish.Spacing, wish.Stagger)
	if err != nil {
		return d, err
	}
	for _, g := range []struct {
		who string
		w   bearing.Widths
	}{{"webs", found.Webs}, {"bearings", found.Bearings}, {"all", found.All}} {
		row := Wish{
			GivesWay: g.who, MainMM: inMM(g.w.Main), WebMM: inMM(g.w.Web), PinMM: inMM(g.w.Pin), MiddleMM: inMM(g.w.Middle),
			RodMM: inMM(g.w.Rod), Possible: g.w.Possible(), Lacks: g.w.Lacks(),
		}
		if row.Possible && wish.Engine != nil {
			m, err := wish.Engine.With(decision.Widths{Longer: g.w.Spacing - w.Spacing, Stagger: wish.Stagger, Main: g.w.Main, Web: g.w.Web, Pin: g.w.Pin})
			if err != nil {
				row.NoMargins = analysis.Said(err)
			} else {
				row.Margins = marginsDoc(m)
			}
		}
		d.Wish = append(d.Wish, row)
	}
	return d, nil
}

// inMM writes a length in mm without the dust that differences of places leave: to a nanometre.
func inMM(m float64) float64 { return noMinusZero(math.Round(m*1e9) / 1e6) }
