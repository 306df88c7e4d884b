package manual

import (
	"fmt"
	"strings"

	"sunstoker/cmd/line"
)

// fish completes commands, flags and choices, each with the first thing that its
// help says, and names of files where a word is free.
func fish(app *line.Command) string {
	var out strings.Builder
	var known []string
	for n := range app.All() {
		if n.Parent != nil {
			known = append(known, fishQuoted(n.Path()))
		}
	}
	fmt.Fprintf(&out, `# Completions of %[1]s for fish, made from its command line.

function __%[1]s_at --description 'whether this is the command that was typed so far'
    set -l at
    for word in (commandline -opc)[2..]
        if contains -- (string join -- ' ' $at $word) %[2]s
            set -a at $word
        end
    end
    test "$at" = "$argv"
end

`, app.Name, strings.Join(known, " "))
	for n := range app.All() {
		for _, child := range n.Commands {
			fmt.Fprintf(&out, "%s -f -a %s -d %s\n", fishLine(app, n), child.Name, fishQuoted(brief(child.Help)))
		}
		for _, a := range n.Arguments {
			if of := a.Choices; len(of) > 0 {
				fmt.Fprintf(&out, "%s -f -a %s -d %s\n", fishLine(app, n), fishQuoted(strings.Join(of, " ")), fishQuoted(brief(a.Help)))
			}
		}
		for _, f := range n.Flags {
			fmt.Fprintf(&out, "%s -l %s%s -d %s\n", fishLine(app, n), f.Name, fishValue(f), fishQuoted(brief(f.Help)))
		}
	}
	return out.String()
}

// fishLine begins a line that holds behind one command.
func fishLine(app *line.Command, n *line.Command) string {
	return fmt.Sprintf("complete -c %s -n %s", app.Name, fishQuoted(strings.TrimSpace("__"+app.Name+"_at "+n.Path())))
}

// fishValue says what follows a flag: nothing, one of some words, or a free one,
// often a file.
func fishValue(f *line.Value) string {
	switch of := f.Choices; {
	case f.Switch:
		return ""
	case len(of) > 0:
		return " -x -a " + fishQuoted(strings.Join(of, " "))
	}
	return " -r"
}

func fishQuoted(text string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(text) + "'"
}
