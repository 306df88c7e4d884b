package line

import (
	"fmt"
	"io"
	"iter"
	"strings"
	"unicode/utf8"
)

// All goes through a command and those below it, each before its own.
func (c *Command) All() iter.Seq[*Command] {
	return func(yield func(*Command) bool) { c.visit(yield) }
}

func (c *Command) visit(yield func(*Command) bool) bool {
	if !yield(c) {
		return false
	}
	for _, child := range c.Commands {
		if !child.visit(yield) {
			return false
		}
	}
	return true
}

// Leaf tells whether the command does something itself.
func (c *Command) Leaf() bool { return len(c.Commands) == 0 }

// Usage is the command as it is typed, with what may follow: "check [<file>] [flags]".
func (c *Command) Usage() string {
	parts := []string{}
	if path := c.Path(); path != "" {
		parts = append(parts, path)
	}
	for _, a := range c.Arguments {
		parts = append(parts, a.String())
	}
	switch {
	case !c.Leaf():
		parts = append(parts, "<command>")
	case len(c.Flags) > 1: // beside help
		parts = append(parts, "[flags]")
	}
	return strings.Join(parts, " ")
}

// WriteHelp tells how a command is used, in lines of at most so many letters.
func (c *Command) WriteHelp(w io.Writer, width int) error {
	p := &sheet{width: width}
	program := c.root().Name
	fmt.Fprintf(&p.out, "Usage: %s %s\n\n", program, c.Usage())
	p.text("", c.Help)
	p.list("Arguments", c.Arguments)
	p.list("Flags", c.Flags)
	if !c.Leaf() {
		p.out.WriteString("\nCommands:\n")
		for below := range c.All() {
			if below.Leaf() {
				fmt.Fprintf(&p.out, "  %s\n", below.Usage())
				p.text("    ", below.Help)
				p.out.WriteString("\n")
			}
		}
		p.text("", fmt.Sprintf("%q tells how a command is used.", program+" <command> --help"))
	}
	_, err := io.WriteString(w, p.out.String())
	return err
}

// sheet is a help text that grows.
type sheet struct {
	out   strings.Builder
	width int
}

const (
	widestWord    = 30 // a word of a list above it stands in a line of its own
	leastMeanings = 20
)

// list writes words with their meanings beside them.
func (p *sheet) list(title string, values []*Value) {
	if len(values) == 0 {
		return
	}
	fmt.Fprintf(&p.out, "\n%s:\n", title)
	widest := 0
	for _, v := range values {
		if n := utf8.RuneCountInString(word(v)); n <= widestWord {
			widest = max(widest, n)
		}
	}
	indent := strings.Repeat(" ", min(2+widest+4, max(4, p.width-leastMeanings)))
	for _, v := range values {
		first := "  " + word(v)
		if n := utf8.RuneCountInString(first); n+1 < len(indent) {
			first += indent[n:]
		} else {
			first += "\n" + indent
		}
		var meaning sheet
		meaning.width = p.width
		meaning.text(indent, v.Help)
		p.out.WriteString(first + strings.TrimPrefix(meaning.out.String(), indent))
	}
}

// word is how a value stands in a list, with room for a letter before flags.
func word(v *Value) string {
	if v.argument || v.Short != "" {
		return v.String()
	}
	return "    " + v.String()
}

// text writes running text in lines that begin with an indent.
func (p *sheet) text(indent, text string) {
	line, letters := indent, len(indent)
	for word := range strings.FieldsSeq(text) {
		n := utf8.RuneCountInString(word)
		if letters > len(indent) && letters+1+n > p.width {
			p.out.WriteString(line + "\n")
			line, letters = indent, len(indent)
		}
		if letters > len(indent) {
			line, letters = line+" ", letters+1
		}
		line, letters = line+word, letters+n
	}
	p.out.WriteString(line + "\n")
}
