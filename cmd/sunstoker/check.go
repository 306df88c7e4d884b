package main

import (
	"fmt"
	"os"
	"time"

	"sunstoker/site"
	"sunstoker/station"
)

type checkCommand struct {
	File      string `arg:"" optional:"" help:"The site file to check."`
	New       bool   `help:"Write a site file to begin with to standard output."`
	Reference string `placeholder:"OUT" help:"Write the reference page of all keys of a site file to this file."`
}

// Run checks one file, or writes one.
func (c *checkCommand) Run(in *surroundings) error {
	switch {
	case c.New && c.Reference == "" && c.File == "":
		_, err := fmt.Fprint(in.stdout, site.Starter())
		return err
	case c.Reference != "" && !c.New && c.File == "":
		return os.WriteFile(c.Reference, []byte(site.Reference()), 0o644)
	case c.File == "" || c.New || c.Reference != "":
		return &usageError{"check wants one of a site file, --new or --reference OUT"}
	}
	s, err := site.Load(c.File)
	if err != nil {
		return err
	}
	if len(s.Advice) > 0 {
		fmt.Fprintln(in.stdout, site.Lines(s.Advice))
	}
	if err := station.CheckForecast(s, time.Now()); err != nil {
		return err
	}
	_, err = fmt.Fprintf(in.stdout, "%s: in order: %s, %s, %s\n", c.File,
		counted(len(s.Systems), "system"), counted(len(s.Probes), "probe"), counted(len(s.Outputs), "output"))
	return err
}

// counted says how many there are: "1 probe", "4 probes".
func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}
