package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// The real program is killed this often in all, by share of what it does; CRANKWRIGHT_TEST_KILLS asks for more.
const (
	usualKills = 200
	killsAsked = "CRANKWRIGHT_TEST_KILLS"
)

// kills is so many hundredths of all kills.
func kills(t *testing.T, percent int) int {
	t.Helper()
	all := usualKills
	if asked := os.Getenv(killsAsked); asked != "" {
		n, err := strconv.Atoi(asked)
		if err != nil || n < 1 || n > 100000 {
			t.Fatalf("%s is %q; give a number from 1 to 100000", killsAsked, asked)
		}
		all = n
	}
	return max(1, all*percent/100)
}

// realProgram builds the command as it is delivered, once: the race detector would slow down what is to be caught in the act.
var realProgram = sync.OnceValues(func() (string, error) {
	program, err := filepath.Abs("../../out/killed/crankwright")
	if err != nil {
		return "", err
	}
	if out, err := exec.Command("go", "build", "-trimpath", "-o", program, ".").CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return program, nil
})

// victims is a folder in which the real program works and is killed.
type victims struct {
	t            *testing.T
	program, dir string
	chance       *rand.Rand
	died, midway int // of the kills: all, and those that left a temporary file
}

func newVictims(t *testing.T, examples ...string) *victims {
	t.Helper()
	program, err := realProgram()
	if err != nil {
		t.Fatal(err)
	}
	v := &victims{t: t, program: program, dir: t.TempDir(), chance: rand.New(rand.NewPCG(7, uint64(len(t.Name()))))}
	for _, name := range examples {
		v.put(name, v.text(filepath.Join("../../examples", name)))
	}
	return v
}

func (v *victims) text(path string) string {
	v.t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		v.t.Fatal(err)
	}
	return string(data)
}

func (v *victims) put(name, text string) {
	v.t.Helper()
	if err := os.WriteFile(filepath.Join(v.dir, name), []byte(text), 0o644); err != nil {
		v.t.Fatal(err)
	}
}

func (v *victims) command(args ...string) (*exec.Cmd, *bytes.Buffer) {
	c := exec.CommandContext(v.t.Context(), v.program, args...)
	c.Dir = v.dir
	said := &bytes.Buffer{}
	c.Stderr = said
	return c, said
}

// runs lets the program finish.
func (v *victims) runs(args ...string) {
	v.t.Helper()
	c, said := v.command(args...)
	if err := c.Run(); err != nil {
		v.t.Fatalf("%v: %v\n%s", args, err, said)
	}
}

// leftovers are the temporary files in the folder.
func (v *victims) leftovers() map[string]bool {
	found := map[string]bool{}
	_ = filepath.WalkDir(v.dir, func(path string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && strings.HasPrefix(e.Name(), ".") && strings.HasSuffix(e.Name(), ".tmp") {
			found[path] = true
		}
		return nil
	})
	return found
}

// kill starts the program and kills it: as soon as it begins to write, or by chance within a time. It tells whether the program died
// of it.
func (v *victims) kill(within time.Duration, args ...string) bool {
	v.t.Helper()
	left, before := v.leftovers(), v.files()
	c, said := v.command(args...)
	if err := c.Start(); err != nil {
		v.t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	wait := time.After(v.soon(within))
	if v.chance.IntN(2) == 0 {
		wait = v.writes(before)
	}
	select {
	case err := <-ended:
		if err != nil {
			v.t.Fatalf("%v: %v\n%s", args, err, said)
		}
		return false
	case <-wait:
	}
	_ = c.Process.Kill()
	if err := <-ended; err == nil || c.ProcessState.ExitCode() != -1 {
		return false
	}
	v.died++
	if len(v.leftovers()) > len(left) {
		v.midway++
	}
	return true
}

// soon is a time by chance.
func (v *victims) soon(within time.Duration) time.Duration {
	return time.Duration(v.chance.Int64N(int64(within)))
}

// files are size and time of all files in the folder.
func (v *victims) files() map[string]string {
	found := map[string]string{}
	_ = filepath.WalkDir(v.dir, func(path string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			if info, gone := e.Info(); gone == nil {
				found[path] = fmt.Sprint(info.Size(), info.ModTime())
			}
		}
		return nil
	})
	return found
}

// writes tells when a file in the folder is new or another, temporary or not, and up to two thousandths of a second more have
// passed, or none.
func (v *victims) writes(before map[string]string) <-chan time.Time {
	begins := make(chan time.Time, 1)
	more := v.soon(2*time.Millisecond) * time.Duration(v.chance.IntN(2))
	go func() {
		for until := time.Now().Add(time.Minute); time.Now().Before(until) && maps.Equal(v.files(), before); {
			time.Sleep(50 * time.Microsecond)
		}
		time.Sleep(more)
		begins <- time.Now()
	}()
	return begins
}

// whole demands that a file is one of the texts it may be, and returns which.
func (v *victims) whole(name string, may ...string) int {
	v.t.Helper()
	got := v.text(filepath.Join(v.dir, name))
	for i, text := range may {
		if got == text {
			return i
		}
	}
	v.t.Fatalf("%s has %d bytes and is neither the old nor the new file", name, len(got))
	return -1
}

// inTheWay demands that nothing that was left is taken for a file of the user's: the line-up shows what it should.
func (v *victims) inTheWay(engines int) {
	v.t.Helper()
	listed, err := filepath.Glob(filepath.Join(v.dir, "*.engine.yaml"))
	if err != nil || len(listed) != engines {
		v.t.Errorf("%d engines are in the folder: %v %v", len(listed), listed, err)
	}
	v.t.Logf("killed %d times, %d of them while it wrote", v.died, v.midway)
}

