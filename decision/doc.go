// Package decision joins engine files, what analysis finds of them and what is wanted of an engine.
//
//   - choose.go: an engine evaluated for a brief, and the choice among several;
//   - doubts.go: how far the estimates of an engine lie from what real engines have, and what that does to the figures by
//     which engines are compared; inputs.go finds the estimates, figures.go the figures.
//
// It takes texts and functions that read, and returns values: it opens no file and prints nothing.
package decision
