package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"crankwright": main})
}

// TestScripts runs the command as people do: testdata/script holds one file a verb, failures included.
// Each script starts in a folder with the test engines. exit N CMD… demands an exit code.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:   "testdata/script",
		Setup: copyEngines,
		Cmds:  map[string]func(*testscript.TestScript, bool, []string){"exit": exit},
	})
}

// copyEngines puts the test engines into the folder of a script. Under the race detector every process
// would sleep a second when it ends.
func copyEngines(env *testscript.Env) error {
	env.Setenv("GORACE", "atexit_sleep_ms=0")
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		return err
	}
	env.Setenv("EXAMPLES", examples)
	files, err := filepath.Glob("../../report/testdata/engines/*.yaml")
	if err != nil {
		return err
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(env.WorkDir, filepath.Base(f)), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// exit runs a command and demands its exit code.
func exit(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exit CODE COMMAND...")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := 0
	var failed *exec.ExitError
	switch {
	case errors.As(err, &failed):
		code = failed.ExitCode()
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit code %d, not %s", code, args[0])
	}
}
