package main

import (
	"errors"

	"sunstoker/planner/replay"
	"sunstoker/site"
)

type replayCommand struct {
	Site    string   `arg:"" help:"The site file."`
	Set     []string `placeholder:"'NAME = VALUE'" help:"A setting to try, such as 'heater_stop = 48 °C', in the house and in every system. May be given several times."`
	From    string   `placeholder:"2026-06-01" help:"First day or minute, by the clocks of the house; a week before the end when not given."`
	To      string   `placeholder:"2026-07-01" help:"Day or minute before which it ends; the end of the history when not given."`
	CSV     fileName `name:"csv" placeholder:"FILE" help:"A file that history export --what minutes has written, in place of the history."`
	Weather fileName `placeholder:"FILE" help:"Weather for the simulated twin, as for simulate; made up for the site's place when not given."`
	Fit     bool     `help:"Fit the twin's tank, collector and coil to the record. It takes --weather with the weather that there was, and a week or more in which nobody was at home."`
	Seed    uint64   `default:"1" help:"Seed of the twin's people and of weather that is made up."`
}

// Run replays a record under other settings.
func (c *replayCommand) Run(in *surroundings) error {
	file, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	now, err := savedSettings(file)
	if err != nil {
		in.log.Warn("the settings of the site file count as the present ones", "why", err)
	}
	err = replay.Replay(in.ctx, now, replay.Options{Set: c.Set, From: c.From, To: c.To, CSV: string(c.CSV), Weather: string(c.Weather), Fit: c.Fit, Seed: c.Seed}, in.stdout)
	if wrong, is := errors.AsType[*replay.Misasked](err); is {
		return &usageError{wrong.Error()}
	}
	return err
}
