package server

import (
	"context"
	"path/filepath"
	"time"

	"github.com/fsnotify/fsnotify"
)

const (
	settle = 60 * time.Millisecond // after the last sign of a change, before the folder is read
	period = 2 * time.Second       // between looks where the system gives no signs
)

// watch looks at the folder whenever something changes in it, until ctx ends. Changes of our own make
// no event of their own, for sync finds nothing new. Where the system cannot watch (a network drive)
// it looks every two seconds. A folder that stands in its place anew is watched anew.
func (f *folder) watch(ctx context.Context, note func(error)) {
	w, err := fsnotify.NewWatcher()
	if err == nil {
		defer func() { _ = w.Close() }()
		err = w.Add(f.dir)
	}
	if err != nil {
		note(err)
		f.poll(ctx)
		return
	}
	timer := time.NewTimer(settle)
	timer.Stop()
	place := time.NewTicker(period)
	defer place.Stop()
	lost := false // the directory that is watched is not the folder any more
	again := func() {
		_ = w.Remove(f.dir)
		lost = w.Add(f.dir) != nil
		timer.Reset(settle)
	}
	for {
		select {
		case <-ctx.Done():
			return
		case e, ok := <-w.Events:
			if !ok {
				return
			}
			if e.Name == f.dir { // moved or removed
				lost = true
				timer.Reset(settle)
			} else if tracked(filepath.Base(e.Name)) {
				timer.Reset(settle)
			}
		case _, ok := <-w.Errors: // events were lost: look
			if !ok {
				return
			}
			timer.Reset(settle)
		case <-timer.C:
			_, _ = f.look()
		case <-f.moved:
			again()
		case <-place.C:
			f.mu.Lock()
			_ = f.find()
			f.mu.Unlock()
			if lost {
				again()
			}
		}
	}
}

func (f *folder) poll(ctx context.Context) {
	t := time.NewTicker(period)
	defer t.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
			_, _ = f.look()
		}
	}
}
