package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"crankwright/checks"
	"crankwright/docs"
	"crankwright/num"
)

// Verification is the published checks held against our values: what verify --json prints.
type Verification struct {
	Checks    int            `json:"checks" jsonschema_description:"how many there are"`
	Agree     int            `json:"agree" jsonschema_description:"ours is within the tolerance of the expected value"`
	Explained int            `json:"explained" jsonschema_description:"ours agrees with the recomputed value; the printed one is wrong, and disagrees says why"`
	Fail      int            `json:"fail" jsonschema_description:"ours differs from the expected value, or could not be computed, whatever is wrong with the printed one"`
	List      []VerifiedItem `json:"list" jsonschema_description:"one by one"`
	Sources   []docs.Source  `json:"sources" jsonschema_description:"the sources that the list names by their keys"`
}

// VerifiedItem is one check with our value.
type VerifiedItem struct {
	ID        string  `json:"id" jsonschema_description:"group, case and quantity, with strokes between"`
	Chapter   string  `json:"chapter" jsonschema_description:"part of the theory that is tested"`
	Kind      string  `json:"kind" jsonschema_description:"where the expected value comes from: published, closed form, independent library, common practice"`
	What      string  `json:"what" jsonschema_description:"the number in one line"`
	Unit      string  `json:"unit" jsonschema_description:"of expected, ours, gap and tolerance; 1: none"`
	Printed   string  `json:"printed" jsonschema_description:"as the source prints it"`
	Want      float64 `json:"expected" jsonschema_description:"value that ours is held against"`
	Ours      float64 `json:"ours" jsonschema_description:"what the program computes; 0 where it fails, and error says why"`
	Gap       float64 `json:"gap" jsonschema_description:"ours less the expected value"`
	Tolerance float64 `json:"tolerance" jsonschema_description:"largest gap that is accepted"`
	TolWhy    string  `json:"tolerance_reason,omitempty" jsonschema_description:"why it is wider than half a unit of the last printed digit; left out: it is not"`
	Source    string  `json:"source" jsonschema_description:"key in the list of sources"`
	Place     string  `json:"place,omitempty" jsonschema_description:"page, table or section of the source; left out: none"`
	Seen      string  `json:"seen" jsonschema_description:"how far the source was seen: read, memory, recomputed"`
	Note      string  `json:"note,omitempty" jsonschema_description:"what else there is to know; left out: nothing"`
	Disagrees string  `json:"disagrees,omitempty" jsonschema_description:"what is wrong with the printed value"`
	OK        bool    `json:"ok" jsonschema_description:"the gap is within the tolerance"`
	Error     string  `json:"error,omitempty" jsonschema_description:"why nothing could be computed; left out: it could"`
}

// Verify collects the outcomes of checks.
func Verify(outcomes []checks.Outcome) Verification {
	v := Verification{Checks: len(outcomes), List: []VerifiedItem{}}
	var keys []string
	for _, o := range outcomes {
		item := VerifiedItem{
			ID: o.ID, Chapter: o.Chapter, Kind: string(o.Kind), What: o.What, Unit: o.Unit, Printed: o.Printed, Want: o.Want,
			Tolerance: o.Tol, TolWhy: o.TolWhy, Source: o.Source, Place: o.Place, Seen: string(o.Seen), Note: o.Note,
			Disagrees: o.Disagrees, OK: o.OK,
		}
		if o.Err != nil {
			item.Error = o.Err.Error()
		} else {
			item.Ours, item.Gap = o.Value, o.Gap
		}
		switch {
		case !o.OK:
			v.Fail++
		case o.Disagrees != "":
			v.Explained++
		default:
			v.Agree++
		}
		v.List = append(v.List, item)
		keys = append(keys, item.Source)
	}
	v.Sources = docs.Cited(keys)
	return v
}

// VerifyAll runs every check of the registry: about a second.
func VerifyAll() *Verification {
	var outcomes []checks.Outcome
	for _, c := range checks.All() {
		outcomes = append(outcomes, checks.Run(c))
	}
	v := Verify(outcomes)
	return &v
}

