package spec

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// short reads a short form with a layout given in flow style.
func short(t *testing.T, layoutText, more string) (*layout.Train, *Engine) {
	t.Helper()
	return read(t, okHead+"layout: {"+layoutText+"}\n"+more)
}

func degreesOf(train *layout.Train) string {
	list := make([]num.Angle, len(train.Throws))
	for i, th := range train.Throws {
		list[i] = th.Angle
	}
	return shownAngles(list)
}

// evenGap returns the interval at which a train fires if it can fire evenly in some order: the top
// dead centres, each of which a four-stroke engine may move by a turn, fill the cycle evenly.
func evenGap(train *layout.Train) (float64, bool) {
	n := len(train.Cylinders)
	gap := train.Cycle.Period().Deg() / float64(n)
	slots := map[int]int{}
	first := train.Cylinders[0].Axis - train.Throws[train.Cylinders[0].Throw].Angle
	perTurn := int(math.Round(360 / gap))
	if math.Abs(360/gap-float64(perTurn)) > 1e-9 { // an odd number, four-stroke: half slots
		gap /= 2
		perTurn = n
	}
	for _, c := range train.Cylinders {
		at := (c.Axis - train.Throws[c.Throw].Angle - first).Wrap(num.Turn).Deg() / gap
		if math.Abs(at-math.Round(at)) > 1e-6 {
			return gap, false
		}
		slots[int(math.Round(at))%perTurn]++
	}
	for _, k := range slots {
		if k != n/perTurn {
			return gap, false
		}
	}
	return gap, len(slots) == perTurn
}

func TestPinWords(t *testing.T) {
	for _, c := range []struct{ layout, want string }{
		{"arrangement: inline, cylinders: 1", "[0] deg"},
		{"arrangement: inline, cylinders: 2", "[0, 0] deg"},
		{"arrangement: inline, cylinders: 2, pins: 180", "[0, 180] deg"},
		{"arrangement: inline, cylinders: 2, pins: 270", "[0, 270] deg"},
		{"arrangement: inline, cylinders: 3", "[0, 240, 120] deg"},
		{"arrangement: inline, cylinders: 3, pins: 120", "[0, 240, 120] deg"},
		{"arrangement: inline, cylinders: 4, pins: flat-plane", "[0, 180, 180, 0] deg"},
		{"arrangement: inline, cylinders: 4, pins: cross-plane", "[0, 90, 270, 180] deg"},
		{"arrangement: inline, cylinders: 4", "[0, 180, 180, 0] deg"},
		{"arrangement: inline, cylinders: 5", "[0, 216, 144, 72, 288] deg"},
		{"arrangement: inline, cylinders: 6", "[0, 120, 240, 240, 120, 0] deg"},
		{"arrangement: inline, cylinders: 6, firing_order: [1, 5, 3, 6, 2, 4]", "[0, 240, 120, 120, 240, 0] deg"},
		{"arrangement: inline, cylinders: 5, firing_order: [1, 2, 4, 5, 3]", "[0, 216, 144, 72, 288] deg"},
		{"arrangement: inline, cylinders: 8, firing_order: [1, 6, 2, 5, 8, 3, 7, 4]", "[0, 180, 270, 90, 90, 270, 180, 0] deg"},
		{"arrangement: vee, cylinders: 6, bank_angle: 60 deg, pins: even-fire", "[0, 300, 120, 60, 240, 180] deg"},
		{"arrangement: vee, cylinders: 6, bank_angle: 90 deg, pins: even-fire", "[0, 330, 120, 90, 240, 210] deg"},
		{"arrangement: vee, cylinders: 8, bank_angle: 90 deg", "[0, 90, 270, 180] deg"},
		{"arrangement: vee, cylinders: 8, bank_angle: 90 deg, pins: flat-plane", "[0, 180, 180, 0] deg"},
		{"arrangement: vee, cylinders: 4, bank_angle: 60 deg, pins: even-fire", "[0, 60, 180, 240] deg"},
		{"arrangement: vee, cylinders: 12, bank_angle: 60 deg", "[0, 120, 240, 240, 120, 0] deg"},
		{"arrangement: opposed, cylinders: 4", "[0, 180, 180, 0] deg"},
		{"arrangement: opposed, cylinders: 4, each_rod_own_pin: false", "[0, 180] deg"},
		{"arrangement: opposed, cylinders: 4, pins: [0, 180, 180, 0] deg", "[0, 180, 180, 0] deg"},
		{"arrangement: opposed, cylinders: 6", "[0, 180, 120, 300, 240, 60] deg"},
		{"arrangement: radial, cylinders: 14, pins: \"180\"", "[0, 180] deg"},
	} {
		train, _ := short(t, c.layout, "")
		if got := degreesOf(train); got != c.want {
			t.Errorf("%s: %s, want %s", c.layout, got, c.want)
		}
	}
}

