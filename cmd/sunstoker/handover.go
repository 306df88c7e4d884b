package main

import (
	"errors"
	"fmt"
	"os"

	"sunstoker/planner/handover"
	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/commissioning"
)

type handoverCommand struct {
	Site      string   `arg:"" help:"The site file."`
	Answers   fileName `placeholder:"FILE" help:"Take the answers from this file instead of asking."`
	Paper     bool     `help:"Write all steps as a form to standard output, to fill in on paper or as a file of answers, and end."`
	Report    fileName `placeholder:"OUT.html" help:"Write a report for installer and owner to this file, to be printed, and the record beside it as OUT.json."`
	Again     bool     `help:"Ask anew what was left out, was wrong or is not proven."`
	Only      string   `placeholder:"WORDS" help:"Ask the steps alone whose names hold these words, those in order too."`
	Practise  bool     `help:"Practise on a simulated plant of this site: nothing real is read or switched, and nothing is kept."`
	AllowRoot bool     `help:"For machines for tests: let the root user drive real outputs."`
}

// Run takes a person through the hand-over.
func (c *handoverCommand) Run(in *surroundings) (err error) {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	if c.Paper {
		return handover.Paper(in.stdout, s)
	}
	records := station.NewHandoverRecord(s)
	o := commissioning.Options{Site: s, Records: records, In: in.stdin, Out: in.stdout, Again: c.Again, Only: c.Only}
	if o.Answers, err = c.answers(s); err != nil {
		return err
	}
	if c.Practise {
		done, err := commissioning.Practise(in.ctx, &o, in.log)
		if done != nil {
			defer func() { _ = done() }() // a folder of the temporary ones
		}
		if err != nil {
			return err
		}
	} else {
		clock := station.NewSystemClock(s.BatteryClock, builtAt(), in.log)
		o.Time = commissioning.RealTime(clock)
		build := station.BuildOptions{AllowRoot: c.AllowRoot, Log: in.log}
		if err := station.MayTake(s, build); err != nil {
			return err
		}
		held, err := records.Hold()
		if err != nil {
			return err
		}
		defer held.Close()
		o.Take = func() (*station.Taken, error) { return station.Take(s, clock, build) }
	}
	record, err := commissioning.Run(in.ctx, o)
	if c.Report != "" && record != nil {
		err = errors.Join(err, handover.WriteReport(string(c.Report), s, record, version()))
	}
	return err
}

// answers reads the file of answers, if there is one.
func (c *handoverCommand) answers(s *site.Site) (handover.Answers, error) {
	if c.Answers == "" {
		return nil, nil
	}
	text, err := os.ReadFile(string(c.Answers))
	if err != nil {
		return nil, fmt.Errorf("the answers can't be read: %w; give a file that --paper has written and somebody has filled in", err)
	}
	return handover.ReadAnswers(string(c.Answers), text, s)
}
