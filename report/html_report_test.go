package report_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"golang.org/x/net/html"

	"crankwright/analysis"
	"crankwright/report"
	"crankwright/spec"
)

// testPlayer stands for the built player. It has what ends a script, which must not end it, and line ends of both kinds.
const testPlayer = "const a = '</script><!-- ';\r\nconst b = 1 < 2;\n"

// wholeReport reports on examples as the command does.
func wholeReport(t *testing.T, names ...string) report.Report {
	t.Helper()
	rep := report.Report{Player: testPlayer, Version: "v1.2.3"}
	for _, name := range names {
		file := filepath.Join("../examples", name+".engine.yaml")
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		train, engine, err := spec.ReadEngineFile(file, spec.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if engine.Whole() != string(data) {
			t.Errorf("%s: what was read is not what the file holds", name)
		}
		r, err := analysis.Run(train, analysis.Options{Drive: true, Space: true, Parts: true, Lasting: true})
		if err != nil {
			t.Fatal(err)
		}
		rep.Results = append(rep.Results, r)
		rep.Inputs = append(rep.Inputs, report.Input{Name: filepath.Base(file), Text: string(data)})
	}
	rep.Checks = verified()
	return rep
}

// verified runs every check once.
var verified = sync.OnceValue(report.VerifyAll)

func parsedReport(t *testing.T, rep report.Report) (*html.Node, []byte) {
	t.Helper()
	page, err := rep.HTML()
	if err != nil {
		t.Fatal(err)
	}
	root, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	return root, page
}

// byID finds the element with an id.
func byID(t *testing.T, root *html.Node, id string) *html.Node {
	t.Helper()
	var found *html.Node
	elements(root, func(n *html.Node) {
		if attribute(n, "id") == id {
			found = n
		}
	})
	if found == nil {
		t.Fatalf("the report has no %q", id)
	}
	return found
}

func TestReport(t *testing.T) {
	rep := wholeReport(t, "vee-six-60-split", "radial-five")
	root, page := parsedReport(t, rep)
	checkReferences(t, root)
	checkHeadings(t, root)
	checkTable(t, root, rep.Results)
	checkFigures(t, root)

	t.Run("same bytes", func(t *testing.T) {
		again, err := wholeReport(t, "vee-six-60-split", "radial-five").HTML()
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(page, again) {
			t.Error("the same inputs gave two reports")
		}
	})
	t.Run("one script, named by its hash", func(t *testing.T) { checkScript(t, root) })
	t.Run("the line-up", func(t *testing.T) { checkLineUp(t, root, rep) })
	t.Run("every estimate", func(t *testing.T) { checkEstimates(t, root, rep) })
	t.Run("evidence", func(t *testing.T) {
		words := text(byID(t, root, "evidence"))
		corrected := text(byID(t, root, "evidence-corrected"))
		for _, c := range rep.Checks.List {
			if c.Disagrees != "" && (!strings.Contains(corrected, c.Disagrees) || !strings.Contains(corrected, c.What)) {
				t.Errorf("%s is corrected, and the report does not say why", c.ID)
			}
			if !strings.Contains(text(byID(t, root, "evidence-"+c.Chapter)), c.Source) {
				t.Errorf("%s: chapter %s does not count its source %s", c.ID, c.Chapter, c.Source)
			}
		}
		if !strings.Contains(words, "crankwright verify") {
			t.Error("nothing says how all checks are listed")
		}
		counted := 0
		for _, source := range rep.Checks.Sources {
			if strings.Contains(text(byID(t, root, "sources")), source.Cite()) {
				counted++
			}
		}
		if counted != len(rep.Checks.Sources) {
			t.Errorf("%d of %d sources are given in full", counted, len(rep.Checks.Sources))
		}
	})
	t.Run("inputs and versions", func(t *testing.T) {
		var listings []string
		elements(byID(t, root, "inputs"), func(n *html.Node) {
			if n.Data == "pre" {
				listings = append(listings, text(n))
			}
		})
		versions := text(byID(t, root, "versions"))
		if len(listings) != len(rep.Inputs) || !strings.Contains(versions, "Crankwright v1.2.3") {
			t.Fatalf("%d listings of %d files; versions: %s", len(listings), len(rep.Inputs), versions)
		}
		for i, in := range rep.Inputs {
			if listings[i] != in.Text {
				t.Errorf("%s is not shown as it is", in.Name)
			}
			if !strings.Contains(versions, fmt.Sprintf("%x", sha256.Sum256([]byte(in.Text)))) {
				t.Errorf("the fingerprint of %s is missing", in.Name)
			}
		}
	})
}

// checkScript wants one script beside the data, and a policy that names it and lets nothing else run or load.
func checkScript(t *testing.T, root *html.Node) {
	t.Helper()
	var scripts []string
	policy := ""
	elements(root, func(n *html.Node) {
		switch {
		case n.Data == "script" && attribute(n, "type") == "":
			scripts = append(scripts, text(n))
		case n.Data == "meta" && attribute(n, "http-equiv") == "Content-Security-Policy":
			policy = attribute(n, "content")
		case slices.Contains([]string{"link", "iframe", "object", "embed", "img", "image", "use", "base", "form"}, n.Data):
			t.Errorf("the report has a <%s>", n.Data)
		}
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") || a.Key == "src" || a.Key == "srcset" || a.Key == "href" && !strings.HasPrefix(a.Val, "#") {
				t.Errorf("<%s> has %s=%q", n.Data, a.Key, a.Val)
			}
		}
	})
	if len(scripts) != 1 || !strings.Contains(scripts[0], "const b = 1 < 2;\n") || strings.Contains(scripts[0], "\r") {
		t.Fatalf("scripts: %q", scripts)
	}
	sum := sha256.Sum256([]byte(scripts[0]))
	want := "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; script-src 'sha256-" +
		base64.StdEncoding.EncodeToString(sum[:]) + "'"
	if policy != want {
		t.Errorf("the policy is\n%s, want\n%s", policy, want)
	}
}

