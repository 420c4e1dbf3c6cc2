package spec

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// ok is a file without faults, to which bad files add one.
const okHead = "name: x\ncycle: four-stroke\nbore: 84 mm\nstroke: 90 mm\n"

const okLayout = "layout: {arrangement: inline, cylinders: 2, pins: [0, 0]}\n"

const okCustom = "name: x\ncycle: four-stroke\nbore: 84 mm\nlayout:\n  arrangement: custom\n" +
	"  throws:\n    - {name: T1, at: 0 mm, angle: 0 deg, radius: 45 mm}\n"

// badFiles has one file for each kind of error, with the exact text that it must raise.
var badFiles = []struct{ name, text, want string }{
	// the text
	{"empty", "", `f:1:1: the file is empty; write keys with values, such as name: Inline four`},
	{"only a comment", "# nothing\n", `f:1:1: the file is empty; write keys with values, such as name: Inline four`},
	{"a list", "- 1\n", `f:1:1: the file is a list; write keys with values, such as name: Inline four`},
	{"not UTF-8", "name: \xff\n", `f:1:7: the text is damaged here; the file must be UTF-8 text`},
	{"control character", "name: a\x01b\n", `f:1:8: a control character (U+0001) stands here; take it out; the file must be lines of plain text`},
	{"two documents", okHead + okLayout + "---\nname: y\n", `f:6:1: a second document starts here; write one thing a file`},
	{"tab", "name: x\nlayout:\n\tcylinders: 2\n", `f:3:1: there is a tab in the indentation; indent with blanks`},
	{"open quote", "name: \"x\n", `f:1:7: the quoted text that starts here has no end; close it with the same mark`},
	{"open map", "name: x\nlayout: {a: 1\n", `f:2:9: the map that starts here has no end that YAML understands; separate its keys by commas and close it with }`},
	{"open list", "name: x\npins: [1, 2\n", `f:2:7: the list that starts here has no end that YAML understands; separate its values by commas and close it with ]`},
	{"second colon", "name: x: y\n", `f:1:8: a second colon stands here; write one key a line, or quote a text that has a colon in it`},
	{"forbidden start", "name: @x\n", `f:1:7: no value can start with this character; quote the text`},
	{"indentation", "  name: x\n cycle: four-stroke\n", `f:2:2: YAML expects a key here; indent the keys of one map alike, one key: value a line`},
	{"unknown anchor", okHead + okLayout + "rod: *r\n", `f:6:6: unknown anchor 'r' is used; write an anchor such as &rod before its first use`},

	// keys
	{
		"unknown key", okHead + "layout:\n  arrangement: inline\n  cylinders: 2\n  pins: [0, 0]\n  cylinder_spacin: 92 mm\n",
		`f:9:3: unknown key "cylinder_spacin"; did you mean "cylinder_spacing"?`,
	},
	{"unknown key, none near", okHead + okLayout + "flywheel: {colour: red}\n", `f:6:12: unknown key "colour"; the keys here are inertia, driven_inertia, fluctuation, diameter, density`},
	{"key elsewhere", okHead + okLayout + "bank_angle: 60 deg\n", `f:6:1: the key "bank_angle" does not belong here; it belongs in layout`},
	{"duplicate key", okHead + okLayout + "bore: 85 mm\n", `f:6:1: the key "bore" stands twice, first in line 3; leave one of the two`},
	{"no value", okHead + okLayout + "rod:\n", `f:6:1: the key "rod" has no value; give it a value or leave the key out`},
	{"merge key", okHead + okLayout + "<<: {duty: light}\n", `f:6:1: merge keys are not read; write the values out`},
	{"key is a list", okHead + okLayout + "[a]: 1\n", `f:6:1: a key cannot be a list; keys are plain words`},
	{"misspelt and missing", "nam: x\ncycle: four-stroke\nbore: 84 mm\nstroke: 90 mm\n" + okLayout, `f:1:1: unknown key "nam"; did you mean "name"?`},
	{"missing name", "cycle: four-stroke\nbore: 84 mm\nstroke: 90 mm\n" + okLayout, `f:1:1: the key "name" is missing; give the engine a name`},
	{"missing cycle", "name: x\nbore: 84 mm\nstroke: 90 mm\n" + okLayout, `f:1:1: the key "cycle" is missing; give four-stroke or two-stroke`},
	{"missing bore and stroke", "name: x\ncycle: four-stroke\n" + okLayout, `f:1:1: the key "bore" is missing; give the bore, such as 84 mm, or at least the stroke`},
	{"missing layout", okHead, `f:1:1: the key "layout" is missing; give the arrangement of the cylinders, such as layout: {arrangement: inline, cylinders: 4}`},
	{"missing arrangement", okHead + "layout: {cylinders: 4}\n", `f:5:9: the key "arrangement" is missing; give inline, vee, opposed, radial or custom`},
	{"missing number", okHead + "layout: {arrangement: inline}\n", `f:5:9: the key "cylinders" is missing; give their number`},
	{"foreign key", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], bank_angle: 60 deg}\n", `f:5:59: the key "bank_angle" does not belong to the arrangement inline; it is for vee`},

	// values
	{"map wanted", okHead + okLayout + "rod: 145 mm\n", `f:6:6: rod: this is a single value; a map with these keys is needed: length, mass, cg_from_big_end, inertia`},
	{"list wanted", okHead + okLayout + "balance_shafts: {speed_ratio: 2}\n", `f:6:17: balance_shafts: this is a map; write a list, - one entry a line`},
	{"value wanted", okHead + okLayout + "reference: [0]\n", `f:6:12: reference: this is a list; a length takes mm, cm, m or in`},
	{"no unit", okHead + okLayout + "reference: 5\n", `f:6:12: reference: "5" has no unit; a length takes mm, cm, m or in`},
	{"wrong dimension", okHead + okLayout + "reference: 5 kg\n", `f:6:12: reference: "kg" is not a unit of length; a length takes mm, cm, m or in`},
	{"unknown unit", okHead + okLayout + "speeds: {idle: 800 rpmm}\n", `f:6:16: idle: unknown unit "rpmm"; did you mean "rpm"? a speed takes rpm, 1/min, rad/s or Hz`},
	{"unit in the wrong case", okHead + okLayout + "gas: {imep: 1 Mpa}\n", `f:6:13: imep: unknown unit "Mpa"; did you mean "MPa"? a pressure takes bar, MPa, kPa or psi`},
	{"not a number", okHead + okLayout + "reference: five mm\n", `f:6:12: reference: "five mm" is not a number; a length takes mm, cm, m or in`},
	{"underscores", okHead + okLayout + "reference: 1_000 mm\n", `f:6:12: reference: "1_000 mm" is not a number; write the digits of a number without separators`},
	{"sexagesimal", okHead + okLayout + "reference: 12:30\n", `f:6:12: reference: "12:30" is not a number; a length takes mm, cm, m or in`},
	{"hexadecimal", okHead + okLayout + "reference: 0x10 mm\n", `f:6:12: reference: "0x10 mm" is not a number; write a decimal number`},
	{"decimal comma", okHead + okLayout + "reference: 3,5 mm\n", `f:6:12: reference: "3,5 mm" is not a number; write a decimal point, not a comma`},
	{
		"damper of no kind", okHead + okLayout + "torsion:\n  damper: {inertia: 0.01 kg m2}\n",
		`f:7:21: inertia: there is no damper that could have it; give kind: rubber or kind: viscous, or leave this out`,
	},
	{
		"rubber in oil", okHead + okLayout + "torsion:\n  damper: {kind: viscous, stiffness: 9 kN m/rad}\n",
		`f:7:38: stiffness: a viscous damper has no rubber; leave it out, or give kind: rubber`,
	},
	{
		"part without shaft", okHead + okLayout + "torsion:\n  driven: [{inertia: 0.4 kg m2}]\n",
		`f:7:12: the key "stiffness" is missing; give the stiffness of the shaft that leads to it, such as 60 kN m/rad`,
	},
	{
		"torsional stiffness of a support", okHead + okLayout + "bearings:\n  support_stiffness: 3 kN m/rad\n",
		`f:7:22: support_stiffness: "kN m/rad" is not a unit of stiffness; a stiffness takes GN/m, MN/m, kN/mm, N/m or lbf/in`,
	},
	{
		"unknown oil", okHead + okLayout + "bearings:\n  oil: 15W40\n",
		`f:7:8: oil: "15W40" is not known; did you mean "15W-40"? 0W-20, 5W-20, 0W-30, 5W-30, 10W-30, 5W-40, 10W-40, 15W-40, 30 or 40 is allowed`,
	},
	{
		"bore wider than the pin", okHead + okLayout + "crank:\n  crankpin: {diameter: 40 mm, bore: 45 mm}\n",
		`f:7:37: bore: a bore of 45 mm leaves nothing of a diameter of 40 mm; it must be smaller than the diameter`,
	},
	{
		"clearance in the wrong unit", okHead + okLayout + "crank:\n  main_journal: {diameter: 60 mm}\nbearings:\n  main: {clearance: 60 mm}\n",
		`f:9:21: clearance: a clearance of 60 mm in a diameter of 60 mm; a thousandth of the diameter is usual, such as 60 um`,
	},
	{"infinite", okHead + okLayout + "reference: 1e999 mm\n", `f:6:12: reference: "1e999 mm" is out of all measure; a length takes mm, cm, m or in`},
	{"negative", okHead + okLayout + "rod: {length: -5 mm}\n", `f:6:15: length: -5 mm is not possible; it must be greater than zero`},
	{"negative mass", okHead + okLayout + "piston: {mass: -5 g}\n", `f:6:16: mass: -5 g is not possible; it must not be negative`},
	{"size", "name: x\ncycle: four-stroke\nbore: 84 m\nstroke: 90 mm\n" + okLayout, `f:3:7: bore: 84 m is not possible; 1 mm to 5 m is allowed`},
	{"unit for a ratio", okHead + okLayout + "gas: {compression_ratio: 10 mm}\n", `f:6:26: compression_ratio: "10 mm" has a unit; a ratio is a number without a unit`},
	{"compression ratio", okHead + okLayout + "gas: {compression_ratio: 0.9}\n", `f:6:26: compression_ratio: 0.9 is no compression ratio; a number above 1 and up to 60 is allowed`},
	{"shift without trace", okHead + okLayout + "gas: {trace_shift: 1 deg}\n", `f:6:20: trace_shift and trace_pegging say how a measured trace is read, and there is none; name the file with the measured pressure in trace, or leave this out`},
	{"large shift", okHead + okLayout + "gas: {trace: p.csv, trace_shift: 100 deg}\n", `f:6:34: trace_shift: 100 deg is no error of a top dead centre; a correction of up to 30 deg on either side is allowed`},
	{"trace and imep", okHead + okLayout + "gas: {imep: 9 bar, trace: p.csv}\n", `f:6:27: trace: a measured pressure and imep exclude each other; give one of the two`},
	{"speed order", okHead + okLayout + "speeds: {idle: 900 rpm, rated: 800 rpm, limit: 1000 rpm}\n", `f:6:16: idle: 900 rpm is too high; it must not be above the rated speed of 800 rpm`},
	{"word", "name: x\ncycle: four-strok\nbore: 84 mm\nstroke: 90 mm\n" + okLayout, `f:2:8: cycle: "four-strok" is not known; did you mean "four-stroke"? four-stroke or two-stroke is allowed`},
	{"flag", okHead + "layout: {arrangement: opposed, cylinders: 2, each_rod_own_pin: yes}\n", `f:5:64: each_rod_own_pin: "yes" is neither; true or false is needed`},
	{"long text", "name: " + strings.Repeat("x", 201) + "\ncycle: four-stroke\nbore: 84 mm\nstroke: 90 mm\n" + okLayout, `f:1:7: name: the text is too long; 200 characters are the most`},
	{"balance factor", okHead + okLayout + "crank: {counterweights: {balance_factor: 50}}\n", `f:6:42: balance_factor: 50 is no balance factor; 0 % to 200 % is allowed`},
	{"counterweights", okHead + okLayout + "crank: {counterweights: nothing}\n", `f:6:25: counterweights: "nothing" is not known; none, {balance_factor: 50 %} or a list of {at, angle, unbalance} is allowed`},
	{"counterweight keys", okHead + okLayout + "crank: {counterweights: [{at: 0 mm, angle: 0 deg}]}\n", `f:6:26: the key "unbalance" is missing; give mass times radius, such as 6 kg mm`},
	{"shaft ratio", okHead + okLayout + "balance_shafts: [{speed_ratio: 0.3, y: 0 mm, z: 0 mm, masses: [{at: 0, angle: 0, unbalance: 0}]}]\n", `f:6:32: speed_ratio: the value is 0.3; a multiple of 0.5 up to 16 is needed, negative against the crank, so that the motion repeats with the cycle`},

	// lists with a unit behind them
	{"unit of a list", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0] mm}\n", `f:5:58: pins: "mm" is not a unit of angle; an angle takes deg, ° or rad`},
	{"unit behind names", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], firing_order: [1, 2] deg}\n", `f:5:80: a unit "deg" stands behind this list; only a list of numbers takes one`},
	{"error behind a unit", okHead + "layout: {pins: [0, 0] °, arrangement: inline, cylinders: two}\n", `f:5:58: cylinders: "two" is not a whole number; a whole number is needed`},
	{"list without unit", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 180]}\n", `f:5:55: pins: "180" has no unit; an angle takes deg, ° or rad`},

	// arrangements
	{"too many", okHead + "layout: {arrangement: inline, cylinders: 400}\n", `f:5:42: cylinders: 400 are too many; 56 is the most`},
	{"none", okHead + "layout: {arrangement: inline, cylinders: 0}\n", `f:5:42: cylinders: there is none; an engine has at least one cylinder`},
	{"odd vee", okHead + "layout: {arrangement: vee, cylinders: 5, bank_angle: 72 deg}\n", `f:5:39: cylinders: 5 cylinders do not make two equal banks; an even number is needed; the custom form takes any`},
	{"vee without angle", okHead + "layout: {arrangement: vee, cylinders: 4}\n", `f:5:9: the key "bank_angle" is missing; give the angle between the banks, such as 90 deg`},
	{"pin count", okHead + "layout: {arrangement: inline, cylinders: 3, pins: [0, 180] deg}\n", `f:5:51: pins: there are 2 angles; give 3, one for each throw`},
	{"vee pin count", okHead + "layout: {arrangement: vee, cylinders: 6, bank_angle: 60 deg, pins: [0, 180] deg}\n", `f:5:68: pins: there are 2 angles; give 3, one for each throw, or 6, one for each rod along the crank`},
	{"pin word", okHead + "layout: {arrangement: inline, cylinders: 4, pins: cross-plain}\n", `f:5:51: pins: "cross-plain" is neither a list of angles nor a known word; did you mean "cross-plane"? a list such as [0, 180, 180, 0] deg, or one of the words even-fire, flat-plane, cross-plane, 360, 270, 180, 120, 90 or 72 is needed`},
	{"pin word does not fit", okHead + "layout: {arrangement: inline, cylinders: 3, pins: flat-plane}\n", `f:5:51: pins: flat-plane does not fit a crank with 3 throws; with 3 throws the words even-fire or 120 fit, or a list of angles`},
	{"cannot fire evenly", okHead + "layout: {arrangement: vee, cylinders: 4, bank_angle: 90 deg, pin_split: 0 deg, pins: even-fire}\n", `f:5:86: pins: no crank with this bank angle and these pins fires evenly; a pin split of 90 deg would`},
	{"cannot fire evenly, opposed", okHead + "layout: {arrangement: opposed, cylinders: 6, each_rod_own_pin: false, pins: even-fire}\n", `f:5:77: pins: no crank with this bank angle and these pins fires evenly; each_rod_own_pin: true would`},
	{"order cannot be even", okHead + "layout: {arrangement: vee, cylinders: 6, bank_angle: 90 deg, pins: even-fire, firing_order: [1, 2, 4, 3, 5, 6]}\n", `f:5:93: firing_order: no crank of this layout fires evenly in this order; leave it out, or give the pins as a list of angles`},
	{"order twice", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], firing_order: [1, 1]}\n", `f:5:77: firing_order: cylinder "1" stands twice; it names each cylinder once`},
	{"order unknown", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], firing_order: [1, 3]}\n", `f:5:77: firing_order: there is no cylinder "3"; the cylinders are 1, 2`},
	{"order short", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], firing_order: [1]}\n", `f:5:73: firing_order: it leaves out 2; it names each cylinder once`},
	{"exhaust twice", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], exhaust_groups: [[1, 2], [2]]}\n", `f:5:85: exhaust_groups: cylinder "2" stands twice; each cylinder is in one group`},
	{"exhaust missing", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], exhaust_groups: [[1]]}\n", `f:5:75: exhaust_groups: cylinder 2 is left out; each cylinder is in one group`},
	{"labels", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], labels: [a]}\n", `f:5:67: labels: there is 1 label; give 2, one for each cylinder`},
	{"rows", okHead + "layout: {arrangement: radial, cylinders: 5, pins: [0, 180] deg}\n", `f:5:42: cylinders: 5 do not make 2 equal rows; a multiple of 2 is needed, as many as there are pins`},
	{"links without master", okHead + "layout: {arrangement: radial, cylinders: 5, pins: [0], knuckle_radius: 30 mm}\n", `f:5:72: the key "knuckle_radius" is for linked rods; add rods: master-and-link, or leave it out`},
	{"knuckle angles", okHead + "layout: {arrangement: radial, cylinders: 3, pins: [0], rods: master-and-link, knuckle_angles: [1] deg}\n", `f:5:95: knuckle_angles: there is 1 angle; give 2, one for each linked rod of a row`},
	{"offsets", okHead + "layout: {arrangement: inline, cylinders: 2, pins: [0, 0], cylinder_offset: [1, 2] mm}\n", `f:5:76: cylinder_offset: there are 2 values; give one value`},
	{"number in custom", "name: x\ncycle: four-stroke\nlayout: {arrangement: custom, cylinders: 3, throws: [{name: A, at: 0, angle: 0, radius: 4 cm}]}\n", `f:3:42: cylinders: this is a number; a custom layout needs a list of cylinders`},
	{"list in short form", okHead + "layout: {arrangement: inline, cylinders: [{name: 1}]}\n", `f:5:42: cylinders: a list of cylinders is for the arrangement custom; give their number, or take arrangement: custom`},

	// custom
	{"no throws", "name: x\ncycle: four-stroke\nlayout: {arrangement: custom, cylinders: []}\n", `f:3:9: the key "throws" is missing; give a list of {name, at, angle, radius, unbalance}`},
	{"unknown throw", okCustom + "  cylinders:\n    - {name: 1, throw: T2, axis: 0}\n", `f:9:24: throw: there is no throw "T2"; the throws are T1`},
	{"no axis", okCustom + "  cylinders:\n    - {name: 1, throw: T1}\n", `f:9:7: the key "axis" is missing; give the angle of the cylinder axis, such as 0 deg`},
	{"same names", okCustom + "  cylinders:\n    - {name: 1, throw: T1, axis: 0}\n    - {name: 1, throw: T1, axis: 90 deg}\n", `f:10:14: name: there are two cylinders "1"; names must differ`},
	{"unknown master", okCustom + "  cylinders:\n    - {name: 1, throw: T1, axis: 0, rod: {master: 7, knuckle_radius: 3 cm, knuckle_angle: 0}}\n", `f:9:51: master: there is no cylinder "7"; the cylinders are 1`},
	{"master twice", okCustom + "  cylinders:\n    - {name: 1, throw: T1, axis: 0}\n    - {name: 2, throw: T1, axis: 90 deg, master: 1, rod: {master: 1, knuckle_radius: 3 cm, knuckle_angle: 90 deg}}\n", `f:10:50: master: it stands in rod too; leave one of the two`},
	{"knuckle without master", okCustom + "  cylinders:\n    - {name: 1, throw: T1, axis: 0, rod: {knuckle_radius: 3 cm}}\n", `f:9:42: the key "master" is missing; a rod with a knuckle radius names the cylinder with the master rod`},
	{"some fire", okCustom + "  cylinders:\n    - {name: 1, throw: T1, axis: 0, fires_at: 0}\n    - {name: 2, throw: T1, axis: 90 deg}\n", `f:10:7: the key "fires_at" is missing; give it for every cylinder or for none`},
	{"fires out of the cycle", okCustom + "  cylinders:\n    - {name: 1, throw: T1, axis: 0, fires_at: 720 deg}\n", `f:9:47: fires_at: the value is 720 deg; a four-stroke engine takes 0 deg up to below 720 deg`},
	{"bank of two angles", okCustom + "  cylinders:\n    - {name: 1, throw: T1, axis: 0, bank: A}\n    - {name: 2, throw: T1, axis: 90 deg, bank: A}\n", `f:10:48: bank: cylinder 2 stands at another angle than the rest of bank A; cylinders of a bank have one axis angle`},

	// impossible engines
	{"short rod", okHead + okLayout + "rod: {length: 40 mm}\n", `f:6:15: length: the rod of 40 mm is too short for a throw of 45 mm radius and 0 mm offset; with this throw it must be at least 45.45 mm (1.01 times radius and offset), and real rods have 67.5 mm or more`},
	{"no web between pins", okHead + "layout: {arrangement: vee, cylinders: 4, bank_angle: 60 deg, pins: [0, 180] deg, pin_split: 120 deg, bank_stagger: 0 mm}\n", `f:5:93: no web fits between the pins of throws T1a and T1b: their middles are 0 mm apart along the crank and 77.94 mm across it; pins of 19.74 mm width need their middles more than that apart, or a split of less than 65.55 deg so that they overlap
f:5:93: no web fits between the pins of throws T2a and T2b: their middles are 0 mm apart along the crank and 77.94 mm across it; pins of 19.74 mm width need their middles more than that apart, or a split of less than 65.55 deg so that they overlap`},
}

