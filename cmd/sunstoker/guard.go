package main

import (
	"sunstoker/site"
	"sunstoker/station"
)

type guardCommand struct {
	Site      string `arg:"" help:"The site file."`
	AllowRoot bool   `help:"For machines for tests: let the root user drive real outputs."`
}

// Run holds the outputs of a site for the daemon.
func (c *guardCommand) Run(in *surroundings) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	return station.RunGuard(in.ctx, s, station.BuildOptions{AllowRoot: c.AllowRoot, Log: in.log})
}
