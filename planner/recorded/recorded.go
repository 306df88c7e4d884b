// Package recorded writes the history of simulated houses, for tests of what reads
// it: the ticks are those of the site's real controller, a few days of them at the
// times of the year that a test wants.
package recorded

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/planner"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/station/tick"
)

// Span is a while in the life of a house, one run of the program.
type Span struct {
	From   time.Time
	Length time.Duration
	Faults []string       // as sim.House.ParseFault reads them
	Seed   uint64         // of household, and of weather that is made up
	Sky    weather.Source // nil for weather that is made up
}

// step is how far apart ticks are: the longest that the history takes for a
// program that has watched all the time.
const step = 5 * time.Second

// flushed is how often minutes are written: no more than a day of them waits.
const flushed = 6 * time.Hour

// Write lets a house live for some spans, in the order of time, and writes them
// into its site's history.
func Write(s *site.Site, spans ...Span) error {
	for _, span := range spans {
		if err := write(s, span); err != nil {
			return fmt.Errorf("from %s: %w", span.From.Format(time.DateOnly), err)
		}
	}
	return nil
}

// Weather is that of a span.
func Weather(s *site.Site, span Span) (weather.Source, error) {
	if span.Sky != nil {
		return span.Sky, nil
	}
	place := weather.Place{LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, AltitudeM: s.AltitudeM}
	return weather.Generate(place, weather.UsualClimate(place), weather.SeedsFrom(span.Seed), span.From.AddDate(0, 0, -1), int(span.Length.Hours()/24)+3)
}

func write(s *site.Site, span Span) error {
	sky, err := Weather(s, span)
	if err != nil {
		return err
	}
	run, err := planner.NewRun(s, planner.RunOptions{Weather: sky, Start: span.From, Step: step, Seed: span.Seed})
	if err != nil {
		return err
	}
	for _, text := range span.Faults {
		fault, err := run.House.ParseFault(text)
		if err != nil {
			return err
		}
		if err := run.House.AddFault(fault); err != nil {
			return err
		}
	}
	kept := history.New(history.Options{Folder: s.History.Folder, MinutesFor: history.UsualMinutesFor, AllFor: history.UsualAllFor, Log: slog.New(slog.DiscardHandler)})
	house := &tick.House{Name: s.Name, Plan: &s.Plan, Version: "0.1.0"}
	for at := time.Duration(0); at < span.Length; at += step {
		if out := run.Step(); out != nil {
			kept.Watch(tickOf(house, run.Controller, out, at, span.From.Add(at)))
		}
		if at%flushed == 0 {
			kept.Flush()
		}
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if err := kept.Run(ended); err != nil { // writes what is left
		return err
	}
	if why := kept.Trouble(); why != "" {
		return errors.New(why)
	}
	return nil
}

// tickOf is what the daemon would hand to its watchers.
func tickOf(house *tick.House, ctl *control.Controller, out *control.Outcome, at time.Duration, wall time.Time) *tick.Tick {
	t := &tick.Tick{
		House: house, Number: uint64(at/step) + 1, At: at, Wall: control.Wall{Time: wall, Trusted: true}, Service: ctl.Service(),
		Readings: make([]tick.Reading, len(out.Readings)), Outputs: make([]tick.Output, len(out.Decisions)),
		Findings: append([]control.Finding(nil), out.Findings...),
	}
	for i := range out.Readings {
		t.Readings[i].Judged = out.Readings[i]
	}
	for i := range out.Decisions {
		t.Outputs[i] = tick.Output{Decision: out.Decisions[i], Driven: out.Decisions[i].Level, Override: ctl.OverrideOf(i)}
	}
	for i := range house.Plan.Systems {
		system := tick.System{Energy: ctl.EnergyOf(i), CountsHeat: ctl.CountsHeat(i), CountsCirculation: ctl.CountsCirculation(i), HotLitres: -1}
		if litres, known := ctl.HotLitres(i); known {
			system.HotLitres = litres
		}
		t.Systems = append(t.Systems, system)
	}
	return t
}
