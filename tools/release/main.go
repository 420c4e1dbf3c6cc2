// Command release makes what is handed out of the commit that is checked out: for every platform one static binary in an
// archive with licence, README, documentation, examples and the licences of what it is built of; beside each archive
// the bill of materials of its binary, in CycloneDX; and the checksums of all. The same commit, made with the same
// version of Go, gives the same bytes on any machine and in any folder: make release-check proves it.
package main

import (
	"bytes"
	"context"
	"debug/buildinfo"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"crankwright/tools/thirdparty"
)

// command is the program that is handed out.
const command = "./cmd/crankwright"

// release is a commit that is handed out.
type release struct {
	root            string // folder of the project
	out             string // folder that the release goes into
	said            string // what tools/stamp.sh prints
	version, commit string
	made            time.Time         // when the commit was made; every file of the release has this time
	front           []thirdparty.Part // the npm packages in the front end
	alike           []file            // what every archive has beside the command and licences of others
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
	which := f.String("platforms", "", "what to build for, such as 'linux/amd64 windows/arm64' (default: all)")
	if err := f.Parse(args); err != nil {
		return err
	}
	names := strings.Fields(*which)
	if len(names) == 0 {
		names = thirdparty.Platforms
	}
	var list []platform
	for _, name := range names {
		p, err := platformNamed(name)
		if err != nil {
			return err
		}
		list = append(list, p)
	}
	r, err := open(ctx, ".")
	if err != nil {
		return err
	}
	for _, p := range list {
		if err := r.make(ctx, p); err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
	}
	sum, err := sums(r.out)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(r.out, "SHA256SUMS"), sum, 0o644); err != nil {
		return err
	}
	_, err = fmt.Printf("%s of commit %s is in %s\n", r.version, r.commit, r.out)
	return err
}

// open empties the folder of releases and gathers what all platforms share.
func open(ctx context.Context, root string) (*release, error) {
	r := &release{root: root, out: filepath.Join(root, "out", "release")}
	stamp, err := r.run(ctx, nil, "tools/stamp.sh")
	if err != nil {
		return nil, err
	}
	if err := r.stamp(string(stamp)); err != nil {
		return nil, err
	}
	if r.front, err = thirdparty.Bundled(root); err != nil {
		return nil, err
	}
	if r.alike, err = r.tracked(ctx, "LICENSE", "README.md", "CHANGELOG.md", "docs", "examples"); err != nil {
		return nil, err
	}
	return r, errors.Join(os.RemoveAll(r.out), os.MkdirAll(r.out, 0o755))
}

// stamp takes version, commit and time from what tools/stamp.sh prints.
func (r *release) stamp(said string) error {
	w := strings.Fields(said)
	if len(w) != 3 {
		return errors.New("there is no commit to release; run it in a clone of the project, with git")
	}
	made, err := time.Parse(time.RFC3339, w[2])
	if err != nil {
		return fmt.Errorf("tools/stamp.sh gave no time: %w", err)
	}
	r.said, r.version, r.commit, r.made = strings.Join(w, " "), w[0], w[1], made.UTC()
	return nil
}

// tracked reads the files that git tracks below the paths given; Go files are left out.
func (r *release) tracked(ctx context.Context, paths ...string) ([]file, error) {
	names, err := r.run(ctx, nil, "git", append([]string{"ls-files", "-z", "--"}, paths...)...)
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
	modules, err := thirdparty.Modules(r.root, p.String())
	if err != nil {
		return err
	}
	if err := agree(modules, binary); err != nil {
		return err
	}
	texts, err := textsOf(slices.Concat(modules, r.front))
	if err != nil {
		return err
	}
	files := append([]file{
		{name: p.binary(), data: binary, run: true},
		{name: "LICENCES-OF-OTHERS.txt", data: texts},
	}, r.alike...)
	var archive bytes.Buffer
	if err := p.pack(&archive, name, files, r.made); err != nil {
		return err
	}
	bill, err := r.bill(modules, r.front, p, binary)
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
	args := []string{"build", "-trimpath", "-buildvcs=false", "-o", path, "-ldflags", "-s -w -X 'main.stamp=" + r.said + "'"}
	if flags := p.compiler(); flags != "" {
		args = append(args, "-gcflags", flags)
	}
	if _, err := r.run(ctx, p.env(), "go", append(args, command)...); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
}

// agree holds the modules that a bill lists against those that the compiler wrote into the binary.
func agree(modules []thirdparty.Part, binary []byte) error {
	info, err := buildinfo.Read(bytes.NewReader(binary))
	if err != nil {
		return err
	}
	var listed, found []string
	for _, m := range modules {
		if m.Name != thirdparty.Standard {
			listed = append(listed, m.Name+" "+m.Version)
		}
	}
	for _, m := range info.Deps {
		found = append(found, m.Path+" "+m.Version)
	}
	slices.Sort(found)
	slices.Sort(listed)
	if !slices.Equal(listed, found) {
		return fmt.Errorf("the modules listed are not those in the binary:\n%v\n%v", listed, found)
	}
	return nil
}

// textsOf is the licences of everything that a binary is built of.
func textsOf(parts []thirdparty.Part) ([]byte, error) {
	var out bytes.Buffer
	out.WriteString("Crankwright is built of these parts, on the terms that follow each.\n")
	for _, p := range parts {
		texts, err := p.Texts()
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&out, "\n%s\n%s %s\n\n", strings.Repeat("=", 100), p.Name, p.Version)
		out.Write(texts)
	}
	return out.Bytes(), nil
}

// run runs a program in the folder of the project and returns what it prints; its complaints are in the error.
func (r *release) run(ctx context.Context, env []string, name string, args ...string) ([]byte, error) {
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
