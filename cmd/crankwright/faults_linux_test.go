package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"crankwright/server"
)

// onDisk is a workbench whose folder is a small file system of its own, which only this process sees: mounted in a namespace,
// as root or as a user whom the system lets.
type onDisk struct {
	*serving
	inside string // the folder, as seen from here
}

// serveOn starts it; mount are shell commands that make the folder $1. It tells whether the system allows that.
func serveOn(t *testing.T, mount string) (o onDisk, allowed bool) {
	t.Helper()
	folder := t.TempDir()
	isolate := func(args ...string) *exec.Cmd {
		c := exec.CommandContext(t.Context(), "sh", append([]string{"-ec", "mount --make-rprivate /; " + mount + `; shift; exec "$@"`, "sh", folder}, args...)...)
		c.SysProcAttr = &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNS}
		if os.Geteuid() != 0 {
			c.SysProcAttr.Cloneflags |= syscall.CLONE_NEWUSER
			c.SysProcAttr.UidMappings = []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getuid(), Size: 1}}
			c.SysProcAttr.GidMappings = []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getgid(), Size: 1}}
		}
		return c
	}
	if out, err := isolate("true").CombinedOutput(); err != nil {
		t.Logf("this system lets nobody mount (%v %s)", err, out)
		return o, false
	}
	o.serving = serveThe(t, isolate("crankwright", "serve", "--addr", "127.0.0.1:0", folder))
	o.inside = filepath.Join("/proc", strconv.Itoa(o.cmd.Process.Pid), "root", folder)
	return o, true
}

const engineFile = "vee-eight-90-cross.engine.yaml"

func exampleEngine(t *testing.T) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("../../examples", engineFile))
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// saves sends an edit and returns the status and what is said.
func (s *serving) saves(t *testing.T, bore string) (status int, said string) {
	t.Helper()
	var v server.EngineView
	if _, err := call("GET", s.url+"/api/engines/"+engineFile, nil, &v); err != nil {
		t.Fatal(err)
	}
	return s.sends(t, "PUT", "/api/engines/"+engineFile, server.SaveRequest{Etag: v.Etag, Edits: []server.Edit{{Path: "bore", Text: &bore}}})
}

