package main

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/choice"
	"crankwright/decision"
	"crankwright/explain"
	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/report"
	"crankwright/results"
	"crankwright/search"
	"crankwright/spec"
)

// The examples of this file stand on the pages below docs/, whose Go is this; they run in the root of the repository.

// TestPagesShowRealGo holds every Go block of the pages against the examples of this file, which the compiler checks and
// which run.
func TestPagesShowRealGo(t *testing.T) {
	text, err := os.ReadFile("library_test.go")
	if err != nil {
		t.Fatal(err)
	}
	source := dedented(string(text))
	t.Chdir("../..")
	found := 0
	for _, page := range pages(t) {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range strings.Split(string(text), "\n```go\n")[1:] {
			block, _, _ := strings.Cut(part, "\n```")
			found++
			if !strings.Contains(source, "\n"+dedented(block)+"\n") {
				t.Errorf("%s shows Go that no example of cmd/crankwright/library_test.go has:\n%s", page, block)
			}
		}
	}
	if found < 8 {
		t.Errorf("only %d blocks of Go were found", found)
	}
}

// dedented takes the blanks before each line away.
func dedented(text string) string {
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		out = append(out, strings.TrimSpace(line))
	}
	return strings.Join(out, "\n")
}

// inRoot runs an example in the root of the repository.
func inRoot(run func() error) {
	here, err := os.Getwd()
	if err == nil {
		err = os.Chdir("../..")
	}
	if err != nil {
		panic(err)
	}
	defer func() {
		if err := os.Chdir(here); err != nil {
			panic(err)
		}
	}()
	if err := run(); err != nil {
		fmt.Println(err)
	}
}

func example(name string) *layout.Train {
	train, _, err := spec.ReadEngineFile("examples/"+name+".engine.yaml", spec.Options{})
	if err != nil {
		panic(err)
	}
	return train
}

func Example_evaluate() {
	inRoot(useEvaluate)
	// Output:
	// Inline four, flat-plane: order 2 shakes with 9807 N
	// piston.compression_height 32.7 mm 0.38 × bore (general duty)
	// crank.main_journal.diameter 60.2 mm 0.7 × bore (general duty)
}

func useEvaluate() error {
	train, _, err := spec.ReadEngineFile("examples/inline-four-flat.engine.yaml", spec.Options{})
	if err != nil {
		return err // file:line:column: what is wrong; what is allowed
	}
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		return err
	}
	second := r.Order(4) // twice the order
	fmt.Printf("%s: order 2 shakes with %.0f N\n", train.Name, second.Force.Ellipse.Major)
	for _, e := range train.Estimates[:2] {
		fmt.Println(e.Key, e.Shown, e.Rule)
	}
	return nil
}

func Example_explain() {
	inRoot(useExplain)
	// Output:
	// Free force: 9807 N in the 2nd order and 246.6 N in the 4th order.
	// No free moment of any order.
	// The rest passes the crank, so no counterweight takes it; it would need shafts turning both ways at twice crank speed.
	// The inertia torque reaches 680.6 N m at this speed, most of it in the 2nd order (676.3 N m).
	// It fires evenly, every 180°, in the order 1-3-4-2.
}

func useExplain() error {
	train := example("inline-four-flat")
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		return err
	}
	for _, line := range explain.Engine(r) {
		fmt.Println(line)
	}
	return nil
}

func Example_balance() {
	inRoot(useBalance)
	// Output:
	// 2 shafts leave 0 N
}

func useBalance() error {
	train := example("inline-four-flat")
	answer, err := balance.FindShafts(train, balance.ShaftTask{
		Targets: []balance.ShaftTarget{{K: 4, Aim: balance.AimForce}}, // force of order 2, all of it
	})
	if err != nil {
		return err
	}
	best := answer.Sets[answer.Smallest]
	train.Shafts = slices.Concat(answer.Kept, best.Shafts)
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		return err
	}
	fmt.Printf("%d shafts leave %.0f N\n", len(best.Shafts), r.Order(4).Force.Ellipse.Major)
	return nil
}

func Example_figures() {
	inRoot(useFigures)
	// Output:
	// Brake power 85.62 kW
	// Length 403.9 mm
	// Dry mass 94 kg
	// Cost index, invented prices 1.242
}

