package spec

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"crankwright/mechanics/layout"
)

// ShorthandHelp says what a shorthand for NewEngine may hold, one part a line.
const ShorthandHelp = `inline-4, vee-6, opposed-4, radial-5   arrangement and number of cylinders, first
60deg                                  bank angle of a vee, or bank 60
84x90, 3.5x3.25in                      bore and stroke, in mm where no unit stands
flat-plane, cross-plane, even-fire, …  throw angles by a trade word; also 360, 270, 180, 120, 90, 72
pins 0,70                              throw angles in degrees, free end first
split 30                               pin split of a vee in degrees
spacing 130                            cylinder spacing of a bank, in mm where no unit stands
stagger 65                             bank stagger: of the two cylinders of a throw along the crank
offset 12.5                            cylinder axes from the crank axis; those of a vee outwards
own-pins, shared-pins                  crankpins of opposed cylinders
master-and-link, plain                 rods of a radial engine
order 1-3-4-2                          firing order
two-stroke, four-stroke                working cycle; four-stroke where neither stands
light, general, heavy                  duty, which moves all estimates`

// shorthand is a one-line description of an engine.
type shorthand struct {
	arrangement  string
	cylinders    int
	bankAngle    string
	bore, stroke string
	pins         string
	split        string
	own          string
	rods         string
	places       [3]string // by placeWords
	order        string
	cycle        string
	duty         string
}

var (
	shorthandHead  = regexp.MustCompile(`^(inline|vee|opposed|boxer|radial|i|v|r)-?([0-9]{1,3})$`)
	shorthandSize  = regexp.MustCompile(`^([0-9]*\.?[0-9]+)[x×]([0-9]*\.?[0-9]+)(mm|cm|in)?$`)
	shorthandAngle = regexp.MustCompile(`^([0-9]*\.?[0-9]+)(deg|°)$`)
	shorthandPlain = regexp.MustCompile(`^(-?[0-9]*\.?[0-9]+)(deg|°)?$`)
	shorthandPlace = regexp.MustCompile(`^(-?)([0-9]*\.?[0-9]+)(mm|cm|in)?$`)
	shorthandOrder = regexp.MustCompile(`^[0-9]+(-[0-9]+)+$`)
)

// placeWords are the words of a shorthand that place cylinders, and their keys in the section layout.
func placeWords() [3][2]string {
	return [3][2]string{{"spacing", "cylinder_spacing"}, {"stagger", "bank_stagger"}, {"offset", "cylinder_offset"}}
}

// NewEngine writes a commented engine file in short form from a one-line shorthand such as
// "inline-4 84x90 flat-plane" or "vee-6 60deg 84x75 split 60". What is left out of the shorthand
// stands in the file as a comment with its estimate. The error says which part is wrong and lists
// what is allowed.
func NewEngine(line string) ([]byte, error) {
	s, err := parseShorthand(line)
	if err != nil {
		return nil, fmt.Errorf("%w; a shorthand is made of\n\n%s", err, ShorthandHelp)
	}
	head := s.head()
	t, _, err := ReadEngine("", head, Options{})
	if err != nil {
		var list Errors
		errors.As(err, &list)
		parts := make([]string, 0, len(list))
		for _, e := range list {
			parts = append(parts, Error{What: e.What, Allowed: e.Allowed}.Error())
		}
		return nil, fmt.Errorf("the shorthand %q makes no engine: %s", line, strings.Join(parts, "\n"))
	}
	return append(head, s.tail(t)...), nil
}

func parseShorthand(line string) (*shorthand, error) {
	words := strings.Fields(line)
	if len(words) == 0 {
		return nil, fmt.Errorf("the shorthand is empty")
	}
	s := &shorthand{cycle: "four-stroke"}
	if words[0] == "single" {
		words[0] = "inline-1"
	}
	m := shorthandHead.FindStringSubmatch(words[0])
	if m == nil {
		return nil, fmt.Errorf("%q is no arrangement with a number of cylinders", words[0])
	}
	s.arrangement = map[string]string{"i": "inline", "v": "vee", "r": "radial", "boxer": "opposed"}[m[1]]
	if s.arrangement == "" {
		s.arrangement = m[1]
	}
	if m[1] == "boxer" {
		s.own = "true"
	}
	s.cylinders, _ = strconv.Atoi(m[2])
	for i := 1; i < len(words); i++ {
		next := ""
		if i+1 < len(words) {
			next = words[i+1]
		}
		used, err := s.part(words[i], next)
		if err != nil {
			return nil, err
		}
		i += used
	}
	if s.arrangement == "vee" && s.bankAngle == "" {
		return nil, fmt.Errorf("the bank angle of the vee is missing")
	}
	return s, nil
}

