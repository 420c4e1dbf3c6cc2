package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	cdx "github.com/CycloneDX/cyclonedx-go"

	"crankwright/tools/thirdparty"
)

var (
	made  = time.Date(2026, 11, 26, 12, 20, 1, 0, time.UTC)
	small = []file{
		{name: "docs/notation.md", data: []byte("θ")},
		{name: "crankwright", data: []byte("binary"), run: true},
	}
)

// The sequence in which files are found does not matter, nor does the time zone of the machine.
func TestArchivesAreTheSame(t *testing.T) {
	other := []file{small[1], small[0]}
	for _, name := range []string{"linux/amd64", "windows/arm64"} {
		p, err := platformNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		var a, b bytes.Buffer
		if err := p.pack(&a, "crankwright-v1", small, made); err != nil {
			t.Fatal(err)
		}
		if err := p.pack(&b, "crankwright-v1", other, made.In(time.FixedZone("east", 3600))); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: the same files give other bytes", name)
		}
	}
}

func TestTarballOpens(t *testing.T) {
	var a bytes.Buffer
	if err := tarball(&a, "crankwright-v1", small, made); err != nil {
		t.Fatal(err)
	}
	zr, err := gzip.NewReader(&a)
	if err != nil {
		t.Fatal(err)
	}
	tr := tar.NewReader(zr)
	for _, want := range []struct {
		name, text string
		mode       int64
	}{{"crankwright-v1/crankwright", "binary", 0o755}, {"crankwright-v1/docs/notation.md", "θ", 0o644}} {
		h, err := tr.Next()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(tr)
		if err != nil || h.Name != want.name || string(text) != want.text || h.Mode != want.mode || !h.ModTime.Equal(made) {
			t.Errorf("%s (%o, %s) %q, %v; want %+v", h.Name, h.Mode, h.ModTime, text, err, want)
		}
	}
	if _, err := tr.Next(); err != io.EOF {
		t.Errorf("after the last file: %v", err)
	}
}

func TestZipOpens(t *testing.T) {
	var a bytes.Buffer
	if err := zipped(&a, "crankwright-v1", small, made); err != nil {
		t.Fatal(err)
	}
	zr, err := zip.NewReader(bytes.NewReader(a.Bytes()), int64(a.Len()))
	if err != nil {
		t.Fatal(err)
	}
	f := zr.File[0]
	if len(zr.File) != 2 || f.Name != "crankwright-v1/crankwright" || f.Mode() != 0o755 || !f.Modified.Equal(made) {
		t.Errorf("%d files, first %s, mode %v, time %v", len(zr.File), f.Name, f.Mode(), f.Modified)
	}
}

// abc is the SHA-256 of these letters: FIPS 180-2, appendix B.1.
const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

