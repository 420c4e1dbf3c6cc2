// Package envelope is the room that an engine takes and what it weighs: length, width and height, the clearances inside, mass
// and inertia by part, and the centre of gravity.
package envelope
