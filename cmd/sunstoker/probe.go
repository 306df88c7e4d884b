package main

import (
	"context"
	"fmt"
	"os"
	"time"

	"golang.org/x/term"

	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/survey"
)

type probeCommand struct {
	Site   string         `arg:"" optional:"" help:"The site file; without one, whatever is on the kernel's 1-wire buses."`
	Folder string         `placeholder:"FOLDER" help:"Where the 1-wire parts are, when there is no site file; the kernel's folder when not given."`
	Lines  bool           `help:"Write plain lines, one list after the other, as for a pipe."`
	For    *time.Duration `placeholder:"1m" help:"How long to go on; until Ctrl-C when not given."`
	Write  fileName       `placeholder:"NEW.toml" help:"At the end, write the site file with the probes that were found to this new file, once it has been checked."`
}

// Run shows the probes until the end signal.
func (c *probeCommand) Run(in *surroundings) error {
	switch {
	case c.Site == "" && c.Write != "":
		return &usageError{"--write needs a site file to change; begin with one from check --new"}
	case c.Site != "" && c.Folder != "":
		return &usageError{"the site file says where its 1-wire parts are; leave --folder out"}
	case c.For != nil && *c.For <= 0:
		return &usageError{fmt.Sprintf("--for: %v is no time to go on for; give more than 0s, such as 1m, or leave it out", *c.For)}
	}
	o := survey.Options{Folder: c.Folder, In: in.stdin, Out: in.stdout, Log: in.log, Redraw: !c.Lines && isTerminal(in)}
	if c.Site != "" {
		var err error
		if o.Site, err = site.Load(c.Site); err != nil {
			return err
		}
		if o.Text, err = os.ReadFile(c.Site); err != nil {
			return err
		}
	}
	ctx := in.ctx
	if c.For != nil {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, *c.For)
		defer cancel()
	}
	edits, err := survey.Survey(ctx, station.NewSystemClock(false, builtAt(), in.log), o)
	if err != nil || c.Write == "" || len(edits) == 0 {
		return err
	}
	return c.write(in, o.Text, edits)
}

func isTerminal(in *surroundings) bool {
	out, file := in.stdout.(*os.File)
	return file && term.IsTerminal(int(out.Fd()))
}

// write writes the changed site file, if it is in order.
func (c *probeCommand) write(in *surroundings, text []byte, edits []site.Edit) error {
	text, err := site.Edited(text, edits...)
	if err != nil {
		return err
	}
	if _, err := site.Parse(string(c.Write), text); err != nil {
		return fmt.Errorf("%s is not written, since with what was found the site file has mistakes:\n%w", c.Write, err)
	}
	if err := writeNew(string(c.Write), text); err != nil {
		return err
	}
	_, err = fmt.Fprintf(in.stdout, "%s is in order and written, with %s.\n", c.Write, counted(len(edits), "found probe"))
	return err
}
