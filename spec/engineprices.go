package spec

import "crankwright/mechanics/parts"

// This file holds the types of a price table. Their doc comments are the descriptions in the JSON Schema, so they speak
// to the person who writes the file.

// PriceTable is a price table, a file *.prices.yaml.
type PriceTable struct {
	Mark `yaml:"-"`
	// What the table is called in results; say there whose prices they are, or that they are invented.
	Name Text `yaml:"name"`
	// Points that are a cost index of 1.
	Reference Quantity[Price] `yaml:"reference" limit:"positive"`
	// The price of every kind of part.
	Prices []PartPrice `yaml:"prices"`
}

// PartPrice is the price of one kind of part, in points.
type PartPrice struct {
	Mark `yaml:"-"`
	// The kind of part.
	Part Word[partWords] `yaml:"part"`
	// Points for a piece or a machined face; for what is counted in pieces.
	Each Quantity[Price] `yaml:"each" limit:"not negative"`
	// Points for a metre; for chains, belts and pipes.
	PerMetre Quantity[Price] `yaml:"per_metre" limit:"not negative"`
	// Points for a kilogram beside it, where the mass is known; left out: none.
	PerKg Quantity[Price] `yaml:"per_kg" limit:"not negative"`
}

type partWords struct{}

func (partWords) words() []string {
	var out []string
	for _, k := range parts.Kinds() {
		out = append(out, k.Key)
	}
	return out
}
