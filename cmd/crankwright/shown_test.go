package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"crankwright/results"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

// TestHelpShowsWhatWorks runs every example of the help, those of one verb one after the other in a folder with the files that
// they name. What waits for somebody is only read: its verb, its flags, its arguments.
func TestHelpShowsWhatWorks(t *testing.T) {
	root := (&app{}).root()
	n := 0
	for _, verb := range append([]*cobra.Command{root}, everyVerb(root)...) {
		if verb.Example == "" {
			if verb.Runnable() && !verb.HasSubCommands() && !slices.Contains([]string{"version", "help"}, verb.Name()) {
				t.Errorf("%s shows no example", verb.CommandPath())
			}
			continue
		}
		t.Run(strings.ReplaceAll(verb.CommandPath(), " ", "-"), func(t *testing.T) {
			t.Chdir(standIns(t))
			for line := range strings.Lines(verb.Example) {
				runShown(t, strings.TrimSpace(line))
			}
		})
		n += strings.Count(verb.Example, "crankwright ")
	}
	if n < 80 {
		t.Errorf("only %d examples were found", n)
	}
}

// TestPagesShowCommandsThatExist runs the commands that pages show in lines of their own without output, and reads those that stand within a
// sentence: their verb and their flags must exist, a value may be left out.
func TestPagesShowCommandsThatExist(t *testing.T) {
	inSentence := regexp.MustCompile("`(?:bin/)?crankwright ([a-z][^`…]*)`")
	lines := regexp.MustCompile(`(?m)^    crankwright .*$`)
	plain := regexp.MustCompile("(?ms)^```(?:sh)?\n(.*?)\n```$")
	t.Chdir("../..")
	texts := map[string]string{}
	for _, page := range pages(t) {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		texts[page] = string(text)
	}
	read := 0
	t.Chdir(standIns(t))
	for page, text := range texts {
		if page == filepath.Join("docs", "reference", "commands.md") { // that is the help
			continue
		}
		list := lines.FindAllString(text, -1)
		for _, m := range plain.FindAllStringSubmatch(text, -1) {
			for line := range strings.SplitSeq(m[1], "\n") {
				if strings.HasPrefix(line, "crankwright ") {
					list = append(list, line)
				}
			}
		}
		for _, line := range list {
			runShown(t, strings.TrimSpace(line))
			read++
		}
		for _, m := range inSentence.FindAllStringSubmatch(text, -1) {
			if _, err := understood(words(m[1])); err != nil && !strings.Contains(err.Error(), "needs an argument") {
				t.Errorf("%s: crankwright %s: %v", page, m[1], err)
			}
			read++
		}
	}
	if read < 30 {
		t.Errorf("only %d commands were found", read)
	}
}

// everyVerb lists all verbs below one, those that only hold others too.
func everyVerb(c *cobra.Command) []*cobra.Command {
	var out []*cobra.Command
	for _, sub := range c.Commands() {
		out = append(append(out, sub), everyVerb(sub)...)
	}
	return out
}

// understood says which verb a command line names, and whether its flags exist.
func understood(args []string) (*cobra.Command, error) {
	verb, rest, err := (&app{}).root().Find(args)
	if err != nil {
		return nil, err
	}
	if !verb.HasParent() || verb.HasSubCommands() && len(rest) > 0 && !strings.HasPrefix(rest[0], "-") {
		return nil, fmt.Errorf("there is no such verb")
	}
	verb.InitDefaultHelpFlag()
	return verb, verb.ParseFlags(rest)
}

// runShown runs a command line of the help or a page: several commands with | between them, the last of which may be no
// command of ours, or write to a file.
func runShown(t *testing.T, line string) {
	t.Helper()
	command := line
	if inside, ok := strings.CutPrefix(command, "source <("); ok {
		command = strings.TrimSuffix(inside, ")")
	}
	command, _, _ = strings.Cut(command, " > ")
	in := ""
	for part := range strings.SplitSeq(command, " | ") {
		list := words(part)
		if list[0] != "crankwright" {
			break
		}
		verb, err := understood(list[1:])
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if waits(verb) {
			if err := verb.ValidateArgs(verb.Flags().Args()); err != nil {
				t.Errorf("%s: %v", line, err)
			}
			return
		}
		args := prepared(t, verb, list[1:])
		var out, told bytes.Buffer
		if code := run(args, strings.NewReader(in), &out, &told); code != exitDone {
			t.Fatalf("%s: exit code %d\n%s", line, code, told.String())
		}
		in = out.String()
	}
}

