// Package root finds the folder of the module, for tools that are run from anywhere in it.
package root

import (
	"errors"
	"os"
	"path/filepath"
)

// Find returns the nearest folder upwards from the working directory that has a go.mod.
func Find() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", errors.New("no go.mod upwards from here")
		}
		dir = up
	}
}
