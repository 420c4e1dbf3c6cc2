package analysis_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
	"crankwright/spec"
)

// words are all sections making with one word, and some with several.
func words() []string {
	var out []string
	for _, w := range layout.ValveDrives() {
		out = append(out, "valve_drive: "+string(w))
	}
	for _, w := range layout.HeadPlans() {
		out = append(out, "heads: "+string(w))
	}
	for _, w := range layout.Crankcases() {
		out = append(out, "crankcase: "+string(w))
	}
	for _, w := range layout.Coolings() {
		out = append(out, "cooling: "+string(w))
	}
	return append(out, "", "valve_drive: pushrods, cooling: air", "valve_drive: overhead-single, heads: each", "heads: shared, valve_drive: overhead-single")
}

// Room and parts of one result describe one engine: whatever the making says, what is counted is what is weighed.
func TestRoomAndPartsAreOfOneEngine(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(err)
	}
	texts := map[string]string{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		texts[filepath.Base(f)] = string(data)
	}
	for _, head := range []string{"arrangement: vee, cylinders: 6, bank_angle: 15 deg", "arrangement: inline, cylinders: 2"} {
		for _, cycle := range []string{"two-stroke", "four-stroke"} {
			texts[cycle+" of "+head] = fmt.Sprintf("name: x\ncycle: %s\nbore: 81 mm\nstroke: 90 mm\nlayout: {%s}\n", cycle, head)
		}
	}
	seen := map[string]int{}
	for name, text := range texts {
		for _, w := range words() {
			text, _, _ := strings.Cut(text, "making: ")
			train, _, err := spec.ReadEngine(name, []byte(text+"\nmaking: {"+w+"}\n"), spec.Options{})
			if err != nil {
				if !strings.Contains(err.Error(), "making") && !strings.Contains(err.Error(), "heads") && !strings.Contains(err.Error(), "valve_drive") {
					t.Errorf("%s with %s: %v", name, w, err)
				}
				continue
			}
			seen[w]++
			oneEngine(t, name+" with "+w, train)
		}
	}
	for _, w := range words() {
		if seen[w] < 2 {
			t.Errorf("%q was tried on %d engines", w, seen[w])
		}
	}
}

func oneEngine(t *testing.T, name string, train *layout.Train) {
	t.Helper()
	r, err := analysis.Run(train, analysis.Options{Space: true, Parts: true})
	if err != nil || r.Space == nil || r.Parts == nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	solids, masses := map[string]float64{}, map[envelope.Part]float64{}
	for i := range r.Space.Solids {
		if s := &r.Space.Solids[i]; !s.Void {
			solids[s.Name]++
		}
	}
	for _, p := range r.Space.Pieces {
		masses[p.Part] = p.Body.Mass
	}
	l := r.Parts.List
	for _, c := range []struct {
		what           string
		weighed, count float64
	}{
		{"heads", solids["head"], float64(l.Heads)},
		{"covers", solids["cover"], l.Of("head cover")},
		{"camshafts", solids["camshaft"] + solids["cam ring"], l.Of("camshaft")},
		{"pushrods", solids["pushrod"], l.Of("pushrod")},
		{"caps", solids["main bearing cap"], l.Of("main bearing cap")},
	} {
		if c.weighed != c.count {
			t.Errorf("%s: room has %g %s, parts %g", name, c.weighed, c.what, c.count)
		}
	}
	for _, c := range []struct {
		what string
		part envelope.Part
		key  string
	}{
		{"coolant", envelope.CoolantPart, "water pump"},
		{"a sump", envelope.SumpPart, "sump"},
		{"valves", envelope.ValvePart, "valve"},
		{"main bearing caps", envelope.CapPart, "main bearing cap"},
	} {
		if (masses[c.part] > 0) != (l.Of(c.key) > 0) {
			t.Errorf("%s: room has %.3g kg of %s, parts %g of %s", name, masses[c.part], c.what, l.Of(c.key), c.key)
		}
	}
	if (solids["fins"] > 0) != (l.Of("fan") > 0) {
		t.Errorf("%s: %g rows with fins, %g fans", name, solids["fins"], l.Of("fan"))
	}
	for _, c := range r.Space.Clearances {
		if c.Kind == envelope.HeadToHead && l.Making.Heads == layout.HeadShared {
			t.Errorf("%s: one head over all banks meets another by %g m", name, c.Room)
		}
	}
}

