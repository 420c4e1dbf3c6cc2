package report

import (
	"fmt"

	"crankwright/search"
	"crankwright/study"
)

// certify says what became of every candidate.
func (d *StudyDoc) certify(p *search.Problem, o *study.Outcome) {
	c := CertificateDoc{Enumerated: d.Size.Total, Looked: o.Looked, Left: []StudyLeftDoc{}, Kept: o.Kept, Sum: o.Kept, Words: []string{}}
	for i, rule := range p.Rules() {
		if i >= len(o.Left) {
			break
		}
		row := StudyLeftDoc{Rule: rule, N: o.Left[i].N}
		if row.N > 0 {
			first := o.Left[i].First
			row.First = &first
		}
		c.Left = append(c.Left, row)
		c.Sum += row.N
	}
	c.Complete = d.Whole && c.Sum == c.Enumerated && c.Looked == c.Enumerated
	c.say(d.Whole)
	d.Certificate = c
}

// say puts it in words.
func (c *CertificateDoc) say(whole bool) {
	switch {
	case c.Complete:
		c.Words = append(c.Words, fmt.Sprintf("All %s were looked at. %s left out by a rule and %s kept are all of them: nothing was passed over.",
			candidates(c.Enumerated), exactly(c.Sum-c.Kept), exactly(c.Kept)))
	case whole:
		c.Words = append(c.Words, fmt.Sprintf("The counts do not agree: %s of %s. Do not trust this result.", exactly(c.Sum), candidates(c.Enumerated)))
	default:
		c.Words = append(c.Words, fmt.Sprintf("%s of %s were looked at so far: the front is that of a part.", exactly(c.Looked), candidates(c.Enumerated)))
	}
	c.Words = append(c.Words, "Where figures come from the fast path, the first kept candidate of every range was held against the whole analysis of its engine; a difference would have ended the search.")
}
