package report

import "crankwright/draw"

// paper is a report in the making: blocks one below the other, not yet on pages.
type paper struct {
	page   page
	sect   *draw.Part // what new blocks are parts of
	blocks []block
	heads  []paperHead
	known  map[string]bool // targets of links
	said   []string        // every text, to find letters that the fonts lack
}

// block is what is never cut: a line, a row of a table, a row of figures.
type block struct {
	height, before float64 // before: room above it, unless it begins a page
	keep           bool    // stands on the page of the next block
	fresh          bool    // begins a page
	again          []block // what is repeated above it where it begins a page
	target         string
	section        string // what the running head says from here on
	draw           func(spot)
}

// spot is where a block is drawn. Where it is drawn again, it is decoration.
type spot struct {
	page  *draw.Page
	y     float64
	again bool
}

// as says what follows belongs to a part, unless it is a repetition.
func (s spot) as(part *draw.Part) {
	if s.again {
		part = nil
	}
	s.page.As(part)
}

// paperHead is a heading, for contents and bookmarks.
type paperHead struct {
	level         int
	title, target string
}

// paperSheet is a finished page and the section that it is of.
type paperSheet struct {
	page    *draw.Page
	section string
}

func newSheetOf() paperSheet {
	return paperSheet{page: &draw.Page{Width: paperWidth, Height: paperHeight}}
}

func (c *paper) add(b block) { c.blocks = append(c.blocks, b) }

// keepLast makes the last block stay with what follows.
func (c *paper) keepLast() {
	if n := len(c.blocks); n > 0 {
		c.blocks[n-1].keep = true
	}
}

// flow sets all blocks on pages. where: on which page a target stands, counted from zero.
func (c *paper) flow() (sheets []paperSheet, where map[string]int) {
	where = map[string]int{}
	section, y := "", paperTop
	begin := func() {
		s := newSheetOf()
		s.section = section
		sheets = append(sheets, s)
		y = paperTop
	}
	for i := 0; i < len(c.blocks); i++ {
		last := i
		for c.blocks[last].keep && last+1 < len(c.blocks) && !c.blocks[last+1].fresh {
			last++
		}
		top := len(sheets) == 0
		if !top && y > paperTop {
			need := y
			for _, b := range c.blocks[i : last+1] {
				need += b.before + b.height
			}
			if c.blocks[i].fresh || need > paperBottom+0.01 {
				top = true
			}
		}
		for ; i <= last; i++ {
			b := &c.blocks[i]
			if !top && y > paperTop && y+b.before+b.height > paperBottom+0.01 { // more stays together than a page holds
				top = true
			}
			if top {
				begin()
				for _, a := range b.again {
					a.draw(spot{sheets[len(sheets)-1].page, y, true})
					y += a.height
				}
				if y > paperTop {
					y += 0.001
				}
			}
			if y > paperTop && !top {
				y += b.before
			}
			if b.section != "" {
				section = b.section
				if top {
					sheets[len(sheets)-1].section = section
				}
			}
			s := spot{page: sheets[len(sheets)-1].page, y: y}
			if b.target != "" {
				s.page.Target(b.target, y-8)
				if _, ok := where[b.target]; !ok {
					where[b.target] = len(sheets) - 1
				}
			}
			b.draw(s)
			y += b.height
			top = false
		}
		i--
	}
	if len(sheets) == 0 {
		begin()
	}
	return sheets, where
}
