package yardsticks

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// program is a rival that runs beside the test and answers what it is asked.
type program struct {
	in   io.Writer
	out  *bufio.Reader
	said *bytes.Buffer // on standard error
}

// start starts a program, which ends with the test.
func start(t *testing.T, name string, args ...string) *program {
	t.Helper()
	p := &program{said: &bytes.Buffer{}}
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=1", "OPENBLAS_NUM_THREADS=1") // one core each, as ours
	cmd.Stderr = p.said
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	p.in, p.out = in, bufio.NewReaderSize(out, 1<<20)
	t.Cleanup(func() {
		_ = in.Close()
		if err := cmd.Wait(); err != nil {
			t.Errorf("%s: %v\n%s", name, err, p.said)
		}
	})
	return p
}

// ask writes a line and returns the numbers of the line that comes back.
func (p *program) ask(question string) ([]float64, error) {
	if _, err := fmt.Fprintln(p.in, question); err != nil {
		return nil, fmt.Errorf("%s: %w\n%s", question, err, p.said)
	}
	line, err := p.out.ReadString('\n')
	if err != nil {
		return nil, fmt.Errorf("%s: %w\n%s", question, err, p.said)
	}
	var values []float64
	for word := range strings.FieldsSeq(line) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", question, err)
		}
		values = append(values, v)
	}
	return values, nil
}

// give returns the numbers that the program finds in one way.
func (p *program) give(way string) ([]float64, error) { return p.ask("give " + way) }

// seconds returns how long n evaluations take.
func (p *program) seconds(way string, n int) (float64, error) {
	v, err := p.ask(fmt.Sprintf("time %s %d", way, n))
	if err == nil && len(v) != 1 {
		err = fmt.Errorf("%s: %d numbers instead of a time", way, len(v))
	}
	if err != nil {
		return 0, err
	}
	return v[0], nil
}

// field is who takes part: how each of the programs is started with an input, nil where it is left out on purpose.
type field struct {
	c, simbody func(input string) *program
	python     func(kind, input string) *program
}

// gather builds the programs. What is missing fails with what to install, unless the environment leaves it out.
func gather(t *testing.T) field {
	t.Helper()
	var f field
	if !leftOut(t, "CRANKWRIGHT_NO_CC", "C") {
		build(t, "rivals/build.sh")
		f.c = func(input string) *program { return start(t, "rivals/build/yard", input) }
	}
	if !leftOut(t, "CRANKWRIGHT_NO_SIMBODY", "Simbody") {
		build(t, "../independent/simbody/build.sh")
		f.simbody = func(input string) *program { return start(t, "../independent/build/multibody", "--serve", input) }
	}
	if !leftOut(t, "CRANKWRIGHT_NO_SCIPY", "NumPy and SciPy") {
		python := ""
		for _, name := range []string{"python3", "/usr/bin/python3"} {
			if python == "" && exec.Command(name, "-c", "import numpy, scipy").Run() == nil {
				python = name
			}
		}
		if python == "" {
			t.Fatal("NumPy or SciPy is missing, so nothing can be compared with them; Debian, Ubuntu: sudo apt-get install python3-numpy python3-scipy; to go without on purpose: CRANKWRIGHT_NO_SCIPY=1")
		}
		f.python = func(kind, input string) *program { return start(t, python, "rivals/yard.py", kind, input) }
	}
	return f
}

func leftOut(t *testing.T, without, who string) bool {
	t.Helper()
	if os.Getenv(without) != "1" {
		return false
	}
	t.Logf("left out because %s=1: %s", without, who)
	return true
}

func build(t *testing.T, script string) {
	t.Helper()
	if said, err := exec.Command(script).CombinedOutput(); err != nil {
		t.Fatalf("%s: %v\n%s", script, err, said)
	}
}

// input writes the input of a program to a file that goes with the test.
func input(t *testing.T, text []byte) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "input.txt")
	if err := os.WriteFile(name, text, 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}
