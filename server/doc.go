// Package server is the workbench's HTTP API over one folder of engine files, with the built front end.
//
// The folder is the truth. folder.go reads it and writes it, whole files or nothing, through an os.Root
// that nothing leaves; history.go keeps what was done, ours or from outside, so that it can be undone;
// snapshots.go keeps named states of the whole line-up below .crankwright; watch.go sees changes from
// outside and events.go tells the browser.
//
// view.go makes what the workbench shows of one engine: the same report.Document that evaluate --json
// prints, its geometry, its inputs and the explanations. The server computes nothing of its own.
//
// api.go lists every operation; types.go, typesstudy.go and typesevolve.go have the types that several of them speak,
// the others stand beside their operation. From all of them OpenAPI and the front end's client are generated. safety.go
// is the door: who may ask, and how much.
package server
