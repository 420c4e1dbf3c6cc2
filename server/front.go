package server

import (
	"io/fs"
	"net/http"
	"path"
	"strings"
)

const notBuilt = `<!doctype html><html lang="en"><meta charset="utf-8"><title>Crankwright</title>
<body style="font:1rem/1.5 system-ui,sans-serif;max-width:38rem;margin:3rem auto;padding:0 1rem">
<h1>The workbench is not built</h1>
<p>This server was built without its front end. In the source folder,</p>
<pre>make build</pre>
<p>builds both (Node 20 and Go are needed). The API works: <a href="/openapi.json">openapi.json</a>
describes it.</p></body></html>
`

// newFront serves the built front end. Files whose name holds a hash of their content never change;
// every other path that is no file is a view of the one page, so that a link is a view.
func newFront(files fs.FS) http.Handler {
	built := false
	if files != nil {
		_, err := fs.Stat(files, "index.html")
		built = err == nil
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			w.Header().Set("Allow", "GET, HEAD")
			refuse(w, http.StatusMethodNotAllowed, r.Method+" is not possible here")
		case strings.HasPrefix(r.URL.Path, "/api/"):
			refuse(w, http.StatusNotFound, "the API has no "+r.URL.Path)
		case !built:
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			w.Header().Set("Cache-Control", "no-store")
			_, _ = w.Write([]byte(notBuilt))
		default:
			serveFront(w, r, files)
		}
	})
}

func serveFront(w http.ResponseWriter, r *http.Request, files fs.FS) {
	name := strings.TrimPrefix(path.Clean("/"+r.URL.Path), "/")
	hidden := strings.HasPrefix(name, ".") || strings.Contains(name, "/.")
	if info, err := fs.Stat(files, name); name != "" && !hidden && err == nil && !info.IsDir() {
		if strings.HasPrefix(name, "assets/") {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		} else {
			w.Header().Set("Cache-Control", "no-cache")
		}
		http.ServeFileFS(w, r, files, name)
		return
	}
	if path.Ext(name) != "" && !strings.Contains(name, ".engine.") || strings.HasPrefix(name, "assets/") {
		refuse(w, http.StatusNotFound, "there is no /"+name)
		return
	}
	page, err := fs.ReadFile(files, "index.html")
	if err != nil {
		refuse(w, http.StatusInternalServerError, "the front end cannot be read")
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(page)
}
