// Package estimate fills what an engine file leaves out, so that a layout can be judged before
// anything is drawn. Every number that it adds comes with its rule in words and with its source.
//
// The rules for the crank train are proportions of bore, stroke and duty, one exported function each:
//
//   - piston.go: piston mass from an apparent density, compression height;
//   - rod.go: length, mass, centre of gravity and inertia of the connecting rod;
//   - crank.go: diameters and widths of journals and webs, fillets, and the unbalance of a throw,
//     which is integrated over an idealised web;
//   - spacing.go: cylinder spacing, the room that a throw takes, the web between two pins;
//   - narrow.go: offset and stagger of the two banks of a narrow vee;
//   - speed.go: rated, idle and limit speed from mean piston speeds, and a rough flywheel.
//
// Fill applies them. It keeps what is given and lets the rest follow: the widths along the crank
// share the cylinder spacing (along.go), and a known value drives those that depend on it.
//
// FillWorking does the same for all else that a file may leave out: gas, friction and what turns
// (working.go), bearings, steel and shafts (lasting.go), block, heads and sump (block.go), and how the
// engine is made (making.go). Scatter says how far real engines lie from an estimate, Chosen what is a
// choice and has no scatter (scatter.go).
//
// The sources, keys of docs/sources.toml, are of three kinds. ICEF2002, PISTONSPEED, RODRATIO and
// MANUALS were read; MANUALS are workshop manuals of built engines, from which the proportions for
// general duty were taken. KGTABLE is from memory. PRACTICE is common practice of the trade without
// one printed source: everything for light and heavy duty, and where nothing else is named. An
// estimate is good for choosing a layout, not for releasing a part: typical scatter is 10 % on
// lengths, 25 % on masses and a factor of two on the flywheel.
package estimate
