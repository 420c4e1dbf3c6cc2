package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/sound"
	"crankwright/num"
)

// SoundDoc is how an engine sounds: the JSON object that sound --json prints.
type SoundDoc struct {
	Name         string          `json:"name" jsonschema_description:"name of the engine"`
	SpeedRPM     float64         `json:"speed_rpm" jsonschema_description:"crank speed of all frequencies and levels"`
	Load         float64         `json:"load_1" jsonschema_description:"share of the full load"`
	FiringOrder  float64         `json:"firing_order" jsonschema_description:"order per crank revolution of an engine with as many cylinders that fires evenly"`
	FiringHz     float64         `json:"firing_frequency_Hz" jsonschema_description:"of that order at the speed"`
	LagDeg       float64         `json:"lag_deg" jsonschema_description:"from firing top dead centre to the exhaust pulse"`
	IntervalsDeg []float64       `json:"intervals_deg" jsonschema_description:"between the exhaust pulses of all groups together, over one cycle"`
	Groups       []SoundGroupDoc `json:"groups" jsonschema_description:"exhaust groups, each with its own outlet"`
	Pulses       []PulseDoc      `json:"pulses" jsonschema_description:"over one cycle"`
	Silent       []string        `json:"silent" jsonschema_description:"cylinders that do not fire"`
	Orders       []SoundOrderDoc `json:"orders" jsonschema_description:"levels in dB relative to the firing order of an engine that fires evenly; null: below -80 dB"`
	Character    []float64       `json:"character_orders" jsonschema_description:"orders within 12 dB of the loudest at the ear, loudest first"`
	PeakDB       float64         `json:"preview_peak_dBFS" jsonschema_description:"largest value of the audible preview, relative to full scale"`
	Summary      []string        `json:"summary" jsonschema_description:"the result in sentences"`
	LeftOut      []string        `json:"left_out" jsonschema_description:"what levels and preview do not contain"`
	Estimated
	Caution string `json:"caution" jsonschema_description:"what the sound is not good for"`
}

// SoundGroupDoc is one exhaust group.
type SoundGroupDoc struct {
	Name         string    `json:"name" jsonschema_description:"of the group"`
	Cylinders    []string  `json:"cylinders" jsonschema_description:"that fire, in the sequence of their pulses"`
	IntervalsDeg []float64 `json:"intervals_deg" jsonschema_description:"from each pulse of the group to the next"`
	DelayMS      float64   `json:"delay_ms" jsonschema_description:"how much later its sound arrives, by a longer pipe"`
}

// PulseDoc is one exhaust pulse.
type PulseDoc struct {
	AtDeg    float64 `json:"at_deg" jsonschema_description:"crank angle"`
	Cylinder string  `json:"cylinder" jsonschema_description:"name of the cylinder"`
	Group    string  `json:"group" jsonschema_description:"name of its exhaust group"`
	Strength float64 `json:"strength_1" jsonschema_description:"height over that of an ordinary pulse"`
}

// SoundOrderDoc is one order of the sound.
type SoundOrderDoc struct {
	Order    float64    `json:"order" jsonschema_description:"per crank revolution"`
	Hz       float64    `json:"frequency_Hz" jsonschema_description:"of the order at the speed"`
	EarDB    *float64   `json:"level_dB" jsonschema_description:"of all groups together at the ear"`
	GroupsDB []*float64 `json:"groups_level_dB" jsonschema_description:"of each group at its outlet"`
}

// SoundCaution says what to mind before listening.
const SoundCaution = "Turn the volume down before the first playback. The preview stays 12 dB below full scale at full load and more at part load, but amplifiers and headphones differ. It compares firing patterns; it predicts no noise level."

// characterWithin is how far below the loudest an order still carries the sound [dB].
const characterWithin = 12

