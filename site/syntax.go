package site

import (
	"errors"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// decode reads the TOML text into generic data.
func (w *walker) decode(data []byte) (map[string]any, bool) {
	var raw map[string]any
	err := toml.Unmarshal(data, &raw)
	if err == nil {
		return raw, true
	}
	message := strings.TrimPrefix(err.Error(), "toml: ")
	var at position
	var key string
	var where *toml.DecodeError
	if errors.As(err, &where) {
		at.line, at.column = where.Position()
		key = shortKey(strings.Join(where.Key(), "."))
	}
	w.mistakes = append(w.mistakes, Mistake{File: w.file, Line: at.line, Column: at.column, Key: key,
		What: "the line cannot be read: " + shorten(message), Do: syntaxHelp(message)})
	return nil, false
}

// syntaxHints holds the library's words, and what a person most likely has to mend.
var syntaxHints = []struct{ says, do string }{
	{"should be an array table", "write every system as [[system]], with two brackets on each side"},
	{"already exists", "a table may be written once only; put its keys together under one header"},
	{"already defined", "a key may be written once only; keep one of the two lines"},
	{"at start of value", `put the text in quotes, such as name = "House on the hill"`},
	{"expected newline", `write one key per line, and a value with a unit in quotes, such as area = "4 m²"`},
	{"expected '=' after key", `write a key, an equals sign and a value, such as area = "4 m²"`},
	{"cannot have new lines", "the quotes that end the text are missing"},
	{"to close", "the bracket that ends the header is missing"},
	{"not end of input", `write a value behind the equals sign, such as area = "4 m²"`},
	{"escape", "write / in paths; a backslash has a meaning of its own inside quotes"},
	{"control character", "take the invisible signs out of the line"},
	{"start of key", "a line begins with a key, a [header] or a # for a comment"},
}

func syntaxHelp(message string) string {
	for _, hint := range syntaxHints {
		if strings.Contains(message, hint.says) {
			return hint.do
		}
	}
	return `compare the line with the starter file; a value with a unit stands in quotes, such as area = "4 m²"`
}
