package spec

import "crankwright/mechanics/layout"

// This file holds the type of an engine file that says how the engine is made. Its doc comments are the descriptions in
// the JSON Schema, so they speak to the person who writes the file.

// Making is the section making.
type Making struct {
	Mark `yaml:"-"`
	// How the valves are worked: overhead-single, overhead-double, pushrods, or ports of a two-stroke engine without valves.
	ValveDrive Word[valveDriveWords] `yaml:"valve_drive"`
	// What turns the camshafts: chain, belt or gears.
	CamDrive Word[camDriveWords] `yaml:"cam_drive"`
	// How many cylinders a head covers: per-bank, shared by both banks of a narrow vee, or each its own.
	Heads Word[headWords] `yaml:"heads"`
	// How the crankcase lets the crank in: caps under the mains, a bedplate, halves, or an undivided tunnel.
	Crankcase Word[crankcaseWords] `yaml:"crankcase"`
	// What cools the cylinders: liquid or air.
	Cooling Word[coolingWords] `yaml:"cooling"`
	// Height of overhead camshafts above the deck.
	CamHeight Quantity[Length] `yaml:"cam_height" limit:"positive"`
	// Distance of the two camshafts of a head.
	CamSpacing Quantity[Length] `yaml:"cam_spacing" limit:"positive"`
	// Pitch of the chain or belt that drives the camshafts.
	Pitch Quantity[Length] `yaml:"pitch" limit:"positive"`
}

type (
	valveDriveWords struct{}
	camDriveWords   struct{}
	headWords       struct{}
	crankcaseWords  struct{}
	coolingWords    struct{}
)

func (valveDriveWords) words() []string { return wordsOf(layout.ValveDrives()) }
func (camDriveWords) words() []string   { return wordsOf(layout.CamDrives()) }
func (headWords) words() []string       { return wordsOf(layout.HeadPlans()) }
func (crankcaseWords) words() []string  { return wordsOf(layout.Crankcases()) }
func (coolingWords) words() []string    { return wordsOf(layout.Coolings()) }

func wordsOf[W ~string](list []W) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}