// TestEvenFireIsEven checks the word even-fire for every layout with it, by the top dead centres.
func TestEvenFireIsEven(t *testing.T) {
	for _, cycle := range []string{"four-stroke", "two-stroke"} {
		for n := 1; n <= 16; n++ {
			layouts := []string{fmt.Sprintf("arrangement: inline, cylinders: %d, pins: even-fire", n)}
			for _, v := range []float64{15, 45, 52, 60, 65, 72, 90, 120, 180} {
				layouts = append(layouts, fmt.Sprintf("arrangement: vee, cylinders: %d, bank_angle: %g deg, bank_stagger: 90 mm, cylinder_offset: 0 mm, cylinder_spacing: 300 mm, pins: even-fire", 2*n, v))
			}
			for _, l := range layouts {
				text := strings.Replace(okHead, "four-stroke", cycle, 1) + "layout: {" + l + "}\n"
				train, _, err := ReadEngine("f", []byte(text), Options{})
				if err != nil {
					t.Errorf("%s %s: %v", cycle, l, err)
					continue
				}
				if gap, ok := evenGap(train); !ok {
					t.Errorf("%s %s: does not fire every %g deg: %s", cycle, l, gap, degreesOf(train))
				}
			}
		}
	}
}

// TestLeftOutPinsSayWhetherTheyFireEvenly checks the sentence in the estimates against the dead centres.
func TestLeftOutPinsSayWhetherTheyFireEvenly(t *testing.T) {
	for n := 2; n <= 16; n += 2 {
		for _, l := range []string{
			fmt.Sprintf("arrangement: vee, cylinders: %d, bank_angle: 60 deg", n), fmt.Sprintf("arrangement: vee, cylinders: %d, bank_angle: 90 deg", n),
			fmt.Sprintf("arrangement: opposed, cylinders: %d", n), fmt.Sprintf("arrangement: opposed, cylinders: %d, each_rod_own_pin: false", n),
		} {
			train, _ := short(t, l, "")
			_, even := evenGap(train)
			for _, e := range train.Estimates {
				if e.Key == "layout.pins" && strings.Contains(e.Rule, "does not fire evenly") == even {
					t.Errorf("%s: even %v, but %s", l, even, e.Rule)
				}
			}
		}
	}
}

func TestPlacesAndBanks(t *testing.T) {
	train, _ := short(t, "arrangement: vee, cylinders: 4, bank_angle: 90 deg, pins: [0, 70] deg, bank_stagger: 20 mm, cylinder_spacing: 100 mm, numbering: along-crank", "")
	want := []struct {
		throw    int
		at, axis float64
	}{{0, -60, -45}, {0, -40, 45}, {1, 40, -45}, {1, 60, 45}}
	for i, c := range train.Cylinders {
		if w := want[i]; c.Throw != w.throw || math.Abs(c.At*1e3-w.at) > 1e-9 || math.Abs(c.Axis.Deg()-w.axis) > 1e-9 || c.Bank != i%2 {
			t.Errorf("cylinder %s: %+v, want %+v", c.Name, c, w)
		}
	}
	if train.Reference != 0 || train.Throws[0].At != -0.05 || train.Throws[1].At != 0.05 || train.Throws[1].Radius != 0.045 {
		t.Errorf("throws %+v, reference %v", train.Throws, train.Reference)
	}
	split, _ := short(t, "arrangement: vee, cylinders: 2, bank_angle: 90 deg, pin_split: 30 deg, bank_stagger: 20 mm", "")
	for i, th := range split.Throws {
		if c := split.Cylinders[i]; c.Throw != i || c.At != th.At || th.Pair != 0 {
			t.Errorf("split: cylinder %+v on throw %+v", c, th)
		}
	}
}

func TestRadial(t *testing.T) {
	train, _ := short(t, "arrangement: radial, cylinders: 10, pins: [0, 180] deg, rods: master-and-link, knuckle_radius: 40 mm, row_stagger: 30 deg, cylinder_spacing: 120 mm", "rod: {length: 150 mm}\n")
	for i, c := range train.Cylinders {
		row, j := i/5, i%5
		axis := 72*float64(j) + 30*float64(row)
		if math.Abs(c.Axis.Deg()-axis) > 1e-9 || c.Throw != row || math.Abs(c.At-(float64(row)-0.5)*0.12) > 1e-12 {
			t.Errorf("cylinder %s: %+v", c.Name, c)
		}
		if j == 0 && (c.Rod.Linked || c.Rod.Length != 0.15) {
			t.Errorf("master %s: %+v", c.Name, c.Rod)
		}
		if j > 0 && (!c.Rod.Linked || c.Rod.Master != 5*row || math.Abs(c.Rod.Length-0.11) > 1e-12 || math.Abs(c.Rod.KnuckleAngle.Deg()-72*float64(j)) > 1e-9) {
			t.Errorf("linked %s: %+v", c.Name, c.Rod)
		}
	}
	default2, _ := short(t, "arrangement: radial, cylinders: 6, pins: [0, 180] deg", "")
	if a := default2.Cylinders[3].Axis.Deg(); math.Abs(a-60) > 1e-9 {
		t.Errorf("the second row stands at %g deg, want half a pitch", a)
	}
}

