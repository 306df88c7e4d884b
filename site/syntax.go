package site

import (
	"errors"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// decode reads the TOML text into generic data. The library stops at the first
// line that is no TOML.
func (w *walker) decode(data []byte) (map[string]any, bool) {
	var raw map[string]any
	err := toml.Unmarshal(data, &raw)
	if err == nil {
		return raw, true
	}
	var at position
	var key string
	var where *toml.DecodeError
	if errors.As(err, &where) {
		at.line, at.column = where.Position()
		key = shortKey(strings.Join(where.Key(), "."))
	}
	what, do := inPlainWords(strings.TrimPrefix(err.Error(), "toml: "))
	w.wrong(key, at, what, do)
	return nil, false
}

const anExample = `such as area = "4 m²"`

// syntaxHints turns the library's words into what a person most likely has to
// mend. The first that fits counts.
var syntaxHints = []struct{ says, what, do string }{
	{"should be an array table", "this header is written with one bracket here and with two elsewhere", "write every system as [[system]], with two brackets on each side"},
	{"to close", "the header does not end with its bracket", "put the bracket at its end, such as [place]"},
	{"table", "this table is begun twice", "put all its keys together under one header"},
	{"already", "this key is written twice", "keep one of the two lines"},
	{"U+000D", "the line ends in a way that this program does not read", "save the file with Unix or Windows line ends in your editor"},
	{"U+000A", "there is no value behind the equals sign", "write one, " + anExample},
	{"not end of input", "there is no value behind the equals sign", "write one, " + anExample},
	{"at start of value", "the value is neither a number nor a text in quotes", "put it in quotes, " + anExample},
	{"expected newline", "there is something behind the value", "write one key per line, and a value with a unit in quotes, " + anExample},
	{"after key", "behind the key there is no equals sign", "write a key, an equals sign and a value, " + anExample},
	{"new lines", "the text does not end in this line", "put the quotes at its end"},
	{"escape", "a backslash has a meaning of its own inside quotes, and this one has none", "write / in paths"},
	{"control character", "there is an invisible sign in the line", "take it out"},
	{"start of key", "the line does not begin as a key does", "begin it with a key, a [header] or a # for a comment"},
	{"too large", "the number is too large for any key", "write it smaller"},
}

func inPlainWords(message string) (what, do string) {
	for _, hint := range syntaxHints {
		if strings.Contains(message, hint.says) {
			return hint.what, hint.do
		}
	}
	return "the line cannot be read: " + shorten(message), "compare it with the starter file; a value with a unit stands in quotes, " + anExample
}
