package main

import (
	"sunstoker/planner/handover"
	"sunstoker/planner/letter"
	"sunstoker/site"
	"sunstoker/station"
)

type letterCommand struct {
	Site   string   `arg:"" help:"The site file."`
	Year   uint64   `placeholder:"2026" help:"The year; that of the newest minute in the history when not given."`
	Report fileName `placeholder:"FILE.html" help:"Write the letter to this file too, as a page that prints on one sheet."`
}

// Run writes the owner's letter.
func (c *letterCommand) Run(in *surroundings) error {
	if c.Year != 0 && (c.Year < 2000 || c.Year > 2199) {
		return &usageError{"--year: write a year of 2000 to 2199, such as 2026"}
	}
	file, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	now, err := savedSettings(file)
	if err != nil {
		in.log.Warn("the settings of the site file count for the letter", "why", err)
	}
	record, err := station.NewHandoverRecord(file).Peek()
	if err != nil {
		in.log.Warn("the letter does without the dates of the hand-over", "why", err)
	}
	return letter.Write(in.ctx, now, letter.Options{Year: int(c.Year), Report: string(c.Report), Handed: handover.DatesOf(file, record)}, in.stdout)
}