// waits reports whether a command that was understood waits for a browser, a worker or a server.
func waits(verb *cobra.Command) bool {
	for _, name := range []string{"share", "at"} {
		if f := verb.Flags().Lookup(name); f != nil && f.Changed {
			return true
		}
	}
	return slices.Contains([]string{"serve", "worker", "watch"}, verb.Name())
}

// prepared puts files in the place of a pattern, as a shell does: two of them will do. It makes what a command reads and an
// earlier one would have written, and takes away what it would refuse to write over. What only takes long, the estimates of a
// choice moved one by one, is left out.
func prepared(t *testing.T, verb *cobra.Command, args []string) []string {
	t.Helper()
	var out []string
	for i, a := range args {
		if study, ok := strings.CutSuffix(a, results.Suffix); ok && args[max(i-1, 0)] != "-o" {
			if _, err := os.Stat(a); err != nil {
				runShown(t, "crankwright study run "+study+spec.StudySuffix+" --quiet")
			}
		}
		if !strings.Contains(a, "*.") {
			out = append(out, a)
			continue
		}
		found, err := filepath.Glob(a)
		if err != nil || len(found) < 2 {
			t.Fatalf("%s matches %q, %v", a, found, err)
		}
		out = append(out, found[:2]...)
	}
	if name := verb.Flags().Lookup("output"); verb.Name() == "new" && name.Changed {
		_ = os.Remove(name.Value.String())
	}
	if b := verb.Flags().Lookup("brief"); verb.Flags().Lookup("certain") != nil && (b == nil || b.Changed) {
		out = append(out, "--certain")
	}
	return out
}

// standIns makes a folder with the files that examples of the help name.
func standIns(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	source, err := filepath.Abs("../../examples")
	if _, missing := os.Stat(source); missing != nil {
		source, err = filepath.Abs("examples")
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(filepath.Join(folder, "examples"), os.DirFS(source)); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(folder, "engines"), 0o755); err != nil {
		t.Fatal(err)
	}
	runShown(t, "crankwright show "+filepath.Join(source, "inline-six.engine.yaml")+" --resolved -o "+filepath.Join(folder, "full.engine.yaml"))
	for name, example := range map[string]string{
		"engine.yaml": "inline-four-flat-shafts.engine.yaml", "a.engine.yaml": "inline-four-flat.engine.yaml", "b.engine.yaml": "vee-four-72.engine.yaml",
		"engines/one.engine.yaml": "vee-four-72.engine.yaml", "engines/two.engine.yaml": "inline-six.engine.yaml",
		"boat.brief.yaml": "pilot-boat.brief.yaml", "my.prices.yaml": "invented.prices.yaml",
		"parts.csv": "balancing-shop/harbour-pilot.parts.csv", "job.yaml": "balancing-shop/harbour-pilot.balance.yaml",
	} {
		data, err := os.ReadFile(filepath.Join(source, example))
		if err != nil {
			t.Fatal(err)
		}
		writeShown(t, filepath.Join(folder, name), string(data))
	}
	writeShown(t, filepath.Join(folder, "weighed.csv"), `kind,id,mass,big end,small end
piston,P1,542 g,,
piston,P2,541 g,,
piston,P3,543 g,,
piston,P4,544 g,,
rod,R1,,363 g,200 g
rod,R2,,364 g,201 g
rod,R3,,362 g,199 g
rod,R4,,363 g,202 g
`)
	vees := `name: Vees for the pilot boat
base: examples/vee-four-65.engine.yaml
vary: {layout.bank_angle: [60, 90, 120] deg, layout.pin_split: [0, 15, 30, 45, 60] deg}
require: {firing_evenness: ">= 0"}
minimise: [free_force_order_2, free_moment_order_1, length]
`
	for name, text := range map[string]string{"vees": vees, "harbour-pilot": vees, "three": vees + "brief: boat.brief.yaml\n"} {
		writeShown(t, filepath.Join(folder, name+spec.StudySuffix), text)
	}
	return folder
}

func writeShown(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
