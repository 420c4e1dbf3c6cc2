package spec

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// traceKind is what a column of a measured trace holds.
type traceKind int

const (
	unknownColumn traceKind = iota
	cycleColumn
	otherColumn // of no use here
	timeColumn
	angleColumn
	speedColumn
	pressureColumn
	fillerWord // says nothing of the kind
)

// traceWords are the words by which a column is recognised, in small letters. Where a name has words of several
// kinds the first kind of the table counts: "cycle no", "intake pressure", "crank angle", "engine speed".
var traceWords = []struct {
	kind  traceKind
	words string
}{
	{cycleColumn, "cycle cycles cyc zyklus arbeitsspiel asp"},
	{otherColumn, "volume vol v temperature temp torque intake inlet int exhaust exh manifold map rail injection injector heat hrr lift ignition spark fuel index idx sample std stddev imep log dp date position"},
	{timeColumn, "time t zeit"},
	{angleColumn, "angle ca crank crankangle cad aca kw kurbelwinkel winkel theta phi alpha θ φ α atdc encoder"},
	{speedColumn, "speed rpm n drehzahl"},
	{pressureColumn, "pressure pressures press p pcyl pzyl pz druck zylinderdruck cylpress pcylinder incyl"},
	{fillerWord, "cyl cylinder zyl zylinder in mean avg average measured signal ch channel trace data deg degree degrees no nr number of the abs absolute absolut gauge gage rel relative"},
}

// traceUnits are the units of a trace. sense is 1 for pressures from vacuum, −1 for those from the atmosphere.
var traceUnits = []struct {
	words  string
	kind   traceKind
	factor float64
	sense  int
}{
	{"bar", pressureColumn, 1e5, 0},
	{"bara barabs bar(a) bar(abs)", pressureColumn, 1e5, 1},
	{"barg bargauge bar(g) barü barrel", pressureColumn, 1e5, -1},
	{"mbar hpa", pressureColumn, 100, 0},
	{"kpa", pressureColumn, 1e3, 0},
	{"kpaa kpaabs kpa(a) kpa(abs)", pressureColumn, 1e3, 1},
	{"kpag kpa(g) kpagauge", pressureColumn, 1e3, -1},
	{"mpa", pressureColumn, 1e6, 0},
	{"pa n/m2", pressureColumn, 1, 0},
	{"psi lbf/in2 lb/in2", pressureColumn, pound * gravity / (inch * inch), 0},
	{"psia", pressureColumn, pound * gravity / (inch * inch), 1},
	{"psig", pressureColumn, pound * gravity / (inch * inch), -1},
	{"kgf/cm2 kg/cm2 kp/cm2 at", pressureColumn, gravity * 1e4, 0},
	{"ata", pressureColumn, gravity * 1e4, 1},
	{"atü", pressureColumn, gravity * 1e4, -1},
	{"atm", pressureColumn, 101325, 0},
	{"deg degs degree degrees degca cadeg degkw kwdeg degcrank degatdc degcaatdc cad dca cadegrees", angleColumn, math.Pi / 180, 0},
	{"rad radian radians", angleColumn, 1, 0},
	{"s sec seconds", timeColumn, 1, 0},
	{"ms msec", timeColumn, 1e-3, 0},
	{"us µs μs usec", timeColumn, 1e-6, 0},
	{"rpm 1/min min-1 u/min r/min rev/min", speedColumn, math.Pi / 30, 0},
	{"- 1 v k c degc nm j l m3 cm3 dm3 % mm", otherColumn, 1, 0},
}

// traceColumn is one column of a trace.
type traceColumn struct {
	kind     traceKind
	name     string // as written
	factor   float64
	unit     string // as written; empty: not said
	sense    int    // 1: from vacuum, −1: from the atmosphere, 0: not said
	cylinder string
	at       Position
}

func hasWord(words, w string) bool {
	for rest := words; rest != ""; {
		var one string
		if one, rest, _ = strings.Cut(rest, " "); one == w {
			return true
		}
	}
	return false
}

// wordKind is the rank of a word in traceWords, or −1.
func wordKind(w string) int {
	for i, row := range traceWords {
		if hasWord(row.words, w) {
			return i
		}
	}
	return -1
}

