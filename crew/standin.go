package crew

import "crankwright/study"

type folder interface {
	Missing() []study.Shard
	PutBytes(r study.Shard, data []byte) error
}

var encode func(p study.Problem, r study.Shard, kept *study.Batch, left []study.Count) ([]byte, error)

func Encode(f func(p study.Problem, r study.Shard, kept *study.Batch, left []study.Count) ([]byte, error)) {
	encode = f
}
