// Package paper makes what is read on a screen or printed: pages of HTML, drawings
// in SVG, and plain text for a terminal. Markup is of a type that only this package can make, out of tags
// that stand in the program's text and of texts that it escapes: what somebody typed
// into a site file can't become markup, and a page needs no template.
//
// The templates of the standard library find what they fill in by the names of
// methods at run time, for which the linker must keep every exported method of every
// type in the program: 1.8 MB of it.
package paper

import (
	"html"
	"io"
	"strings"
)

// HTML is markup. Its zero value is empty.
type HTML struct{ markup string }

// constant is a string that other packages can only write down in their text.
type constant string

// In puts something into a tag, which is written as it stands in HTML without its
// brackets: In(`p class="soft"`, Text("about")).
func In(tag constant, inside ...HTML) HTML {
	name, _, _ := strings.Cut(string(tag), " ")
	return HTML{"<" + string(tag) + ">" + Join(inside...).markup + "</" + name + ">"}
}

// Text is a text, whatever signs it holds.
func Text(text string) HTML { return HTML{html.EscapeString(text)} }

// Join puts markup one behind the other.
func Join(parts ...HTML) HTML {
	var out strings.Builder
	for _, p := range parts {
		out.WriteString(p.markup)
	}
	return HTML{out.String()}
}

// Each joins what is made of each of some things.
func Each[T any](of []T, one func(T) HTML) HTML {
	parts := make([]HTML, len(of))
	for i, x := range of {
		parts[i] = one(x)
	}
	return Join(parts...)
}

// Empty tells whether there is nothing.
func (h HTML) Empty() bool { return h.markup == "" }

// String is the markup, to look at.
func (h HTML) String() string { return h.markup }

// Page is a document that needs no other file: it runs no script and fetches nothing.
type Page struct {
	Title string
	Style string // a style sheet of the program's own, never of a person's
	Body  HTML
}

// Write writes the document.
func (p Page) Write(w io.Writer) error {
	_, err := io.WriteString(w, `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<title>`+html.EscapeString(p.Title)+`</title>
<style>
`+p.Style+`</style>
</head>
<body>
`+p.Body.markup+`
</body>
</html>
`)
	return err
}
