package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"crankwright/brief"
	"crankwright/spec"
)

// guessed are engines of which little is said, one an arrangement: from them come the rules for what is left out.
var guessed = []string{"inline-4 86x86", "vee-6 60deg 75x75 split 60", "opposed-4 90x80", "radial-5 90x90 master-and-link"}

// rules returns how keys are estimated that are left out, by their paths without numbers in brackets.
func rules() (map[string]string, error) {
	out := map[string]string{}
	for _, line := range guessed {
		text, err := spec.NewEngine(line)
		if err != nil {
			return nil, err
		}
		train, e, err := spec.ReadEngine("guessed", text, spec.Options{})
		if err != nil {
			return nil, err
		}
		for _, f := range spec.Fields(e, train) {
			if f.Given || f.Rule == "" || out[f.Path] != "" {
				continue
			}
			out[f.Path] = f.Rule + " (" + f.Source + ")"
		}
	}
	return out, nil
}

func engineFile(root string) (string, error) {
	kinds, err := spec.FileKinds()
	if err != nil {
		return "", err
	}
	estimates, err := rules()
	if err != nil {
		return "", err
	}
	example, err := os.ReadFile(filepath.Join(root, "examples", "vee-six-90-split.engine.yaml"))
	if err != nil {
		return "", err
	}
	p := &page{}
	p.line("# Engine file\n\n%s", written)
	p.line("An engine file is YAML, named `*.engine.yaml`. Every number stands with its unit: `bore: 86 mm`. A list may have one unit")
	p.line("behind it: `[0, 180, 180, 0] deg`. Unknown keys, missing units and values that cannot be are refused, each with its line and")
	p.line("with what would be right. `crankwright check` says all of it at once; `crankwright new` writes a file to begin with;")
	p.line("`crankwright schema engine` prints the [JSON Schema](../../schema/engine.schema.json), with which an editor completes and checks")
	p.line("while typing. Directions and places are those of [notation](../notation.md).")
	p.line("")
	p.line("A whole file:\n\n```yaml\n%s```\n", example)
	p.line("How to read the tables. A path such as `rod.length` is the key `length` in the map `rod`; `[]` stands for each entry of a list.")
	p.line("*Allowed* is what a value by itself must keep; what must fit together, such as rod and stroke, is said when it does not. *Left")
	p.line("out* is what happens without the key: *needed* means that the file is refused; a rule is an estimate, shown here for an engine")
	p.line("of general duty, with its [source](../sources.toml) in brackets. Every estimate that was made is listed with the results.")
	p.line("")
	sections(p, kinds[0], estimates)
	return p.String(), nil
}

// sections writes a table for each key of the top level that has keys below it, and one for the rest before them.
func sections(p *page, kind spec.FileKind, estimates map[string]string) {
	row := func(k spec.FileKey) []string {
		return []string{code(k.Path), says(k), takes(k.Takes), k.Range, leftOut(kind, k, estimates)}
	}
	head := []string{"key", "what it is", "takes", "allowed", "left out"}
	var names []string
	for _, k := range kind.Keys {
		if top := topOf(k.Path); !slices.Contains(names, top) {
			names = append(names, top)
		}
	}
	plain := [][]string{}
	for _, name := range names {
		if keys := below(kind, name); len(keys) == 1 {
			plain = append(plain, row(keys[0]))
		}
	}
	p.line("## The top level\n")
	p.table(head, plain)
	for _, name := range names {
		keys := below(kind, name)
		if len(keys) == 1 {
			continue
		}
		p.line("## %s\n\n%s\n", name, keys[0].Help)
		var rows [][]string
		for _, k := range keys[1:] {
			rows = append(rows, row(k))
		}
		p.table(head, rows)
	}
}

// topOf is the key of the top level above a path.
func topOf(path string) string {
	top, _, _ := strings.Cut(path, ".")
	return strings.TrimSuffix(top, "[]")
}

func below(kind spec.FileKind, top string) []spec.FileKey {
	var out []spec.FileKey
	for _, k := range kind.Keys {
		if topOf(k.Path) == top {
			out = append(out, k)
		}
	}
	return out
}

// says is what a key is, with the arrangements that have it where the text does not say.
func says(k spec.FileKey) string {
	first, _, _ := strings.Cut(k.Help, " ")
	named := strings.Trim(strings.ToLower(first), ":,")
	if len(k.For) == 0 || len(k.For) > 2 || slices.Contains(k.For, named) || strings.Contains(k.Path, "[]") {
		return k.Help
	}
	return k.Help + " Only " + strings.Join(k.For, " and ") + "."
}

