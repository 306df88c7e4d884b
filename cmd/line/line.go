// Package line makes a command line out of structs: a tree of commands of package
// cobra, whose help, mistakes and completions speak in the words of this program.
//
// A command is a struct. Its fields are commands below it (tag "cmd"), arguments
// (tag "arg") or flags (any other field), named as the field is, with dashes:
//
//	type commands struct {
//		Boil struct {
//			Water string  `arg:"" help:"Which water."`
//			Until float64 `default:"96" help:"How hot it gets, in °C."`
//			Herb  []string `placeholder:"NAME" help:"A herb. May be given several times."`
//		} `cmd:"" help:"Boil water."`
//	}
//
// More tags: "name" for another name, "optional" for an argument that may be left
// out, "default" for the value of a flag that was not given, "placeholder" for what
// stands for its value in help, "enum" for the words, parted by commas, of which the
// value must be one, and "alone" for a flag that does something else instead, so that
// no argument is missed where it is given. A command has commands below it, or
// arguments and flags. Every command knows --help, or -h.
//
// A field is a string, a bool (a flag that is on where it is named), a float64, an
// int, a uint64, a time.Duration, a pointer to such a one (nil when it was not
// given), a []string (all that were given) or a type of the caller's own that reads
// itself with UnmarshalText.
package line

import (
	"fmt"
	"iter"
	"reflect"
	"strings"
	"unicode"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Command is a command, or the whole command line, whose Above is nil.
type Command struct {
	*cobra.Command
	Above     *Command
	Below     []*Command
	Arguments []*Value

	target reflect.Value // its struct
}

// New makes the command line that a pointer to a struct describes, and sets its
// fields to their defaults. Whoever executes it has do called with the pointer to the
// chosen command's struct, once that is filled; what was not understood is a Mistake.
// An error of New is a mistake of the program, not of its user.
func New(name, help string, commands any, do func(command any) error) (*Command, error) {
	root := newCommand(nil, name, help, reflect.ValueOf(commands).Elem())
	root.PersistentFlags().BoolP("help", "h", false, "Tell how it is used.")
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(&cobra.Command{
		Use: "help", Short: "Tell how a command is used.", Hidden: true,
		RunE: func(_ *cobra.Command, words []string) error {
			about, _, err := root.Find(words)
			if err != nil {
				return &Mistake{err}
			}
			return about.Help()
		},
	})
	root.SetFlagErrorFunc(flagMistake)
	return root, root.describe(do)
}

func newCommand(above *Command, name, help string, target reflect.Value) *Command {
	return &Command{Above: above, target: target, Command: &cobra.Command{
		Use: name, Short: help, SilenceErrors: true, SilenceUsage: true, SuggestionsMinimumDistance: mostEdits,
	}}
}

func (c *Command) describe(do func(any) error) error {
	c.Flags().SortFlags = false
	for i := range c.target.NumField() {
		field := c.target.Type().Field(i)
		name, named := field.Tag.Lookup("name")
		if !named {
			name = dashed(field.Name)
		}
		if _, command := field.Tag.Lookup("cmd"); command {
			child := newCommand(c, name, field.Tag.Get("help"), c.target.Field(i))
			if err := child.describe(do); err != nil {
				return err
			}
			c.Below = append(c.Below, child)
			c.AddCommand(child.Command)
			continue
		}
		if err := c.addValue(name, field.Tag, c.target.Field(i)); err != nil {
			return fmt.Errorf("the field %s of the command %q: %w", field.Name, c.Path(), err)
		}
	}
	if !c.Leaf() {
		c.Args, c.RunE = c.noSuchCommand, c.oneMustFollow
		return nil
	}
	c.Args, c.ValidArgsFunction = c.readArguments, c.offerArgument
	c.RunE = func(*cobra.Command, []string) error { return do(c.Target()) }
	return nil
}

func (c *Command) addValue(name string, tag reflect.StructTag, target reflect.Value) error {
	v, err := newValue(name, tag, target)
	if err != nil {
		return err
	}
	if _, argument := tag.Lookup("arg"); argument {
		c.Arguments = append(c.Arguments, v)
		c.Use += " " + v.AsArgument()
		return nil
	}
	flag := c.Flags().VarPF(v, name, "", v.Help)
	if target.Kind() == reflect.Bool {
		flag.NoOptDefVal = "true"
	}
	if len(v.Choices) > 0 {
		return c.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(v.Choices, cobra.ShellCompDirectiveNoFileComp))
	}
	return nil
}

// dashed is a field's name as it is typed: "AllowRoot" becomes "allow-root".
func dashed(field string) string {
	var out strings.Builder
	for i, r := range field {
		if unicode.IsUpper(r) && i > 0 {
			out.WriteByte('-')
		}
		out.WriteRune(unicode.ToLower(r))
	}
	return out.String()
}

// offerArgument completes the next argument: with its choices, or with names of files.
func (c *Command) offerArgument(_ *cobra.Command, before []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
	if len(before) < len(c.Arguments) && len(c.Arguments[len(before)].Choices) > 0 {
		return c.Arguments[len(before)].Choices, cobra.ShellCompDirectiveNoFileComp
	}
	return nil, cobra.ShellCompDirectiveDefault
}

// Target is the pointer to the command's struct, with what was read.
func (c *Command) Target() any { return c.target.Addr().Interface() }

// OwnFlags are the command's flags without the one for help, as they were declared.
func (c *Command) OwnFlags() *pflag.FlagSet {
	own := pflag.NewFlagSet(c.Name(), pflag.ContinueOnError)
	own.SortFlags = false
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if _, ours := f.Value.(*Value); ours {
			own.AddFlag(f)
		}
	})
	return own
}

// Leaf tells whether the command does something itself.
func (c *Command) Leaf() bool { return len(c.Below) == 0 }

// Path is the command as it is typed behind the program's name: "history export".
// That of the whole is empty.
func (c *Command) Path() string { return behindProgram(c.CommandPath()) }

// Usage is the command as it is typed, with what may follow: "check [<file>] [flags]".
func (c *Command) Usage() string { return behindProgram(c.UseLine()) }

func behindProgram(typed string) string {
	_, behind, _ := strings.Cut(typed, " ")
	return behind
}

// All goes through a command and those below it, each before its own.
func (c *Command) All() iter.Seq[*Command] {
	return func(yield func(*Command) bool) { c.visit(yield) }
}

func (c *Command) visit(yield func(*Command) bool) bool {
	if !yield(c) {
		return false
	}
	for _, child := range c.Below {
		if !child.visit(yield) {
			return false
		}
	}
	return true
}
