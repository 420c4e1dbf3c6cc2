// Command openapi writes the description of the workbench's API to web/openapi.json, from which the
// front end generates its client.
package main

import (
	"fmt"
	"os"

	"crankwright/server"
	"crankwright/spec"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "openapi:", err)
		os.Exit(1)
	}
}

func run() error {
	folder, err := os.MkdirTemp("", "crankwright")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	s, err := server.New(server.Config{Folder: folder, Addr: "127.0.0.1:0"})
	if err != nil {
		return err
	}
	data, err := s.OpenAPI()
	if err != nil {
		return err
	}
	if err := s.Close(); err != nil {
		return err
	}
	return spec.WriteFileAtomic("web/openapi.json", data)
}
