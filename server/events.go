package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// Event says that the folder changed.
type Event struct {
	Revision int      `json:"revision" doc:"of the folder after the change"`
	Kind     string   `json:"kind" enum:"hello,saved,created,removed,undone,redone,restored,snapshots,outside" doc:"what happened; hello is the first event of every connection"`
	Files    []string `json:"files" doc:"engine files that changed"`
}

// hub passes events on to everyone who listens.
type hub struct {
	mu        sync.Mutex
	listeners map[chan Event]bool
	closed    bool
}

func newHub() *hub { return &hub{listeners: map[chan Event]bool{}} }

// listen returns a channel of events and a function that ends it. The channel is closed when the hub
// is, or when the listener falls far behind: it then has to look for itself.
func (h *hub) listen() (<-chan Event, func()) {
	h.mu.Lock()
	defer h.mu.Unlock()
	c := make(chan Event, 64)
	if h.closed {
		close(c)
		return c, func() {}
	}
	h.listeners[c] = true
	return c, func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		h.end(c)
	}
}

func (h *hub) end(c chan Event) {
	if h.listeners[c] {
		delete(h.listeners, c)
		close(c)
	}
}

// tell passes an event on and never waits.
func (h *hub) tell(e Event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for c := range h.listeners {
		select {
		case c <- e:
		default:
			h.end(c)
		}
	}
}

// close ends all listeners.
func (h *hub) close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	for c := range h.listeners {
		h.end(c)
	}
}

// stream writes server-sent events.
type stream struct {
	w       http.ResponseWriter
	control *http.ResponseController
}

func newStream(w http.ResponseWriter) stream {
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	h.Set("X-Accel-Buffering", "no")
	control := http.NewResponseController(w)
	_ = control.SetReadDeadline(time.Time{}) // the limit for reading a request would end the stream
	return stream{w, control}
}

func (s stream) send(e Event) error {
	data, err := json.Marshal(e)
	if err != nil {
		return err
	}
	return s.write(fmt.Appendf(nil, "id: %d\ndata: %s\n\n", e.Revision, data))
}

// comment keeps the connection alive and finds out that it is dead.
func (s stream) comment(text string) error { return s.write([]byte(": " + text + "\n\n")) }

// write gives every message its own deadline: the stream as a whole has none.
func (s stream) write(data []byte) error {
	if err := s.control.SetWriteDeadline(time.Now().Add(10 * time.Second)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	if _, err := s.w.Write(data); err != nil {
		return err
	}
	return s.control.Flush()
}