// What the block of a file says of camshafts settles how its valves are worked, where the making says nothing.
func TestCamshaftsOfTheBlockSettleTheValveDrive(t *testing.T) {
	for text, want := range map[string]layout.ValveDrive{
		"block: {camshafts: 1}": layout.OverheadSingle, "block: {camshafts: 2}": layout.OverheadDouble, "block: {camshafts: 0}": layout.Pushrods, "": layout.OverheadDouble,
	} {
		train := engineOf(t, "name: x\ncycle: four-stroke\nbore: 80 mm\nlayout: {arrangement: inline, cylinders: 4}\n"+text+"\n")
		if train.Making.ValveDrive != want {
			t.Errorf("%s: valves worked by %s, want %s", text, train.Making.ValveDrive, want)
		}
		oneEngine(t, text, train)
	}
}

// Air needs room for fins between the barrels, and pushrods a lower head than overhead camshafts.
func TestRoomFollowsTheMaking(t *testing.T) {
	of := func(making string) *envelope.Envelope {
		r, err := analysis.Run(engineOf(t, "name: x\ncycle: four-stroke\nbore: 80 mm\nlayout: {arrangement: inline, cylinders: 4}\nmaking: {"+making+"}\n"), analysis.Options{Space: true})
		if err != nil {
			t.Fatal(err)
		}
		return r.Space
	}
	liquid, air, rods, high := of("cooling: liquid"), of("cooling: air"), of("valve_drive: pushrods"), of("cam_height: 150 mm")
	if !(air.Length > liquid.Length+30e-3) {
		t.Errorf("cooled by air %g m long, by liquid %g m", air.Length, liquid.Length)
	}
	if !(rods.Height < liquid.Height-20e-3) || !(high.Height > liquid.Height+40e-3) {
		t.Errorf("pushrods make %g m high, overhead camshafts %g m, higher ones %g m", rods.Height, liquid.Height, high.Height)
	}
}

// A narrow vee that is begun from bore, stroke and angle alone is an engine in which nothing meets: its banks are offset and
// staggered until they clear each other, as tight as that allows.
func TestNarrowVeesHaveRoom(t *testing.T) {
	for _, line := range []string{
		"vee-6 15deg 81x90", "vee-6 15deg 81x90 even-fire", "vee-6 15deg 81x90 120", "vee-4 20deg 80x80", "vee-2 10deg 84x90", "vee-12 15deg 90x70 light",
		"vee-8 18deg 100x100", "vee-6 15deg 81x90 offset 0", "vee-6 15deg 81x90 spacing 150 offset 12", "vee-4 5deg 70x70 two-stroke", "vee-6 15deg 81x90 stagger 75",
	} {
		data, err := spec.NewEngine(line)
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		r, err := analysis.Run(engineOf(t, string(data)), analysis.Options{Space: true})
		if err != nil || r.Space == nil {
			t.Errorf("%s: %v %s", line, err, r.NoSpace)
			continue
		}
		if strings.Contains(line, "even-fire") || line == "vee-12 15deg 90x70 light" {
			if even := r.Measures.Evenness; even < 1-1e-9 {
				t.Errorf("%s: evenness %g, the offsets of the banks turn their dead centres apart", line, even)
			}
		}
		nearest := 1.0
		for _, c := range r.Space.Clearances {
			if c.Conflict() {
				t.Errorf("%s: %s, %s: they meet by %g mm", line, c.Kind, c.Parts, -1e3*c.Room)
			}
			if c.Kind == envelope.PistonToOther || c.Kind == envelope.BoreToBore {
				nearest = min(nearest, c.Room/r.Train.Bore)
			}
		}
		if free := strings.Contains(line, "spacing") || strings.Contains(line, "stagger"); nearest > 0.05 && !free {
			t.Errorf("%s: the banks stand %g bores apart, more than they need", line, nearest)
		}
	}
}
