package dashboard

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io"
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

// pageFile is read anew for each who asks, out of the program itself: kept beside it
// the page would be the largest thing in memory.
type pageFile struct {
	open             func() (fs.File, error)
	contentType, tag string
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
		open := func() (fs.File, error) { return root.Open(name) }
		tag, err := tagOf(open)
		if err != nil || strings.HasPrefix(name, ".") {
			continue
		}
		f := pageFile{open, contentType(name), tag}
		p["/"+name] = f
		if name == "index.html" {
			p["/"] = f
		}
	}
	return p
}

// tagOf is another one for every content of a file.
func tagOf(open func() (fs.File, error)) (string, error) {
	file, err := open()
	if err != nil {
		return "", err
	}
	defer file.Close() // nothing was written
	sum := sha256.New()
	if _, err := io.Copy(sum, file); err != nil {
		return "", err
	}
	return `"` + hex.EncodeToString(sum.Sum(nil)[:12]) + `"`, nil
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
		file, err := f.open()
		content, seeks := file.(io.ReadSeeker)
		if err != nil || !seeks {
			http.Error(w, "The page can't be read out of the program. The readings are at /api/now all the same.", http.StatusInternalServerError)
			return
		}
		defer file.Close() // nothing was written
		h := w.Header()
		h.Set("Content-Type", f.contentType)
		h.Set("Cache-Control", "no-cache") // kept by the browser, asked again by its tag
		h.Set("ETag", f.tag)
		http.ServeContent(w, r, "", time.Time{}, content)
	case r.URL.Path == "/":
		http.Error(w, "The page is not built into this program. Run make in the source folder, then start the program anew.\n"+
			"The readings are at /api/now all the same, and the metrics at /metrics.", http.StatusServiceUnavailable)
	default:
		http.NotFound(w, r)
	}
}
