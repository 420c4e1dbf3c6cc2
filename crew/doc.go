// Package crew lets many machines work on one study, through a message server with a store: NATS with JetStream.
//
// It has no scheduler. Whoever leads a study posts the shards that its folder of results lacks as messages of a queue;
// workers take them, one a processor, and put the bytes of each shard's file into an object store; the leader checks the
// bytes, stores them in the folder and forgets the message. What dies is started again, and goes on:
//
//   - a worker: the server hands its shards to others after some seconds;
//   - the server: it finds its queue in its store, and everybody connects again;
//   - the leader: the queue is kept for it, and the folder says what is missing.
//
// A shard is in the queue until its result is, and the result is until the folder has it, so nothing is lost; every shard
// has a subject of its own that holds one message, and the folder holds each shard once, so nothing is doubled.
//
//   - server.go: a message server in this process;
//   - conn.go: connections, and doing things until the server answers;
//   - queue.go: what the queue of a study is called and holds;
//   - lead.go: the leader;
//   - work.go: the workers;
//   - watch.go: where a study stands, for everybody who watches.
package crew
