package main

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

var update = flag.Bool("update", false, "write the page of commands anew")

// TestCommandReference holds docs/reference/commands.md against the help of every command.
func TestCommandReference(t *testing.T) {
	const page = "../../docs/reference/commands.md"
	want := commandReference()
	if *update {
		if err := os.WriteFile(page, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(page); err != nil || string(got) != want {
		t.Errorf("%s is not what the commands say: make reference (%v)", page, err)
	}
}

// commandReference is the page of all commands.
func commandReference() string {
	var b strings.Builder
	root := (&app{}).root()
	fmt.Fprintf(&b, "# Commands\n\nWritten by `make reference` from the program itself; a test holds it against the program of today.\n\n")
	fmt.Fprintf(&b, "%s\n\n", root.Long)
	b.WriteString("Results go to standard output, everything else to standard error. Exit codes: 0 done, 1 the input is wrong, 2 the command\n" +
		"line is wrong, 3 something else failed. `--width` gives the columns of text output; every command has `--help`.\n\n")
	all := commandsBelow(root)
	for _, c := range all {
		path := strings.TrimPrefix(c.CommandPath(), "crankwright ")
		fmt.Fprintf(&b, "- [%s](#%s): %s\n", path, strings.ReplaceAll(path, " ", "-"), c.Short)
	}
	for _, c := range all {
		fmt.Fprintf(&b, "\n## %s\n\n    %s\n\n", strings.TrimPrefix(c.CommandPath(), "crankwright "), c.UseLine())
		about := c.Long
		if about == "" {
			about = strings.ToUpper(c.Short[:1]) + c.Short[1:] + "."
		}
		fmt.Fprintf(&b, "%s\n", quoted(about))
		if c.Example != "" {
			fmt.Fprintf(&b, "\nExamples:\n\n%s\n", codeLines(c.Example))
		}
		flagsOf(&b, c)
	}
	return b.String()
}

// quoted keeps the lists and tables of a help text as they are, and prose as prose.
func quoted(text string) string {
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		if strings.HasPrefix(line, "  ") {
			line = "  " + line
		}
		out = append(out, line)
	}
	return strings.NewReplacer("<", `\<`, "*", `\*`).Replace(strings.Join(out, "\n"))
}

// codeLines sets lines as code.
func codeLines(text string) string {
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		out = append(out, "    "+strings.TrimSpace(line))
	}
	return strings.Join(out, "\n")
}

// commandsBelow lists a command's commands and theirs, without those that only hold others.
func commandsBelow(c *cobra.Command) []*cobra.Command {
	var out []*cobra.Command
	for _, sub := range c.Commands() {
		if sub.Hidden || sub.Name() == "help" {
			continue
		}
		if sub.Runnable() && !sub.HasSubCommands() {
			out = append(out, sub)
		}
		out = append(out, commandsBelow(sub)...)
	}
	return out
}

// flagsOf writes the flags of a command as a table.
func flagsOf(b *strings.Builder, c *cobra.Command) {
	c.InitDefaultHelpFlag()
	var rows []string
	c.LocalNonPersistentFlags().VisitAll(func(f *pflag.Flag) {
		if f.Name == "help" || f.Hidden {
			return
		}
		kind, usage := pflag.UnquoteUsage(f)
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		if f.DefValue != "" && f.DefValue != "false" && f.DefValue != "0" && f.DefValue != "[]" {
			usage += " (default " + f.DefValue + ")"
		}
		rows = append(rows, fmt.Sprintf("| `%s` | %s | %s |", name, map[string]string{"string": "text", "strings": "texts, with commas", "float": "number", "int": "number", "uint": "number"}[kind], strings.ReplaceAll(usage, "|", `\|`)))
	})
	if len(rows) > 0 {
		fmt.Fprintf(b, "\n| flag | takes | what it does |\n| --- | --- | --- |\n%s\n", strings.Join(rows, "\n"))
	}
}
