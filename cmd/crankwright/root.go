package main

import (
	"errors"
	"fmt"
	"io"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// The exit codes.
const (
	exitDone    = 0
	exitInput   = 1 // the input is wrong
	exitCommand = 2 // the command line is wrong
	exitFailed  = 3 // something else failed
)

// app is one run of the command.
type app struct {
	in      io.Reader
	out     io.Writer // the result, nothing else
	err     io.Writer // errors, and what was written where
	width   int
	started bool // a verb began: what fails from here on is not cobra's
	stdin   bool // standard input has been read
}

// inputError says that a file, or what it describes, is wrong.
type inputError struct{ error }

// Unwrap returns the reason.
func (e inputError) Unwrap() error { return e.error }

// commandError says that the command line is wrong.
type commandError struct{ error }

func usagef(format string, args ...any) error { return commandError{fmt.Errorf(format, args...)} }

// run runs the command and returns its exit code.
func run(args []string, in io.Reader, out, err io.Writer) int {
	a := &app{in: in, out: out, err: err}
	root := a.root()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(err)
	cmd, failure := root.ExecuteC()
	return a.end(cmd, failure)
}

// end says what went wrong and chooses the exit code.
func (a *app) end(cmd *cobra.Command, err error) int {
	var input inputError
	var command commandError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, syscall.EPIPE): // the reader has seen enough
		return exitDone
	case errors.As(err, &input):
		a.note("%v", err)
		return exitInput
	case errors.As(err, &command), !a.started:
		a.note("%s: %s\nSee '%s --help'.", cmd.CommandPath(), flagWords(err), cmd.CommandPath())
		return exitCommand
	default:
		a.note("%s: %v", cmd.CommandPath(), err)
		return exitFailed
	}
}

// flagWords says of the value of a flag what would be right, where the library only names the function that failed.
func flagWords(err error) string {
	var value *pflag.InvalidValueError
	if !errors.As(err, &value) {
		return err.Error()
	}
	right := map[string]string{
		"bool": "true or false", "int": "a whole number", "uint64": "a whole number from 0", "float64": "a number", "duration": "a time such as 90s or 5m",
	}[value.GetFlag().Value.Type()]
	if right == "" { // a kind of our own, which says it itself
		return err.Error()
	}
	return fmt.Sprintf("--%s is %q; give %s", value.GetFlag().Name, value.GetValue(), right)
}

// note writes a line to standard error.
func (a *app) note(format string, args ...any) {
	_, _ = fmt.Fprintf(a.err, format+"\n", args...)
}

// progress says on a terminal how far a long task is, in one line that the next call writes over; an empty text clears it.
func (a *app) progress(format string, args ...any) {
	if terminal(a.err) != nil {
		_, _ = fmt.Fprintf(a.err, "\r\x1b[K"+format, args...)
	}
}

var errNoVerb = errors.New("a verb is missing")

// root builds the command with all its verbs.
func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "crankwright",
		Short: "choose, size and defend the crank train of a multi-cylinder engine",
		Long: `Crankwright reads engine files and says exactly how their crank trains shake, fire, push and last, why, and
which layout is best in what.

An engine file is YAML with a unit behind every number; what it leaves out is estimated from
published proportions, and every estimate is listed. FILE may be - for standard input.`,
		Example: `  crankwright new 'inline-4 86x86 flat-plane' -o mine.engine.yaml
  crankwright evaluate mine.engine.yaml
  crankwright explain mine.engine.yaml --order 2
  crankwright compare examples/*.engine.yaml --html compare.html
  crankwright study run examples/pilot-boat-six.study.yaml -o six.results
  crankwright report examples/*.engine.yaml -o report.html`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Version:       versionLine(),
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownVerb(cmd, args[0])
			}
			cmd.SetOut(a.err)
			if err := cmd.Help(); err != nil {
				return err
			}
			return errNoVerb
		},
	}
	root.SuggestionsMinimumDistance = 2
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(a.helpVerb())
	root.SetVersionTemplate("{{.Version}}")
	root.Flags().Bool("version", false, "print the version")
	root.PersistentFlags().IntVar(&a.width, "width", 0, "columns of text output, 60 at least (default: those of the terminal, else 100)")
	root.AddCommand(
		a.newVerb(), a.checkVerb(), a.showVerb(), a.evaluateVerb(), a.compareVerb(), a.reportVerb(), a.explainVerb(), a.balanceVerb(),
		a.gasVerb(), a.torqueVerb(), a.powerVerb(), a.flywheelVerb(), a.soundVerb(),
		a.roomVerb(), a.bearingsVerb(), a.strengthVerb(), a.torsionVerb(), a.spaceVerb(), a.mountsVerb(), a.peopleVerb(), a.partsVerb(), a.costVerb(), a.chooseVerb(), a.studyVerb(), a.figureVerb(), a.ordersVerb(), a.serveVerb(), a.verifyVerb(), a.schemaVerb(), a.completionVerb(), a.versionVerb(),
	)
	return root
}

// unknownVerb names the verbs that are meant.
func unknownVerb(cmd *cobra.Command, name string) error {
	if near := cmd.SuggestionsFor(name); len(near) > 0 {
		return usagef("there is no verb %q; did you mean %s?", name, near[0])
	}
	return usagef("there is no verb %q", name)
}

// helpVerb prints the help of a verb.
func (a *app) helpVerb() *cobra.Command {
	return &cobra.Command{
		Use:   "help [VERB]",
		Short: "print the help of a verb",
		RunE: func(cmd *cobra.Command, args []string) error {
			about, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 || about == cmd.Root() && len(args) > 0 {
				return unknownVerb(cmd.Root(), args[0])
			}
			return about.Help()
		},
	}
}

// oneFile demands one engine file.
func oneFile(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("give one engine file; there are %d", len(args))
	}
	return nil
}

// someFiles demands engine files.
func someFiles(_ *cobra.Command, args []string) error {
	if len(args) == 0 {
		return errors.New("give one or more engine files; there is none")
	}
	return nil
}

// verb marks that the command line was understood so far.
func (a *app) verb(f func(args []string) error) func(*cobra.Command, []string) error {
	return func(_ *cobra.Command, args []string) error {
		a.started = true
		return f(args)
	}
}
