package search

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestOpenSaysWhatIsWrong: studies that are read without fault, but do not fit their base.
func TestOpenSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ vary, said string }{
		{"layout.bank_angle: [60, 90] deg", "a.study.yaml:4:3: layout.bank_angle belongs to no arrangement of this study; vary layout.arrangement too"},
		{"layout.pins: {all: 0.5 deg}\n  bore: 80 mm", "4 throws in steps of 0.5 deg have more than"},
		{"layout.pins: [flat-plane, cross-plane]\n  layout.cylinders: 4\n  rod.length: 1 mm", "no engine of this study can be built"},
	} {
		b, err := Gather("a.study.yaml", func(name string) ([]byte, error) {
			if name == "a.study.yaml" {
				return []byte("name: a\nbase: inline-four-flat.engine.yaml\nvary:\n  " + c.vary + "\nminimise: [free_force_order_2]\n"), nil
			}
			return os.ReadFile(filepath.Join("..", "examples", name))
		})
		if err == nil {
			_, err = Open(b)
		}
		if err == nil || !strings.Contains(err.Error(), c.said) {
			t.Errorf("%s:\n%v\nwant %s", c.vary, err, c.said)
		}
	}
	_, err := Gather("a.study.yaml", func(name string) ([]byte, error) {
		if name == "a.study.yaml" {
			return []byte("name: a\nbase: gone.engine.yaml\nvary: {bore: [80 mm, 82 mm]}\nminimise: [length]\n"), nil
		}
		return nil, os.ErrNotExist
	})
	if err == nil || !strings.HasPrefix(err.Error(), "a.study.yaml:2:7: base: ") {
		t.Errorf("a base that is not there: %v", err)
	}
}
