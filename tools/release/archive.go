package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"cmp"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// file is one file of an archive.
type file struct {
	name string // with slashes
	data []byte
	run  bool // may be executed
}

func (f file) mode() os.FileMode {
	if f.run {
		return 0o755
	}
	return 0o644
}

// inOrder returns the files by name.
func inOrder(files []file) []file {
	return slices.SortedFunc(slices.Values(files), func(a, b file) int { return cmp.Compare(a.name, b.name) })
}

// tarball writes the files as .tar.gz, below a folder and with one time and no owner, so that the same files give the same
// bytes.
func tarball(w io.Writer, folder string, files []file, made time.Time) error {
	zw, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return err
	}
	tw := tar.NewWriter(zw)
	for _, f := range inOrder(files) {
		h := &tar.Header{
			Typeflag: tar.TypeReg, Name: folder + "/" + f.name, Size: int64(len(f.data)), Mode: int64(f.mode()), ModTime: made,
			Format: tar.FormatUSTAR,
		}
		if err := tw.WriteHeader(h); err != nil {
			return err
		}
		if _, err := tw.Write(f.data); err != nil {
			return err
		}
	}
	if err := tw.Close(); err != nil {
		return err
	}
	return zw.Close()
}

// zipped writes the files as .zip, as tarball does.
func zipped(w io.Writer, folder string, files []file, made time.Time) error {
	zw := zip.NewWriter(w)
	for _, f := range inOrder(files) {
		h := &zip.FileHeader{Name: folder + "/" + f.name, Method: zip.Deflate, Modified: made.UTC()}
		h.SetMode(f.mode())
		to, err := zw.CreateHeader(h)
		if err != nil {
			return err
		}
		if _, err := to.Write(f.data); err != nil {
			return err
		}
	}
	return zw.Close()
}

// sums lists the SHA-256 of the files of a folder by name, as sha256sum writes and checks it.
func sums(folder string) ([]byte, error) {
	entries, err := os.ReadDir(folder) // by name
	if err != nil {
		return nil, err
	}
	var list bytes.Buffer
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&list, "%x  %s\n", sha256.Sum256(data), e.Name())
	}
	return list.Bytes(), nil
}