// unitRow is the row of a unit in traceUnits, or −1.
func unitRow(text string) int {
	text = strings.NewReplacer("°", "deg", "²", "2", "^", "", ".", "", "[", "", "]", "", "<", "", ">", "").Replace(strings.ToLower(text))
	text = strings.Join(strings.Fields(text), "")
	if strings.HasPrefix(text, "(") && strings.HasSuffix(text, ")") {
		text = text[1 : len(text)-1]
	}
	if text == "" {
		return -1
	}
	for i, row := range traceUnits {
		if hasWord(row.words, text) {
			return i
		}
	}
	return -1
}

func (c *traceColumn) setUnit(row int, text string) {
	u := traceUnits[row]
	c.factor, c.unit = u.factor, strings.TrimSpace(text)
	if u.sense != 0 {
		c.sense = u.sense
	}
	if c.kind == unknownColumn {
		c.kind = u.kind
	}
	if c.kind != u.kind { // "volume [bar]" is still a volume
		c.factor, c.unit = 0, ""
	}
}

var bracketed = regexp.MustCompile(`[\[({<]([^\])}>]*(?:\([a-z]+\))?)[\])}>]`)

// parseColumn recognises a column by its name and the unit that may stand in it or in a line of its own.
func parseColumn(text, unit string, at Position) traceColumn {
	c := traceColumn{name: strings.TrimSpace(text), at: at, factor: 1}
	name, row, written := c.name, unitRow(unit), unit
	take := func(candidate, rest string) {
		if r := unitRow(candidate); r >= 0 && row < 0 {
			row, written, name = r, candidate, rest
		}
	}
	for _, m := range bracketed.FindAllStringSubmatchIndex(c.name, -1) {
		take(c.name[m[2]:m[3]], c.name[:m[0]]+" "+c.name[m[1]:])
	}
	for _, mark := range []string{"/", ",", " in ", " ", "_", "-"} { // "p/bar", "CA, deg", "p in bar", "p bar", "p_bar"
		for i := strings.LastIndex(c.name, mark); i > 0; i = strings.LastIndex(c.name[:i], mark) {
			take(c.name[i+len(mark):], c.name[:i])
		}
	}
	take(name, name)
	best := len(traceWords)
	isWord := false
	cylinder := ""
	for _, chunk := range strings.FieldsFunc(strings.ReplaceAll(name, "°", " "), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		low := strings.ToLower(chunk)
		k := wordKind(low)
		if k < 0 {
			head := strings.TrimRightFunc(low, unicode.IsDigit)
			if k = wordKind(head); k >= 0 && head != low {
				cylinder = chunk[len(head):]
			} else if row := unitRow(low); row < 0 || traceUnits[row].kind == otherColumn {
				cylinder = chunk
			}
		}
		switch {
		case k < 0:
			continue
		case hasWord("abs absolute absolut", low):
			c.sense = 1
		case hasWord("gauge gage rel relative", low):
			c.sense = -1
		case hasWord("cyl cylinder zyl zylinder", strings.TrimRightFunc(low, unicode.IsDigit)):
			isWord = true
		}
		best = min(best, k)
	}
	if best < len(traceWords) && traceWords[best].kind != fillerWord {
		c.kind = traceWords[best].kind
	}
	if row >= 0 {
		c.setUnit(row, written)
	}
	if c.kind == unknownColumn && isWord {
		c.kind = pressureColumn
	}
	if c.kind == pressureColumn {
		c.cylinder = cylinder
	}
	return c
}

// known reports whether anything of the column was recognised.
func (c *traceColumn) known() bool { return c.kind != unknownColumn }

var speedWords = regexp.MustCompile(`(?i)(?:^|[^\p{L}])(?:speed|rpm|n|drehzahl)\s*(?:\[[^\]]*\])?\s*[:=;,\s]\s*([0-9]+(?:[.,][0-9]+)?)\s*(rpm|1/min|min-1|min\^-1|u/min|r/min|rev/min|hz|rad/s)?(?:$|[^\p{L}])`)

// spokenSpeed finds a speed in a remark, such as "speed = 3000 rpm" [rad/s].
func spokenSpeed(line string) (float64, bool) {
	m := speedWords.FindStringSubmatch(line)
	if m == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "."), 64)
	if err != nil {
		return 0, false
	}
	switch strings.ToLower(m[2]) {
	case "hz":
		v *= 2 * math.Pi
	case "rad/s":
	default:
		v *= math.Pi / 30
	}
	return v, v > 0.1 && v < 1e4
}
