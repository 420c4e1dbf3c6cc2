package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"crankwright/tools/thirdparty"
)

// platform is what a binary is built for, in Go's words.
type platform struct{ os, arch string }

// platformNamed reads a platform such as linux/amd64.
func platformNamed(name string) (platform, error) {
	if !slices.Contains(thirdparty.Platforms, name) {
		return platform{}, fmt.Errorf("there is no platform %q; possible are %s", name, strings.Join(thirdparty.Platforms, " "))
	}
	os, arch, _ := strings.Cut(name, "/")
	return platform{os, arch}, nil
}

func (p platform) String() string { return p.os + "/" + p.arch }

// env is the environment of a build: nothing of the machine that it is built on, and no C library.
func (p platform) env() []string {
	return []string{
		"GOOS=" + p.os, "GOARCH=" + p.arch, "CGO_ENABLED=0", "GOAMD64=v1", "GOARM64=v8.0", "GOFLAGS=", "GOEXPERIMENT=", "GOWORK=off",
	}
}

// compiler is flags of the compiler. On arm64 it would join a multiplication and an addition into one with one rounding, as
// it does not on amd64, so that the last digit of a result could depend on the machine.
func (p platform) compiler() string {
	if p.arch == "arm64" {
		return "all=-d=fmahash=qn"
	}
	return ""
}

// binary is the name of the command.
func (p platform) binary() string {
	if p.os == "windows" {
		return "crankwright.exe"
	}
	return "crankwright"
}

// suffix is that of the archive: what the platform opens by itself.
func (p platform) suffix() string {
	if p.os == "windows" {
		return ".zip"
	}
	return ".tar.gz"
}

// pack writes the archive.
func (p platform) pack(w io.Writer, folder string, files []file, made time.Time) error {
	if p.os == "windows" {
		return zipped(w, folder, files, made)
	}
	return tarball(w, folder, files, made)
}
