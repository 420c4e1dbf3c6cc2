// Package report turns results into what leaves the program: text for a terminal, JSON and CSV for
// other programs, and for people a report: one content (html_page.go) as a HTML page, as PDF on paper
// (paper*.go) and as Markdown.
//
// It computes no physics. Every face shows the same analysis.Result: the JSON object is a Document
// (jsontypes.go), whose types are also the published schema (schema.go); the text tables and the CSV
// rows are the same numbers with units that people read. A page (html_page.go) is finished words and figures; a
// Report (html_report.go) is a page with the line-up in motion and appendices.
//
// Units: keys that leave the program end in the unit. Angles are in degrees, speeds in revolutions per
// minute, everything else in SI without prefix, lengths in mm.
package report