func TestBalanceFactor(t *testing.T) {
	train, _ := short(t, "arrangement: vee, cylinders: 2, bank_angle: 90 deg, pins: [30] deg",
		"rod: {length: 150 mm, mass: 0.6 kg, cg_from_big_end: 50 mm}\npiston: {mass: 0.4 kg}\n"+
			"crank: {throw_unbalance: 10 kg mm, counterweights: {balance_factor: 50 %}, crankpin: {width: 40 mm}, web: {thickness: 20 mm}}\n")
	want := 0.010 + 2*0.4*0.045 + 0.5*2*(0.4+0.2)*0.045
	sum := 0.0
	for i, c := range train.Counterweights {
		sum += c.Amount
		if c.Throw != 1 || math.Abs(c.Angle.Deg()-210) > 1e-9 || math.Abs(c.At-[]float64{-0.03, 0.03}[i]) > 1e-12 {
			t.Errorf("counterweight %+v", c)
		}
	}
	if len(train.Counterweights) != 2 || math.Abs(sum-want) > 1e-15 {
		t.Errorf("sum %v, want %v", sum, want)
	}
}

func TestEstimatedWidthNeverForbids(t *testing.T) {
	train, _ := short(t, "arrangement: vee, cylinders: 4, bank_angle: 60 deg, pins: [0, 180] deg, pin_split: 120 deg, bank_stagger: 6 mm", "")
	said := false
	for _, e := range train.Estimates {
		said = said || e.Key == "crank.crankpin.width" && e.Value == train.Crank.Crankpin.Width
	}
	if w := train.Crank.Crankpin.Width; w >= 0.006 || !said {
		t.Errorf("width %v, said %v", w, said)
	}
}

func TestLocate(t *testing.T) {
	text := okHead + "layout:\n  arrangement: inline\n  cylinders: 2\n  pins: [0, 180] deg\n  firing_order: [1, 2]\nrod:\n  length: 150 mm\ncrank:\n  web: {width: 80 mm}\n"
	_, file := read(t, text)
	for path, want := range map[string]Position{
		"firing_order": {9, 17}, "throws[1].angle": {8, 9}, "throws[0].radius": {4, 9}, "cylinders[1].rod.length": {11, 11}, "cylinders[1].rod.mass": {11, 3},
		"crank.web.width": {13, 16}, "crank.web.thickness": {13, 8}, "bore": {3, 7}, "speeds.idle": {1, 1}, "throws": {6, 3}, "cylinders[0].axis": {6, 3}, "cylinders": {7, 14},
	} {
		if got := file.Locate(path); got != want {
			t.Errorf("%s is at %v, want %v", path, got, want)
		}
	}
	e := file.ErrorAt("firing_order", "the crank cannot do this", "1-2 is possible")
	if e.Error() != "test.engine.yaml:9:17: the crank cannot do this; 1-2 is possible" {
		t.Error(e)
	}
	if (*Engine)(nil).Locate("bore") != (Position{}) || (&Engine{}).Locate("bore") != (Position{}) {
		t.Error("a file without text has places")
	}
}

func TestLabels(t *testing.T) {
	for text, want := range map[string]string{
		"arrangement: inline, cylinders: 2, labels: iso-1204":                                          "2 1",
		"arrangement: inline, cylinders: 2":                                                            "1 2",
		"arrangement: inline, cylinders: 2, labels: [a, b]":                                            "a b",
		"arrangement: vee, cylinders: 4, bank_angle: 60 deg, labels: iso-1204":                         "B2 B1 A2 A1",
		"arrangement: vee, cylinders: 4, bank_angle: 60 deg, numbering: along-crank, labels: iso-1204": "B2 A2 B1 A1",
	} {
		train, file := short(t, text, "")
		if got := strings.Join(file.CylinderLabels(train), " "); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
	train, file := read(t, strings.Replace(okHead, "cycle", "rotation: clockwise\ncycle", 1)+"layout: {arrangement: vee, cylinders: 2, bank_angle: 60 deg, labels: iso-1204}\n")
	if got := strings.Join(file.CylinderLabels(train), " "); got != "A1 B1" {
		t.Errorf("mirrored: %s", got)
	}
}

func TestChangedFileResolvesAgain(t *testing.T) {
	_, file := short(t, "arrangement: vee, cylinders: 2, bank_angle: 60 deg, pins: [0]", "")
	q, err := ParseQuantity[Angle]("72 deg")
	if err != nil {
		t.Fatal(err)
	}
	file.Layout.BankAngle = q
	train, err := file.Train(Options{})
	if err != nil || math.Abs(train.Banks[1].Axis.Deg()-36) > 1e-9 {
		t.Errorf("%v %v", train, err)
	}
}
