package main

import (
	"errors"

	"sunstoker/planner/explain"
	"sunstoker/site"
	"sunstoker/station"
)

type explainCommand struct {
	Site  string   `arg:"" optional:"" help:"The site file. It may be left out where the meaning of a finding or setting alone is wanted."`
	Name  string   `arg:"" optional:"" help:"A finding or setting, such as stagnation or heater_start; without one a minute of the history is explained."`
	At    fileName `placeholder:"'2026-11-25 06:40'" help:"The minute, by the clocks of the house, or an instant such as 2026-11-25T05:40:00Z; the newest one when not given."`
	Names bool     `alone:"" help:"List the names of all findings and settings, and end."`
}

// Run explains a minute, a finding or a setting.
func (c *explainCommand) Run(in *surroundings) error {
	if c.Names {
		return explain.Names(in.stdout)
	}
	err := explain.Answer(in.ctx, explain.Question{Site: c.Site, Name: c.Name, At: string(c.At), Saved: savedSettings}, in.stdout)
	if wrong, is := errors.AsType[*explain.Misasked](err); is {
		return &usageError{wrong.Error()}
	}
	return err
}

func savedSettings(file *site.Site) (*site.Site, error) {
	now, _, err := station.SavedSettings(file)
	return now, err
}
