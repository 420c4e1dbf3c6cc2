package server

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"sync"

	"crankwright/spec"

	"github.com/danielgtaylor/huma/v2"
)

// ProblemDetails is how every error leaves the server: RFC 9457, application/problem+json.
type ProblemDetails struct {
	Type     string         `json:"type" doc:"kind of the problem: about:blank, or urn:crankwright:… where the client can act on it"`
	Title    string         `json:"title" doc:"the status in words"`
	Status   int            `json:"status" doc:"of HTTP"`
	Detail   string         `json:"detail" doc:"what is wrong this time, in a sentence"`
	Errors   []FieldError   `json:"errors,omitempty" doc:"what is wrong where in the request"`
	Problems []Problem      `json:"problems,omitempty" doc:"what is wrong in the engine file, or in the price table; nothing was saved"`
	Conflict *ConflictState `json:"conflict,omitempty" doc:"what stands on disk instead of what the client expected"`
}

// FieldError is one thing that is wrong in a request.
type FieldError struct {
	Message  string `json:"message" doc:"what is wrong, and what would be right"`
	Location string `json:"location,omitempty" doc:"such as body.edits[0].path or query.speed_rpm"`
}

// ConflictState is the file as it stands on disk.
type ConflictState struct {
	File    string `json:"file" doc:"file name inside the folder"`
	Etag    string `json:"etag" doc:"empty: the file is not there any more"`
	Text    string `json:"text" doc:"as it stands; empty where the file is not there any more"`
	Missing bool   `json:"missing" doc:"the file is not there any more"`
}

// The kinds of problem on which a client can act.
const (
	typePlain    = "about:blank"
	typeConflict = "urn:crankwright:conflict"
	typeInvalid  = "urn:crankwright:invalid-engine"
	typeExists   = "urn:crankwright:exists"
	typePrices   = "urn:crankwright:invalid-prices"
	typeBrief    = "urn:crankwright:invalid-brief"
	typeStudy    = "urn:crankwright:invalid-study"
)

// Error returns the sentence.
func (p *ProblemDetails) Error() string { return p.Detail }

// GetStatus returns the HTTP status.
func (p *ProblemDetails) GetStatus() int { return p.Status }

// ContentType returns the media type of problem details.
func (p *ProblemDetails) ContentType(string) string { return "application/problem+json" }

func failure(status int, detail string) *ProblemDetails {
	return &ProblemDetails{Type: typePlain, Title: http.StatusText(status), Status: status, Detail: clipped(detail)}
}

// clipped cuts what a request makes too long, such as a name of a megabyte that a message repeats.
func clipped(text string) string {
	const most = 4000
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "") + "…"
}

func notFound(detail string) *ProblemDetails { return failure(http.StatusNotFound, detail) }

// ending refuses what would be computed in the background of a server that is about to close.
func ending() *ProblemDetails {
	return failure(http.StatusServiceUnavailable, "the server is being ended")
}

// badField says what is wrong with one part of the request.
func badField(location, message string) *ProblemDetails {
	p := failure(http.StatusUnprocessableEntity, message)
	p.Errors = []FieldError{{Message: clipped(message), Location: location}}
	return p
}

// unusable refuses a file with the first of its problems, and lists all of them.
func unusable(what, kind string, problems []Problem) *ProblemDetails {
	first := problems[0]
	text := fmt.Sprintf("%s: line %d: %s", what, first.Line, first.What)
	if first.Allowed != "" {
		text += "; " + first.Allowed
	}
	p := failure(http.StatusUnprocessableEntity, text)
	p.Type, p.Problems = kind, problems
	return p
}

// problemsOf lists what a reader of package spec found wrong.
func problemsOf(list spec.Errors) []Problem {
	out := make([]Problem, len(list))
	for i, e := range list {
		out[i] = Problem{Line: e.Line, Column: e.Column, What: e.What, Allowed: e.Allowed}
	}
	return out
}

// cutOffBody is what huma says of a body that does not come, or not as announced.
const cutOffBody = "cannot read request body"

// useProblemDetails makes huma's own errors speak the same type, and says that no list is ever null. The
// hooks of huma are package variables, so they are set once.
var useProblemDetails = sync.OnceFunc(func() {
	huma.DefaultArrayNullable = false
	huma.NewError = func(status int, message string, errs ...error) huma.StatusError {
		if message == cutOffBody {
			status = http.StatusBadRequest // which is no failure of ours
		}
		p := failure(status, message)
		for _, err := range errs {
			var d huma.ErrorDetailer
			switch {
			case err == nil:
			case errors.As(err, &d):
				p.Errors = append(p.Errors, FieldError{Message: clipped(d.ErrorDetail().Message), Location: d.ErrorDetail().Location})
			default:
				p.Errors = append(p.Errors, FieldError{Message: clipped(err.Error())})
				if status >= http.StatusInternalServerError { // huma's own words say nothing; a full disk does
					p.Detail = clipped(err.Error())
				}
			}
		}
		return p
	}
})