func leftOut(kind spec.FileKind, k spec.FileKey, estimates map[string]string) string {
	if slices.Contains(kind.Needed, k.Path) {
		return "needed"
	}
	return estimates[k.Path]
}

func otherFiles(string) (string, error) {
	kinds, err := spec.FileKinds()
	if err != nil {
		return "", err
	}
	p := &page{}
	p.line("# Briefs, studies, price tables and jobs of the balancing shop\n\n%s", written)
	p.line("They are YAML as the [engine file](engine-file.md) is, with the same rules: units behind numbers, no unknown keys, mistakes with")
	p.line("their lines. Tables of text, such as a pressure trace, are on [their own page](tables.md); measures and priorities by which")
	p.line("briefs and studies name what they want stand in [measures](measures.md).")
	p.line("")
	for _, kind := range kinds[1:] {
		about := others[kind.Word]
		p.line("## %s\n", about.title)
		for _, line := range about.lines {
			p.line("%s", line)
		}
		p.line("")
		var rows [][]string
		for _, k := range kind.Keys {
			rows = append(rows, []string{code(k.Path), k.Help, takes(k.Takes), k.Range, leftOut(kind, k, nil)})
		}
		p.table([]string{"key", "what it is", "takes", "allowed", "left out"}, rows)
		if about.whole != nil {
			p.line("A whole file, as `crankwright new` writes it:\n\n```yaml\n%s```\n", about.whole())
		}
	}
	return p.String(), nil
}

// others says what the other kinds of files are for.
var others = map[string]struct {
	title string
	lines []string
	whole func() []byte // a whole file; nil: none is shown
}{
	"brief": {"Brief, `*.brief.yaml`", []string{
		"What an application wants of an engine. `crankwright new --brief` writes one to edit, `crankwright choose` judges by it, the page",
		"*Choice* of the workbench edits it. An example: [harbour pilot boat](../../examples/pilot-boat.brief.yaml).",
	}, spec.NewBrief},
	"study": {"Study, `*.study.yaml`", []string{
		"Which engines a search looks at. `crankwright new --study` writes one to edit, `crankwright study run` searches, the page *Search*",
		"of the workbench does too. An example: [every even-firing six](../../examples/pilot-boat-six.study.yaml). What may vary is any key of an",
		"engine file that is a single value, and beside them `stroke_over_bore` and `rod_over_throw`.",
	}, spec.NewStudy},
	"prices": {"Price table, `*.prices.yaml`", []string{
		"Points for every part that is counted. `crankwright new --prices` writes the invented one to edit, `crankwright cost --prices FILE`",
		"takes yours. The table as it is: [invented prices](../../examples/invented.prices.yaml).",
	}, nil},
	"balance": {"Job of the balancing shop, `*.balance.yaml`", []string{
		"What a balancing machine measured in two planes and where metal may go or come, for `crankwright balance correct`. An example:",
		"[the third crank of the harbour pilot boat](../../examples/balancing-shop/harbour-pilot.balance.yaml).",
	}, nil},
}

func measures(string) (string, error) {
	p := &page{}
	p.line("# Measures and priorities\n\n%s", written)
	p.line("A measure is a figure of a result by which engines are compared: rows of `crankwright compare`, limits and values of a brief,")
	p.line("what a study requires and wants. What it means and how it is found stands in the [chapters](../README.md#chapters).")
	p.line("")
	p.line("## Measures\n")
	var rows [][]string
	for _, m := range brief.Measures() {
		better := map[int]string{-1: "less", 0: "neither", 1: "more"}[m.Better]
		unit := m.Unit
		if unit == "1" {
			unit = "a number"
		}
		rows = append(rows, []string{code(m.Key), m.Name, unit, better})
	}
	p.table([]string{"key", "what it is", "unit", "better"}, rows)
	p.line("## Priorities\n")
	p.line("A brief gives weights to words of the trade, each of which is made of measures with shares relative to each other. `made_of` of")
	p.line("a brief changes them. A measure with a better side may be a priority by itself.")
	p.line("")
	rows = nil
	for _, a := range brief.Aims() {
		var parts []string
		for _, part := range a.Parts {
			parts = append(parts, code(part.Measure)+" "+number(part.Share))
		}
		rows = append(rows, []string{code(a.Key), sentence(a.Means), strings.Join(parts, ", ")})
	}
	p.table([]string{"key", "what is good", "made of"}, rows)
	return p.String(), nil
}
