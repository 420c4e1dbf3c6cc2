package spec

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"crankwright/brief"
	"crankwright/choice"
)

const briefExample = "../examples/pilot-boat.brief.yaml"

func TestBriefExample(t *testing.T) {
	b, err := ReadBriefFile(briefExample)
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Limits) != 4 || b.Limits[2] != (brief.Limit{Measure: "free_force_order_2", AtMost: true, Bound: 6000, Why: b.Limits[2].Why}) {
		t.Errorf("limits: %+v", b.Limits)
	}
	if len(b.Priorities) != 6 || b.Priorities[4].Weight != (choice.Range{Low: 5, High: 8}) {
		t.Errorf("priorities: %+v", b.Priorities)
	}
}

// TestContract is the brief of the file contract.
func TestContract(t *testing.T) {
	b, err := ReadBrief("contract", []byte(`name: Harbour pilot boat, jet drive
limits: {length: 620 mm, height: 560 mm, free_force_order_2: 2 kN, cost_index: 1.4}
priorities: {smoothness: 8, torque_evenness: 4, compactness: 6, low_centre: 3, cost: 7, service: [3, 8]}
`))
	if err != nil {
		t.Fatal(err)
	}
	if b.Limits[2].Bound != 2000 || b.Limits[0].Bound != 620 || b.Limits[3].Bound != 1.4 || b.Priorities[5].Weight.Low != 3 {
		t.Errorf("%+v", b)
	}
}

// wholeBrief says everything that a brief can say.
const wholeBrief = `name: A boat
limits:
  length: 620 mm
  brake_power: [">= 60 kW", "<= 90 kW"]
priorities:
  smoothness: 8
  cost: [3, 8]
  quiet: 2
why:
  cost: money
made_of:
  quiet: {firing_evenness: 1, free_force_order_2: 2}
worth:
  length: {worst: 620 mm, best: 400 mm}
  cost_index:
    - {at: 0.8, worth: 1}
    - {at: 1.4, worth: 0}
`

func TestBriefsThatCannotBe(t *testing.T) {
	whole := wholeBrief
	b, err := ReadBrief("whole", []byte(whole))
	if err != nil {
		t.Fatal(err)
	}
	if b.Limits[1] != (brief.Limit{Measure: "brake_power", Bound: 60}) || !b.Limits[2].AtMost || len(b.Worths["length"]) != 2 || b.Worths["cost_index"][1].At != 1.4 || len(b.Priorities[2].Parts) != 2 {
		t.Errorf("%+v", b)
	}
	for _, c := range []struct{ from, to, want string }{
		{"length: 620 mm\n  brake", "lengt: 620 mm\n  brake", `f:3:3: unknown key "lengt"; did you mean "length"?`},
		{"length: 620 mm\n  brake", "length: 620 kg\n  brake", `"kg" is not a unit of length`},
		{"length: 620 mm\n  brake", "length: 620\n  brake", `"620" has no unit`},
		{"length: 620 mm\n  brake", "length: '< 620 mm'\n  brake", `is no bound`},
		{"length: 620 mm\n  brake", "length:\n  brake", `the key "length" has no value`},
		{`">= 60 kW", "<= 90 kW"`, `">= 60 kW", ">= 90 kW"`, "two bounds are on the same side"},
		{`">= 60 kW", "<= 90 kW"`, `">= 60 kW"`, "these are no bounds"},
		{"smoothness: 8", "smoothness: 11", "a priority lies between 0 and 10"},
		{"smoothness: 8", "smoothness: much", "is not a number"},
		{"smoothness: 8", "smothness: 8", `unknown priority "smothness"; did you mean "smoothness"?`},
		{"smoothness: 8", "displacement: 8", "it can only be a limit"},
		{"smoothness: 8\n", "smoothness: 8\n  smoothness: 9\n", "stands twice, first in line 6"},
		{"cost: [3, 8]", "cost: [8, 3]", "the range runs backwards; write [3, 8]"},
		{"cost: [3, 8]", "cost: [3, 8, 9]", "this is no range"},
		{"cost: money", "mass: money", `nothing here is called "mass"`},
		{"quiet: 2", "loud: 2", `unknown priority "loud"`},
		{"free_force_order_2: 2}", "free_force_order_2: 0}", "shares are above 0"},
		{"free_force_order_2: 2}", "free_force_order_9: 2}", `did you mean "free_force_order_`},
		{"{worst: 620 mm, best: 400 mm}", "{worst: 400 mm, best: 620 mm}", "less is better"},
		{"{worst: 620 mm, best: 400 mm}", "{worst: 620 mm}", "best is missing"},
		{"{at: 1.4, worth: 0}", "{at: 0.7, worth: 0}", "ascending"},
		{"{at: 1.4, worth: 0}", "{at: 1.4, worth: 2}", "between 0 and 1"},
		{"name: A boat\n", "", "name is missing"},
		{"priorities:\n  smoothness: 8\n  cost: [3, 8]\n  quiet: 2\n", "", "priorities are missing"},
		{"  smoothness: 8\n  cost: [3, 8]\n  quiet: 2\n", "  cost: 0\n", "nothing matters"},
	} {
		text := strings.Replace(whole, c.from, c.to, 1)
		if text == whole {
			t.Errorf("%q is not in the brief", c.from)
		}
		if c.to == "  cost: 0\n" {
			text = strings.Replace(text, "made_of:\n  quiet: {firing_evenness: 1, free_force_order_2: 2}\n", "", 1)
		}
		if _, err := ReadBrief("f", []byte(text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.to, err, c.want)
		}
	}
}

