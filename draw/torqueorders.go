package draw

import (
	"slices"

	"crankwright/num"
)

// TorqueOrder is one order of the torque.
type TorqueOrder struct {
	K                   int     // twice the order
	Gas, Inertia, Total float64 // amplitudes [N m]
}

// mostOrders is how many orders the figure shows.
const mostOrders = 12

// TorqueOrders shows the orders of the torque: of the gas, of inertia and of both.
//
//   - h: whose torque, at which speed [rad/s]
//   - orders: amplitudes [N m], half orders included; the twelve largest are shown where they reach a hundredth of the
//     largest
//
// Result [-]. Values that are not finite are left out. Definition.
func TorqueOrders(h Head, orders []TorqueOrder) Figure {
	s := newDriveSheet("torque-orders", "Uneven torque by order", h)
	size := func(o TorqueOrder) float64 { return max(o.Gas, o.Inertia, o.Total) }
	most := 0.0
	var kept []TorqueOrder
	for _, o := range orders {
		if drawable(o.Gas) && drawable(o.Inertia) && drawable(o.Total) && size(o) > nothing {
			most = max(most, size(o))
			kept = append(kept, o)
		}
	}
	if len(kept) == 0 {
		return s.empty("The torque is even: it has no orders")
	}
	kept = slices.DeleteFunc(kept, func(o TorqueOrder) bool { return size(o) < most/100 })
	slices.SortStableFunc(kept, func(a, b TorqueOrder) int {
		switch x, y := size(a), size(b); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	left := len(kept) - mostOrders
	kept = kept[:min(len(kept), mostOrders)]
	slices.SortFunc(kept, func(a, b TorqueOrder) int { return a.K - b.K })
	const x0, row, bar = margin + 62, 42., 10.
	y := s.bottom + 12
	s.group("bars", "Torque by order", "", func(g *scene) {
		for _, o := range kept {
			g.text(label{at: point{margin, y + 22}, text: "order " + orderName(o.K), size: sizeSmall, paint: ink})
			room := column - margin - x0 - 92.
			for i, v := range []float64{o.Gas, o.Inertia, o.Total} {
				if w := room * v / most; w > 0.05 {
					torqueBar(g, i, x0, y+12*float64(i), w, bar)
				}
			}
			g.text(label{at: point{x0 + room*o.Total/most + 8, y + 34}, text: quantity(o.Total, "N m"), size: sizeSmall, paint: ink})
			s.say("Order " + orderName(o.K) + ": gas " + quantity(o.Gas, "N m") + ", inertia " + quantity(o.Inertia, "N m") + ", together " + quantity(o.Total, "N m") + ".")
			y += row
		}
	})
	s.line(point{x0, s.bottom + 8}, point{x0, y - 4}, pen(soft, thin))
	s.bottom = y
	var keys []key
	for i, name := range []string{"gas", "inertia", "both together"} {
		keys = append(keys, key{name: name, shape: func(g *scene, at point) { torqueBar(g, i, at.x-13, at.y-5, 26, bar) }})
	}
	s.legend(keys)
	s.note("Bars are amplitudes; the number is that of both together. Gas and inertia add as arrows, so both can be smaller than one.")
	if left > 0 {
		s.note(num.Counted(left, "smaller order is", "smaller orders are") + " left out.")
	}
	return s.figure()
}

// torqueBar is a bar of the gas, hatched, of inertia, outlined, or of both, filled.
func torqueBar(g *scene, i int, x, y, w, h float64) {
	switch i {
	case 0:
		againstBar(g, x, y, w, h)
	case 1:
		g.rect(x, y, w, h, pen(third, 1.6).filled(paper))
	default:
		g.rect(x, y, w, h, pen(with, 1.2).filled(with))
	}
}
