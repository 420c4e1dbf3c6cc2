package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"
)

// program is a workbench in a process of its own, on a copy of the examples.
type program struct {
	cmd    *exec.Cmd
	base   *url.URL // of its requests, on 127.0.0.1
	folder string
	says   strings.Builder // on standard error, after its address
	read   sync.WaitGroup
}

var addressLine = regexp.MustCompile(`is at (http://127\.0\.0\.1:\d+)/$`)

// begin starts a workbench on a copy of the engines, briefs and studies of a folder.
func begin(ctx context.Context, binary, examples string) (*program, error) {
	folder, err := os.MkdirTemp("", "crankwright-load-")
	if err != nil {
		return nil, err
	}
	p := &program{folder: folder}
	files, err := filepath.Glob(filepath.Join(examples, "*.yaml"))
	if err == nil && len(files) == 0 {
		err = fmt.Errorf("%s: there are no files to serve; run this in the folder of the sources", examples)
	}
	for _, f := range files {
		if err == nil {
			err = copyFile(f, filepath.Join(folder, filepath.Base(f)))
		}
	}
	if err == nil {
		err = p.start(ctx, binary)
	}
	if err != nil {
		return nil, errors.Join(err, os.RemoveAll(folder))
	}
	return p, nil
}

func copyFile(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	return os.WriteFile(to, data, 0o644)
}

func (p *program) start(ctx context.Context, binary string) error {
	p.cmd = exec.CommandContext(ctx, binary, "serve", p.folder, "--addr", "127.0.0.1:0")
	// all goroutines of it on SIGQUIT
	p.cmd.Env = append(os.Environ(), "GOTRACEBACK=all")
	out, err := p.cmd.StderrPipe()
	if err != nil {
		return err
	}
	if err := p.cmd.Start(); err != nil {
		return fmt.Errorf("%w; make build builds it", err)
	}
	lines := bufio.NewReader(out)
	line, err := lines.ReadString('\n')
	m := addressLine.FindStringSubmatch(strings.TrimSpace(line))
	if err != nil || m == nil {
		return errors.Join(fmt.Errorf("it says %q instead of its address", line), err, p.cmd.Process.Kill(), p.cmd.Wait())
	}
	p.read.Go(func() { _, _ = io.Copy(&p.says, lines) })
	p.base, err = url.Parse(m[1])
	return err
}

// held is what the process holds.
type held struct {
	resident float64 // memory [MB]
	files    int     // that are open, connections among them
	threads  int
}

// holds reads that from /proc.
func (p *program) holds() (h held, err error) {
	proc := filepath.Join("/proc", strconv.Itoa(p.cmd.Process.Pid))
	open, err := os.ReadDir(filepath.Join(proc, "fd"))
	if err != nil {
		return h, fmt.Errorf("the workbench has ended: %w", err)
	}
	h.files = len(open)
	status, err := os.ReadFile(filepath.Join(proc, "status"))
	if err != nil {
		return h, err
	}
	for line := range strings.Lines(string(status)) {
		key, value, _ := strings.Cut(line, ":")
		number, _, _ := strings.Cut(strings.TrimSpace(value), " ")
		n, _ := strconv.Atoi(number)
		switch key {
		case "VmRSS":
			h.resident = float64(n) * 1024 / 1e6
		case "Threads":
			h.threads = n
		}
	}
	return h, nil
}

var goroutine = regexp.MustCompile(`(?m)^goroutine \d+ .*\[.*\]:$`)

// end has the process write down its goroutines, counts them, and removes its folder. said is what it said before that.
func (p *program) end() (goroutines int, said string, err error) {
	if err := p.cmd.Process.Signal(syscall.SIGQUIT); err != nil {
		return 0, "", err
	}
	late := time.AfterFunc(20*time.Second, func() { _ = p.cmd.Process.Kill() })
	defer late.Stop()
	p.read.Wait()
	_ = p.cmd.Wait() // it ends with an error: that of the signal
	said, dump, _ := strings.Cut(strings.TrimPrefix(p.says.String(), "Ctrl-C ends it.\n"), "SIGQUIT: quit")
	return len(goroutine.FindAllString(dump, -1)), strings.TrimSpace(said), os.RemoveAll(p.folder)
}
