// Package manual writes what tells of a command line beside its own help: the
// manual page, and completions for shells. All of it comes from the model that the
// command line is parsed by, so that it can't go stale. It knows commands, their
// flags and arguments, and the choices among which a value must be; aliases, groups
// and hidden parts are left out.
package manual

import (
	"fmt"
	"iter"
	"strings"

	"github.com/alecthomas/kong"
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
func Write(form string, app *kong.Application, edition Edition) (string, error) {
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

// nodes goes through a command line from its root: every command before its own
// commands.
func nodes(root *kong.Node) iter.Seq[*kong.Node] {
	return func(yield func(*kong.Node) bool) { visit(root, yield) }
}

func visit(n *kong.Node, yield func(*kong.Node) bool) bool {
	if !yield(n) {
		return false
	}
	for _, child := range children(n) {
		if !visit(child, yield) {
			return false
		}
	}
	return true
}

func children(n *kong.Node) []*kong.Node {
	var shown []*kong.Node
	for _, child := range n.Children {
		if !child.Hidden {
			shown = append(shown, child)
		}
	}
	return shown
}

// path is a command as it is typed behind the program's name: "history export";
// the root has none.
func path(n *kong.Node) string {
	if n.Parent == nil {
		return ""
	}
	return strings.TrimPrefix(path(n.Parent)+" "+n.Name, " ")
}

// flags are all that a command takes, those of its parents before its own.
func flags(n *kong.Node) []*kong.Flag {
	var all []*kong.Flag
	for _, group := range n.AllFlags(true) {
		all = append(all, group...)
	}
	return all
}

// takesValue tells whether a word follows a flag.
func takesValue(f *kong.Flag) bool { return !f.IsBool() && !f.IsCounter() }

// choices are the values among which one must be, or none where it is free.
func choices(v *kong.Value) []string {
	if v.Enum == "" {
		return nil
	}
	return v.EnumSlice()
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
