package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
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
	Keep   fileName       `placeholder:"FOLDER" help:"Make this folder and keep the house in it: house.toml with what happened, for explain, letter, replay, and handover --practise."`
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
	kept, file, done, err := c.folder()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, done()) }()
	s.StateFolder, s.History.Folder = kept, kept
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
	past := keptHistory(s, in.log)
	page := dashboard.New(pageOptions(s, desk, past))
	options := station.BuildOptions{
		Version: version(), Simulated: plant, Log: in.log, Desk: desk, Watchers: []tick.Watcher{page},
		Services: []station.Service{{Name: "the page", Run: func(ctx context.Context) error { return entrance.Serve(ctx, page) }}},
	}
	keep(past, &options)
	st, err := station.Build(s, clock, options)
	if err != nil {
		return errors.Join(err, entrance.Close())
	}
	fmt.Fprintf(in.stdout, "A simulated house, %g times faster than time. Nothing real is switched.\npage     %s\nmetrics  %smetrics\nCtrl-C ends it.\n",
		c.Speed, entrance.URL(), entrance.URL())
	if file != "" {
		fmt.Fprintf(in.stdout, "It is kept as %s; afterwards try sunstoker explain, letter or replay with it.\n", file)
	}
	ctx := in.ctx
	if c.For != nil {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, *c.For)
		defer cancel()
	}
	return st.RunFast(ctx, in.hurry, clock)
}

// folder is where the house's state and history are, its site file if it is kept, and
// what is to be done at the end.
func (c *demoCommand) folder() (folder, file string, done func() error, err error) {
	if c.Keep == "" {
		folder, err = os.MkdirTemp("", "sunstoker-demo-")
		return folder, "", func() error { return os.RemoveAll(folder) }, err
	}
	folder = string(c.Keep)
	switch err = os.Mkdir(folder, 0o755); {
	case errors.Is(err, fs.ErrExist):
		return "", "", nil, &usageError{fmt.Sprintf("--keep: %s is there already; give the name of a folder that is still to be made", folder)}
	case err != nil:
		return "", "", nil, fmt.Errorf("--keep: %w; give a name in a folder that exists and that you may write to", err)
	}
	file, err = demo.SiteIn(folder)
	return folder, file, func() error { return nil }, err
}
