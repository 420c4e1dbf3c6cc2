package search

import (
	"testing"

	"crankwright/study"
)

// Results of one kind of processor are not gone on with on another: their last digits differ.
func TestFingerprintTellsProcessorsApart(t *testing.T) {
	p := &Problem{bundle: study.Bundle{Files: map[string][]byte{"a.study.yaml": []byte("name: A\n")}}}
	here, there := p.fingerprint("amd64"), p.fingerprint("arm64")
	if here == there || here != p.fingerprint("amd64") {
		t.Errorf("fingerprints %s and %s", here, there)
	}
}

// TestPinsDiffer asks of studies whether the unbalance that an engine gives counts once in some candidates and twice in others.
func TestPinsDiffer(t *testing.T) {
	const engine = "name: E\ncycle: four-stroke\nbore: 84 mm\nstroke: 90 mm\nlayout: {arrangement: vee, cylinders: 6, bank_angle: 60 deg}\n"
	for _, c := range []struct {
		crank, vary string
		want        bool
	}{
		{"crank: {throw_unbalance: 12 kg mm}\n", "layout.pin_split: [0, 15, 30] deg", true},
		{"crank: {throw_unbalance: 12 kg mm}\n", "layout.pin_split: [15, 30] deg", false},
		{"crank: {throw_unbalance: 12 kg mm}\n", "layout.bank_angle: [60, 90] deg", false},
		{"crank: {throw_unbalance: 12 kg mm}\n", "layout.pin_split: [0, 15] deg, crank.throw_unbalance: [10, 12] kg mm", false},
		{"", "layout.pin_split: [0, 15, 30] deg", false},
	} {
		files := map[string]string{
			"a.study.yaml":  "name: a\nbase: e.engine.yaml\nvary: {" + c.vary + "}\nminimise: [free_moment_order_1]\n",
			"e.engine.yaml": engine + c.crank,
		}
		b, err := Gather("a.study.yaml", func(name string) ([]byte, error) { return []byte(files[name]), nil })
		if err != nil {
			t.Fatal(err)
		}
		p, err := Open(b)
		if err != nil {
			t.Fatal(err)
		}
		if p.PinsDiffer() != c.want {
			t.Errorf("%s%s: %v", c.crank, c.vary, !c.want)
		}
	}
}
