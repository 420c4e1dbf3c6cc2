// Package envelope is the room that an engine takes and what it weighs: length, width and height, the clearances inside, mass
// and inertia by part, and the centre of gravity.
//
// The chapter in the order in which it is best read:
//
//   - solid.go: two forms of solids, prism and tube, with exact mass, centre and inertia;
//   - frame.go: the sizes that everything else is built from, and the rows in which cylinders stand;
//   - sweep.go: what rods and cheeks sweep about the crank, and the inside of the crankcase that follows from it;
//   - crank.go, block.go, head.go, around.go: the parts of an engine as solids;
//   - envelope.go: all of it together: mass by part, the whole body, outer sizes;
//   - clearance.go: what comes near to what over a cycle;
//   - length.go: bores against crank, and what bore against stroke does to the length.
//
// # The one idea
//
// Every part is a few solids whose sizes follow from the crank train, from what the file says of the block, and from
// proportions of common practice. The crankcase is the outline that the rods and counterweights sweep, with a clearance and
// a wall, so that it fits any arrangement: each row of cylinders stands on that outline, in its own direction, with its own
// head.
//
// # What it is not
//
// A layout estimate: shells and plates instead of castings with ribs and bosses, for which a factor of common practice
// stands. Masses of parts that nobody weighed scatter by ±20 %, outer sizes by some tens of millimetres. A weighed engine
// (dry_mass) scales the estimated parts.
//
// Places are in the engine's axes: x along the crank from the reference of the throws' places, y right and z up seen from
// the drive end, origin on the crank axis. A clockwise engine is built as its numbers are written and mirrored at the end.
package envelope
