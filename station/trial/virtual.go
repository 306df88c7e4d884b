package trial

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"strings"
	"sync/atomic"
	"time"

	"sunstoker/dashboard"
	"sunstoker/station"
	"sunstoker/station/bench"
	"sunstoker/station/tick"
)

// Virtual runs a script on a station in this process, as fast as it can be worked
// out. log may be nil.
func Virtual(ctx context.Context, s *Script, log *slog.Logger) (r *Result, err error) {
	plant, err := s.plant()
	if err != nil {
		return nil, err
	}
	wired := bench.Wired(s.Site)
	if wired.StateFolder, err = os.MkdirTemp("", "sunstoker-trial-"); err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(wired.StateFolder)) }()
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	v := &virtual{plant: plant, clock: station.NewLockstep()}
	st, err := station.Build(wired, v.clock, station.BuildOptions{
		Simulated: bench.Ports{Plant: plant, Period: look}, Watchers: []tick.Watcher{v}, Log: log,
	})
	if err != nil {
		return nil, err
	}
	running, stop := context.WithCancel(ctx)
	ended := make(chan error, 1)
	go func() { ended <- st.Run(running, context.Background()) }()
	r, err = run(ctx, s, plant, v)
	stop()
	return r, errors.Join(err, <-ended)
}

// virtual is a world whose time passes as it is told to.
type virtual struct {
	plant  *bench.Plant
	clock  *station.Lockstep
	newest atomic.Pointer[tick.Tick]
}

// Watch implements [tick.Watcher].
func (v *virtual) Watch(t *tick.Tick) { v.newest.Store(t) }

func (v *virtual) to(ctx context.Context, at time.Duration) error {
	wall := v.plant.Clock()
	wall.Time = wall.Time.Add(at - v.clock.Now())
	without, err := v.clock.Advance(ctx, at, wall)
	if err == nil && len(without) > 0 {
		err = fmt.Errorf("at %v these do not come back: %s", at, strings.Join(without, ", "))
	}
	return err
}

// now implements [world]: what the page would show, without the way through JSON.
func (v *virtual) now(context.Context) (*dashboard.Now, error) {
	now := dashboard.NowOf(v.newest.Load())
	return &now, nil
}
