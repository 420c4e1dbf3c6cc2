package spec

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime/metrics"
	"slices"
	"strings"
	"testing"
	"time"
)

// What the fuzz targets of the readers share: their seeds, and what they hold every refusal against.

// seedWith adds the wrong files of a reader, and the good files of some patterns.
func seedWith(f *testing.F, folder string, add func(data []byte), patterns ...string) {
	f.Helper()
	found := 0
	for _, pattern := range append(patterns, filepath.Join(wrongFolder, folder, "*")) {
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			f.Fatalf("%s: no file: %v", pattern, err)
		}
		for _, path := range paths {
			data, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			if filepath.Ext(path) != ".want" {
				found++
				add(data)
			}
		}
	}
	if found < 8 {
		f.Fatalf("only %d seeds", found)
	}
}

// refused holds what a reader says of a text against what people may expect of it, as judge does for the wrong files.
func refused(t *testing.T, err error, lines []string) {
	t.Helper()
	var list Errors
	if !errors.As(err, &list) || len(list) == 0 || len(list) > maxErrors+2 || err.Error() != list.Error() {
		t.Fatalf("refused with %T: %v", err, err)
	}
	for _, e := range list {
		if fault := faultOf(e, lines); fault != "" {
			t.Fatalf("%s: %s", fault, e)
		}
		if e.File != "f" {
			t.Fatalf("the error is about %q: %s", e.File, e)
		}
	}
}

// The most that a reader may take for a text: time (of a machine that does much else), and memory over all.
const (
	longestRead = 10 * time.Second
	mostAnyway  = 64 << 20 // bytes
	mostForByte = 1 << 13  // bytes for each byte of the text
)

// bounded begins to watch what a text costs; what it returns ends that, and fails where it was too much. A text that takes for ever
// ends the process, so that the fuzzer keeps it.
func bounded(t *testing.T, size int) (end func()) {
	t.Helper()
	before := allocated()
	alarm := time.AfterFunc(longestRead, func() { panic(fmt.Sprintf("a text of %d bytes takes more than %s", size, longestRead)) })
	return func() {
		t.Helper()
		alarm.Stop()
		if took := allocated() - before; took > mostAnyway+uint64(size)*mostForByte {
			t.Errorf("a text of %d bytes takes %d MiB", size, took>>20)
		}
	}
}

// allocated is what this process has ever taken from the heap [bytes].
func allocated() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}

// tableText writes rows as comma-separated values.
func tableText(rows [][]string) []byte {
	var b strings.Builder
	w := csv.NewWriter(&b)
	_ = w.WriteAll(rows) // a Builder takes all
	return []byte(b.String())
}

// renamed gives a file that reads well another name by an edit: nothing else may become of it. read returns everything but the name,
// and the name.
func renamed(t *testing.T, data []byte, edit func([]byte, []Change) ([]byte, error), read func([]byte) (any, string, error)) {
	t.Helper()
	const other = "another name"
	was, _, err := read(data)
	if err != nil {
		t.Fatalf("it reads only once: %v", err)
	}
	name := other
	text, err := edit(data, []Change{{Path: "name", Text: &name}})
	var list Errors
	switch {
	case errors.As(err, &list):
		return // a way to write that edits do not touch
	case err != nil:
		t.Fatalf("refused with %T: %v", err, err)
	}
	if now, called, err := read(text); err != nil || called != other || !reflect.DeepEqual(was, now) {
		t.Fatalf("with another name: %+v, then %q %+v %v", was, called, now, err)
	}
}

// whatOf is a study without its name and the places of its text.
func whatOf(s Study) Study {
	s.Name = ""
	s.Vary, s.Aims = slices.Clone(s.Vary), slices.Clone(s.Aims)
	for i := range s.Vary {
		s.Vary[i].At = Position{}
	}
	for i := range s.Aims {
		s.Aims[i].At = Position{}
	}
	return s
}