// checkLineUp holds the data of the player against the results.
func checkLineUp(t *testing.T, root *html.Node, rep report.Report) {
	t.Helper()
	var data struct {
		Version int     `json:"version"`
		Angle   float64 `json:"angle"`
		Engines []struct {
			Geometry report.Geometry `json:"geometry"`
			Result   struct {
				Name    string  `json:"name"`
				Speed   float64 `json:"speed_rpm"`
				Balance struct {
					PeakForceN float64 `json:"peak_force_N"`
					Orders     []struct {
						Order float64 `json:"order"`
					} `json:"orders"`
				} `json:"balance"`
			} `json:"result"`
		} `json:"engines"`
	}
	if err := json.Unmarshal([]byte(text(byID(t, root, "line-up-data"))), &data); err != nil {
		t.Fatal(err)
	}
	if data.Version != 1 || data.Angle != 30 || len(data.Engines) != len(rep.Results) {
		t.Fatalf("version %d, angle %g, %d engines", data.Version, data.Angle, len(data.Engines))
	}
	for i, e := range data.Engines {
		r := rep.Results[i]
		if e.Result.Name != r.Train.Name || len(e.Geometry.Cylinders) != len(r.Train.Cylinders) || e.Result.Balance.PeakForceN != r.Peaks.Force || len(e.Result.Balance.Orders) != len(r.Orders) {
			t.Errorf("engine %d is %s with %d cylinders", i+1, e.Result.Name, len(e.Geometry.Cylinders))
		}
		byID(t, root, fmt.Sprintf("cw-still-%d", i+1))
	}
}

// checkEstimates wants a row of every value that a file leaves out, with its rule and source.
func checkEstimates(t *testing.T, root *html.Node, rep report.Report) {
	t.Helper()
	rows := map[string][]string{} // by key
	elements(byID(t, root, "estimates"), func(n *html.Node) {
		if n.Data != "tr" {
			return
		}
		var cells []string
		for c := range n.ChildNodes() {
			if c.Data == "td" || c.Data == "th" {
				cells = append(cells, strings.ReplaceAll(text(c), "\u00a0", " "))
			}
		}
		rows[cells[0]] = append(rows[cells[0]], strings.Join(cells[1:], " | "))
	})
	for i, r := range rep.Results {
		d := report.NewDocument(r, report.Detail{})
		list := append(slices.Clone(d.Estimates), d.Assumed...)
		if r.Mounts != nil {
			for _, e := range r.Mounts.Assumed {
				list = append(list, report.EstimateDoc(e))
			}
		}
		if len(list) < 40 {
			t.Errorf("engine %d has only %d values that the file leaves out", i+1, len(list))
		}
		for _, e := range list {
			if !slices.ContainsFunc(rows[e.Key], func(row string) bool {
				return strings.Contains(row, e.Shown) && strings.Contains(row, e.Rule) && strings.HasSuffix(row, " | "+e.Source)
			}) {
				t.Errorf("engine %d: no row says that %s is %s", i+1, e.Key, e.Shown)
			}
		}
	}
}

