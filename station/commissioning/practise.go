package commissioning

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"strings"
	"sync/atomic"
	"time"

	"sunstoker/control"
	"sunstoker/planner/handover"
	"sunstoker/sensors"
	"sunstoker/sim/household"
	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/bench"
)

// RealTime is the board's own clock; it ends with the program.
func RealTime(clock station.Clock) Time {
	return realTime{clock, clock.Join("the hand-over", station.TickTurn)}
}

type realTime struct {
	station.Clock
	member station.Member
}

func (r realTime) Pass(ctx context.Context, d time.Duration) error {
	return r.member.Wait(ctx, r.member.Now()+d)
}

// Practise changes a hand-over so that everything is tried on a simulated plant of
// its site, whose time passes as fast as it can be worked out: nothing real is read or
// switched, and nothing is kept. A hand warms each probe that is asked for. Done takes
// the folder away that it needs.
func Practise(ctx context.Context, o *Options, log *slog.Logger) (done func() error, err error) {
	folder, err := os.MkdirTemp("", "sunstoker-practise-")
	if err != nil {
		return nil, err
	}
	done = func() error { return os.RemoveAll(folder) }
	wired := bench.Wired(o.Site)
	wired.StateFolder, wired.Guard = folder, ""
	start := practiseStart(o.Site)
	plant, err := bench.New(wired, bench.Options{Start: start, Sky: bench.Sky{Cover: practiseCover, AirC: 18}, People: household.Nobody{}, Seed: 1})
	if err != nil {
		return done, err
	}
	plant.Advance(practiseLead) // the sun has warmed the collectors
	clock := station.NewLockstep()
	hand := &hand{Ports: bench.Ports{Plant: plant, Period: beat, Born: practiseLead}}
	hand.held.Store(nothing)
	o.Time = &practiseTime{clock, start.Add(practiseLead)}
	o.Records = NewScratch()
	o.Hand = func(probe int) { hand.hold(clock.Now(), probe) }
	o.Take = func() (*station.Taken, error) {
		return station.Take(wired, clock, station.BuildOptions{Simulated: hand, Log: log})
	}
	return done, o.Time.Pass(ctx, 0)
}

// The sky of practice: collectors that get warm, and do not steam.
const (
	practiseCover = 0.5
	practiseLead  = 50 * time.Minute
)

// practiseStart is a morning with the sun on the roof, in the summer of the site's
// half of the world.
func practiseStart(s *site.Site) time.Time {
	month := time.June
	if s.LatitudeDeg < 0 {
		month = time.December
	}
	return time.Date(2026, month, 21, 9, 0, 0, 0, s.Zone)
}

// practiseTime is a clock that the hand-over itself moves on.
type practiseTime struct {
	*station.Lockstep
	start time.Time
}

func (p *practiseTime) Pass(ctx context.Context, d time.Duration) error {
	to := p.Now() + d
	late, err := p.Advance(ctx, to, control.Wall{Time: p.start.Add(to), Trusted: true})
	if err == nil && len(late) > 0 {
		err = fmt.Errorf("these do not come back: %s", strings.Join(late, ", "))
	}
	return err
}

// Wall is the time of the simulated house.
func (p *practiseTime) Wall() control.Wall {
	return control.Wall{Time: p.start.Add(p.Now()), Trusted: true}
}

// hand is a simulated plant with a hand that warms one probe.
type hand struct {
	bench.Ports
	held  atomic.Int64 // index of the probe
	since atomic.Int64 // instant
}

const nothing = -1

func (h *hand) hold(now time.Duration, probe int) {
	h.since.Store(int64(now))
	h.held.Store(int64(probe))
}

// A hand warms a probe by so much a second, up to so much (common practice, no
// source).
const (
	handKPerS = 0.3
	handMostK = 6
)

// Probe implements [station.Simulated].
func (h *hand) Probe(reading int) (sensors.Probe, error) {
	probe, err := h.Ports.Probe(reading)
	return &handled{probe, h, reading}, err
}

// handled is a probe that may be in the hand.
type handled struct {
	sensors.Probe
	hand    *hand
	reading int
}

// Latest implements [sensors.Probe].
func (h *handled) Latest() sensors.Sample {
	sample := h.Probe.Latest()
	if h.hand.held.Load() == int64(h.reading) {
		sample.Value += min(handMostK, handKPerS*(sample.Taken-time.Duration(h.hand.since.Load())).Seconds())
	}
	return sample
}

// Scratch keeps a record in memory alone.
type Scratch struct{ kept []byte }

// NewScratch gives an empty one.
func NewScratch() *Scratch { return &Scratch{} }

// Load implements [Records].
func (s *Scratch) Load() (*handover.Record, []string) {
	if s.kept == nil {
		return nil, nil
	}
	r, err := handover.Read(s.kept)
	if err != nil {
		return nil, []string{err.Error()}
	}
	return r, nil
}

// Save implements [Records].
func (s *Scratch) Save(r *handover.Record) (err error) {
	s.kept, err = r.Write()
	return err
}