func (s *serving) sends(t *testing.T, method, path string, body any) (status int, said string) {
	t.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.NewRequestWithContext(t.Context(), method, s.url+path, bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	all, _ := io.ReadAll(answer.Body)
	return answer.StatusCode, string(all)
}

// refuses demands that nothing can be saved, that the answers say why, that the files stay as they are, and that all else works.
func (s *serving) refuses(t *testing.T, folder, why string) {
	t.Helper()
	before := namesIn(t, folder)
	text := readText(t, filepath.Join(folder, engineFile))
	long := text + strings.Repeat("# a long text\n", 8000) // longer than any room that is left
	for what, ask := range map[string]func() (int, string){
		"a new engine": func() (int, string) {
			return s.sends(t, "POST", "/api/engines", server.NewEngineRequest{Text: &long, File: "new"})
		},
		"a snapshot": func() (int, string) {
			return s.sends(t, "POST", "/api/snapshots", server.SnapshotRequest{Name: "now"})
		},
		"a save": func() (int, string) { return s.saves(t, "80 mm") },
	} {
		if status, said := ask(); status < 500 || !strings.Contains(said, why) {
			t.Errorf("%s: %d %s", what, status, said)
		}
	}
	if now := readText(t, filepath.Join(folder, engineFile)); now != text {
		t.Error("the file is not as it was")
	}
	if after := namesIn(t, folder); after != before {
		t.Errorf("in the folder is %s; it was %s", after, before)
	}
	var l server.LineUp
	if status, err := call("GET", s.url+"/api/lineup", nil, &l); err != nil || status != 200 || len(l.Engines) != 1 || l.Engines[0].Problems != 0 || len(l.Snapshots) != 0 {
		t.Errorf("the line-up: %d %v %+v", status, err, l)
	}
}

func readText(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// namesIn lists what the user sees in a folder, and what is left of writing.
func namesIn(t *testing.T, folder string) string {
	t.Helper()
	list, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range list {
		if e.Name() != ".crankwright" {
			names = append(names, e.Name())
		}
	}
	return strings.Join(names, " ")
}

// TestDiskFull fills the disk on which the workbench saves, and gives room again.
func TestDiskFull(t *testing.T) {
	s, allowed := serveOn(t, `mount -t tmpfs -o size=96k,mode=755 none "$1"; cp `+exampleEngine(t)+` "$1"`)
	if allowed {
		filler := filepath.Join(s.inside, "filler")
		f, err := os.Create(filler)
		if err != nil {
			t.Fatal(err)
		}
		for err == nil {
			_, err = f.Write(make([]byte, 4096))
		}
		_ = f.Close()
		s.refuses(t, s.inside, "no space left on device")
		if err := os.Remove(filler); err != nil {
			t.Fatal(err)
		}
		if status, said := s.saves(t, "81 mm"); status != 200 || !strings.Contains(readText(t, filepath.Join(s.inside, engineFile)), "bore: 81 mm") {
			t.Errorf("with room again: %d %s", status, said)
		}
		_ = s.cmd.Process.Kill()
		s.end()
	}
	// A limit of the size of files does the same to anybody.
	folder := t.TempDir()
	if out, err := exec.CommandContext(t.Context(), "cp", exampleEngine(t), folder).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	limited := func(blocks string, args ...string) *exec.Cmd {
		c := exec.CommandContext(t.Context(), "sh", append([]string{"-ec", "ulimit -f " + blocks + `; exec "$@"`, "sh"}, args...)...)
		c.Dir = folder
		return c
	}
	l := serveThe(t, limited("0", "crankwright", "serve", "--addr", "127.0.0.1:0", folder))
	l.refuses(t, folder, "file too large")
	_ = l.cmd.Process.Kill()
	l.end()
	before := namesIn(t, folder)
	for _, args := range [][]string{
		{"report", engineFile, "-o", "report.md"},
		{"compare", engineFile, "--html", "page.html"},
		{"figure", engineFile, "end-view", "-o", "view.svg"},
		{"new", "inline-4", "-o", "new.engine.yaml"},
		{"balance", "counterweights", engineFile, "--write"},
	} {
		out, err := limited("0", append([]string{"crankwright"}, args...)...).CombinedOutput()
		if err == nil || !strings.Contains(string(out), "cannot be written: file too large") || !strings.Contains(string(out), args[len(args)-1]) && args[0] != "balance" {
			t.Errorf("%v: %v %s", args, err, out)
		}
	}
	if after := namesIn(t, folder); after != before {
		t.Errorf("in the folder is %s; it was %s", after, before)
	}
	if out, err := exec.CommandContext(t.Context(), "sh", "-c", "crankwright compare "+exampleEngine(t)+" > /dev/full").CombinedOutput(); err == nil || !strings.Contains(string(out), "standard output: ") {
		t.Errorf("into a full pipe: %v %s", err, out)
	}
}

// TestSearchOnFullDisk stops a search for want of room. With room it goes on, and finds what one finds that always had it.
func TestSearchOnFullDisk(t *testing.T) {
	v := newVictims(t, "inline-four-flat.engine.yaml")
	v.put("killed.study.yaml", killedStudy)
	search := func(to string) []string { return []string{"study", "run", "killed.study.yaml", "--quiet", "-o", to} }
	v.runs(search("whole.results")...)
	want := v.results("whole.results")
	for _, blocks := range []string{"0", "2", "8"} {
		c, said := v.command(search("short.results")...)
		c.Path, c.Args = "/bin/sh", append([]string{"sh", "-ec", "ulimit -f " + blocks + `; exec "$@"`, "sh"}, c.Args...)
		if err := c.Run(); err == nil || !strings.Contains(said.String(), "file too large") {
			t.Errorf("with %s blocks: %v %s", blocks, err, said)
		}
	}
	v.runs(search("short.results")...)
	sameFiles(t, want, v.results("short.results"))
}

// TestReadOnlyFolder serves a folder in which nothing may be written: on a disk that is mounted so, and by its permissions, to
// which root is bound without its capabilities.
func TestReadOnlyFolder(t *testing.T) {
	s, allowed := serveOn(t, `mount -t tmpfs none "$1"; cp `+exampleEngine(t)+` "$1"; mount -o remount,ro "$1"`)
	if allowed {
		s.refuses(t, s.inside, "read-only file system")
		_ = s.cmd.Process.Kill()
		s.end()
	}
	folder := t.TempDir()
	if out, err := exec.CommandContext(t.Context(), "cp", exampleEngine(t), folder).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	for name, mode := range map[string]os.FileMode{folder: 0o555, filepath.Join(folder, engineFile): 0o444} {
		if err := os.Chmod(name, mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { _ = os.Chmod(folder, 0o755) })
	p := serveThe(t, bound(t, "crankwright", "serve", "--addr", "127.0.0.1:0", folder))
	p.refuses(t, folder, "permission denied")

	// One file that may not be read keeps nobody from the others.
	for name, mode := range map[string]os.FileMode{folder: 0o755, filepath.Join(folder, engineFile): 0o644} {
		if err := os.Chmod(name, mode); err != nil {
			t.Fatal(err)
		}
	}
	secret := filepath.Join(folder, "secret.engine.yaml")
	if err := os.WriteFile(secret, []byte(readText(t, exampleEngine(t))), 0o000); err != nil {
		t.Fatal(err)
	}
	var l server.LineUp
	if status, err := call("GET", p.url+"/api/lineup", nil, &l); err != nil || status != 200 || len(l.Engines) != 2 || l.Engines[0].Problems != 1 || l.Engines[1].Problems != 0 {
		t.Errorf("with a file that may not be read: %d %v %+v", status, err, l.Engines)
	}
	var e server.EngineView
	if status, err := call("GET", p.url+"/api/engines/secret.engine.yaml", nil, &e); err != nil || status != 200 || len(e.Problems) != 1 || !strings.Contains(e.Problems[0].What, "cannot be read: permission denied") {
		t.Errorf("of the file itself it says %d %v %+v", status, err, e.Problems)
	}
	if status, said := p.sends(t, "PUT", "/api/engines/secret.engine.yaml", server.SaveRequest{Etag: e.Etag, Text: &e.Text, AllowProblems: true}); status < 400 {
		t.Errorf("a file that may not be read is written over: %d %s", status, said)
	}
	if err := os.Chmod(secret, 0o644); err != nil {
		t.Fatal(err)
	}
	if status, err := call("GET", p.url+"/api/lineup", nil, &l); err != nil || status != 200 || l.Engines[0].Problems != 0 {
		t.Errorf("when it may be read again: %d %v %+v", status, err, l.Engines)
	}
	_ = p.cmd.Process.Kill()
	p.end()
}

// bound is a command that permissions bind, also where the test runs as root.
func bound(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	if os.Geteuid() == 0 {
		args = append([]string{"setpriv", "--bounding-set=-all", "--inh-caps=-all"}, args...)
	}
	return exec.CommandContext(t.Context(), args[0], args[1:]...)
}
