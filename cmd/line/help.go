package line

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"sunstoker/planner/paper"
)

// SetWidth gives the width that help is written for, in letters.
func (c *Command) SetWidth(width int) {
	of := map[*cobra.Command]*Command{}
	for below := range c.All() {
		of[below.Command] = below
	}
	c.SetHelpFunc(func(about *cobra.Command, _ []string) {
		ours, known := of[about]
		if !known { // the command that gives help, asked for help
			ours = c
		}
		ours.writeHelp(c.OutOrStdout(), width)
	})
}

// writeHelp tells how a command is used.
func (c *Command) writeHelp(w io.Writer, width int) {
	var out strings.Builder
	usage := c.UseLine()
	if !c.Leaf() {
		usage = c.CommandPath() + " <command>"
	}
	fmt.Fprintf(&out, "Usage: %s\n\n%s", usage, wrapped(c.Short, "", width))
	if len(c.Arguments) > 0 {
		out.WriteString("\nArguments:\n")
	}
	for _, a := range c.Arguments {
		fmt.Fprintf(&out, "  %s\n%s", a.AsArgument(), wrapped(a.Help, "    ", width))
	}
	flags := c.OwnFlags()
	flags.AddFlagSet(c.Root().PersistentFlags())
	fmt.Fprintf(&out, "\nFlags:\n%s", flags.FlagUsagesWrapped(width))
	if !c.Leaf() {
		out.WriteString("\nCommands:\n")
		for below := range c.All() {
			if below.Leaf() {
				fmt.Fprintf(&out, "  %s\n%s\n", below.Usage(), wrapped(below.Short, "    ", width))
			}
		}
		out.WriteString(wrapped(fmt.Sprintf("%q tells how a command is used.", c.Root().Name()+" <command> --help"), "", width))
	}
	_, _ = io.WriteString(w, out.String()) // who asks for help and closes it has seen enough
}

// wrapped is running text in lines that begin with an indent.
func wrapped(text, indent string, width int) string {
	return strings.Join(paper.Lines(indent, len(indent), width, text), "\n") + "\n"
}