// part reads one word, and says how many of the following it has used.
func (s *shorthand) part(word, next string) (used int, err error) {
	m := shorthandSize.FindStringSubmatch(word)
	switch {
	case m != nil:
		unit := m[3]
		if unit == "" {
			unit = "mm"
		}
		s.bore, s.stroke = m[1]+" "+unit, m[2]+" "+unit
	case shorthandAngle.MatchString(word):
		s.bankAngle = shorthandAngle.FindStringSubmatch(word)[1] + " deg"
	case word == "split" || word == "bank":
		n := shorthandPlain.FindStringSubmatch(next)
		if n == nil {
			return 0, fmt.Errorf("an angle must follow %q, such as %s 60", word, word)
		}
		if word == "bank" {
			s.bankAngle = n[1] + " deg"
		} else {
			s.split = n[1] + " deg"
		}
		return 1, nil
	case slices.Contains([]string{"spacing", "stagger", "offset"}, word):
		return 1, s.place(word, next)
	case word == "pins":
		var list []string
		for p := range strings.SplitSeq(next, ",") {
			n := shorthandPlain.FindStringSubmatch(p)
			if n == nil {
				return 0, fmt.Errorf("angles must follow \"pins\", such as pins 0,180")
			}
			list = append(list, n[1]+" deg")
		}
		s.pins = "[" + strings.Join(list, ", ") + "]"
		return 1, nil
	case word == "order":
		if !shorthandOrder.MatchString(next) && next != "1" {
			return 0, fmt.Errorf("cylinders must follow \"order\", such as order 1-3-4-2")
		}
		s.order = "[" + strings.ReplaceAll(next, "-", ", ") + "]"
		return 1, nil
	case slices.Contains(pinWordNames(), word):
		s.pins = word
	case word == "own-pins" || word == "shared-pins":
		s.own = strconv.FormatBool(word == "own-pins")
	case slices.Contains(rodWords{}.words(), word):
		s.rods = word
	case slices.Contains(cycleWords{}.words(), word):
		s.cycle = word
	case slices.Contains(dutyWords{}.words(), word):
		s.duty = word
	default:
		words := slices.Concat(pinWordNames(), rodWords{}.words(), cycleWords{}.words(), dutyWords{}.words(),
			[]string{"own-pins", "shared-pins", "split", "bank", "pins", "order", "spacing", "stagger", "offset"})
		if near := Nearest(word, words); near != "" {
			return 0, fmt.Errorf("%q is not known, did you mean %q", word, near)
		}
		return 0, fmt.Errorf("%q is not known", word)
	}
	return 0, nil
}

// place reads the length that follows spacing, stagger or offset.
func (s *shorthand) place(word, next string) error {
	m := shorthandPlace.FindStringSubmatch(next)
	if m == nil || m[1] != "" && word != "offset" {
		return fmt.Errorf("a length must follow %q, such as %s 65", word, word)
	}
	sign, number, unit := m[1], m[2], m[3]
	if unit == "" {
		unit = "mm"
	}
	text := sign + number + " " + unit
	if word == "offset" && s.arrangement == "vee" { // outwards is − for the first bank and + for the second
		other := map[string]string{"": "-", "-": ""}[sign]
		text = fmt.Sprintf("[%s%s %s, %s%s %s]", other, number, unit, sign, number, unit)
	}
	for i, w := range placeWords() {
		if w[0] == word {
			s.places[i] = text
		}
	}
	return nil
}

var numberWords = []string{
	"none", "single", "twin", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
}

func (s *shorthand) name() string {
	count := fmt.Sprint(s.cylinders)
	if s.cylinders < len(numberWords) {
		count = numberWords[s.cylinders]
	}
	name := strings.ToUpper(s.arrangement[:1]) + s.arrangement[1:] + " " + count
	if s.cylinders == 1 {
		name = "Single cylinder"
	}
	if s.bankAngle != "" {
		name += " " + s.bankAngle
	}
	if slices.Contains(pinWordNames(), s.pins) {
		name += " " + s.pins
	}
	if s.cycle == "two-stroke" {
		name += " two-stroke"
	}
	return name
}

