// Package spec reads and writes the files of people: engine files to layout.Train and back.
// It also reads what is asked of engines and what was weighed and measured.
//
// # From file to train
//
//	ReadEngine      text → *layout.Train and *Engine, or Errors with everything that is wrong
//	ReadEngineFile  the same from disk, with the measured pressure that the file names
//	ReadTrace       table of a measured cylinder pressure → *layout.Trace, with remarks on what was guessed
//	WriteResolved   *layout.Train → the full custom form, which reads as the same train
//	NewEngine       one-line shorthand → commented short form
//	NewTemplate     an engine file that is read once and resolved many times with other values
//	ReadStudy       what a search varies in an engine file, and what it wants
//	ReadBrief       what an engine is wanted for → what package choose asks
//	ReadPrices      what parts and work cost
//	EngineSchema    the JSON Schema of engine files, from the types in engine.go
//
// A file goes through five steps. document.go has YAML make nodes of the text; listunit.go first
// puts aside the units that stand behind lists, [0, 180] deg, which YAML does not know. decode.go
// fills the types of engine.go from the nodes, value by value, and goes on after every error.
// quantity.go, unit.go and dimension.go read numbers with units from the scalar's own text, because
// YAML reads 010 as eight and 12:30 as a time; the text is kept, so that 3.5 in is written back as
// 3.5 in. resolve.go, short.go, radial.go and custom.go make a train of it; package estimate fills
// what is left out, and each estimate is listed, or is an error with Options.Strict. At the end
// layout.Validate judges, and Locate gives its reasons places in the file.
//
// # What the short form means
//
// x = 0 is the middle of the crank; throws stand cylinder_spacing apart, free end first.
//
// Vee. The first bank is at −bank_angle/2 and the second at +bank_angle/2: seen from the free end
// the first is the left one. A throw carries one cylinder of each bank; that of the second stands
// bank_stagger nearer to the drive end, both half of it from the throw. Where the banks stand too near
// to each other for two bores side by side (estimate.Narrow), cylinder_offset and bank_stagger move
// them apart where they are left out. With a pin_split s ≠ 0 each
// rod has a pin of its own, at the axial place of the rod; pins gives that of the first bank and
// the second's trails it, ψ − s, so that the interval inside a throw is bank angle + split. Such
// pins are two throws, T1a and T1b, with one Pair. pins may also give an angle for every rod, along
// the crank. throw_unbalance counts for every pin, as the unbalance of a throw of the custom form does.
//
// Opposed. As a vee of 180°; each_rod_own_pin: true (also where it is left out, which is listed)
// is a split of 180°, false one pin for two rods.
//
// Radial. pins has one angle for each row, [0] where it is left out. The cylinders of a row stand
// 360°/k apart, the first straight up, and on in the sense of rotation; every second row is turned
// by row_stagger, half a pitch where it is left out. The cylinders are numbered row by row. With rods:
// master-and-link the first cylinder of a row has the master rod; knuckle angles are the angles
// between the cylinder axes where knuckle_angles is left out; the length of the linked rods is the rod's less
// knuckle_radius where link_length is left out, and their mass, centre of gravity and inertia are
// those of rod.
//
// Numbers. by-bank (also where numbering is left out): the first bank whole, then the second;
// along-crank: alternately along the crank. The names are 1, 2, … and firing_order uses them.
// labels are for people only: from-free-end, iso-1204 (see CylinderLabels), or a list.
//
// Pins. The trade words stand in the table pinWords. even-fire takes the usual crank that fires
// evenly: every direction twice, mirrored about the middle (one bank, four-stroke, even number), or
// every direction once. With a given firing order it takes the crank on which that order is even.
// In a vee without pin_split it also takes the smallest split that does it, and lists it. Where
// pins is left out the same is done, but a split is chosen in a narrow vee alone, whose rods have
// pins of their own; that, and whether the engine then fires evenly, is listed with the estimates.
//
// Counterweights. {balance_factor: k} puts opposite each throw its unbalance, the turning share of
// its rods and k times the sliding masses, in two halves on the two webs; see balance.OneFactor.
//
// firing_order left out stays nil here: the chapters that know top dead centres choose.
//
// Bearings, steel and shafts. clearance is that of the diameter; oil_rise is a difference, so that 15 degC is 15 K; oil_bore
// counts its angle from the throw in the sense of rotation. A damper whose inertia is left out is sized by the usual ratio to
// the mode that it calms. Parts of free_end stand from the crank outwards, those of driven from the flywheel outwards, as they
// are: ratio brings them to the crank.
//
// # What the custom form means
//
// Everything is explicit, and exact places count. Keys of a linked rod may stand in rod or beside
// it. at of a cylinder is that of its throw where it is left out; radius of a throw is half of
// stroke; rod, piston and throw_unbalance of the top level count for all that give none of their
// own. Cylinders with one axis angle are a bank. Pistons, rods and unbalances that are left out are
// estimated from bore and radius; journals, webs and the flywheel stay unknown, and so do speeds
// with Options.Strict.
//
// # Estimates and impossible engines
//
// Given widths and diameters make an engine impossible where they must; an estimated crankpin width
// is narrowed instead, as long as the places of the throws leave any room. Strict reading leaves
// unknown what only drawings use (compression_height).
package spec
