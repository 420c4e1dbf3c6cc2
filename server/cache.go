package server

import (
	"container/list"
	"sync"

	"crankwright/analysis"
)

// cacheKey is what an evaluation depends on, beside the other files that it reads.
type cacheKey struct {
	file, etag string
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

// of returns the evaluation of a key, computed when its value is first asked for.
func (c *cache) of(key cacheKey, evaluate func() *evaluated) *cached {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.known[key]; ok {
		c.order.MoveToFront(e)
		return e.Value.(*cached)
	}
	one := &cached{key, sync.OnceValue(evaluate)}
	c.known[key] = c.order.PushFront(one)
	for c.order.Len() > c.most {
		c.drop(c.order.Back())
	}
	return one
}

// forget drops an evaluation that does not hold any more, unless another has taken its place.
func (c *cache) forget(one *cached) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.known[one.key]; ok && e.Value == one {
		c.drop(e)
	}
}

// drop takes an evaluation out. mu is held.
func (c *cache) drop(e *list.Element) {
	delete(c.known, e.Value.(*cached).key)
	c.order.Remove(e)
}
