package manual

import (
	"fmt"
	"strings"

	"sunstoker/cmd/line"
)

// zsh completes commands, flags, choices and names of files, each with the first
// thing that its help says.
func zsh(app *line.Command) string {
	var out strings.Builder
	fmt.Fprintf(&out, "#compdef %[1]s\n# Completions of %[1]s for zsh, made from its command line.\n", app.Name)
	for n := range app.All() {
		fmt.Fprintf(&out, "\n%s() {\n", zshFunction(app, n))
		if n.Leaf() {
			zshArguments(&out, n)
		} else {
			zshCommands(&out, app, n)
		}
		out.WriteString("}\n")
	}
	// The first call comes while the file is loaded as the function itself.
	fmt.Fprintf(&out, "\nif [ \"$funcstack[1]\" = _%[1]s ]; then\n\t_%[1]s \"$@\"\nelse\n\tcompdef _%[1]s %[1]s\nfi\n", app.Name)
	return out.String()
}

// zshFunction names the function that completes a command.
func zshFunction(app *line.Command, n *line.Command) string {
	name := "_" + app.Name
	if at := n.Path(); at != "" {
		name += "_" + strings.ReplaceAll(at, " ", "_")
	}
	return name
}

// zshCommands completes the name of a command, and leaves what follows to that one.
func zshCommands(out *strings.Builder, app *line.Command, n *line.Command) {
	out.WriteString("\tlocal curcontext=$curcontext line state\n\t_arguments -C \\\n")
	zshFlags(out, n)
	var names []string
	for _, child := range n.Commands {
		names = append(names, child.Name+`\:`+quotedWord(brief(child.Help)))
	}
	fmt.Fprintf(out, "\t\t%s \\\n\t\t'*::argument:->rest'\n\tcase $line[1] in\n", quoted("1:command:(("+strings.Join(names, " ")+"))"))
	for _, child := range n.Commands {
		fmt.Fprintf(out, "\t%s) %s ;;\n", child.Name, zshFunction(app, child))
	}
	out.WriteString("\tesac\n")
}

// quotedWord is a word within a list of zsh's descriptions.
func quotedWord(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, `:`, `\:`, `$`, `\$`, "`", "\\`").Replace(text) + `"`
}

// zshArguments completes what a command takes.
func zshArguments(out *strings.Builder, n *line.Command) {
	out.WriteString("\t_arguments \\\n")
	zshFlags(out, n)
	for i, a := range n.Arguments {
		at := fmt.Sprint(i + 1)
		if a.Many {
			at = "*"
		} else if a.Optional {
			at += ":"
		}
		fmt.Fprintf(out, "\t\t%s \\\n", quoted(at+":"+zshText(brief(a.Help))+":"+zshValues(a)))
	}
	out.WriteString("\t\t&& return\n")
}

func zshFlags(out *strings.Builder, n *line.Command) {
	for _, f := range n.Flags {
		spec := "--" + f.Name + "[" + zshText(brief(f.Help)) + "]"
		if !f.Switch {
			spec += ":" + zshText(f.StandIn()) + ":" + zshValues(f)
		}
		if f.Many {
			spec = "*" + spec
		}
		fmt.Fprintf(out, "\t\t%s \\\n", quoted(spec))
	}
}

func zshValues(v *line.Value) string {
	if of := v.Choices; len(of) > 0 {
		return "(" + strings.Join(of, " ") + ")"
	}
	return "_files"
}

// zshText keeps a text from being read as a part of a description's form.
func zshText(text string) string {
	return strings.NewReplacer(`\`, `\\`, `[`, `\[`, `]`, `\]`, `:`, `\:`).Replace(text)
}
