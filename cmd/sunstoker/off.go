package main

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"sunstoker/site"
	"sunstoker/station"
)

type offCommand struct {
	Site      string `arg:"" help:"The site file."`
	AllowRoot bool   `help:"For machines for tests: let the root user drive real outputs."`
}

// Run drives every output of a site off and says for each whether it is.
func (c *offCommand) Run(in *surroundings) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	done, err := station.SwitchOff(s, station.BuildOptions{AllowRoot: c.AllowRoot, Log: in.log})
	if err != nil {
		return err
	}
	var errs []error
	for _, name := range slices.Sorted(maps.Keys(done)) {
		if done[name] == nil {
			fmt.Fprintf(in.stdout, "%s: off\n", name)
			continue
		}
		errs = append(errs, fmt.Errorf("%s: may still be on, use its isolator: %w", name, done[name]))
	}
	return errors.Join(errs...)
}
