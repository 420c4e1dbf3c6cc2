// Package brief says what an application wants of an engine, and turns the results of engines into a
// problem that package choice decides.
//
//   - brief.go: a brief: limits, priorities, reasons;
//   - measures.go: the figures of a result that a brief may name, with their units, what lies beyond a
//     limit in words, and the span that matters;
//   - aims.go: what each priority is made of;
//   - problem.go: results of engines against a brief;
//   - missing.go: what an engine lacks of it, and why.
//
// Values are in the unit that each measure names, priorities in points from 0 to 10.
package brief