func TestBadFiles(t *testing.T) {
	for _, b := range badFiles {
		train, _, err := ReadEngine("f", []byte(b.text), Options{})
		switch {
		case err == nil:
			t.Errorf("%s: accepted as %+v", b.name, train)
		case err.Error() != b.want:
			t.Errorf("%s:\n got %s\nwant %s", b.name, err, b.want)
		}
	}
}

func TestAllErrorsAtOnceInOrder(t *testing.T) {
	text := "nam: x\nbore: 84\nstroke: 90 kg\nbore: 3 mm\nlayout:\n  cylinders: 4.0\n  pins: [0, 180, x, 0] deg\n  arrangement: inlin\nspeeds: {idle: -5 rpm, rated: 1 s}\n"
	_, _, err := ReadEngine("f", []byte(text), Options{})
	want := `f:1:1: unknown key "nam"; did you mean "name"?
f:1:1: the key "cycle" is missing; give four-stroke or two-stroke
f:2:7: bore: "84" has no unit; a length takes mm, cm, m or in
f:3:9: stroke: "kg" is not a unit of length; a length takes mm, cm, m or in
f:4:1: the key "bore" stands twice, first in line 2; leave one of the two
f:6:14: cylinders: "4.0" is not a whole number; a whole number is needed
f:7:18: pins: "x" is not a number; an angle takes deg, ° or rad
f:8:16: arrangement: "inlin" is not known; did you mean "inline"? inline, vee, opposed, radial or custom is allowed
f:9:16: idle: -5 rpm is not possible; it must be greater than zero
f:9:31: rated: "s" is not a unit of speed; a speed takes rpm, 1/min, rad/s or Hz`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

func TestStrict(t *testing.T) {
	text := okHead + "layout: {arrangement: opposed, cylinders: 2, bank_stagger: 40 mm}\nrod: {length: 145 mm, mass: 0.5 kg, cg_from_big_end: 40 mm, inertia: 0.001 kg m2}\n" +
		"piston: {pin_offset: 0 mm}\ncrank:\n  throw_unbalance: 9 kg mm\n  main_journal: {diameter: 55 mm, width: 22 mm}\n  crankpin: {diameter: 48 mm}\n" +
		"  web: {thickness: 18 mm, width: 78 mm}\n  fillet_radius: 2 mm\nflywheel: {inertia: 0.1 kg m2}\nspeeds: {idle: 800 rpm, rated: 6000 rpm}\n"
	_, _, err := ReadEngine("f", []byte(text), Options{Strict: true})
	want := `f:5:9: the key "each_rod_own_pin" is missing (layout.each_rod_own_pin); strict reading estimates nothing, so give it
f:5:9: the key "pins" is missing (layout.pins); strict reading estimates nothing, so give it
f:7:9: the key "mass" is missing (piston.mass); strict reading estimates nothing, so give it
f:11:13: the key "width" is missing (crank.crankpin.width); strict reading estimates nothing, so give it
f:15:9: the key "limit" is missing (speeds.limit); strict reading estimates nothing, so give it`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

func TestContractFilesAreStrict(t *testing.T) {
	for _, name := range []string{"contract-short", "contract-custom", "everything"} {
		train, _, err := ReadEngineFile(filepath.Join("testdata/engines", name+".engine.yaml"), Options{Strict: true})
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if len(train.Estimates) > 0 {
			t.Errorf("%s: strict reading made estimates: %v", name, train.Estimates)
		}
	}
}

func TestFileTooLargeAndMissing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "big.engine.yaml")
	if err := os.WriteFile(path, make([]byte, MaxFileSize+1), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err := ReadEngineFile(path, Options{}); err == nil || err.Error() != path+": the file is too large; 1 MiB is the most" {
		t.Errorf("large file: %v", err)
	}
	if _, _, err := ReadEngine("f", make([]byte, MaxFileSize+1), Options{}); err == nil {
		t.Error("large text accepted")
	}
	if _, _, err := ReadEngineFile("nowhere.engine.yaml", Options{}); err == nil || err.Error() != "nowhere.engine.yaml: cannot be read: no such file or directory" {
		t.Errorf("missing file: %v", err)
	}
}

// TestHostileFiles reads files that are made to exhaust a reader.
func TestHostileFiles(t *testing.T) {
	bomb := "a: &a [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]\n"
	for c := 'b'; c < 'k'; c++ {
		bomb += fmt.Sprintf("%c: &%c [*%c%s]\n", c, c, c-1, strings.Repeat(fmt.Sprintf(", *%c", c-1), 9))
	}
	for name, text := range map[string]string{
		"aliases":        bomb + "layout: {exhaust_groups: *j, pins: *j, cylinders: *j, labels: *j}\n",
		"own alias":      okHead + "layout: &l {arrangement: inline, cylinders: *l, pins: [*l]}\n",
		"deep lists":     "layout: " + strings.Repeat("[", 1<<18),
		"closed lists":   "layout: " + strings.Repeat("[", 5000) + strings.Repeat("]", 5000),
		"deep maps":      "layout: " + strings.Repeat("{a: ", 1<<16),
		"many units":     "layout: " + strings.Repeat("[1] deg, ", 1<<15),
		"many keys":      strings.Repeat("a: 1\n", 1<<16),
		"long key":       strings.Repeat("a", 1<<19) + ": 1\n",
		"many cylinders": okCustom + "  cylinders:\n" + strings.Repeat("    - {name: 1, throw: T1, axis: 0}\n", 1<<13),
		"many throws":    "name: x\ncycle: four-stroke\nlayout:\n  arrangement: custom\n  throws:\n" + strings.Repeat("    - {name: T, at: 0, angle: 0, radius: 1 cm}\n", 1<<13),
	} {
		if _, _, err := ReadEngine("f", []byte(text), Options{}); err == nil {
			t.Errorf("%s: accepted", name)
		} else if len(err.Error()) > 300_000 {
			t.Errorf("%s: %d bytes of errors", name, len(err.Error()))
		}
	}
}

func TestTraceMustExist(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "boat.engine.yaml")
	text := okHead + "layout: {arrangement: inline, cylinders: 1}\ngas: {trace: pressure.csv}\n"
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	_, _, err := ReadEngineFile(path, Options{})
	if err == nil || !strings.Contains(err.Error(), `trace: there is no file "pressure.csv"`) {
		t.Fatalf("a trace that is not there: %v", err)
	}
	if err := os.WriteFile(filepath.Join(folder, "pressure.csv"), []byte("0,1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err = ReadEngineFile(path, Options{}); err == nil || !strings.Contains(err.Error(), filepath.Join(folder, "pressure.csv")+":1:1: the trace has only 1 sample;") {
		t.Fatalf("a trace that is too short: %v", err)
	}
	if err := os.WriteFile(filepath.Join(folder, "pressure.csv"), []byte(traceCases[0].text), 0o600); err != nil {
		t.Fatal(err)
	}
	train, _, err := ReadEngineFile(path, Options{})
	if err != nil || train.Gas.Measured == nil || len(train.Gas.Measured.Pressures) != 1 {
		t.Fatalf("a trace that is there: %v", err)
	}
}
