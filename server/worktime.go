package server

import (
	"io"
	"net/http"
	"time"
)

// The limits of an HTTP server count from the beginning of a request: it would end the work when the time for reading is over, and
// not send an answer that took longer than the time for writing. A report of hundreds of engines takes minutes. So the time for
// reading ends with the request, and that for writing begins with the answer.

// untimed takes the time limits from the work between a request and its answer.
func untimed(w http.ResponseWriter, r *http.Request) http.ResponseWriter {
	control := http.NewResponseController(w)
	if r.ContentLength == 0 {
		_ = control.SetReadDeadline(time.Time{})
	}
	r.Body = &requestBody{r.Body, control}
	return &answerWriter{ResponseWriter: w, control: control}
}

// requestBody is a body with which the time for reading ends.
type requestBody struct {
	io.ReadCloser
	control *http.ResponseController
}

// Read reads.
func (b *requestBody) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	if err == io.EOF {
		_ = b.control.SetReadDeadline(time.Time{})
	}
	return n, err
}

// answerWriter writes an answer, with which the time for writing begins.
type answerWriter struct {
	http.ResponseWriter
	control *http.ResponseController
	begun   bool
}

// Unwrap returns what it writes to.
func (w *answerWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// WriteHeader writes the head.
func (w *answerWriter) WriteHeader(status int) {
	w.begin()
	w.ResponseWriter.WriteHeader(status)
}

// Write writes a part of the body.
func (w *answerWriter) Write(p []byte) (int, error) {
	w.begin()
	return w.ResponseWriter.Write(p)
}

func (w *answerWriter) begin() {
	if !w.begun {
		w.begun = true
		_ = w.control.SetWriteDeadline(time.Now().Add(writeTimeout))
	}
}
