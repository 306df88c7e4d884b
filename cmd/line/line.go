// Package line reads a command line into the fields of structs, and is the model
// from which help, manual page and completions are written.
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
//
// Methods are never looked up by their names at run time. A program in which
// anything does that must keep every exported method of every type it holds, which
// made this one a tenth larger than what it uses of them.
package line

import (
	"fmt"
	"reflect"
	"strings"
	"unicode"
)

// Command is a command, or the whole command line, whose Parent is nil.
type Command struct {
	Name, Help string
	Parent     *Command
	Commands   []*Command // below it
	Arguments  []*Value
	Flags      []*Value // the one for help first

	target reflect.Value // its struct
}

// Value is an argument or a flag.
type Value struct {
	Name, Help string
	Short      string   // the flag's letter, if it has one
	Choices    []string // the value must be one of them, where there are any
	Switch     bool     // a flag behind which no value follows
	Many       bool     // may be given several times
	Optional   bool     // an argument that may be left out

	standIn  string // for the value in help
	argument bool
	alone    bool
	given    bool
	target   reflect.Value
}

// New reads the command line that a pointer to a struct describes, and sets its
// fields to their defaults. An error is a mistake of the program, not of its user.
func New(name, help string, commands any) (*Command, error) {
	root := &Command{Name: name, Help: help, target: reflect.ValueOf(commands).Elem()}
	return root, root.describe()
}

func (c *Command) describe() error {
	c.Flags = []*Value{{Name: "help", Short: "h", Help: "Tell how it is used.", Switch: true}}
	for i := range c.target.NumField() {
		field := c.target.Type().Field(i)
		name, named := field.Tag.Lookup("name")
		if !named {
			name = dashed(field.Name)
		}
		if _, command := field.Tag.Lookup("cmd"); command {
			child := &Command{Name: name, Help: field.Tag.Get("help"), Parent: c, target: c.target.Field(i)}
			if err := child.describe(); err != nil {
				return err
			}
			c.Commands = append(c.Commands, child)
			continue
		}
		v, err := newValue(name, field.Tag, c.target.Field(i))
		if err != nil {
			return fmt.Errorf("the field %s of the command %q: %w", field.Name, c.Path(), err)
		}
		if v.argument {
			c.Arguments = append(c.Arguments, v)
		} else {
			c.Flags = append(c.Flags, v)
		}
	}
	return nil
}

func newValue(name string, tag reflect.StructTag, target reflect.Value) (*Value, error) {
	v := &Value{Name: name, Help: tag.Get("help"), standIn: strings.ToUpper(name), target: target}
	_, v.argument = tag.Lookup("arg")
	_, v.Optional = tag.Lookup("optional")
	_, v.alone = tag.Lookup("alone")
	v.Switch = target.Kind() == reflect.Bool
	v.Many = target.Kind() == reflect.Slice
	if enum, closed := tag.Lookup("enum"); closed {
		v.Choices = strings.Split(enum, ",")
	}
	if text, has := tag.Lookup("default"); has {
		if v.standIn = text; target.Kind() == reflect.String {
			v.standIn = `"` + text + `"`
		}
		if err := v.set(text); err != nil {
			return nil, err
		}
		v.given = false
	}
	if text, has := tag.Lookup("placeholder"); has {
		v.standIn = text
	}
	return v, known(target)
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

// Target is the pointer to the command's struct, with what was read.
func (c *Command) Target() any { return c.target.Addr().Interface() }

// Path is the command as it is typed behind the program's name: "history export".
// That of the whole is empty.
func (c *Command) Path() string {
	if c.Parent == nil {
		return ""
	}
	return strings.TrimPrefix(c.Parent.Path()+" "+c.Name, " ")
}

// root is the whole command line.
func (c *Command) root() *Command {
	for c.Parent != nil {
		c = c.Parent
	}
	return c
}
