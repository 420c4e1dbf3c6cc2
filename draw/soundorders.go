package draw

import (
	"crankwright/analysis"
	"crankwright/mechanics/sound"
)

// The level below the highest at which a bar begins [dB], how many groups have a column, and how many orders a row.
const (
	soundRange  = 40.
	soundGroups = 3
	soundRows   = 24
)

// SoundOrders shows how loud the orders of the exhaust are, at the ear and in each exhaust group side by side.
//
//	bar = level + 40 dB less the highest level
//
// with
//   - r: a result; its firing and its speed are used, at full load, with pipes of equal length
//
// Result [-]. Levels are in dB relative to the firing order of an engine with as many cylinders that fires evenly; orders
// in which every bar is empty have no row. Definition.
func SoundOrders(r *analysis.Result) Figure {
	s := newSheet("sound-orders", "Sound of the exhaust by order", r)
	m, err := sound.Train(r.Train, r.Firing, nil)
	if err != nil {
		return s.empty("The firing of this engine cannot be heard")
	}
	orders, err := sound.Orders(m, sound.Setting{Speed: r.Speed, Load: 1}, min(max(2*m.FiringOrder(), 8), sound.MostOrders))
	if err != nil {
		return s.empty("At this speed there is nothing to hear")
	}
	columns := []soundColumn{{"at the ear", ink, func(o sound.Order) complex128 { return o.Sum }}}
	single := len(m.Groups) == len(m.Pulses) // one pipe for each cylinder: all sound alike
	for g := range m.Groups {
		if len(m.Groups) > 1 && !single && g < soundGroups {
			columns = append(columns, soundColumn{"group " + m.Groups[g].Name, bankPaint(g), func(o sound.Order) complex128 { return o.Groups[g] }})
		}
	}
	most := sound.Floor
	for _, o := range orders {
		for _, c := range columns {
			level, _ := sound.Level(c.of(o))
			most = max(most, level)
		}
	}
	var rows []sound.Order
	for _, o := range orders {
		for _, c := range columns {
			if level, ok := sound.Level(c.of(o)); ok && level > most-soundRange {
				rows = append(rows, o)
				break
			}
		}
	}
	if len(rows) > soundRows {
		s.note("Orders beyond " + orderName(rows[soundRows-1].K) + " are left out.")
		rows = rows[:soundRows]
	}
	s.soundBars(rows, columns, most)
	s.note("Levels in dB relative to order " + orderName(m.FiringOrder()) + " of an engine with as many cylinders that fires evenly, full load; bars begin " +
		digits(soundRange) + " dB below the highest.")
	switch {
	case single && len(m.Groups) > 1:
		s.note("Each cylinder has an outlet of its own; alone, they all sound alike.")
	case len(m.Groups) > soundGroups:
		s.note("The first " + digitsWhole(soundGroups) + " of " + digitsWhole(float64(len(m.Groups))) + " exhaust groups are shown.")
	}
	return s.figure()
}

// soundColumn is one place at which the orders are heard.
type soundColumn struct {
	name  string
	paint paint
	of    func(sound.Order) complex128
}

func (s *sheet) soundBars(rows []sound.Order, columns []soundColumn, most float64) {
	const row, bar, first, between, value = 21., 12., margin + 62, 10., 40.
	width := (column-margin-first)/float64(len(columns)) - between
	y := s.bottom + 26
	for i, c := range columns {
		x := first + float64(i)*(width+between)
		cut, full := fitted(c.name, width, sizeSmall, true)
		s.text(label{at: point{x, y}, text: cut, size: sizeSmall, bold: true, paint: ink, title: full})
	}
	y += 8
	bottom := y + row*float64(len(rows)) + 2
	s.group("bars", "Level by order", "", func(g *scene) {
		for j, o := range rows {
			top := y + row*float64(j) + 4
			g.text(label{at: point{margin, top + bar - 2}, text: "order " + orderName(o.K), size: sizeSmall, paint: ink})
			said := "Order " + orderName(o.K) + ": "
			for i, c := range columns {
				x := first + float64(i)*(width+between)
				text := "–"
				level, ok := sound.Level(c.of(o))
				length := 0.
				if ok && level > most-soundRange {
					length = (width - value) * (level - most + soundRange) / soundRange
					text = signed(decimal(level, 1))
					g.rect(x, top, length, bar, pen(c.paint, 1.2).filled(c.paint))
				}
				g.text(label{at: point{x + length + 6, top + bar - 2}, text: text, size: sizeSmall, paint: ink})
				if i > 0 {
					said += ", "
				}
				if text == "–" {
					said += c.name + " nothing"
				} else {
					said += c.name + " " + text + " dB"
				}
			}
			s.say(said + ".")
		}
		for i := range columns {
			x := first + float64(i)*(width+between)
			g.line(point{x, y}, point{x, bottom}, pen(soft, thin))
		}
	})
	s.bottom = bottom + 4
}
