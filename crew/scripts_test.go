package crew_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// script runs a script for a batch scheduler in a folder, with a program that only says what it was asked.
func script(t *testing.T, dir, name string, env []string, args ...string) string {
	t.Helper()
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Fatal("there is no bash: apt-get install bash brings it")
	}
	path, err := filepath.Abs(filepath.Join("..", "examples", "cluster", name))
	if err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(bash, "-n", path).CombinedOutput(); err != nil {
		t.Fatalf("%s: %s", name, out)
	}
	c := exec.Command(bash, append([]string{path}, args...)...)
	c.Dir = dir
	c.Env = append(append(os.Environ(), "CRANKWRIGHT=echo"), env...)
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %s", name, out)
	}
	return strings.TrimSpace(string(out))
}

// TestScripts runs leader and worker as a cluster would.
func TestScripts(t *testing.T) {
	dir := t.TempDir()
	lead := script(t, dir, "lead.sbatch", []string{"PORT=4333"}, "pilot.study.yaml")
	if want := "study run pilot.study.yaml --share 0.0.0.0:4333 --token-file token"; lead != want {
		t.Errorf("%s; wanted: %s", lead, want)
	}
	token, err := os.ReadFile(filepath.Join(dir, "token"))
	if err != nil || len(token) != 48 {
		t.Errorf("the token is %q, %v; wanted 48 digits", token, err)
	}
	info, err := os.Stat(filepath.Join(dir, "token"))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("others can read the token: %v, %v", info.Mode(), err)
	}
	script(t, dir, "lead.sbatch", nil, "pilot.study.yaml")
	if again, err := os.ReadFile(filepath.Join(dir, "token")); err != nil || string(again) != string(token) {
		t.Errorf("a leader that comes back has the token %q, %v; wanted: %q", again, err, token)
	}
	address, err := os.ReadFile(filepath.Join(dir, "address"))
	if err != nil {
		t.Fatal(err)
	}
	work := script(t, dir, "workers.sbatch", []string{"SLURM_CPUS_PER_TASK=4"})
	if want := "study worker " + strings.TrimSpace(string(address)) + " --once --processors 4 --token-file token"; work != want {
		t.Errorf("%s; wanted: %s", work, want)
	}
	work = script(t, t.TempDir(), "workers.sbatch", []string{"AT=tls://login:4222", "CREDS=a b.creds", "CA=ca.pem"})
	if want := "study worker tls://login:4222 --once --processors 1 --creds a b.creds --ca ca.pem"; work != want {
		t.Errorf("%s; wanted: %s", work, want)
	}
}