// TestKilledSavingFromTheCommandLine kills commands that change an engine file.
func TestKilledSavingFromTheCommandLine(t *testing.T) {
	t.Parallel()
	const file = "vee-six-60.engine.yaml"
	v := newVictims(t, file)
	change := func(factor int) []string {
		return []string{"balance", "counterweights", file, "--policy", "factor", "--factor", strconv.Itoa(factor) + " %", "--write"}
	}
	texts := make([]string, 2)
	for i := range texts {
		v.runs(change(30 + 20*i)...)
		texts[i] = v.text(filepath.Join(v.dir, file))
	}
	if texts[0] == texts[1] {
		t.Fatal("the two changes give the same file")
	}
	for v.died < kills(t, 25) {
		now := v.whole(file, texts...)
		v.kill(150*time.Millisecond, change(30+20*(1-now))...)
		v.whole(file, texts...)
	}
	v.runs(change(30)...)
	v.whole(file, texts[0])
	v.inTheWay(1)
}

// TestKilledWritingReports kills commands that write reports, pages, figures and tables over older ones.
func TestKilledWritingReports(t *testing.T) {
	t.Parallel()
	engines := []string{"single.engine.yaml", "inline-three.engine.yaml"}
	v := newVictims(t, engines...)
	quick := []string{"page.html", "table.csv", "figure.svg", "figure.png", "figure.pdf", "report.csv", "report.md"}
	writes := func(out, engine string) []string {
		switch name, end, _ := strings.Cut(out, "."); {
		case name == "report":
			return []string{"report", engine, "-o", out}
		case name == "figure":
			return []string{"figure", engine, "end-view", "-o", out}
		case end == "csv":
			return []string{"compare", engine, "--csv", out}
		}
		return []string{"compare", engine, "--html", out}
	}
	texts := map[string][]string{}
	slow := []string{"report.html", "report.pdf"}
	for _, out := range append(quick, slow...) {
		for _, e := range engines {
			v.runs(writes(out, e)...)
			texts[out] = append(texts[out], v.text(filepath.Join(v.dir, out)))
		}
	}
	for i := 0; v.died < kills(t, 25); i++ {
		out := quick[i%len(quick)]
		if i%10 == 9 { // seconds each
			out = slow[i/10%len(slow)]
		}
		now := v.whole(out, texts[out]...)
		v.kill(200*time.Millisecond, writes(out, engines[1-now])...)
		v.whole(out, texts[out]...)
	}
	v.runs(writes("page.html", engines[0])...)
	v.whole("page.html", texts["page.html"][0])
	v.inTheWay(2)
}

const killedStudy = `name: Killed
base: inline-four-flat.engine.yaml
vary:
  stroke: {from: 80 mm, to: 98 mm, step: 2 mm}
  rod.length: {from: 140 mm, to: 160 mm, step: 4 mm}
  bore: {from: 80 mm, to: 90 mm, step: 2 mm}
minimise: [length, peak_free_force]
`

// TestKilledSearching kills a search of every candidate and an evolutionary search. Each goes on, and its results are byte for byte
// those of a search that nobody killed.
func TestKilledSearching(t *testing.T) {
	t.Parallel()
	for _, way := range []struct {
		verb    string
		percent int
		within  time.Duration
		flags   []string
	}{{"run", 10, 500 * time.Millisecond, nil}, {"evolve", 15, 400 * time.Millisecond, []string{"--evaluations", "600", "--generation", "40"}}} {
		t.Run(way.verb, func(t *testing.T) {
			v := newVictims(t, "inline-four-flat.engine.yaml")
			v.put("killed.study.yaml", killedStudy)
			search := func(to string) []string {
				return append([]string{"study", way.verb, "killed.study.yaml", "--quiet", "-o", to}, way.flags...)
			}
			v.runs(search("whole.results")...)
			want := v.results("whole.results")
			for v.died < kills(t, way.percent) {
				if !v.kill(way.within, search("killed.results")...) { // it came to its end: from the start
					sameFiles(t, want, v.results("killed.results"))
					if err := os.RemoveAll(filepath.Join(v.dir, "killed.results")); err != nil {
						t.Fatal(err)
					}
				}
			}
			v.runs(search("killed.results")...)
			sameFiles(t, want, v.results("killed.results"))
			if left := v.leftovers(); len(left) > 0 {
				t.Errorf("in its results stay %v", slicesOf(left))
			}
			v.inTheWay(1)
		})
	}
}

func slicesOf(set map[string]bool) (all []string) {
	for name := range set {
		all = append(all, filepath.Base(name))
	}
	return all
}

// results are the files of a folder of results, by name.
func (v *victims) results(name string) map[string]string {
	v.t.Helper()
	dir := filepath.Join(v.dir, name)
	all := map[string]string{}
	if err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err == nil && e.Type().IsRegular() {
			all[strings.TrimPrefix(path, dir)] = v.text(path)
		}
		return err
	}); err != nil {
		v.t.Fatal(err)
	}
	return all
}

func sameFiles(t *testing.T, want, got map[string]string) {
	t.Helper()
	if maps.Equal(want, got) {
		return
	}
	for name := range want {
		if got[name] != want[name] {
			t.Errorf("%s is not as in a search that was not killed: %d bytes, not %d", name, len(got[name]), len(want[name]))
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			t.Errorf("%s is not there in a search that was not killed", name)
		}
	}
}
