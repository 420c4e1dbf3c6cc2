// Package study counts, numbers and compares candidates of any kind: it knows no engine.
//
//   - problem.go: what somebody who evaluates candidates offers, and what a search asks of it;
//   - space.go: blocks of axes; every candidate has a number, and every number is a candidate;
//   - shard.go: the space cut into ranges that can be done anywhere, in any sequence;
//   - batch.go: candidates that were kept, by column;
//   - front.go: the exact non-dominated set;
//   - tree.go: the tree of boxes that makes it fast;
//   - outcome.go: what a range yielded: counts, front, best; two make one, whatever the sequence;
//   - evolve.go: an evolutionary search for spaces too large to be enumerated;
//   - rank.go, breed.go: who survives in it, and how children differ from their parents.
package study
