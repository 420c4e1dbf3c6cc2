package report

// pageSection is a section of a report that is not of one engine: brief, verdict, evidence, inputs.
type pageSection struct {
	ID, Title string
	Letter    string // of an appendix; empty: it is none
	Lead      string // what it is about, in a sentence or two
	Facts     []pageFact
	Lines     []string // sentences, one an item
	Tables    []plainTable
	Figures   []pageFigure
	Listings  []pageListing
	Caution   string
	Parts     []pageSection // sections inside it
}

// plainTable is a table of finished words; the first cell of a row is its head.
type plainTable struct {
	ID, Caption string
	Head        []plainHead
	Rows        [][]string
}

// plainHead is the head of a column.
type plainHead struct {
	Text   string
	Number bool // the column holds numbers: to the right
	Wide   bool // the column holds sentences
}

// pageListing is a file in full.
type pageListing struct{ Name, Text string }