func TestSums(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"b", "a"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte("abc"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got, err := sums(folder)
	if want := abc + "  a\n" + abc + "  b\n"; err != nil || string(got) != want {
		t.Errorf("%q, %v; want %q", got, err, want)
	}
}

func TestPlatforms(t *testing.T) {
	if _, err := platformNamed("plan9/386"); err == nil || !strings.Contains(err.Error(), "windows/arm64") {
		t.Errorf("no word on what is possible: %v", err)
	}
	for _, name := range thirdparty.Platforms {
		if p, err := platformNamed(name); err != nil || p.String() != name {
			t.Errorf("%s reads %v, %v", name, p, err)
		}
	}
}

func TestStamp(t *testing.T) {
	var r release
	if err := r.stamp("v0.1.0 0123abcd 2026-11-26T12:20:01Z\n"); err != nil || r.version != "v0.1.0" || r.commit != "0123abcd" || !r.made.Equal(made) {
		t.Errorf("%+v, %v", r, err)
	}
	for _, wrong := range []string{"", "v0.1.0 0123abcd today"} {
		if err := r.stamp(wrong); err == nil {
			t.Errorf("%q: no error", wrong)
		}
	}
}

// TestStampOfAClone makes commits, tags and changes in a folder of its own and holds what tools/stamp.sh says of them.
func TestStampOfAClone(t *testing.T) {
	folder := t.TempDir()
	script, err := os.ReadFile("../stamp.sh")
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	run := func(name string, args ...string) string {
		t.Helper()
		cmd := exec.Command(name, args...)
		cmd.Dir = folder
		cmd.Env = append(
			os.Environ(), "GIT_CEILING_DIRECTORIES="+filepath.Dir(folder), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull,
			"GIT_AUTHOR_NAME=a", "GIT_AUTHOR_EMAIL=a@b", "GIT_COMMITTER_NAME=a", "GIT_COMMITTER_EMAIL=a@b",
			"GIT_COMMITTER_DATE=2026-11-26T13:20:01+01:00", "TZ=Asia/Tokyo",
		)
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s %v: %v\n%s", name, args, err, out)
		}
		return string(out)
	}
	stamp := func(pattern string) string {
		t.Helper()
		said := run("tools/stamp.sh")
		if !regexp.MustCompile("^" + pattern + "$").MatchString(strings.TrimSpace(said)) {
			t.Errorf("the stamp is %q, want %s", said, pattern)
		}
		return said
	}
	if err := os.Mkdir(filepath.Join(folder, "tools"), 0o700); err != nil {
		t.Fatal(err)
	}
	write("tools/stamp.sh", string(script))
	write(".gitignore", "built\n")
	write("built", "changes nothing")
	const commit = " [0-9a-f]{40} 2026-11-26T12:20:01Z"

	stamp("") // no clone
	run("git", "init", "-q")
	stamp("") // no commit
	run("git", "add", ".")
	run("git", "commit", "-qm", "one")
	stamp("v0.0.0-g[0-9a-f]{12}" + commit)
	run("git", "tag", "-am", "first", "v1.2.3")
	stamp("v1.2.3" + commit)
	write("a", "1")
	one := stamp("v1.2.3-changed-[0-9a-f]{8}" + commit) // a file that git does not know
	run("git", "add", ".")
	run("git", "commit", "-qm", "two")
	stamp("v1.2.3-1-g[0-9a-f]{12}" + commit)
	write("a", "2")
	two := stamp("v1.2.3-1-g[0-9a-f]{12}-changed-[0-9a-f]{8}" + commit)
	write("a", "3")
	if three := stamp("v1.2.3-1-g[0-9a-f]{12}-changed-[0-9a-f]{8}" + commit); three == two || two == one {
		t.Errorf("two trees have one stamp: %s", three)
	}
}

func TestBill(t *testing.T) {
	r := release{version: "v0.1.0", commit: "0123abcd", made: made}
	linux := platform{"linux", "amd64"}
	modules := []thirdparty.Part{{Name: thirdparty.Standard, Licences: []string{"BSD-3-Clause"}}, {Name: "x/a", Version: "v1+incompatible", Licences: []string{"MIT", "public domain"}}}
	packages := []thirdparty.Part{{Name: "@c/d", Version: "1.0.0", Licences: []string{"ISC"}}}
	read := func(text []byte, err error) *cdx.BOM {
		t.Helper()
		var b cdx.BOM
		if err := errors.Join(err, cdx.NewBOMDecoder(bytes.NewReader(text), cdx.BOMFileFormatJSON).Decode(&b)); err != nil {
			t.Fatal(err)
		}
		return &b
	}
	b := read(r.bill(modules, packages, linux, []byte("abc")))
	refs := *(*b.Dependencies)[0].Dependencies
	std := "pkg:golang/std@" + strings.TrimPrefix(runtime.Version(), "go")
	if want := []string{std, "pkg:golang/x/a@v1%2Bincompatible", "pkg:npm/%40c/d@1.0.0"}; !slices.Equal(refs, want) || len(*b.Components) != len(want) {
		t.Errorf("lists %v, want %v", refs, want)
	}
	if l := *(*b.Components)[1].Licenses; l[0].License.ID != "MIT" || l[1].License.Name != "public domain" {
		t.Errorf("licences: %+v", l)
	}
	self := b.Metadata.Component
	if b.Metadata.Timestamp != "2026-11-26T12:20:01Z" || self.Version != "v0.1.0" || (*self.Hashes)[0].Value != abc {
		t.Errorf("at %s: %+v", b.Metadata.Timestamp, self)
	}
	mac := read(r.bill(modules, packages, platform{"darwin", "arm64"}, nil))
	r.commit = "other"
	later := read(r.bill(modules, packages, linux, nil))
	if !strings.HasPrefix(b.SerialNumber, "urn:uuid:") || b.SerialNumber == mac.SerialNumber || b.SerialNumber == later.SerialNumber {
		t.Errorf("serial numbers %s, %s, %s", b.SerialNumber, mac.SerialNumber, later.SerialNumber)
	}
}
