package station

import (
	"context"
	"fmt"
	"time"

	"sunstoker/control"
)

// Limits of a sped-up clock's speed.
const (
	SlowestSpeed = 0.1
	FastestSpeed = 1000
)

const (
	fastBeat   = 10 * time.Millisecond // real time between two advances
	fastHiccup = time.Second           // real time that is made up for at most
)

// FastClock runs at a multiple of real time, for simulated plants only. It is
// a lockstep clock that real time advances: every reading and tick is made at
// its own instant. On a free clock of such speed a pause of a tenth of a
// second, as every busy machine makes, would be half a minute in which no
// probe was read.
type FastClock struct {
	*Lockstep
	speed float64
	begin time.Time
}

// NewFastClock gives a clock that runs at speed times real time, from
// [SlowestSpeed] to [FastestSpeed]; see [Station.RunFast]. Its wall clock
// shows begin at the start, runs along and is trusted.
func NewFastClock(speed float64, begin time.Time) (*FastClock, error) {
	if !(speed >= SlowestSpeed && speed <= FastestSpeed) {
		return nil, fmt.Errorf("a speed of %g is outside of %g to %g times real time", speed, SlowestSpeed, float64(FastestSpeed))
	}
	return &FastClock{Lockstep: NewLockstep(), speed: speed, begin: begin}, nil
}

// Busy implements [Clock]: unlike under lockstep nobody waits for the work.
func (c *FastClock) Busy(string) (done func()) { return func() {} }

// run advances the clock until the context ends.
func (c *FastClock) run(ctx context.Context) {
	beat := time.NewTicker(fastBeat)
	defer beat.Stop()
	to, last := time.Duration(0), time.Now()
	for {
		// Whoever was given up on takes part again once it comes back.
		if _, err := c.Advance(ctx, to, control.Wall{Time: c.begin.Add(to), Trusted: true}); err != nil {
			return
		}
		select {
		case <-beat.C:
		case <-ctx.Done():
			return
		}
		now := time.Now()
		to += time.Duration(float64(min(now.Sub(last), fastHiccup)) * c.speed)
		last = now
	}
}

// RunFast is [Station.Run] with the clock, which the station was made with,
// running.
func (s *Station) RunFast(ctx, hurry context.Context, clock *FastClock) error {
	ctx, cancel := context.WithCancel(ctx)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		clock.run(ctx)
	}()
	err := s.Run(ctx, hurry)
	cancel()
	<-ended
	return err
}
