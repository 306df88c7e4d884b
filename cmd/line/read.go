package line

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// ErrHelp is given where help was asked for. Nothing else was looked at then.
var ErrHelp = errors.New("help was asked for")

// Read reads what was typed behind the program's name, and gives the command that
// was meant; with an error it is the one that was reached.
func (c *Command) Read(words []string) (*Command, error) {
	r := &reader{at: c, words: words}
	err := r.all()
	asked := words
	if end := slices.Index(words, "--"); end >= 0 {
		asked = words[:end]
	}
	if slices.Contains(asked, "--help") || slices.Contains(asked, "-h") {
		return r.at, ErrHelp
	}
	if err == nil {
		err = r.at.complete()
	}
	return r.at, err
}

// reader goes through the words of a command line.
type reader struct {
	at    *Command
	words []string // that are left
	bare  bool     // behind "--": no flags any more
}

func (r *reader) all() error {
	for len(r.words) > 0 {
		word := r.words[0]
		r.words = r.words[1:]
		var err error
		switch {
		case word == "--" && !r.bare:
			r.bare = true
		case !r.bare && len(word) > 1 && word[0] == '-':
			err = r.flag(word)
		case len(r.at.Commands) > 0:
			err = r.command(word)
		default:
			err = r.at.argument(word)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) command(word string) error {
	var names []string
	for _, child := range r.at.Commands {
		if child.Name == word {
			r.at = child
			return nil
		}
		names = append(names, child.Name)
	}
	return fmt.Errorf("there is no command %q%s", word, meant(word, names))
}

func (c *Command) argument(word string) error {
	for _, a := range c.Arguments {
		if a.given && !a.Many {
			continue
		}
		if err := a.set(word); err != nil {
			return fmt.Errorf("<%s>: %w", a.Name, err)
		}
		return nil
	}
	return fmt.Errorf("%q is a word too many", word)
}

func (r *reader) flag(word string) error {
	name, value, joined := strings.Cut(word, "=")
	var names []string
	for _, f := range r.at.Flags {
		if name == "--"+f.Name || f.Short != "" && name == "-"+f.Short {
			if err := r.flagValue(f, value, joined); err != nil {
				return fmt.Errorf("--%s: %w", f.Name, err)
			}
			return nil
		}
		names = append(names, "--"+f.Name)
	}
	return fmt.Errorf("there is no flag %s here%s", name, meant(name, names))
}

func (r *reader) flagValue(f *Value, value string, joined bool) error {
	switch {
	case !f.target.IsValid(): // help, which Read sees to
		return nil
	case joined:
		return f.set(value)
	case f.Switch:
		return f.set("true")
	case len(r.words) == 0 || len(r.words[0]) > 1 && r.words[0][0] == '-' && !f.takesMinus():
		return errNoValue
	}
	value, r.words = r.words[0], r.words[1:]
	return f.set(value)
}

// fewCommands are named in an error, more are not.
const fewCommands = 5

// complete is an error where a command or an argument is missing.
func (c *Command) complete() error {
	if len(c.Commands) > fewCommands {
		return errors.New("a command must follow")
	}
	if len(c.Commands) > 0 {
		var names []string
		for _, child := range c.Commands {
			names = append(names, child.Name)
		}
		return fmt.Errorf("one of %s must follow", strings.Join(names, ", "))
	}
	for _, f := range c.Flags {
		if f.alone && f.given {
			return nil
		}
	}
	for _, a := range c.Arguments {
		if !a.Optional && !a.given {
			return fmt.Errorf("%s is missing", a)
		}
	}
	return nil
}

// mostEdits is how many letters may be wrong, missing or too many in a word for
// which another may have been meant.
const mostEdits = 2

// meant is a remark on the known word that may have been meant, or empty.
func meant(word string, known []string) string {
	best, distance := "", mostEdits+1
	for _, k := range known {
		d := edits(word, k)
		if len(word) >= 3 && strings.HasPrefix(k, word) {
			d = 0 // shortened
		}
		if d < distance {
			best, distance = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf(" (did you mean %q?)", best)
}

// edits counts the letters to change, add or drop between two words: the
// Levenshtein distance, row by row of its table.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		corner := row[0] // the distance without either letter
		row[0] = i + 1
		for j := range len(b) {
			change := corner
			if a[i] != b[j] {
				change++
			}
			corner = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
