package server

import (
	"flag"
	"os"
	"testing"
)

// TestMain draws fewer sequences than usual for the properties of this package: each of their steps is
// flushed to the disk. -rapid.checks asks for more.
func TestMain(m *testing.M) {
	if err := flag.Set("rapid.checks", "30"); err != nil {
		panic(err)
	}
	flag.Parse()
	os.Exit(m.Run())
}
