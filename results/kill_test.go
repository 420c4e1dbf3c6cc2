package results

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// killedIn makes a process of this test that runs a study in a folder and may be killed; killedBreeding makes of it an
// evolutionary search.
const (
	killedIn       = "CRANKWRIGHT_TEST_RESULTS"
	killedBreeding = "CRANKWRIGHT_TEST_BREEDING"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(killedIn); dir != "" {
		if err := runSlowly(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func runSlowly(dir string) error {
	p := usual
	p.each = func() { time.Sleep(20 * time.Microsecond) }
	begin := func() (*Folder, error) { return Create(dir, p, bundle) }
	if os.Getenv(killedBreeding) != "" {
		begin = func() (*Folder, error) { return CreateEvolution(dir, p, bundle, longer) }
	}
	f, err := begin()
	if err != nil {
		return err
	}
	fmt.Println("begins")
	return Run(context.Background(), p, f, Options{Processors: 2})
}

// A process that is killed at any moment, again and again, leaves the bytes of one that was not.
func TestKilledAtAnyMoment(t *testing.T) { killed(t, ran(t, usual).Dir()) }

// longer is an evolutionary search that looks at nearly as many candidates as a search of all.
var longer = Evolution{Seed: 5, Size: 50, Evaluations: 2350, Still: 1000}

// The same of an evolutionary search.
func TestBreedingKilledAtAnyMoment(t *testing.T) {
	killed(t, evolved(t, usual, longer, 1).Dir(), killedBreeding+"=1")
}

func killed(t *testing.T, whole string, more ...string) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	want := content(t, whole)
	dir := filepath.Join(t.TempDir(), "results")
	chance := rand.New(rand.NewPCG(9, 50))
	// began is closed when the process has its folder, however long a loaded machine takes to start it
	start := func() (c *exec.Cmd, began chan struct{}, ended chan error) {
		c = exec.Command(self)
		c.Env, c.Stderr = append(append(os.Environ(), killedIn+"="+dir), more...), os.Stderr
		out, err := c.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		began, ended = make(chan struct{}), make(chan error, 1)
		go func() {
			_, _ = out.Read(make([]byte, 1))
			close(began)
			_, _ = io.Copy(io.Discard, out)
			ended <- c.Wait()
		}()
		return c, began, ended
	}
	partly, finished := 0, 0
	for killed := 0; killed < 50; {
		c, began, ended := start()
		if chance.IntN(5) > 0 { // else also while the folder is made
			<-began
		}
		select {
		case err := <-ended:
			if err != nil {
				t.Fatal(err)
			}
			finished++
			same(t, want, content(t, dir))
			if err := os.RemoveAll(dir); err != nil { // and from the start
				t.Fatal(err)
			}
		case <-time.After(time.Duration(chance.Int64N(int64(120 * time.Millisecond)))):
			if err := c.Process.Kill(); err != nil {
				t.Log(err) // it has just ended
			}
			if err := <-ended; err == nil {
				continue
			}
			killed++
			if n, _ := filepath.Glob(filepath.Join(dir, shardsName, "*"+shardEnd)); len(n) > 0 && len(n) < 47 {
				partly++
			}
		}
	}
	if partly < 10 {
		t.Errorf("only %d of 50 were killed halfway: the test decides little", partly)
	}
	_, _, ended := start()
	if err := <-ended; err != nil {
		t.Fatal(err)
	}
	same(t, want, content(t, dir))
	t.Logf("killed halfway %d times of 50, finished %d times", partly, finished)
}
