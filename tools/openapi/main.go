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
	data, err := server.OpenAPI()
	if err != nil {
		return err
	}
	return spec.WriteFileAtomic("web/openapi.json", data)
}
