// Package manual writes what tells of a command line beside its own help: the
// manual page, and completions for shells. All of it comes from the
// command line that the program reads, so that it can't go stale.
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
	var out strings.Builder
	switch form {
	case "page":
		return page(app, edition), nil
	case "bash":
		err := app.GenBashCompletionV2(&out, true)
		return out.String(), err
	case "zsh":
		err := app.GenZshCompletion(&out)
		return out.String(), err
	case "fish":
		err := app.GenFishCompletion(&out, true)
		return out.String(), err
	}
	return "", fmt.Errorf("there is no manual in the form %q; it can be %s", form, strings.Join(Forms, ", "))
}
