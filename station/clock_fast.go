package station

import (
	"fmt"
	"time"

	"sunstoker/control"
)

// Limits of a sped-up clock's speed.
const (
	SlowestSpeed = 0.1
	FastestSpeed = 1000
)

// fastClock runs faster than time, for simulated plants only.
type fastClock struct {
	free
	wall time.Time
}

// NewFastClock starts a clock that runs at speed times real time, from
// [SlowestSpeed] to [FastestSpeed]. Its wall clock shows wall at the start,
// runs along and is trusted.
func NewFastClock(speed float64, wall time.Time) (Clock, error) {
	if !(speed >= SlowestSpeed && speed <= FastestSpeed) {
		return nil, fmt.Errorf("a speed of %g is outside of %g to %g times real time", speed, SlowestSpeed, float64(FastestSpeed))
	}
	return &fastClock{free: newFree(speed), wall: wall.Round(0)}, nil
}

// Wall implements [Clock].
func (c *fastClock) Wall() control.Wall {
	return control.Wall{Time: c.wall.Add(c.Now()), Trusted: true}
}

// Seen implements [Clock]: an invented day needs no proof.
func (c *fastClock) Seen(time.Time) {}
