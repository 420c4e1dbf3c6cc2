// Package parts counts what an engine is made of, and what follows from it: friction by part, a relative cost, access and
// cooling.
package parts
