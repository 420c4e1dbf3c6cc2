package study

import "errors"

// ErrStopped is returned where an evaluation was told to stop.
var ErrStopped = errors.New("study: stopped")

// Shard is a range of candidates, From up to below To.
type Shard struct {
	Number   int
	From, To uint64
}

// Shards cuts a space into ranges of equal size, the last as it comes.
//
//   - size: number of candidates of the space [1]
//   - per: candidates in a shard [1], at least 1
//
// Result [1]: shards numbered from 0 that hold every candidate once. Definition.
func Shards(size uint64, per uint64) []Shard {
	per = max(1, per)
	var list []Shard
	for from := uint64(0); from < size; {
		to := from + min(per, size-from)
		list = append(list, Shard{len(list), from, to})
		from = to
	}
	return list
}
