package parts

import (
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// block counts castings. Barrels stand apart from the crankcase where the engine is air-cooled or a star.
func (c *counter) block() {
	l, n := c.l, len(c.t.Cylinders)
	apart := l.Making.Cooling == layout.Air || l.Stand.Star
	if apart {
		c.add("barrel", float64(n), "one a cylinder: air-cooled ones and those of a star stand apart from the crankcase")
	}
	switch l.Making.Crankcase {
	case layout.Halves:
		if l.Stand.Star {
			rows := len(l.Bays)
			c.add("block casting", float64(rows+1), "divided across the crank between the mains: %s and one more piece", num.Counted(rows, "row", "rows"))
		} else {
			c.add("block casting", 2, "two halves, divided through the mains")
		}
	case layout.Tunnel:
		c.add("block casting", 1, "one undivided crankcase; the crank goes in from an end")
	case layout.Bedplate:
		c.add("block casting", 1, "one, with the cylinders where these do not stand apart")
		c.add("bedplate", 1, "one frame under all mains")
	default:
		c.add("block casting", 1, "one, with the cylinders where these do not stand apart")
		c.add("main bearing cap", float64(l.Mains), "one a main")
	}
	if HasSump(c.t, l.Stand) {
		c.add("sump", 1, "one")
	}
}

// decks is the number of faces that heads sit on.
func (c *counter) decks() int {
	switch c.l.Making.Heads {
	case layout.HeadShared:
		return 1
	case layout.HeadEach:
		if c.l.Making.Cooling == layout.Air || c.l.Stand.Star {
			return len(c.t.Cylinders)
		}
	}
	return len(c.l.Stand.Banks)
}

// joints is the number of joints of a crankcase that is divided through the mains, or across the crank where it is a star.
func (c *counter) joints() int {
	if c.l.Stand.Star {
		return len(c.l.Bays)
	}
	return 1
}

func (c *counter) faces() {
	l, n := c.l, len(c.t.Cylinders)
	decks := c.decks()
	c.add("deck face", float64(decks), "one for each row of cylinders in one casting, one a barrel where these stand apart")
	covers := 0
	if l.Making.ValveDrive != layout.Ports {
		covers = l.Heads
	}
	c.add("head face", float64(l.Heads+covers), "the lower face of each head, and the one under its cover")
	c.add("bearing tunnel", float64(l.Mains), "one a main, bored in line")
	switch l.Making.Crankcase {
	case layout.Halves:
		c.add("split face", float64(2*c.joints()), "two at each joint of the crankcase")
	case layout.Bedplate:
		c.add("split face", 2, "block and bedplate")
	case layout.Caps:
		c.add("cap face", float64(2*l.Mains), "cap and seat of each main")
	}
	if HasSump(c.t, l.Stand) {
		c.add("sump face", 1, "under the crankcase")
	}
	c.add("front face", 1, "of the crankcase, for the drives and their cover")
	c.add("rear face", 1, "of the crankcase, for the flywheel housing")
	c.add("flange face", float64(2*l.Heads), "intake and exhaust flange of each head")
	flying := len(c.t.Throws) - len(l.Bays)
	c.add("flying web side", float64(2*flying), "two for each flying web or flange between the pins of one bay")
	c.add("honed bore", float64(n), "one a cylinder")
}

func (c *counter) pipes() {
	l := c.l
	if len(l.Exhausts) == 0 {
		return
	}
	c.add("exhaust manifold", float64(len(l.Exhausts)), "one an exhaust group")
	c.add("exhaust pipe", l.ExhaustLength(), "runners from each port to the middle of its group in a bank, and the pipes that join banks")
	c.add("intake manifold", float64(len(l.Intakes)), "one in the valley of a vee, one a bank where banks stand further apart, one behind a star")
	c.add("intake pipe", totalLength(l.Intakes), "runners from the plenum to each port")
}

func (c *counter) rest() {
	l, n := c.l, len(c.t.Cylinders)
	c.add("head gasket", float64(l.Heads), "one a head")
	if l.Making.ValveDrive != layout.Ports {
		c.add("cover gasket", float64(l.Heads), "one a head cover")
	}
	c.add("port gasket", float64(2*n), "intake and exhaust of each cylinder")
	cases, why := 2, "front and rear"
	if HasSump(c.t, l.Stand) {
		cases, why = 3, "sump, front and rear"
	}
	if l.Making.Crankcase == layout.Halves {
		cases, why = cases+c.joints(), why+", and each joint of the crankcase"
	}
	c.add("case gasket", float64(cases), "%s", why)
	c.add("shaft seal", 2, "one at each end of the crank")
	c.add("injector", float64(n), "one a cylinder")
	if c.t.Gas.Ignition == layout.Compression {
		c.add("injection pump", 1, "one, for compression ignition")
	} else {
		c.add("spark plug", float64(n), "one a cylinder")
		c.add("ignition coil", float64(n), "one a plug")
	}
	banks := len(l.Stand.Banks)
	rails := banks
	if l.Stand.Star {
		rails = 1
	}
	c.add("fuel rail", float64(rails), "one a bank, one round a star")
	c.add("oil pump", 1, "one")
	if l.Making.Cooling == layout.Air {
		c.add("fan", 1, "one")
		c.add("air cowl", float64(rails), "one a bank, one round a star")
	} else {
		c.add("water pump", 1, "one")
	}
}
