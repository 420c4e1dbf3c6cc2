// Package analysis runs the chapters of mechanics once on one engine and returns one Result, which
// every face of the program shows: text, JSON, figures, pages.
//
// It adds no mechanics of its own. What it adds is bookkeeping: which orders have content, what
// each part of the engine contributes to each of them, and the list of single figures by which
// engines are compared.
package analysis
