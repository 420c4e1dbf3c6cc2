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
