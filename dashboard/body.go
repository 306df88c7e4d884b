package dashboard

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"
	"unicode/utf8"
)

// fields are the fields of a request's body: texts, and true or false.
type fields map[string]any

// badRequest says what is wrong with a request as it is written, and with which
// status it is refused.
type badRequest struct {
	status int
	words  string
}

func (b *badRequest) Error() string { return b.words }

func malformed(format string, args ...any) error {
	return &badRequest{http.StatusBadRequest, fmt.Sprintf(format, args...)}
}

// readFields reads a body that must be one flat JSON object. It takes nothing on
// trust: what is said twice, nested or behind the end is
// refused.
func readFields(r *http.Request) (fields, error) {
	kind, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	charset := params["charset"]
	switch {
	case err != nil || kind != "application/json" || charset != "" && !strings.EqualFold(charset, "utf-8"):
		return nil, &badRequest{http.StatusUnsupportedMediaType, "The body must be JSON: send it with Content-Type: application/json."}
	case r.Header.Get("Content-Encoding") != "":
		return nil, &badRequest{http.StatusUnsupportedMediaType, "The body must not be compressed: send it without Content-Encoding."}
	}
	body, err := io.ReadAll(r.Body) // the door has bounded it
	if err != nil {
		return nil, malformed("The body can't be read: %v.", err)
	}
	if !utf8.Valid(body) {
		return nil, malformed("The body is no UTF-8 text: send JSON as UTF-8.")
	}
	return parseFields(body)
}

func parseFields(body []byte) (fields, error) {
	notJSON := func(err error) error {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return malformed(`The body ends too early: send one JSON object, such as {"length": "2 h"}.`)
		}
		return malformed("The body is no JSON: %v.", err)
	}
	in := json.NewDecoder(bytes.NewReader(body))
	in.UseNumber()
	switch begin, err := in.Token(); {
	case err != nil:
		return nil, notJSON(err)
	case begin != json.Delim('{'):
		return nil, malformed(`The body must be a JSON object, such as {"length": "2 h"}.`)
	}
	got := fields{}
	for in.More() {
		key, err := in.Token()
		if err != nil {
			return nil, notJSON(err)
		}
		name := key.(string) // a decoder gives nothing else for a key
		value, err := in.Token()
		if err != nil {
			return nil, notJSON(err)
		}
		if _, twice := got[name]; twice {
			return nil, malformed("%q stands twice in the body: write it once.", shortened(name))
		}
		if got[name], err = plainValue(name, value); err != nil {
			return nil, err
		}
	}
	if _, err := in.Token(); err != nil { // the closing brace
		return nil, notJSON(err)
	}
	if _, err := in.Token(); !errors.Is(err, io.EOF) {
		return nil, malformed("Something stands behind the JSON object: send one object and nothing else.")
	}
	return got, nil
}

func plainValue(name string, value json.Token) (any, error) {
	switch v := value.(type) {
	case string, bool:
		return v, nil
	case json.Number:
		return nil, malformed(`%q is the plain number %s: write a text with its unit, such as "2 h" or "60 °C".`, shortened(name), shortened(v.String()))
	}
	return nil, malformed("%q must be a text, or true or false: write nothing nested, and no null.", shortened(name))
}

// only refuses fields that are not among the names.
func (f fields) only(names ...string) error {
	for name := range f {
		known := false
		for _, n := range names {
			known = known || n == name
		}
		if !known {
			return malformed("%q is not known here: send %s.", shortened(name), quoted(names))
		}
	}
	return nil
}

// text gives a field that must be there and be a text.
func (f fields) text(name, such string) (string, error) {
	switch v := f[name].(type) {
	case string:
		return v, nil
	case nil:
		return "", malformed("%q is missing: send it, such as {%q: %q}.", name, name, such)
	}
	return "", malformed("%q must be a text, such as %q.", name, such)
}

// flag gives a field that must be there and be true or false.
func (f fields) flag(name string) (bool, error) {
	switch v := f[name].(type) {
	case bool:
		return v, nil
	case nil:
		return false, malformed("%q is missing: send true or false.", name)
	}
	return false, malformed("%q must be true or false, without quotes.", name)
}

func quoted(names []string) string {
	var list []string
	for _, n := range names {
		list = append(list, fmt.Sprintf("%q", n))
	}
	return strings.Join(list, " and ")
}

// shortened keeps what came from outside from filling an answer.
func shortened(text string) string {
	const most = 60
	if len(text) <= most {
		return text
	}
	cut := most
	for cut > 0 && !utf8.RuneStart(text[cut]) {
		cut--
	}
	return text[:cut] + "…"
}
