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

	"golang.org/x/sys/unix"

	"sunstoker/dashboard"
	"sunstoker/site"
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
	v := &virtual{plant: plant, site: wired, log: log}
	defer func() { err = errors.Join(err, v.end()) }()
	return run(ctx, s, plant, v)
}

// virtual is a world whose time passes as it is told to.
type virtual struct {
	plant *bench.Plant
	site  *site.Site
	log   *slog.Logger
	life  *life         // nil while there is no daemon
	back  time.Duration // instant of the script at which there is one again
}

// life is a daemon from its start to its end.
type life struct {
	born   time.Duration // instant of the script at which its clock stands at 0
	clock  *station.Lockstep
	newest atomic.Pointer[tick.Tick]
	dying  atomic.Bool // it is killed: what it does on its way out must not count
	stop   func()
	ended  chan error
}

// Watch implements [tick.Watcher].
func (l *life) Watch(t *tick.Tick) { l.newest.Store(t) }

// begin starts a daemon.
func (v *virtual) begin(ctx context.Context, at time.Duration) error {
	l := &life{born: at, clock: station.NewLockstep(), ended: make(chan error, 1)}
	storage := func() error {
		if l.dying.Load() {
			return unix.EIO
		}
		return v.plant.StorageFault()
	}
	st, err := station.Build(v.site, l.clock, station.BuildOptions{
		Simulated: bench.Ports{Plant: v.plant, Period: look, Born: at}, Watchers: []tick.Watcher{l}, Log: v.log, StorageFault: storage,
	})
	if err != nil {
		return err
	}
	running, stop := context.WithCancel(ctx)
	l.stop = stop
	go func() { l.ended <- st.Run(running, context.Background()) }()
	v.life = l
	return nil
}

// end ends the daemon, if there is one, by an end signal.
func (v *virtual) end() error {
	if v.life == nil {
		return nil
	}
	v.life.stop()
	err := <-v.life.ended
	v.life = nil
	return err
}

// to implements [world].
func (v *virtual) to(ctx context.Context, at time.Duration) error {
	if v.life == nil {
		if at > 0 {
			v.plant.Advance(at)
		}
		if at < v.back {
			return ctx.Err()
		}
		if err := v.begin(ctx, at); err != nil {
			return err
		}
	}
	l := v.life
	wall := v.plant.Clock()
	wall.Time = wall.Time.Add(at - l.born - l.clock.Now())
	without, err := l.clock.Advance(ctx, at-l.born, wall)
	if err == nil && len(without) > 0 {
		err = fmt.Errorf("at %v these do not come back: %s", at, strings.Join(without, ", "))
	}
	return err
}

// board implements [world]: the board is simulated with the plant, and the daemon is
// ended here. One that is killed saves nothing more; its outputs fall.
func (v *virtual) board(_ context.Context, words string) error {
	a, daemon, err := awayBy(words)
	switch {
	case err != nil:
		return err
	case !daemon:
		return order(v.plant, words)
	case v.life == nil:
		return errors.New("there is no daemon: it is away already")
	}
	v.back = v.life.born + v.life.clock.Now() + a.span
	v.life.dying.Store(a.dies)
	return v.end()
}

// now implements [world]: what the page would show, without the way through JSON.
func (v *virtual) now(context.Context) (*dashboard.Now, error) {
	if v.life == nil {
		return nil, nil
	}
	now := dashboard.NowOf(v.life.newest.Load())
	return &now, nil
}
