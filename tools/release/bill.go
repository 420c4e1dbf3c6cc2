package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"net/url"
	"runtime"
	"slices"
	"strings"
	"time"

	cdx "github.com/CycloneDX/cyclonedx-go"
	"github.com/google/uuid"

	"crankwright/tools/thirdparty"
)

// bill lists what a binary is made of as CycloneDX: the Go modules in it and the npm packages in its front end. Serial number,
// time and order come from the commit and the names, so that the same commit gives the same bytes.
func (r *release) bill(modules, packages []thirdparty.Part, p platform, binary []byte) ([]byte, error) {
	sum := sha256.Sum256(binary)
	self := cdx.Component{
		BOMRef: "crankwright", Type: cdx.ComponentTypeApplication, Name: "crankwright", Version: r.version,
		Hashes:   &[]cdx.Hash{{Algorithm: cdx.HashAlgoSHA256, Value: hex.EncodeToString(sum[:])}},
		Licenses: licences([]string{"Apache-2.0"}),
		Properties: &[]cdx.Property{
			{Name: "crankwright:commit", Value: r.commit},
			{Name: "crankwright:platform", Value: p.String()},
		},
	}
	parts := slices.Concat(components("golang", modules), components("npm", packages))
	refs := make([]string, 0, len(parts))
	for _, c := range parts {
		refs = append(refs, c.BOMRef)
	}
	b := cdx.NewBOM()
	b.SerialNumber = uuid.NewSHA1(uuid.NameSpaceOID, []byte("crankwright "+r.version+" "+r.commit+" "+p.String())).URN()
	b.Metadata = &cdx.Metadata{Timestamp: r.made.Format(time.RFC3339), Component: &self}
	b.Components = &parts
	b.Dependencies = &[]cdx.Dependency{{Ref: self.BOMRef, Dependencies: &refs}}
	var out bytes.Buffer
	err := cdx.NewBOMEncoder(&out, cdx.BOMFileFormatJSON).SetPretty(true).EncodeVersion(b, cdx.SpecVersion1_6)
	return out.Bytes(), err
}

// components describes parts of one kind, named as package URLs name the kind.
func components(kind string, parts []thirdparty.Part) []cdx.Component {
	list := make([]cdx.Component, 0, len(parts))
	for _, p := range parts {
		name, version := p.Name, p.Version
		if name == thirdparty.Standard {
			name, version = "std", strings.TrimPrefix(runtime.Version(), "go")
		}
		// the @ of an npm scope is written %40, the + of a version %2B
		at := "pkg:" + kind + "/" + strings.ReplaceAll(name, "@", "%40") + "@" + url.QueryEscape(version)
		list = append(list, cdx.Component{
			BOMRef: at, Type: cdx.ComponentTypeLibrary, Name: name, Version: version, PackageURL: at, Licenses: licences(p.Licences),
		})
	}
	return list
}

// licences gives licences their names in SPDX, where they have one.
func licences(names []string) *cdx.Licenses {
	list := make(cdx.Licenses, 0, len(names))
	for _, name := range names {
		if name == "public domain" {
			list = append(list, cdx.LicenseChoice{License: &cdx.License{Name: name}})
		} else {
			list = append(list, cdx.LicenseChoice{License: &cdx.License{ID: name}})
		}
	}
	return &list
}
