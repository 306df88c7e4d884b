package line

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Mistake is a command line that was not understood.
type Mistake struct{ Err error }

func (m *Mistake) Error() string { return m.Err.Error() }

func (m *Mistake) Unwrap() error { return m.Err }

func mistake(format string, args ...any) error { return &Mistake{fmt.Errorf(format, args...)} }

// flagMistake says in words what the library found wrong with a flag.
func flagMistake(_ *cobra.Command, err error) error {
	if e, is := errors.AsType[*pflag.ValueRequiredError](err); is {
		return mistake("--%s: a value must follow it", e.GetFlag().Name)
	}
	if e, is := errors.AsType[*pflag.InvalidValueError](err); is {
		return mistake("--%s: %w", e.GetFlag().Name, e.Unwrap())
	}
	if e, is := errors.AsType[*pflag.NotExistError](err); is {
		dashes := "--"
		if e.GetSpecifiedShortnames() != "" {
			dashes = "-"
		}
		return mistake("there is no flag %s%s here", dashes, e.GetSpecifiedName())
	}
	return &Mistake{err}
}

// mostEdits is how many letters may be wrong, missing or too many in a word for
// which another may have been meant.
const mostEdits = 2

// noSuchCommand is an error where the word behind a command is none below it.
func (c *Command) noSuchCommand(_ *cobra.Command, words []string) error {
	if len(words) == 0 {
		return nil
	}
	meant := ""
	if near := c.SuggestionsFor(words[0]); len(near) > 0 {
		meant = fmt.Sprintf(" (did you mean %q?)", near[0])
	}
	return mistake("there is no command %q%s", words[0], meant)
}

// fewCommands are named in an error, more are not.
const fewCommands = 5

func (c *Command) oneMustFollow(*cobra.Command, []string) error {
	if len(c.Below) > fewCommands {
		return mistake("a command must follow")
	}
	var names []string
	for _, child := range c.Below {
		names = append(names, child.Name())
	}
	return mistake("one of %s must follow", strings.Join(names, ", "))
}

// readArguments fills the arguments' fields. Nothing is missing beside a flag that
// does something else instead.
func (c *Command) readArguments(_ *cobra.Command, words []string) error {
	for _, a := range c.Arguments {
		taken := min(1, len(words))
		if a.many() {
			taken = len(words)
		}
		if taken == 0 && !a.Optional && !c.doesElse() {
			return mistake("%s is missing", a.AsArgument())
		}
		for _, word := range words[:taken] {
			if err := a.Set(word); err != nil {
				return mistake("<%s>: %w", a.Name, err)
			}
		}
		words = words[taken:]
	}
	if len(words) > 0 {
		return mistake("%q is a word too many", words[0])
	}
	return nil
}

func (c *Command) doesElse() (does bool) {
	c.Flags().Visit(func(f *pflag.Flag) {
		if v, ours := f.Value.(*Value); ours && v.alone {
			does = true
		}
	})
	return does
}
