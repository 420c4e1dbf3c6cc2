package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"sync"
	"time"
)

// The files of the examples that requests are about.
var engines = []string{
	"inline-four-flat.engine.yaml", "inline-three.engine.yaml", "inline-six.engine.yaml", "vee-eight-90-cross.engine.yaml", "vee-twin-90.engine.yaml",
	"vee-six-60.engine.yaml", "opposed-six.engine.yaml", "radial-five.engine.yaml", "single.engine.yaml", "vee-four-65.engine.yaml",
}

const (
	edited = "vee-six-90.engine.yaml" // no other request asks for it, for an editor leaves it half written for a moment
	brief  = "pilot-boat.brief.yaml"
	search = "pilot-boat-three.study.yaml"
)

// client sends requests to one workbench and to nothing else.
type client struct {
	base     *url.URL
	http     *http.Client
	folder   string
	tally    *tally
	saves    sync.Mutex // one save after the other, so that none is refused for another
	searches sync.Mutex
}

func newClient(p *program, most int, t *tally) *client {
	return &client{
		base: p.base, folder: p.folder, tally: t,
		http: &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: most, IdleConnTimeout: 30 * time.Second}, Timeout: time.Minute},
	}
}

// send sends a request and returns the body of its answer; another status than 2xx is an error.
func (c *client) send(ctx context.Context, method, path string, body any) ([]byte, error) {
	r, err := c.request(ctx, method, path, body)
	if err != nil {
		return nil, err
	}
	began := time.Now()
	answer, err := c.http.Do(r)
	if err != nil {
		return nil, err
	}
	defer func() { _ = answer.Body.Close() }()
	data, err := io.ReadAll(answer.Body)
	if err != nil {
		return nil, err
	}
	c.tally.answered(time.Since(began))
	if answer.StatusCode > 299 {
		return nil, fmt.Errorf("%s %s: %s %.200s", method, path, answer.Status, data)
	}
	return data, nil
}

func (c *client) request(ctx context.Context, method, path string, body any) (*http.Request, error) {
	in := io.Reader(http.NoBody)
	if body != nil {
		data, err := json.Marshal(body)
		if err != nil {
			return nil, err
		}
		in = bytes.NewReader(data)
	}
	r, err := http.NewRequestWithContext(ctx, method, c.base.String()+path, in)
	if err == nil && body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	return r, err
}

// route is one kind of request.
type route struct {
	name   string
	weight int  // how often it comes in the soak, of about a thousand
	load   bool // it is among those that are sent as fast as they are answered
	ask    func(ctx context.Context, c *client) error
}

func one(of []string) string { return of[rand.IntN(len(of))] }

// get is a request without a body, made anew every time.
func get(path func() string) func(context.Context, *client) error {
	return func(ctx context.Context, c *client) error {
		_, err := c.send(ctx, http.MethodGet, path(), nil)
		return err
	}
}

// post is a request about a draft of an engine, the bore of which is new every time, so that nothing is known already.
func post(path string, more map[string]any) func(context.Context, *client) error {
	return func(ctx context.Context, c *client) error {
		body := map[string]any{"file": one(engines), "edits": []any{map[string]any{"path": "bore", "text": bore()}}}
		for k, v := range more {
			body[k] = v
		}
		_, err := c.send(ctx, http.MethodPost, path, body)
		return err
	}
}

func bore() string { return fmt.Sprintf("%.4f mm", 78+4*rand.Float64()) }

// routes are the main requests of the workbench.
var routes = []route{
	{"front page", 40, true, get(func() string { return "/" })},
	{"line-up", 100, true, get(func() string { return "/api/lineup" })},
	{"engine, known", 200, true, get(func() string { return "/api/engines/" + one(engines) })},
	{"engine at a new speed", 40, true, get(func() string {
		return fmt.Sprintf("/api/engines/%s?speed_rpm=%d", one(engines), 1000+rand.IntN(2000))
	})},
	{"preview of an edit", 300, true, post("/api/preview", nil)},
	{"compare", 30, true, get(func() string { return "/api/compare" })},
	{"figure, SVG", 60, true, get(func() string { return "/api/figures/end-view?format=svg&file=" + one(engines) })},
	{"figure, PNG", 20, true, get(func() string { return "/api/figures/order-bars?format=png&file=" + one(engines) })},
	{"table", 30, true, get(func() string { return "/api/tables/orders.csv?file=" + one(engines) })},
	{"torque", 30, false, post("/api/torque", nil)},
	{"bearings", 20, false, post("/api/bearings", nil)},
	{"space", 20, false, post("/api/space", nil)},
	{"parts", 20, false, post("/api/parts", nil)},
	{"counterweights", 30, true, post("/api/balance/counterweights", map[string]any{"policy": "optimum"})},
	{"sound", 5, false, post("/api/sound/loop", nil)},
	{"choice", 5, true, func(ctx context.Context, c *client) error {
		_, err := c.send(ctx, http.MethodPost, "/api/choice", map[string]any{"brief": map[string]any{"file": brief}, "files": engines, "estimates": "certain"})
		return err
	}},
	{"report, page", 5, false, get(func() string { return "/api/report?format=html&files=" + one(engines) })},
	{"report, PDF", 5, false, get(func() string { return "/api/report?format=pdf&files=" + one(engines) })},
	{"report, CSV", 5, false, get(func() string { return "/api/report?format=csv&files=" + one(engines) })},
	{"save and undo", 60, true, saveAndUndo},
	{"change by an editor", 20, false, editor},
	{"snapshot", 5, false, snapshot},
	{"search", 1, false, searchAll},
	{"events, read for a while", 30, false, listen},
	{"events, never read", 20, false, deaf},
	{"answer that is left unread", 20, false, leave},
}