// head writes what the shorthand says.
func (s *shorthand) head() []byte {
	var b bytes.Buffer
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("name: %s", quoted(s.name()))
	line("cycle: %-26s # four-stroke | two-stroke", s.cycle)
	if s.duty != "" {
		line("duty: %-27s # light | general | heavy: moves all estimates", s.duty)
	}
	if s.bore == "" {
		line("# The shorthand gave no size; this one is only there to start from.")
		s.bore, s.stroke = "84 mm", "90 mm"
	}
	line("bore: %s", s.bore)
	line("stroke: %s", s.stroke)
	line("layout:")
	line("  arrangement: %-18s # inline | vee | opposed | radial | custom", s.arrangement)
	line("  cylinders: %d", s.cylinders)
	if s.bankAngle != "" {
		line("  bank_angle: %s", s.bankAngle)
	}
	if s.own == "" && s.arrangement == "opposed" {
		s.own = "true"
	}
	if s.own != "" {
		line("  each_rod_own_pin: %-13s # true: a pin each, half a turn apart | false: one pin for two", s.own)
	}
	if s.rods != "" {
		line("  rods: %-25s # plain | master-and-link", s.rods)
	}
	if s.pins != "" {
		line("  pins: %-25s # angles, free end first, or a word", s.pins)
	}
	if s.split != "" {
		line("  pin_split: %-20s # the second bank's pin trails the first's", s.split)
	}
	for i, w := range placeWords() {
		if s.places[i] != "" {
			line("  %s: %s", w[1], s.places[i])
		}
	}
	if s.order != "" {
		line("  firing_order: %s", s.order)
	}
	return b.Bytes()
}

// tail writes, as comments, what was estimated.
func (s *shorthand) tail(t *layout.Train) []byte {
	shown := map[string]string{}
	for _, e := range t.Estimates {
		shown[e.Key] = e.Shown
	}
	var b bytes.Buffer
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	for _, key := range []string{"pins", "pin_split", "cylinder_spacing", "bank_stagger", "cylinder_offset", "knuckle_radius"} {
		text := shown["layout."+key]
		if inside, unit, ok := strings.Cut(text, "] "); ok {
			text = strings.ReplaceAll(inside, ",", " "+unit+",") + " " + unit + "]" // as editors understand it
		}
		if text != "" {
			line("  # %s: %s", key, text)
		}
	}
	if s.order == "" {
		line("  # firing_order is left out: the most even order is chosen")
	}
	line("")
	line("# Everything below is estimated. Take the mark # away where you know better.")
	group := func(indent, name string, keys ...string) {
		var parts []string
		for _, key := range keys {
			if text := shown[strings.TrimSpace(strings.TrimPrefix(name+"."+key, "."))]; text != "" {
				parts = append(parts, key+": "+text)
			}
		}
		if len(parts) > 0 {
			line("# %s%s: {%s}", indent, name[strings.LastIndex(name, ".")+1:], strings.Join(parts, ", "))
		}
	}
	group("", "rod", "length", "mass", "cg_from_big_end", "inertia")
	group("", "piston", "mass", "compression_height")
	line("# crank:")
	if text := shown["crank.throw_unbalance"]; text != "" {
		line("#   throw_unbalance: %s", text)
	}
	line("#   counterweights: none            # none | {balance_factor: 50 %%} | list of {at, angle, unbalance}")
	group("  ", "crank.main_journal", "diameter", "width")
	group("  ", "crank.crankpin", "diameter", "width")
	group("  ", "crank.web", "thickness", "width")
	if text := shown["crank.fillet_radius"]; text != "" {
		line("#   fillet_radius: %s", text)
	}
	line("# balance_shafts: []                # list of {speed_ratio: -2, y: 60 mm, z: -40 mm,")
	line("#                                   #   masses: [{at: 0 mm, angle: 0 deg, unbalance: 6 kg mm}]}")
	group("", "flywheel", "inertia")
	group("", "speeds", "idle", "rated", "limit")
	line("# gas: {compression_ratio: 10.5, imep: 11 bar}")
	return b.Bytes()
}
