// Command release makes what is handed out of the commit that is checked out: for every platform one static binary in an
// archive with licence, README, documentation, examples and the licences of what it is built from; beside each archive
// the bill of materials of its binary, in CycloneDX; and the checksums of all. The same commit, made with the same
// version of Go, gives the same bytes on any machine and in any folder: make release-check proves it.
package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	cdx "github.com/CycloneDX/cyclonedx-go"
)

const (
	platforms = "linux/amd64 linux/arm64 darwin/amd64 darwin/arm64 windows/amd64 windows/arm64"
	generator = "github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod"
	command   = "cmd/crankwright"
)

// release is a commit that is handed out.
type release struct {
	root            string // folder of the project
	out             string // folder that the release goes into
	version, commit string
	made            time.Time // when the commit was made; every file of the release has this time
	lister          string    // the program that lists the Go modules in a binary
	front           *cdx.BOM  // the npm packages in the front end
	alike           []file    // what every archive has beside the command and licences of others
}

func main() {
	ctx, done := signal.NotifyContext(context.Background(), os.Interrupt)
	defer done()
	if err := run(ctx, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string) error {
	f := flag.NewFlagSet("release", flag.ContinueOnError)
	root := f.String("root", "../..", "folder of the project")
	which := f.String("platforms", platforms, "what to build for, such as 'linux/amd64 windows/arm64'")
	if err := f.Parse(args); err != nil {
		return err
	}
	if *which == "" {
		*which = platforms
	}
	r, err := open(ctx, *root)
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(filepath.Dir(r.lister)) }()
	for _, name := range strings.Fields(*which) {
		p, err := platformNamed(name)
		if err != nil {
			return err
		}
		if err := r.make(ctx, p); err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
	}
	list, err := sums(r.out)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(r.out, "SHA256SUMS"), list, 0o644); err != nil {
		return err
	}
	_, err = fmt.Printf("%s of %s is in %s\n", r.version, r.commit, r.out)
	return err
}

// open empties the folder of releases and gathers what all platforms share.
func open(ctx context.Context, root string) (*release, error) {
	root, err := filepath.Abs(root)
	if err != nil {
		return nil, err
	}
	r := &release{root: root, out: filepath.Join(root, "out", "release")}
	stamp, err := r.said(ctx, nil, filepath.Join(root, "tools", "stamp.sh"))
	if err != nil {
		return nil, err
	}
	if err := r.stamp(string(stamp)); err != nil {
		return nil, err
	}
	if r.front, err = readBill(filepath.Join(root, "out", "sbom", "front.json")); err != nil {
		return nil, err
	}
	if r.alike, err = r.tracked(ctx, "LICENSE", "README.md", "CHANGELOG.md", "docs", "examples"); err != nil {
		return nil, err
	}
	if err := errors.Join(os.RemoveAll(r.out), os.MkdirAll(r.out, 0o755)); err != nil {
		return nil, err
	}
	tools, err := os.MkdirTemp("", "crankwright-release-*")
	if err != nil {
		return nil, err
	}
	r.lister = filepath.Join(tools, "lister")
	_, err = r.said(ctx, nil, "go", "-C", filepath.Join(root, "tools", "release"), "build", "-trimpath", "-o", r.lister, generator)
	return r, err
}

// stamp takes version, commit and time from what tools/stamp.sh prints.
func (r *release) stamp(said string) error {
	w := strings.Fields(said)
	if len(w) != 3 {
		return errors.New("there is no commit to release; run it in a clone of the project")
	}
	at, err := strconv.ParseInt(w[2], 10, 64)
	if err != nil {
		return fmt.Errorf("tools/stamp.sh gave no time: %w", err)
	}
	r.version, r.commit, r.made = w[0], w[1], time.Unix(at, 0).UTC()
	return nil
}

// tracked reads the files that git tracks below the paths given; Go files are left out.
func (r *release) tracked(ctx context.Context, paths ...string) ([]file, error) {
	names, err := r.said(ctx, nil, "git", append([]string{"ls-files", "-z", "--"}, paths...)...)
	if err != nil {
		return nil, err
	}
	var all []file
	for name := range strings.SplitSeq(strings.TrimRight(string(names), "\x00"), "\x00") {
		if strings.HasSuffix(name, ".go") {
			continue
		}
		data, err := os.ReadFile(filepath.Join(r.root, filepath.FromSlash(name)))
		if err != nil {
			return nil, err
		}
		all = append(all, file{name: name, data: data})
	}
	return all, nil
}

// make writes the archive of one platform and the bill of materials of its binary.
func (r *release) make(ctx context.Context, p platform) error {
	name := "crankwright-" + r.version + "-" + p.os + "-" + p.arch
	binary, err := r.build(ctx, p)
	if err != nil {
		return err
	}
	licences, err := r.licences(ctx, p)
	if err != nil {
		return err
	}
	files := append([]file{
		{name: p.binary(), data: binary, run: true},
		{name: "LICENCES-OF-OTHERS.txt", data: licences},
	}, r.alike...)
	var archive bytes.Buffer
	if err := p.pack(&archive, name, files, r.made); err != nil {
		return err
	}
	found, err := r.said(ctx, p.env(), r.lister, "app", "-json", "-noserial", "-std", "-licenses", "-main", command, r.root)
	if err != nil {
		return err
	}
	modules, err := parseBill(found)
	if err != nil {
		return err
	}
	bill, err := encodeBill(r.bill(modules, p, binary))
	if err != nil {
		return err
	}
	return errors.Join(
		os.WriteFile(filepath.Join(r.out, name+p.suffix()), archive.Bytes(), 0o644),
		os.WriteFile(filepath.Join(r.out, name+".cdx.json"), bill, 0o644),
	)
}

// build returns the binary of one platform.
func (r *release) build(ctx context.Context, p platform) ([]byte, error) {
	folder, err := os.MkdirTemp("", "crankwright-release-*")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	path := filepath.Join(folder, p.binary())
	args := []string{
		"build", "-trimpath", "-buildvcs=false", "-o", path,
		"-ldflags", "-s -w -X main.stamped=" + r.version + " -X main.commit=" + r.commit,
	}
	if flags := p.compiler(); flags != "" {
		args = append(args, "-gcflags", flags)
	}
	if _, err := r.said(ctx, p.env(), "go", append(args, "./"+command)...); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
}

// said runs a program in the folder of the project and returns what it prints; its complaints are in the error.
func (r *release) said(ctx context.Context, env []string, name string, args ...string) ([]byte, error) {
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Dir, cmd.Env = r.root, append(os.Environ(), env...)
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("%s: %w\n%s", filepath.Base(name), err, complaints.Bytes())
	}
	return out, nil
}