// TestBriefSaysOnce: what cannot be read is there all the same, and a reason for it is no second problem.
func TestBriefSaysOnce(t *testing.T) {
	for _, text := range []string{
		"name: A\nlimits: {length: 5 parsec}\npriorities: {cost: 1}\nwhy: {length: the bulkhead}\n",
		"name: A\npriorities: {cost: 1, quiet: 11}\nwhy: {quiet: the guests}\nmade_of: {quiet: {length: 1}}\n",
	} {
		_, err := ReadBrief("f", []byte(text))
		var list Errors
		if !errors.As(err, &list) || len(list) != 1 {
			t.Errorf("%v", err)
		}
	}
}

func TestEditBrief(t *testing.T) {
	text := "name: A boat # ours\npriorities:\n  cost: 7 # the council's\n"
	set := func(s string) *string { return &s }
	got, err := EditBrief([]byte(text), []Change{
		{"priorities.cost", set("[3, 8]")},
		{"priorities.smoothness", set("5")},
		{"limits.length", set("620 mm")},
		{"why.cost", set("[the council]: says")},
		{"limits.brake_power", set(`[">= 60 kW", "<= 90 kW"]`)},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := "name: A boat # ours\nlimits:\n  brake_power: [\">= 60 kW\", \"<= 90 kW\"]\n  length: 620 mm\npriorities:\n  smoothness: 5\n  cost: [3, 8] # the council's\nwhy:\n  cost: \"[the council]: says\"\n"
	if _, err := ReadBrief("got", got); err != nil {
		t.Error(err)
	}
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if _, err := EditBrief([]byte(text), []Change{{"limits.lengt", set("1 mm")}}); err == nil || !strings.Contains(err.Error(), `did you mean "length"?`) {
		t.Error(err)
	}
	back, err := EditBrief(got, []Change{{"priorities.smoothness", nil}, {"why.cost", nil}, {"limits.length", nil}, {"limits.brake_power", nil}, {"priorities.cost", set("7")}})
	if err != nil || string(back) != text {
		t.Errorf("%v\n%s", err, back)
	}
}

// FuzzReadBrief holds any text against the promises: a refusal in its place, priorities and worths that can be, and that another name
// changes nothing else.
func FuzzReadBrief(f *testing.F) {
	seedWith(f, "brief", func(data []byte) { f.Add(string(data)) }, "../examples/*.brief.yaml")
	f.Add("name: A\npriorities: {cost: 1}\n")
	f.Add("name: A\nlimits: {length: [1 mm, 2 mm]}\npriorities: {cost: [1, 2]}\nworth: {length: [{at: 1 mm, worth: 1}]}\nmade_of: {cost: {length: 1}}\nwhy: {cost: a}\n")
	f.Fuzz(func(t *testing.T, text string) {
		defer bounded(t, len(text))()
		b, err := ReadBrief("f", []byte(text))
		if err != nil {
			refused(t, err, yamlLines(text))
			return
		}
		renamed(t, []byte(text), EditBrief, func(text []byte) (any, string, error) {
			b, err := ReadBrief("f", text)
			if err != nil {
				return nil, "", err
			}
			rest := *b
			rest.Name = ""
			return rest, b.Name, nil
		})
		for _, p := range b.Priorities {
			if r := brief.Drawn(p.Weight); !(r.Low >= 0 && r.Low <= r.High && r.High <= choice.Most) || len(p.Aim().Parts) == 0 {
				t.Errorf("%+v is drawn in %+v", p, r)
			}
		}
		for measure, w := range b.Worths {
			if m, ok := brief.MeasureOf(measure); !ok || (choice.Criterion{Better: m.Better, Worth: w}).Validate() != nil {
				t.Errorf("%s is worth %v", measure, w)
			}
		}
	})
}

// TestOneErrorForOneMistake: what is wrong with a limit or a priority is said once, and not again at its reason.
func TestOneErrorForOneMistake(t *testing.T) {
	for _, text := range []string{
		"name: A\nlimits: {length: 620}\npriorities: {cost: 5}\nwhy: {length: the hatch}\n",
		"name: A\npriorities: {cost: 11}\nwhy: {cost: the council}\n",
		"name: A\npriorities: {cost: 5, quiet: [8, 3]}\nmade_of: {quiet: {firing_evenness: 1}}\n",
		"name: A\npriorities: [cost]\nwhy: {cost: the council}\nmade_of: {quiet: {firing_evenness: 1}}\n",
	} {
		var list Errors
		if _, err := ReadBrief("f", []byte(text)); !errors.As(err, &list) || len(list) != 1 {
			t.Errorf("%q: %v, want one error", text, err)
		}
	}
}

// Every example and what NewBrief writes pass the schema, and wrong briefs do not.
func TestBriefSchema(t *testing.T) {
	schema := compiled(t, BriefSchema)
	check := func(text []byte) error {
		c := &collector{}
		doc := parseDocument(c, text)
		if doc == nil {
			t.Fatal(c.sorted())
		}
		return schema.Validate(asEditorsSee(doc.root, doc))
	}
	files, _ := filepath.Glob("../examples/*" + BriefSuffix)
	if len(files) < 6 {
		t.Fatalf("only %d briefs", len(files))
	}
	texts := [][]byte{NewBrief(), []byte(wholeBrief)}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		b, err := ReadBrief(f, data)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range b.Priorities {
			if p.Why == "" {
				t.Errorf("%s: %s has no reason", f, p.Key)
			}
		}
		texts = append(texts, data)
	}
	for _, text := range texts {
		if err := check(text); err != nil {
			t.Errorf("%v\n%s", err, text)
		}
	}
	for _, wrong := range []string{
		"name: A\npriorities: {cost: 11}\n", "name: A\npriorities: {cost: [1, 2, 3]}\n", "priorities: {cost: 1}\n",
		"name: A\nlimits: {lengthh: 1 mm}\npriorities: {cost: 1}\n", "name: A\nlimits: {length: far}\npriorities: {cost: 1}\n",
		"name: A\nworth: {length: {worst: 1 mm}}\npriorities: {cost: 1}\n", "name: A\nmade_of: {cost: {displacement: 1}}\npriorities: {cost: 1}\n",
	} {
		if check([]byte(wrong)) == nil {
			t.Errorf("the schema takes %q", wrong)
		}
	}
}