// NewSoundDoc says how an engine sounds.
//
//   - t, f: train and schedule
//   - setting: speed [rad/s], load, delays of the groups [s]
//   - strength: of the pulse of each cylinder, 0 where it does not fire; nil: all fire
func NewSoundDoc(t *layout.Train, f firing.Schedule, setting sound.Setting, strength []float64) (*SoundDoc, error) {
	m, err := sound.Train(t, f, strength)
	if err != nil {
		return nil, err
	}
	orders, err := sound.Orders(m, setting, min(max(3*m.FiringOrder(), 16), sound.MostOrders))
	if err != nil {
		return nil, err
	}
	names := firing.Names(t)
	d := &SoundDoc{
		Name: t.Name, SpeedRPM: rpm(setting.Speed), Load: setting.Load, LagDeg: deg(m.Lag),
		FiringOrder: float64(m.FiringOrder()) / 2, FiringHz: tidy(float64(m.FiringOrder()) / 2 * setting.Speed / (2 * math.Pi)),
		IntervalsDeg: degs(m.Intervals), Silent: namesOf(m.Silent, names), PeakDB: tidy(20 * math.Log10(sound.Peak(setting.Load))),
		LeftOut: []string{
			"Resonance and damping of pipes, silencers and turbines; the intake; valves, gears and the block.",
			"The shape of the pulses is a stated choice; only their sequence, and how it cancels in each order, comes from the engine.",
		},
		Estimated: estimatedOf(t), Caution: SoundCaution,
	}
	for g, v := range m.Groups {
		q := SoundGroupDoc{Name: v.Name, Cylinders: namesOf(v.Cylinders, names), IntervalsDeg: degs(v.Intervals)}
		if setting.Delays != nil {
			q.DelayMS = tidy(1e3 * setting.Delays[g])
		}
		d.Groups = append(d.Groups, q)
	}
	for _, p := range m.Pulses {
		d.Pulses = append(d.Pulses, PulseDoc{deg(p.At), names[p.Cylinder], m.Groups[p.Group].Name, p.Strength})
	}
	for _, o := range orders {
		q := SoundOrderDoc{Order: float64(o.K) / 2, Hz: tidy(o.Frequency), EarDB: levelOf(o.Sum)}
		for _, y := range o.Groups {
			q.GroupsDB = append(q.GroupsDB, levelOf(y))
		}
		d.Orders = append(d.Orders, q)
	}
	for _, k := range sound.Character(orders, characterWithin) {
		d.Character = append(d.Character, float64(k)/2)
	}
	d.Summary = d.sentences()
	return d, nil
}

// levelOf is the level of an amplitude to a thousandth of a decibel; nil below the floor.
func levelOf(y complex128) *float64 {
	v, ok := sound.Level(y)
	if !ok {
		return nil
	}
	v = noMinusZero(math.Round(v*1000) / 1000)
	return &v
}

// sentences say what the levels mean.
func (d *SoundDoc) sentences() []string {
	var out []string
	if len(d.Silent) > 0 {
		out = append(out, fmt.Sprintf("%s: the orders that cancelled keep the share of what is missing.", notFiring(d.Silent)))
	}
	even := evenDegrees(d.IntervalsDeg)
	if even {
		out = append(out, fmt.Sprintf("Together the pulses come evenly, %s Hz at this speed.", num.Digits(d.SpeedRPM/60*360/d.IntervalsDeg[0], 4)))
	} else {
		out = append(out, "Together the pulses come unevenly: "+degreeList(d.IntervalsDeg)+".")
	}
	out = append(out, "At the ear "+carried(d.Character)+".")
	for g, v := range d.Groups {
		if len(d.Groups) < 2 || len(v.IntervalsDeg) == 0 {
			continue
		}
		loud, most := []float64{}, sound.Floor
		for _, o := range d.Orders {
			if o.GroupsDB[g] != nil {
				most = max(most, *o.GroupsDB[g])
			}
		}
		for _, o := range d.Orders {
			if o.GroupsDB[g] != nil && *o.GroupsDB[g] > most-characterWithin {
				loud = append(loud, o.Order)
			}
		}
		out = append(out, fmt.Sprintf("Group %s alone %s.", v.Name, carried(loud)))
	}
	return out
}

func notFiring(names []string) string {
	if len(names) == 1 {
		return "Cylinder " + names[0] + " does not fire"
	}
	return "Cylinders " + strings.Join(names, ", ") + " do not fire"
}

// carried says which orders carry the sound, at most eight of them.
func carried(orders []float64) string {
	list := slices.Clone(orders)
	tail := ""
	if len(list) > 8 {
		list, tail = list[:8], " and others"
	}
	slices.Sort(list)
	text := make([]string, len(list))
	half := false
	for i, o := range list {
		text[i] = num.Digits(o, 4)
		half = half || o != math.Floor(o)
	}
	if len(list) == 1 {
		return "order " + text[0] + " carries the sound"
	}
	return "orders " + strings.Join(text, ", ") + tail + " carry the sound"
}

func evenDegrees(a []float64) bool {
	for _, v := range a {
		if math.Abs(v-a[0]) > firing.EvenTolerance.Deg() {
			return false
		}
	}
	return len(a) > 0
}

