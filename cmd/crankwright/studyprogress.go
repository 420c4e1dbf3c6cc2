package main

import (
	"fmt"
	"io"
	"sync"
	"time"

	"crankwright/report"
	"crankwright/results"
	"crankwright/search"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
)

// sayEvery is how often it is said how far a study is where there is no terminal.
const sayEvery = 10 * time.Second

// studyProgress shows how far a study is: a bar on a terminal, else a line now and then. end is called when it is over.
func (a *app) studyProgress(p *search.Problem, quiet bool) (tell func(results.Progress), end func()) {
	if quiet {
		return nil, func() {}
	}
	if f := terminal(a.err); f != nil {
		return a.studyBar(p, f)
	}
	last := time.Now()
	return func(now results.Progress) {
		if time.Since(last) >= sayEvery && now.Done < now.Total {
			last = time.Now()
			a.note("%s", progressWords(p, now))
		}
	}, func() {}
}

// progressWords says how far a study is, in one line.
func progressWords(p *search.Problem, now results.Progress) string {
	s := fmt.Sprintf("%d of %d candidates", now.Done, now.Total)
	for _, more := range []string{rateWords(now), leftWords(now), bestWords(p, now)} {
		if more != "" {
			s += "; " + more
		}
	}
	return s
}

func rateWords(now results.Progress) string {
	if now.Rate <= 0 {
		return ""
	}
	return report.Rate(now.Rate) + "/s"
}

func leftWords(now results.Progress) string {
	if now.Left <= 0 {
		return ""
	}
	return report.Lasting(now.Left.Seconds()) + " left"
}

// bestWords says how large the front is, and the best so far by the first aim.
func bestWords(p *search.Problem, now results.Progress) string {
	if len(now.Front) == 0 || len(now.Best) == 0 || len(now.Best[0]) == 0 {
		return ""
	}
	a := p.Aims()[0]
	c := p.Columns()[a.Column]
	return fmt.Sprintf("front %d, best %s %s", len(now.Front), c.Key, report.FigureShown(c.Unit, now.Best[0][0].Values[a.Column]))
}

// studyBar shows a bar with rate, remaining time and the best so far; notes stand above it.
func (a *app) studyBar(p *search.Problem, out io.Writer) (tell func(results.Progress), end func()) {
	var mu sync.Mutex
	var now results.Progress
	words := func(say func(results.Progress) string) decor.Decorator {
		return decor.Any(func(decor.Statistics) string {
			mu.Lock()
			defer mu.Unlock()
			if text := say(now); text != "" {
				return "  " + text
			}
			return ""
		})
	}
	group := mpb.New(mpb.WithOutput(out), mpb.WithWidth(30), mpb.WithRefreshRate(200*time.Millisecond))
	below := a.err
	a.err = group
	style := mpb.BarStyle().Lbound("[").Filler("=").Tip(">").Padding(" ").Rbound("]")
	bar := group.New(0, style,
		mpb.BarRemoveOnComplete(),
		mpb.PrependDecorators(decor.Percentage(decor.WCSyncSpace), decor.Name(" ")),
		mpb.AppendDecorators(words(rateWords), words(leftWords), words(func(now results.Progress) string { return bestWords(p, now) })),
	)
	tell = func(next results.Progress) {
		mu.Lock()
		now = next
		mu.Unlock()
		bar.SetTotal(int64(min(next.Total, 1<<62)), false)
		bar.SetCurrent(int64(min(next.Done, 1<<62)))
	}
	return tell, func() {
		bar.Abort(true)
		group.Wait()
		a.err = below
	}
}
