package main

import (
	"os"
	"time"

	"sunstoker/planner"
)

type simulateCommand struct {
	Site    string        `arg:"" help:"The site file."`
	Weather fileName      `placeholder:"FILE" help:"A year of hourly weather: an EPW file, a CSV file with the columns time_utc, ghi_W_m2, dni_W_m2, dhi_W_m2, air_temperature_degC, wind_speed_m_s, or one of the built-in years north-italy and greensboro. Without it a year is generated for the site's place."`
	Stamp   string        `enum:"start,middle,end" default:"start" help:"What the time in a row of a CSV file is: the start, the middle or the end of the hour whose mean light the row holds. Times are UTC; air and wind are those of the printed time. An EPW file says so itself."`
	Step    time.Duration `default:"10s" help:"Step of the simulation, 1s to 30s."`
	Start   string        `default:"2026-01-01" help:"First day of the year to run: the first day of a month."`
	Report  fileName      `placeholder:"FILE.html" help:"Write a report for reading and printing to this file."`
	CSV     fileName      `name:"csv" placeholder:"FILE" help:"Write the months to this file."`
	Fault   []string      `placeholder:"FAULT" help:"Let something break, such as 'pump weak at 40d for 3d', with the times counted from the start of the run. May be given several times."`
	Faults  bool          `alone:"" help:"List the faults that --fault knows, with how they are written, and end."`
	Seed    uint64        `default:"1" help:"Seed of the household's days and of generated weather."`
}

// Run simulates a year, or lists the faults.
func (c *simulateCommand) Run(in *surroundings) error {
	if c.Faults {
		return planner.WriteFaults(in.stdout)
	}
	return planner.Simulate(in.ctx, planner.SimulateOptions{
		SiteFile: c.Site, Weather: string(c.Weather), Stamp: c.Stamp, Step: c.Step, Start: c.Start, Report: string(c.Report), CSV: string(c.CSV), Seed: c.Seed, Faults: c.Fault,
	}, in.stdout, os.Stderr)
}