// VerifyText returns a verification as text for a terminal: tables by chapter and source, then the
// reasons of everything that is not plain agreement.
func VerifyText(v Verification, screen Screen) string {
	s := &sheet{Screen: screen}
	total := fmt.Sprintf("%d checks: %d agree, %d agree with a corrected value, %d fail", v.Checks, v.Agree, v.Explained, v.Fail)
	s.lead(total)
	s.paragraph("", "Expected values come from printed texts, closed forms and other programs, never from this one. A check holds where the gap is within half a unit of the last printed digit, or within the tolerance whose reason is given. ≠ marks a printed value that is wrong, ! a value of ours that is too far off.")
	for _, group := range grouping(v.List) {
		s.verifyGroup(group)
	}
	s.heading("sources")
	var list []entry
	for _, source := range v.Sources {
		list = append(list, entry{source.Key, source.Cite() + " (" + source.Kind + ")"})
	}
	s.entries(list)
	s.blank()
	s.lead(total)
	return s.String()
}

// grouping puts the checks of one place in one source together, in the sequence of the first of each.
func grouping(list []VerifiedItem) [][]VerifiedItem {
	var out [][]VerifiedItem
	at := map[[5]string]int{}
	for _, item := range list {
		key := [5]string{item.Chapter, item.Source, item.Place, item.Kind, item.Seen}
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], item)
	}
	return out
}

// verifyGroup writes the checks of one place in one source.
func (s *sheet) verifyGroup(list []VerifiedItem) {
	head := list[0].Chapter + ": " + list[0].Source
	if list[0].Place != "" {
		head += ", " + list[0].Place
	}
	s.heading(head + " (" + list[0].Kind + ", " + list[0].Seen + ")")
	var rows [][]cell
	var reasons []entry
	numbers, most := []int{0, 0, 0}, 0
	for _, item := range list {
		row := []cell{{}, {text: signed(item.Printed)}, {text: withUnit(item.Ours, item.Unit)}, {text: short(item.Gap, 2)}, {text: short(item.Tolerance, 2)}}
		switch {
		case item.Error != "":
			row[0], row[2] = cell{text: "!", style: red}, cell{text: "error"}
			reasons = append(reasons, entry{"!", item.What + ": " + item.Error})
		case !item.OK:
			row[0] = cell{text: "!", style: red}
			reasons = append(reasons, entry{"!", item.What + ": " + oursIsOff(item)})
		case item.Disagrees != "":
			row[0] = cell{text: "≠"}
			reasons = append(reasons, entry{"≠", item.What + ": " + item.Disagrees})
		}
		for i := range numbers {
			numbers[i] = max(numbers[i], columns(row[i+1].text))
		}
		rows = append(rows, row)
	}
	for _, n := range numbers {
		most += n
	}
	room := max(20, s.width()-most-1-12-5*columnSpace)
	var full [][]cell
	for i, item := range list {
		for j, l := range wrap(shownText(item.What), room) {
			if j == 0 {
				full = append(full, append([]cell{rows[i][0], {text: l}}, rows[i][1:]...))
			} else {
				full = append(full, []cell{{}, {text: "  " + l}, {}, {}, {}, {}})
			}
		}
	}
	s.table([]column{{left: true}, {left: true}, {head: []string{"printed"}}, {head: []string{"ours"}}, {head: []string{"gap"}}, {head: []string{"within"}}}, full)
	s.entries(reasons)
}

// oursIsOff says what is wrong with a check whose value of ours is too far off.
func oursIsOff(item VerifiedItem) string {
	why := "ours is off: the gap is larger than the tolerance"
	if item.Disagrees != "" {
		why += "; besides, the printed value is wrong: " + item.Disagrees
	}
	return why
}

func withUnit(v float64, unit string) string {
	text := short(v, 8)
	if unit != "" && unit != "1" && !strings.HasPrefix(unit, "-") {
		text += " " + unit
	}
	return text
}

// short writes a number with so many significant digits, in exponent form where it is small or large.
func short(v float64, digits int) string {
	if v == 0 {
		return "0"
	}
	if a := math.Abs(v); a < 1e-3 || a >= 1e9 {
		text := strconv.FormatFloat(v, 'e', digits-1, 64)
		mantissa, exponent, _ := strings.Cut(text, "e")
		if strings.Contains(mantissa, ".") {
			mantissa = strings.TrimRight(strings.TrimRight(mantissa, "0"), ".")
		}
		n, err := strconv.Atoi(exponent)
		if err != nil {
			return signed(text)
		}
		return signed(mantissa) + "e" + strconv.Itoa(n)
	}
	return signed(num.Digits(v, digits))
}
