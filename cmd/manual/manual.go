// Package manual writes what tells of a command line beside its own help: the
// manual page, and completions for shells. All of it comes from the model that the
// command line is read by, so that it can't go stale.
package manual

import (
	"fmt"
	"strings"

	"sunstoker/cmd/line"
)

// Forms are what can be written: the manual page, and completions by their shell.
var Forms = []string{"page", "bash", "zsh", "fish"}

// Edition is what a manual page holds beside the command line.
type Edition struct {
	Version  string
	Day      string // such as 2026-11-26
	Sections []Section
}

// Section is a part of a manual page: a text, and words with what they mean. Each
// may be left out.
type Section struct {
	Title, Text string
	Items       []Item
}

// Item is a word, such as a file's name, with what it means.
type Item struct{ Word, Meaning string }

// Write gives a command line in one of the Forms. Another form is an error.
func Write(form string, app *line.Command, edition Edition) (string, error) {
	switch form {
	case "page":
		return page(app, edition), nil
	case "bash":
		return bash(app), nil
	case "zsh":
		return zsh(app), nil
	case "fish":
		return fish(app), nil
	}
	return "", fmt.Errorf("there is no manual in the form %q; it can be %s", form, strings.Join(Forms, ", "))
}

// briefLength is how many letters a line beside others may have before it is told
// without its particulars.
const briefLength = 70

// brief is the first thing that a help text says, for a line beside others.
func brief(help string) string {
	for _, end := range []string{". ", "; "} {
		help, _, _ = strings.Cut(help, end)
	}
	if len(help) > briefLength {
		help, _, _ = strings.Cut(help, ": ")
	}
	return strings.TrimSuffix(help, ".")
}
