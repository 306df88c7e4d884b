package main

import "sunstoker/dashboard/terminal"

type watchCommand struct {
	Address     string   `arg:"" optional:"" default:"http://127.0.0.1:8017/" help:"Where the daemon's page is: its whole address, or host and port; on this machine when not given."`
	Once        bool     `help:"Write one picture and end."`
	Lines       bool     `help:"Write plain lines, one a minute, as for a pipe or for a screen reader."`
	Certificate fileName `placeholder:"BOARD.pem" help:"File with the board's certificate, where this machine does not know it."`
}

// Run shows the house until the end signal.
func (c *watchCommand) Run(in *surroundings) error {
	return terminal.Watch(in.ctx, terminal.Options{
		Address: c.Address, Certificate: string(c.Certificate), Once: c.Once, Lines: c.Lines,
		In: in.stdin, Out: in.stdout, Prompt: in.stderr,
	})
}
