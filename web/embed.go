// Package web holds the built front end. Its sources are TypeScript in src; make build puts what Vite
// makes of them into dist, from where the Go compiler takes it into the command.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

// Dist returns the built front end: index.html and assets, or nothing but .gitkeep where it was not
// built.
func Dist() fs.FS {
	files, err := fs.Sub(dist, "dist")
	if err != nil { // dist is there, or this would not have compiled
		return nil
	}
	return files
}
