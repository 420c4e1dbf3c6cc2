package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	cdx "github.com/CycloneDX/cyclonedx-go"
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

func TestSums(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"b", "a"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte("abc"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" // FIPS 180-2, appendix B.1
	got, err := sums(folder)
	if want := abc + "  a\n" + abc + "  b\n"; err != nil || string(got) != want {
		t.Errorf("%q, %v; want %q", got, err, want)
	}
}

func TestPlatforms(t *testing.T) {
	if _, err := platformNamed("plan9/386"); err == nil || !strings.Contains(err.Error(), "windows/arm64") {
		t.Errorf("no word on what is possible: %v", err)
	}
	for _, name := range strings.Fields(platforms) {
		if p, err := platformNamed(name); err != nil || p.String() != name {
			t.Errorf("%s reads %v, %v", name, p, err)
		}
	}
}

func TestStamp(t *testing.T) {
	var r release
	if err := r.stamp("v0.1.0 0123abcd 1795695601\n"); err != nil || r.version != "v0.1.0" || r.commit != "0123abcd" || !r.made.Equal(made) {
		t.Errorf("%+v, %v", r, err)
	}
	for _, wrong := range []string{"", "v0.1.0 0123abcd today"} {
		if err := r.stamp(wrong); err == nil {
			t.Errorf("%q: no error", wrong)
		}
	}
}

// modules and packages are the bills of a program with one Go module and of its front end with two packages, one inside the
// other, as their generators write them.
const (
	modules = `{"bomFormat": "CycloneDX", "specVersion": "1.6", "version": 1, "metadata": {
		"timestamp": "2031-01-01T00:00:00Z",
		"tools": [{"vendor": "somebody", "name": "lister", "version": "1", "hashes": [{"alg": "MD5", "content": "0123456789abcdef0123456789abcdef"}]}],
		"component": {"bom-ref": "pkg:golang/crankwright@v0", "type": "application", "name": "crankwright"}},
		"components": [{"bom-ref": "pkg:golang/b@v1", "type": "library", "name": "b"}, {"bom-ref": "pkg:golang/a@v1", "type": "library", "name": "a"}],
		"dependencies": [{"ref": "pkg:golang/crankwright@v0", "dependsOn": ["pkg:golang/b@v1", "pkg:golang/a@v1"]}]}`
	packages = `{"bomFormat": "CycloneDX", "specVersion": "1.6", "version": 1, "metadata": {
		"component": {"bom-ref": "pkg:npm/front", "type": "application", "name": "front"}},
		"components": [{"bom-ref": "pkg:npm/c@1", "type": "library", "name": "c",
			"components": [{"bom-ref": "pkg:npm/d@1", "type": "library", "name": "d"}]}],
		"dependencies": [{"ref": "pkg:npm/front"}, {"ref": "pkg:npm/c@1", "dependsOn": ["pkg:npm/d@1"]}]}`
)

func billOf(t *testing.T, r release, p platform, turned bool) (*cdx.BOM, []byte) {
	t.Helper()
	found, err := parseBill([]byte(modules))
	if err != nil {
		t.Fatal(err)
	}
	if turned {
		slices.Reverse(*found.Components)
	}
	if r.front, err = parseBill([]byte(packages)); err != nil {
		t.Fatal(err)
	}
	b := r.bill(found, p, []byte("abc"))
	text, err := encodeBill(b)
	if err != nil {
		t.Fatal(err)
	}
	return b, text
}

func TestBill(t *testing.T) {
	r := release{version: "v0.1.0", commit: "0123abcd", made: made}
	linux := platform{"linux", "amd64"}
	b, text := billOf(t, r, linux, false)
	if _, again := billOf(t, r, linux, true); !bytes.Equal(text, again) {
		t.Error("another sequence gives other bytes")
	}
	refs := make([]string, 0, len(*b.Components))
	for _, c := range *b.Components {
		refs = append(refs, c.BOMRef)
	}
	if want := []string{"pkg:golang/a@v1", "pkg:golang/b@v1", "pkg:npm/c@1", "pkg:npm/d@1", "pkg:npm/front"}; !slices.Equal(refs, want) {
		t.Errorf("lists %v, want %v", refs, want)
	}
	self := (*b.Dependencies)[0]
	if want := []string{"pkg:golang/a@v1", "pkg:golang/b@v1", "pkg:npm/front"}; self.Ref != selfRef || !slices.Equal(*self.Dependencies, want) {
		t.Errorf("%s needs %v, want %v", self.Ref, *self.Dependencies, want)
	}
	front := (*b.Dependencies)[2]
	if want := []string{"pkg:npm/c@1"}; front.Ref != "pkg:npm/front" || !slices.Equal(*front.Dependencies, want) {
		t.Errorf("%s needs %v, want %v", front.Ref, *front.Dependencies, want)
	}
	if b.Metadata.Timestamp != "2026-11-26T12:20:01Z" || strings.Contains(string(text), "2031") || strings.Contains(string(text), "MD5") {
		t.Errorf("the bill has something of the machine that made it:\n%s", text)
	}
	mac, _ := billOf(t, r, platform{"darwin", "arm64"}, false)
	r.commit = "other"
	later, _ := billOf(t, r, linux, false)
	if !strings.HasPrefix(b.SerialNumber, "urn:uuid:") || b.SerialNumber == mac.SerialNumber || b.SerialNumber == later.SerialNumber {
		t.Errorf("serial numbers %s, %s, %s", b.SerialNumber, mac.SerialNumber, later.SerialNumber)
	}
}

func TestBillOfNothing(t *testing.T) {
	if _, err := parseBill([]byte(`{"bomFormat": "CycloneDX", "specVersion": "1.6"}`)); err == nil {
		t.Error("no error")
	}
	if _, err := readBill(filepath.Join(t.TempDir(), "front.json")); err == nil || !strings.Contains(err.Error(), "make release") {
		t.Errorf("no word on how to get it: %v", err)
	}
}

func TestLicenceTexts(t *testing.T) {
	folder := t.TempDir()
	if _, err := licenceTexts(folder); err == nil {
		t.Error("a package without a licence may be handed on")
	}
	for name, text := range map[string]string{"LICENSE": "as you like\n", "NOTICE.txt": "by us", "licensing.go": "package x"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got, err := licenceTexts(folder)
	if want := "--- LICENSE\nas you like\n--- NOTICE.txt\nby us\n"; err != nil || string(got) != want {
		t.Errorf("%q, %v; want %q", got, err, want)
	}
}
