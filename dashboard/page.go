package dashboard

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"
)

//go:embed all:page/dist
var dist embed.FS

// page is the built page's files by their path on the server.
type page map[string]pageFile

type pageFile struct {
	body, contentType, tag string
}

func builtPage() page {
	root, err := fs.Sub(dist, "page/dist")
	if err != nil {
		panic("dashboard: " + err.Error()) // the folder is named by the embed line above
	}
	return pageIn(root)
}

// pageIn reads the files of a built page. Files that can't be read, and hidden
// ones, are left out.
func pageIn(root fs.FS) page {
	p := page{}
	names, _ := fs.Glob(root, "*")
	for _, name := range names {
		body, err := fs.ReadFile(root, name)
		if err != nil || strings.HasPrefix(name, ".") {
			continue
		}
		sum := sha256.Sum256(body)
		f := pageFile{string(body), contentType(name), `"` + hex.EncodeToString(sum[:12]) + `"`}
		p["/"+name] = f
		if name == "index.html" {
			p["/"] = f
		}
	}
	return p
}

// contentType does not ask the machine's own table, which may say anything.
func contentType(name string) string {
	switch path.Ext(name) {
	case ".html":
		return "text/html; charset=utf-8"
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	}
	return "application/octet-stream"
}

func (p page) serve(w http.ResponseWriter, r *http.Request) {
	f, ok := p[r.URL.Path]
	switch {
	case ok:
		h := w.Header()
		h.Set("Content-Type", f.contentType)
		h.Set("Cache-Control", "no-cache") // kept by the browser, asked again by its tag
		h.Set("ETag", f.tag)
		http.ServeContent(w, r, "", time.Time{}, strings.NewReader(f.body))
	case r.URL.Path == "/":
		http.Error(w, "The page is not built into this program. Run make in the source folder, then start the program anew.\n"+
			"The readings are at /api/now all the same, and the metrics at /metrics.", http.StatusServiceUnavailable)
	default:
		http.NotFound(w, r)
	}
}
