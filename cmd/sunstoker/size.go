package main

import (
	"fmt"
	"os"
	"time"

	"sunstoker/planner/sizing"
	"sunstoker/site"
)

type sizeCommand struct {
	Wish    string        `arg:"" help:"The file of the wish: house, roof, choices and prices; --new writes one to begin with."`
	New     bool          `alone:"" help:"Write a wish to begin with to standard output, and end."`
	Weather fileName      `placeholder:"FILE" help:"A year of hourly weather, as for simulate: an EPW or CSV file, north-italy or greensboro. Without it a year is generated for the place."`
	Stamp   string        `enum:"start,middle,end" default:"start" help:"What the time in a row of a CSV file is: the start, the middle or the end of its hour."`
	Step    time.Duration `default:"20s" help:"Step of the simulations, 1s to 30s."`
	Seed    uint64        `default:"1" help:"Seed of the household's days and of generated weather."`
	Option  *int          `placeholder:"NUMBER" help:"The option whose fitting sheet and site file are wanted, by its number in the table. Left out, the first of the best."`
	Report  fileName      `placeholder:"FILE.html" help:"Write a report of two printed pages to this file."`
	CSV     fileName      `name:"csv" placeholder:"FILE" help:"Write all options to this file."`
	Site    fileName      `placeholder:"FILE.toml" help:"Write the site file of the option to this file, for the installer to go on from."`
}

// Run tries out what a wish allows, or writes a wish.
func (c *sizeCommand) Run(in *surroundings) error {
	if c.New {
		_, err := fmt.Fprint(in.stdout, site.WishStarter())
		return err
	}
	option := 0 // the best
	if c.Option != nil {
		if option = *c.Option; option < 1 {
			return &usageError{fmt.Sprintf("--option: there is no option %d; give a number from the table, or leave it out for the best", option)}
		}
	}
	return sizing.Size(in.ctx, sizing.Options{
		WishFile: c.Wish, Weather: string(c.Weather), Stamp: c.Stamp, Step: c.Step, Seed: c.Seed, Option: option,
		Report: string(c.Report), CSV: string(c.CSV), Site: string(c.Site),
	}, in.stdout, os.Stderr)
}
