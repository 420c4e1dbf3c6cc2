package report

import (
	"fmt"
	"math"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/explain"
	"crankwright/num"
)

// pageMounts is what an engine's sheet says of mounts and people.
type pageMounts struct {
	Facts   []pageFact
	Lines   []string
	Figures []pageFigure
	Assumed []pageEstimate
	Caution string
}

// newPageMounts returns nil where mounts were not asked for.
func newPageMounts(id string, r *analysis.Result) *pageMounts {
	if r.Mounts == nil && r.NoMounts == "" {
		return nil
	}
	p := &pageMounts{Caution: Caution}
	if r.Mounts == nil {
		p.Lines = []string{"Not known: " + r.NoMounts + "."}
		return p
	}
	for _, e := range mountEntries(r.Mounts) {
		p.Facts = append(p.Facts, pageFact{capital(e.name), e.text})
	}
	p.Lines = unbroken(explain.Mounts(r.Mounts))
	if len(r.Train.Mounting.Receivers) > 0 {
		p.Caution = personCaution + " " + Caution
	}
	if e, err := draw.Find("mount-forces"); err == nil {
		p.Figures = append(p.Figures, placed(e.Draw(e.Defaults, r), id+"-mounts-mount-forces"))
	}
	for _, a := range r.Mounts.Assumed {
		p.Assumed = append(p.Assumed, pageEstimate{Key: a.Key, Shown: a.Shown, Rule: a.Rule, Source: cited(a.Source)})
	}
	return p
}

// mounts writes the main numbers of the mounts, where they were asked for.
func (s *sheet) mounts(r *analysis.Result) {
	if r.Mounts == nil && r.NoMounts == "" {
		return
	}
	s.heading("Mounts and people")
	if r.Mounts == nil {
		s.entries([]entry{{"mounts", "not known: " + r.NoMounts}})
		return
	}
	s.entries(mountEntries(r.Mounts))
}

// mountEntries are the main numbers of the mounts.
func mountEntries(m *analysis.Mounts) []entry {
	hz := func(ω float64) string { return num.Digits(ω/(2*math.Pi), 3) }
	rated := m.Tries[0].Rated
	list := []entry{
		{"modes", fmt.Sprintf("%s to %s Hz, sag %s mm", hz(m.Modes[0].Frequency), hz(m.Modes[5].Frequency), num.Digits(1e3*m.Merit.Sag, 3))},
		{"idle", fmt.Sprintf("order %s at %s Hz, %s times the fastest mode", num.Digits(float64(m.Main)/2, 3), hz(m.Aim.Excitation), num.Digits(m.Merit.Separation, 3))},
		{"roll", fmt.Sprintf("one mode takes %s %% of a torque about the crank", num.Digits(100*m.Merit.Decoupling, 3))},
		{"into the structure", fmt.Sprintf("%s N at idle, %s N at %s rpm (root mean square)", num.Digits(m.Idle.Total, 3), num.Digits(rated.Total, 3), num.Digits(rpm(rated.Speed), 4))},
	}
	for i, p := range m.Train.Mounting.Receivers {
		f := rated.Felt[i]
		list = append(list, entry{p.Name, fmt.Sprintf("%s m/s² weighted at %s rpm, %s m/s² A(8)", feltShown(f.Value), num.Digits(rpm(rated.Speed), 4), feltShown(f.Daily))})
	}
	return list
}
