package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"sunstoker/dashboard"
	"sunstoker/dashboard/door"
	"sunstoker/station"
	"sunstoker/station/demo"
	"sunstoker/station/tick"
)

type demoCommand struct {
	Speed  float64        `default:"360" help:"How many times faster than time the house lives, 0.1 to 1000. 360 shows twelve hours in two minutes."`
	Listen string         `default:"127.0.0.1:8017" help:"Address and port of the page; port 0 takes any free one."`
	For    *time.Duration `placeholder:"2m" help:"How long to go on, in real time; until Ctrl-C when not given."`
}

// Run lets the station look after a simulated house.
func (c *demoCommand) Run(in *surroundings) (err error) {
	if c.For != nil && *c.For <= 0 {
		return &usageError{fmt.Sprintf("--for: %v is no time to go on for; give more than 0s, such as 2m, or leave it out", *c.For)}
	}
	s, err := demo.Site()
	if err != nil {
		return err
	}
	if s.StateFolder, err = os.MkdirTemp("", "sunstoker-demo-"); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(s.StateFolder)) }()
	s.History.Folder = s.StateFolder
	plant, err := demo.NewPlant(s)
	if err != nil {
		return err
	}
	clock, err := station.NewFastClock(c.Speed, demo.Begin(s.Zone))
	if err != nil {
		return &usageError{err.Error()}
	}
	entrance, err := door.New(door.Options{Local: door.Install, Log: in.log, Refuse: dashboard.Refuse}).ListenOnBoard(c.Listen) // nothing real is switched
	if err != nil {
		return err
	}
	desk := station.NewDesk(s)
	kept := keptHistory(s, in.log)
	page := dashboard.New(pageOptions(s, desk, kept))
	options := station.BuildOptions{
		Version: version(), Simulated: plant, Log: in.log, Desk: desk, Watchers: []tick.Watcher{page},
		Services: []station.Service{{Name: "the page", Run: func(ctx context.Context) error { return entrance.Serve(ctx, page) }}},
	}
	keep(kept, &options)
	st, err := station.Build(s, clock, options)
	if err != nil {
		return errors.Join(err, entrance.Close())
	}
	fmt.Fprintf(in.stdout, "A simulated house, %g times faster than time. Nothing real is switched.\npage     %s\nmetrics  %smetrics\nCtrl-C ends it.\n",
		c.Speed, entrance.URL(), entrance.URL())
	ctx := in.ctx
	if c.For != nil {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, *c.For)
		defer cancel()
	}
	return st.RunFast(ctx, in.hurry, clock)
}