func TestReportWithoutPlayerStandsStill(t *testing.T) {
	rep := wholeReport(t, "single")
	rep.Player = " \n"
	root, page := parsedReport(t, rep)
	checkSealed(t, root)
	checkReferences(t, root)
	checkHeadings(t, root)
	if !strings.Contains(text(byID(t, root, "line-up")), "does not move") || bytes.Contains(page, []byte("line-up-live")) {
		t.Error("the report does not say that the line-up stands still")
	}
	byID(t, root, "cw-still-1")
	if !bytes.Contains(page, []byte("fetches nothing and runs nothing")) {
		t.Error("the foot does not say that nothing runs")
	}
}

func TestReportOfHostileInputs(t *testing.T) {
	const bad = `"'><script>alert(1)</script></style></title></svg><img src=x onerror=alert(1)>&amp;` + "\u2028\u202e"
	r := resultOf(t, "../examples/vee-six-60.engine.yaml", func(r *analysis.Result) {
		r.Train.Name, r.Train.Gas.Trace = bad, bad
		r.Train.Estimates = slices.Clone(r.Train.Estimates)
		for i := range r.Train.Estimates {
			e := &r.Train.Estimates[i]
			e.Key, e.Rule, e.Source, e.Shown = bad, bad, bad, bad
		}
		for i := range r.Train.Cylinders {
			r.Train.Cylinders[i].Name = bad
		}
	})
	root, page := parsedReport(t, report.Report{
		Results: []*analysis.Result{r, r}, Inputs: []report.Input{{Name: bad, Text: bad}, {Name: bad, Text: bad}}, Version: bad, Player: testPlayer,
	})
	checkScript(t, root)
	checkReferences(t, root)
	if bytes.Contains(page, []byte("<script>alert")) || bytes.Contains(page, []byte("<img")) {
		t.Error("a name became part of the page")
	}
	var data struct {
		Engines []struct {
			Result struct {
				Name string `json:"name"`
			} `json:"result"`
		} `json:"engines"`
	}
	if err := json.Unmarshal([]byte(text(byID(t, root, "line-up-data"))), &data); err != nil || data.Engines[1].Result.Name != bad {
		t.Errorf("the name in the data is %+v, %v", data, err)
	}
}

// A single has no couple, so that nothing is said of an arrow that nobody sees.
func TestReportShowsTheArrowsThatThereAre(t *testing.T) {
	for name, want := range map[string][2]string{
		"single":                  {"the resultant of all shaking forces", `"resultant":true,"couple":false,`},
		"opposed-six":             {"their couple", `"couple":true,`},
		"inline-four-flat-shafts": {"the resultant of all shaking forces", `"resultant":true,`},
	} {
		r := resultOf(t, "../examples/"+name+".engine.yaml", func(*analysis.Result) {})
		root, page := parsedReport(t, report.Report{Results: []*analysis.Result{r}, Player: testPlayer})
		words := text(byID(t, root, "line-up"))
		if !strings.Contains(words, want[0]) || !bytes.Contains(page, []byte(want[1])) {
			t.Errorf("%s: %.300s", name, words)
		}
		if strings.Contains(words, "couple") != bytes.Contains(page, []byte(`"couple":true`)) {
			t.Errorf("%s: words and arrows differ: %.300s", name, words)
		}
	}
}

func TestReportNeedsEngines(t *testing.T) {
	if _, err := (report.Report{}).HTML(); !errors.Is(err, report.ErrNoEngine) {
		t.Errorf("no engines: %v", err)
	}
	if _, err := (report.Report{Results: []*analysis.Result{nil}}).HTML(); err == nil {
		t.Error("a missing result gave a report")
	}
}

// A report of results alone has no appendix of what it was not given.
func TestReportOfResultsAlone(t *testing.T) {
	root, _ := parsedReport(t, report.Report{Results: exampleResults(t, 2)})
	checkSealed(t, root)
	var letters []string
	elements(root, func(n *html.Node) {
		if attribute(n, "class") == "part appendix" {
			letters = append(letters, attribute(n, "id"))
		}
	})
	if got := strings.Join(letters, " "); got != "estimates sources cautions" {
		t.Errorf("the appendices are %s", got)
	}
}
