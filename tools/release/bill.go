package main

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"slices"
	"time"

	cdx "github.com/CycloneDX/cyclonedx-go"
	"github.com/google/uuid"
)

// selfRef is how a bill refers to the program itself.
const selfRef = "crankwright"

func readBill(path string) (*cdx.BOM, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("the list of the npm packages in the front end is missing; make release writes it: %w", err)
	}
	return parseBill(data)
}

func parseBill(data []byte) (*cdx.BOM, error) {
	var b cdx.BOM
	if err := cdx.NewBOMDecoder(bytes.NewReader(data), cdx.BOMFileFormatJSON).Decode(&b); err != nil {
		return nil, err
	}
	if b.Metadata == nil || b.Metadata.Component == nil {
		return nil, fmt.Errorf("a bill of materials does not say of what; it starts %.80q", data)
	}
	return &b, nil
}

func encodeBill(b *cdx.BOM) ([]byte, error) {
	var out bytes.Buffer
	err := cdx.NewBOMEncoder(&out, cdx.BOMFileFormatJSON).SetPretty(true).Encode(b)
	return out.Bytes(), err
}

// bill lists what a binary is made of: the Go modules found in it and the npm packages of its front end. Serial number, time
// and order come from the commit and the names, so that the same commit gives the same bytes.
func (r *release) bill(modules *cdx.BOM, p platform, binary []byte) *cdx.BOM {
	sum := sha256.Sum256(binary)
	self := cdx.Component{
		BOMRef: selfRef, Type: cdx.ComponentTypeApplication, Name: "crankwright", Version: r.version,
		Hashes:   &[]cdx.Hash{{Algorithm: cdx.HashAlgoSHA256, Value: hex.EncodeToString(sum[:])}},
		Licenses: &cdx.Licenses{{License: &cdx.License{ID: "Apache-2.0"}}},
		Properties: &[]cdx.Property{
			{Name: "crankwright:commit", Value: r.commit},
			{Name: "crankwright:platform", Value: p.String()},
		},
	}
	b := cdx.NewBOM()
	b.SerialNumber = uuid.NewSHA1(uuid.NameSpaceOID, []byte("crankwright "+r.version+" "+r.commit+" "+p.String())).URN()
	b.Metadata = &cdx.Metadata{
		Timestamp: r.made.Format(time.RFC3339),
		Component: &self,
		Tools:     &cdx.ToolsChoice{Components: ptr(append(makers(modules), makers(r.front)...))},
	}
	front := *r.front.Metadata.Component
	parts := slices.Concat(flat(modules.Components), flat(r.front.Components), []cdx.Component{front})
	slices.SortFunc(parts, func(a, b cdx.Component) int { return cmp.Compare(a.BOMRef, b.BOMRef) })
	b.Components = ptr(slices.CompactFunc(parts, func(a, b cdx.Component) bool { return a.BOMRef == b.BOMRef }))

	needs := map[string][]string{selfRef: {front.BOMRef}}
	for _, from := range []*cdx.BOM{modules, r.front} {
		if from.Dependencies == nil {
			continue
		}
		for _, d := range *from.Dependencies {
			if d.Ref == modules.Metadata.Component.BOMRef {
				d.Ref = selfRef
			}
			if d.Dependencies != nil {
				needs[d.Ref] = append(needs[d.Ref], *d.Dependencies...)
			}
		}
	}
	needs[front.BOMRef] = append(needs[front.BOMRef], ownNeeds(r.front)...)
	b.Dependencies = ptr(arrows(needs))
	return b
}

// ownNeeds returns the packages of a bill that none of the others needs: what its program itself needs, where the bill does
// not say.
func ownNeeds(b *cdx.BOM) []string {
	needed := map[string]bool{}
	if b.Dependencies != nil {
		for _, d := range *b.Dependencies {
			if d.Dependencies != nil && d.Ref != b.Metadata.Component.BOMRef {
				for _, on := range *d.Dependencies {
					needed[on] = true
				}
			}
		}
	}
	var own []string
	for _, c := range flat(b.Components) {
		if !needed[c.BOMRef] {
			own = append(own, c.BOMRef)
		}
	}
	return own
}

// arrows returns who needs whom, by name.
func arrows(needs map[string][]string) []cdx.Dependency {
	var all []cdx.Dependency
	for ref, on := range needs {
		slices.Sort(on)
		all = append(all, cdx.Dependency{Ref: ref, Dependencies: ptr(slices.Compact(on))})
	}
	slices.SortFunc(all, func(a, b cdx.Dependency) int { return cmp.Compare(a.Ref, b.Ref) })
	return all
}

// flat returns components and those inside them, as one list.
func flat(components *[]cdx.Component) []cdx.Component {
	if components == nil {
		return nil
	}
	var all []cdx.Component
	for _, c := range *components {
		inside := flat(c.Components)
		c.Components = nil
		all = append(append(all, c), inside...)
	}
	return all
}

// makers returns the programs that made a bill, by name and version; what else it says of them depends on the machine.
func makers(b *cdx.BOM) []cdx.Component {
	var all []cdx.Component
	if b.Metadata.Tools == nil {
		return nil
	}
	if old := b.Metadata.Tools.Tools; old != nil { //nolint:staticcheck // generators still write it
		for _, t := range *old {
			all = append(all, cdx.Component{Type: cdx.ComponentTypeApplication, Name: t.Name, Version: t.Version})
		}
	}
	for _, c := range flat(b.Metadata.Tools.Components) {
		all = append(all, cdx.Component{Type: cdx.ComponentTypeApplication, Group: c.Group, Name: c.Name, Version: c.Version})
	}
	slices.SortFunc(all, func(a, b cdx.Component) int { return cmp.Compare(a.Name, b.Name) })
	return all
}

func ptr[T any](v T) *T { return &v }
