package crew_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"crankwright/crew"
	"crankwright/study"
)

type standin struct {
	dir    string
	shards []study.Shard
}

func folderOf(dir string, p study.Problem, _ study.Bundle) (*standin, error) {
	size, _ := p.Space().Size()
	return &standin{dir, study.Shards(size, uint64(p.Pace()))}, os.MkdirAll(dir, 0o755)
}

func (s *standin) file(n int) string { return filepath.Join(s.dir, fmt.Sprintf("%06d", n)) }

func (s *standin) Missing() []study.Shard {
	var m []study.Shard
	for _, r := range s.shards {
		if _, err := os.Stat(s.file(r.Number)); err != nil {
			m = append(m, r)
		}
	}
	return m
}

func (s *standin) PutBytes(r study.Shard, data []byte) error {
	if old, err := os.ReadFile(s.file(r.Number)); err == nil && !bytes.Equal(old, data) {
		return errors.New("other bytes")
	}
	if err := os.WriteFile(s.file(r.Number)+".tmp", data, 0o644); err != nil {
		return err
	}
	return os.Rename(s.file(r.Number)+".tmp", s.file(r.Number))
}

func init() {
	crew.Encode(func(p study.Problem, r study.Shard, kept *study.Batch, left []study.Count) ([]byte, error) {
		return json.Marshal(map[string]any{"r": r, "i": kept.Index, "v": kept.Values, "l": left})
	})
}

func runAlone(p study.Problem, f *standin) error {
	for _, r := range f.Missing() {
		kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
		if err := p.Evaluator().Evaluate(r, kept, left, func() bool { return false }); err != nil {
			return err
		}
		data, err := json.Marshal(map[string]any{"r": r, "i": kept.Index, "v": kept.Values, "l": left})
		if err != nil {
			return err
		}
		if err := f.PutBytes(r, data); err != nil {
			return err
		}
	}
	return nil
}
