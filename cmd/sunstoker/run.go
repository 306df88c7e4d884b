package main

import (
	"sunstoker/dashboard"
	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/tick"
)

type runCommand struct {
	Site      string `arg:"" help:"The site file."`
	Lockstep  bool   `help:"For tests and benches: let the clock be driven by lines on standard input instead of time. The protocol is told in the documentation of package station."`
	AllowRoot bool   `help:"For machines for tests: let the root user drive real outputs."`
}

// Run keeps the daemon running.
func (c *runCommand) Run(in *surroundings) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	for _, advice := range s.Advice {
		in.log.Warn("advice on the site file", "advice", advice.String())
	}
	desk := station.NewDesk(s)
	kept := keptHistory(s, in.log)
	page := dashboard.New(pageOptions(s, desk, kept))
	options := station.BuildOptions{
		Version: version(), AllowRoot: c.AllowRoot, Log: in.log, Desk: desk,
		Watchers: []tick.Watcher{page}, Services: pageServices(s, page, in),
	}
	keep(kept, &options)
	tellBroker(s, page, &options)
	if c.Lockstep {
		return runLockstep(s, options, in)
	}
	options.BoardLook = true
	clock := station.NewSystemClock(s.BatteryClock, builtAt(), in.log)
	st, err := station.Build(s, clock, options)
	if err != nil {
		return err
	}
	return st.Run(in.ctx, in.hurry)
}

func runLockstep(s *site.Site, options station.BuildOptions, in *surroundings) error {
	clock := station.NewLockstep()
	st, err := station.Build(s, clock, options)
	if err != nil {
		return err
	}
	return st.RunLockstep(in.ctx, in.hurry, clock, in.stdin, in.stdout)
}