func useFigures() error {
	train := example("vee-six-60-split")
	r, err := analysis.Run(train, analysis.Options{Drive: true, Space: true, Parts: true})
	if err != nil {
		return err
	}
	for _, f := range r.Figures() {
		switch f.Key {
		case "brake_power", "length", "dry_mass", "cost_index":
			fmt.Println(f.Name, report.FigureShown(f.Unit, f.Value))
		}
	}
	return nil
}

func Example_last() {
	inRoot(useLast)
	// Output:
	// The weakest point is the journal fillet of the web T4 to main 5: an equivalent stress of 138 MPa against a fatigue strength of 372 MPa, an acceptability factor of 2.7 where the rule demands 1.15. It takes 42.6 % of what the rule allows.
	// Almost all of it is bending by the forces on the pin: torsion hardly counts there.
	// A millimetre more of main journal fillet radius buys most: an acceptability factor of 3.09.
	// With the loads as they are the rule is met down to one of these: web thickness 8.7 mm (now 18 mm; the rule knows no less), crankpin diameter 35.8 mm (now 43.5 mm; the rule knows no less) or main journal diameter 23.6 mm (now 52.5 mm).
}

func useLast() error {
	train := example("inline-six")
	driver, err := analysis.NewDriver(train)
	if err != nil {
		return err
	}
	full, err := driver.At(analysis.DriveOptions{}) // full load at rated speed
	if err != nil {
		return err
	}
	strong, err := driver.Strength(full, analysis.StrengthOptions{})
	if err != nil {
		return err
	}
	for _, line := range explain.Strength(strong) {
		fmt.Println(line)
	}
	return nil
}

func Example_swing() {
	inRoot(useSwing)
	// Output:
	// 11.9 N into the structure at idle
}

func useSwing() error {
	train := example("inline-four-flat")
	driver, err := analysis.NewDriver(train)
	if err != nil {
		return err
	}
	mounts, err := driver.Mounts(1) // full load
	if err != nil {
		return err
	}
	fmt.Printf("%.1f N into the structure at idle\n", mounts.Idle.Total)
	return nil
}

func Example_choose() {
	inRoot(useChoose)
	// Output:
	// Vee four 72° is first, clearly, with 59.6 points of 100, before Vee six 60°, split pins (48.9 points), which is worth more in 0 % of what the priorities leave possible.
}

func useChoose() error {
	b, err := spec.ReadBriefFile("examples/pilot-boat.brief.yaml")
	if err != nil {
		return err
	}
	var entrants []decision.Entrant
	for _, name := range []string{"vee-four-72", "vee-six-60-split", "opposed-four-own-pins"} {
		file := "examples/" + name + ".engine.yaml"
		data, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		e, err := decision.Enter(context.Background(), b, decision.Candidate{File: file, Data: data}, decision.EnterOptions{Certain: true})
		if err != nil {
			return err
		}
		entrants = append(entrants, e)
	}
	made, err := decision.Judge(b, entrants, choice.Options{Seed: 1})
	if err != nil {
		return err
	}
	fmt.Println(made.Decision.VerdictText()[0])
	return nil
}

func Example_search() {
	inRoot(useSearch)
	// Output:
	// 40 looked at, 40 kept, 12 on the front; whole: true
}

func useSearch() error {
	bundle, err := search.Gather("pilot-boat-three.study.yaml", spec.FilesIn("examples"))
	if err != nil {
		return err
	}
	problem, err := search.Open(bundle)
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "three")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	folder, err := results.Create(dir+"/results", problem, bundle)
	if err != nil {
		return err
	}
	defer func() { _ = folder.Close() }()
	if err := results.Run(context.Background(), problem, folder, results.Options{}); err != nil {
		return err
	}
	found, whole, err := folder.Outcome()
	if err != nil {
		return err
	}
	fmt.Println(found.Looked, "looked at,", found.Kept, "kept,", len(found.Front), "on the front; whole:", whole)
	return nil
}

func Example_edit() {
	inRoot(useEdit)
	// Output:
	// pin split written: true
}

func useEdit() error {
	data, err := os.ReadFile("examples/vee-six-90.engine.yaml")
	if err != nil {
		return err
	}
	split := "30 deg"
	data, err = spec.Edit(data, []spec.Change{{Path: "layout.pin_split", Text: &split}})
	if err != nil {
		return err
	}
	_, _, err = spec.ReadEngine("changed", data, spec.Options{})
	fmt.Println("pin split written:", err == nil)
	return nil
}
