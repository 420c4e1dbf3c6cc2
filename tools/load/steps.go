package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"time"
)

// etag returns the state of the edited engine.
func etag(ctx context.Context, c *client) (string, error) {
	data, err := c.send(ctx, http.MethodGet, "/api/engines/"+edited+"?curves=false&contributions=false&reasons=false", nil)
	if err != nil {
		return "", err
	}
	var v struct{ Etag string }
	return v.Etag, json.Unmarshal(data, &v)
}

// saveAndUndo saves an edit and takes it back every other time.
func saveAndUndo(ctx context.Context, c *client) error {
	c.saves.Lock()
	defer c.saves.Unlock()
	state, err := etag(ctx, c)
	if err != nil {
		return err
	}
	body := map[string]any{"etag": state, "edits": []any{map[string]any{"path": "bore", "text": bore()}}}
	if _, err := c.send(ctx, http.MethodPut, "/api/engines/"+edited, body); err != nil || rand.IntN(2) == 0 {
		return err
	}
	_, err = c.send(ctx, http.MethodPost, "/api/undo", nil)
	return err
}

// editor changes a file on disk as an editor does that truncates it and writes it in two pieces, and wants it read.
func editor(ctx context.Context, c *client) error {
	c.saves.Lock()
	defer c.saves.Unlock()
	file := filepath.Join(c.folder, edited)
	data, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	comment := fmt.Appendf(nil, "# looked at %d\n", rand.IntN(1e6))
	if at := bytes.LastIndex(data, []byte("# looked at")); at >= 0 {
		data = data[:at]
	}
	data = append(data, comment...)
	if err := os.WriteFile(file, data[:len(data)/2], 0o644); err != nil {
		return err
	}
	time.Sleep(20 * time.Millisecond)
	if err := os.WriteFile(file, data, 0o644); err != nil {
		return err
	}
	answer, err := c.send(ctx, http.MethodGet, "/api/engines/"+edited, nil)
	if err == nil && !bytes.Contains(answer, bytes.TrimSpace(comment)) {
		return fmt.Errorf("the change of an editor is not seen")
	}
	return err
}

// snapshot keeps the line-up and forgets it again.
func snapshot(ctx context.Context, c *client) error {
	name := fmt.Sprintf("state %d", rand.IntN(1e9))
	if _, err := c.send(ctx, http.MethodPost, "/api/snapshots", map[string]any{"name": name}); err != nil {
		return err
	}
	_, err := c.send(ctx, http.MethodDelete, "/api/snapshots/"+name, nil)
	return err
}

// searchAll runs a study to its end, asks for what it found and sets that aside.
func searchAll(ctx context.Context, c *client) error {
	c.searches.Lock()
	defer c.searches.Unlock()
	of := "/api/studies/" + search
	if _, err := c.send(ctx, http.MethodPost, of+"/run", map[string]any{}); err != nil {
		return err
	}
	for {
		data, err := c.send(ctx, http.MethodGet, of+"/run", nil)
		if err != nil {
			return err
		}
		var run struct{ State, Failure string }
		if err := json.Unmarshal(data, &run); err != nil {
			return err
		}
		if run.Failure != "" {
			return fmt.Errorf("a search failed: %s", run.Failure)
		}
		if run.State == "whole" {
			break
		}
		time.Sleep(200 * time.Millisecond)
	}
	if _, err := c.send(ctx, http.MethodGet, of+"/points", nil); err != nil {
		return err
	}
	if _, err := c.send(ctx, http.MethodPost, of+"/query", map[string]any{"front": true}); err != nil {
		return err
	}
	if _, err := c.send(ctx, http.MethodDelete, of+"/run", nil); err != nil {
		return err
	}
	return os.RemoveAll(filepath.Join(c.folder, ".crankwright", "results")) // so that the disk does not fill
}

// listen reads the event stream for up to ten seconds and goes away.
func listen(ctx context.Context, c *client) error {
	ctx, cancel := context.WithTimeout(ctx, rand.N(10*time.Second))
	defer cancel()
	r, err := c.request(ctx, http.MethodGet, "/api/events", nil)
	if err != nil {
		return err
	}
	answer, err := c.http.Do(r)
	if ctx.Err() != nil {
		return nil // gone before the answer came
	}
	if err != nil {
		return err
	}
	defer func() { _ = answer.Body.Close() }()
	_, err = io.Copy(io.Discard, answer.Body)
	if ctx.Err() != nil {
		return nil // that is how it goes away
	}
	return fmt.Errorf("the event stream ended by itself: %w", err)
}

// deaf opens the event stream, reads nothing for up to ten seconds, and breaks the connection.
func deaf(ctx context.Context, c *client) error {
	return c.raw(ctx, "GET /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n", rand.N(10*time.Second))
}

// leave asks for a long answer and goes away while it comes.
func leave(ctx context.Context, c *client) error {
	return c.raw(ctx, "GET /api/compare HTTP/1.1\r\nHost: localhost\r\n\r\n", rand.N(5*time.Millisecond))
}

// raw sends some bytes, waits and resets the connection.
func (c *client) raw(ctx context.Context, text string, wait time.Duration) error {
	conn, err := (&net.Dialer{}).DialContext(ctx, "tcp", c.base.Host)
	if err != nil {
		return err
	}
	if tcp, ok := conn.(*net.TCPConn); ok {
		_ = tcp.SetReadBuffer(4096)
		_ = tcp.SetLinger(0)
	}
	_, err = io.WriteString(conn, text)
	if err == nil {
		select {
		case <-time.After(wait):
		case <-ctx.Done():
		}
	}
	if closing := conn.Close(); err == nil {
		err = closing
	}
	return err
}
