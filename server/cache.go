package server

import (
	"container/list"
	"sync"

	"crankwright/analysis"
)

// cacheKey is what an evaluation depends on.
type cacheKey struct {
	file, etag string
	trace      string // state of the measured trace that the file names
	opt        analysis.Options
}

// cache keeps the last evaluations. Two that want the same at once compute it once.
type cache struct {
	mu    sync.Mutex
	most  int
	order *list.List // of *cached, the latest first
	known map[cacheKey]*list.Element
}

type cached struct {
	key   cacheKey
	value func() *evaluated
}

func newCache(most int) *cache {
	return &cache{most: most, order: list.New(), known: map[cacheKey]*list.Element{}}
}

// evaluate returns the evaluation of a file's content, where the trace that it names is in a given state.
func (c *cache) evaluate(file, trace string, s stored, opt analysis.Options, read func(name string) ([]byte, error)) *evaluated {
	key := cacheKey{file, s.etag, trace, opt}
	c.mu.Lock()
	e, ok := c.known[key]
	if ok {
		c.order.MoveToFront(e)
	} else {
		e = c.order.PushFront(&cached{key, sync.OnceValue(func() *evaluated { return evaluate(file, s.data, opt, read) })})
		c.known[key] = e
		for c.order.Len() > c.most {
			oldest := c.order.Back()
			delete(c.known, oldest.Value.(*cached).key)
			c.order.Remove(oldest)
		}
	}
	value := e.Value.(*cached).value
	c.mu.Unlock()
	return value()
}