// degreeList writes intervals as people do, 90-180-270-180°.
func degreeList(a []float64) string {
	if len(a) > 2 && evenDegrees(a) {
		return fmt.Sprintf("%d × %s°", len(a), plain(math.Round(100*a[0])/100))
	}
	text := make([]string, len(a))
	for i, v := range a {
		text[i] = plain(math.Round(100*v) / 100)
	}
	return strings.Join(text, "-") + "°"
}

// quiet is how far below the loudest an order gets no row of its own [dB].
const quiet = 40

// SoundText returns how an engine sounds as text for a terminal.
func SoundText(d *SoundDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead("The sound of " + d.Name)
	s.paragraph("", fmt.Sprintf("At %s rpm and %s %% load. An engine with as many cylinders that fires evenly sounds in order %s, here %s Hz; all levels are relative to that order of it, all cylinders in one pipe.",
		num.Digits(d.SpeedRPM, 5), num.Digits(100*d.Load, 3), num.Digits(d.FiringOrder, 4), num.Digits(d.FiringHz, 4)))
	s.heading("Exhaust pulses")
	list := []entry{{"all together", degreeList(d.IntervalsDeg)}}
	if len(d.Groups) > 1 {
		for _, g := range d.Groups {
			text := "silent"
			if len(g.IntervalsDeg) > 0 {
				text = fmt.Sprintf("cylinders %s, intervals %s", strings.Join(g.Cylinders, ", "), degreeList(g.IntervalsDeg))
			}
			if len(g.IntervalsDeg) == 1 {
				text = fmt.Sprintf("cylinder %s, every %s", g.Cylinders[0], degreeList(g.IntervalsDeg))
			}
			if g.DelayMS > 0 {
				text += ", heard " + num.Digits(g.DelayMS, 4) + " ms later"
			}
			list = append(list, entry{"group " + shownText(g.Name), text})
		}
	}
	if len(d.Silent) > 0 {
		list = append(list, entry{"does not fire", strings.Join(d.Silent, ", ")})
	}
	s.entries(list)
	s.soundTable(d)
	s.heading("In words")
	for _, line := range d.Summary {
		s.paragraph("  ", line)
	}
	s.heading("What this leaves out")
	for _, line := range d.LeftOut {
		s.paragraph("  ", line)
	}
	s.estimated(d.Estimates)
	s.blank()
	s.block("", dim, d.Caution)
	return s.String()
}

// soundTable writes the levels by order; groups that do not fit beside the rest are left to the JSON.
func (s *sheet) soundTable(d *SoundDoc) {
	s.heading("Level by order [dB]")
	heads := []column{{head: []string{"", "order"}}, {head: []string{"", "[Hz]"}}, {head: []string{"at the", "ear"}}}
	groups := len(d.Groups)
	if groups == 1 {
		groups = 0
	}
	for _, g := range d.Groups[:groups] {
		heads = append(heads, column{head: []string{"group", shownText(g.Name)}})
	}
	most := sound.Floor
	for _, o := range d.Orders {
		for _, v := range append([]*float64{o.EarDB}, o.GroupsDB...) {
			if v != nil {
				most = max(most, *v)
			}
		}
	}
	show := func(v *float64) cell {
		if v == nil || *v < most-quiet {
			return cell{text: "–"}
		}
		return cell{text: signed(fmt.Sprintf("%.1f", *v))}
	}
	var rows [][]cell
	for _, o := range d.Orders {
		row := []cell{{text: num.Digits(o.Order, 4), style: bold}, {text: num.Digits(o.Hz, 4)}, show(o.EarDB)}
		heard := row[2].text != "–"
		for _, v := range o.GroupsDB[:groups] {
			row = append(row, show(v))
			heard = heard || row[len(row)-1].text != "–"
		}
		if heard {
			rows = append(rows, row)
		}
	}
	cut := 0
	for len(heads) > 3 && tableWidth(heads, rows) > s.width() {
		heads, cut = heads[:len(heads)-1], cut+1
		for i := range rows {
			rows[i] = rows[i][:len(heads)]
		}
	}
	s.table(heads, rows)
	text := fmt.Sprintf("– : more than %d dB below the loudest; an order in which all are so has no row.", quiet)
	if cut > 0 {
		text += fmt.Sprintf(" %s not shown for want of room; --json has all.", counted(cut, "group is", "groups are"))
	}
	s.block("  ", dim, text)
}
