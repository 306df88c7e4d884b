package main

import (
	"fmt"
	"time"

	"sunstoker/cmd/manual"
)

type manualCommand struct {
	Form string `arg:"" enum:"page,bash,zsh,fish" help:"page for a manual page as the program man reads it, or the shell whose completions are wanted."`
}

// aroundProgram tells of what belongs to the program where it is installed as a
// package.
var aroundProgram = []manual.Section{
	{Title: "Files", Items: []manual.Item{
		{Word: "/etc/sunstoker/site.toml", Meaning: "The site file of the service: what is there, and which probe and which relay is where."},
		{Word: "/var/lib/sunstoker", Meaning: "The controller's memory and the history."},
		{Word: "/run/sunstoker/guard", Meaning: "Where the guard listens, if the site file names it so."},
		{Word: "/usr/share/doc/sunstoker", Meaning: "Cautions, the reference of all keys of a site file, and examples."},
	}},
	{Title: "Cautions", Text: "It is no safety device, and hot water, steam and mains can hurt and kill. " +
		"The plant needs its own relief valves, a cut-out with manual reset and a tempering valve; " +
		"work on them is for licensed people under the local code. " +
		"Read SAFETY.md, which comes with the program, before it switches anything real."},
}

// Run writes the manual in one form.
func (c *manualCommand) Run(in *surroundings) error {
	text, err := manual.Write(c.Form, in.line, manual.Edition{
		Version: version(), Day: builtAt().UTC().Format(time.DateOnly), Sections: aroundProgram,
	})
	if err != nil {
		return err
	}
	_, err = fmt.Fprint(in.stdout, text)
	return err
}
