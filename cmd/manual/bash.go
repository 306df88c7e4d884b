package manual

import (
	"fmt"
	"strings"

	"sunstoker/cmd/line"
)

// bash completes commands, flags and choices; where it has nothing to offer, the
// shell goes on with names of files.
func bash(app *line.Command) string {
	var out strings.Builder
	fmt.Fprintf(&out, `# Completions of %[1]s for bash, made from its command line.

_%[1]s() {
	local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} at='' words='' flags='' next i
	for ((i = 1; i < COMP_CWORD; i++)); do
		next="${at:+$at }${COMP_WORDS[i]}"
		case "$next" in
		%[2]s) at=$next ;;
		esac
	done
	case "$at" in
`, app.Name, alternatives(app))
	for n := range app.All() {
		fmt.Fprintf(&out, "\t%s) words=%s flags=%s ;;\n", quoted(n.Path()), quotedList(offered(n)), quotedList(flagWords(n)))
	}
	out.WriteString("\tesac\n\t[[ $current != -* ]] || words=$flags\n\tcase \"$at $before\" in\n")
	for n := range app.All() {
		for _, f := range n.Flags {
			if !f.Switch {
				fmt.Fprintf(&out, "\t%s) words=%s ;;\n", quoted(n.Path()+" --"+f.Name), quotedList(f.Choices))
			}
		}
	}
	fmt.Fprintf(&out, `	esac
	mapfile -t COMPREPLY < <(compgen -W "$words" -- "$current")
}

complete -o bashdefault -o default -F _%[1]s %[1]s
`, app.Name)
	return out.String()
}

// offered are the words that may come next behind a command: its commands, and the
// choices of its arguments.
func offered(n *line.Command) []string {
	var words []string
	for _, child := range n.Commands {
		words = append(words, child.Name)
	}
	for _, a := range n.Arguments {
		words = append(words, a.Choices...)
	}
	return words
}

func flagWords(n *line.Command) []string {
	var words []string
	for _, f := range n.Flags {
		words = append(words, "--"+f.Name)
	}
	return words
}

// alternatives are all commands as patterns of a shell's case.
func alternatives(root *line.Command) string {
	var all []string
	for n := range root.All() {
		if n.Parent != nil {
			all = append(all, quoted(n.Path()))
		}
	}
	return strings.Join(all, " | ")
}

func quotedList(words []string) string { return quoted(strings.Join(words, " ")) }

// quoted is a word for a POSIX shell.
func quoted(text string) string {
	return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'"
}
