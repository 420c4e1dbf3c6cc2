// Package draw turns results into figures: pure functions from data to a Figure, which writes itself
// as SVG, PNG or PDF. One figure stands in one file; Gallery lists those of engines. Figures of the balancing shop and of
// a choice among alternatives (alternatives.go) take names and numbers and know no engine. A Book sets figures and text
// on pages of a document (book.go).
//
// # How a figure is made
//
// A figure is a scene of a few kinds of marks (scene.go). Marks do not have colours but paints, which
// are roles such as ink, with or against (palette.go). In SVG a paint is a class whose colour the style
// sheet sets for light, dark and print; PNG and PDF take the light theme. So no figure can look
// right in one theme or format alone.
//
// # What all figures hold to
//
//   - Space: y points right and z up, seen from the drive end, as everywhere in crankwright.
//   - Colour never stands alone. What turns with the crank is blue, drawn through and plainly filled;
//     what turns against it is orange, dashed and hatched. Banks have a marker shape each.
//   - Sizes are for a column of 480 units, and still legible on a screen of 390.
//   - The title and the description say in words, with the numbers, what the picture says.
//   - The same data gives the same bytes. Ids begin with the figure's own id, so that many figures
//     share a page.
//   - Nothing is fetched and nothing runs: no script, no font, no link.
//
// Arithmetic in here is for places on paper only; physics comes from the Result, positions of parts
// from package motion. Figures of gas and torque take plain numbers; driven.go takes them from a Drive, and those over
// the speed from its Driver.
package draw
