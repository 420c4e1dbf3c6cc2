// Command licences writes docs/licences.md: under which licences stands what the program is built of, the Go modules and the npm packages
// of the front end. It fails where a licence is not a permissive one.
package main

import (
	"fmt"
	"os"
)

// listFile is what this command writes.
const listFile = "docs/licences.md"

func main() {
	text, err := list(".")
	if err == nil {
		err = os.WriteFile(listFile, text, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
