package station

import (
	"log/slog"
	"sync"
	"time"

	"golang.org/x/sys/unix"

	"sunstoker/control"
)

// systemClock is the board's own time.
type systemClock struct {
	free
	log          *slog.Logger
	synchronised func() (bool, error)

	mu     sync.Mutex
	trust  trust
	judged bool // at least once
	failed bool // the kernel's answer was missing, and that was logged
}

// NewSystemClock starts the board's clock. batteryClock says that the board
// has a clock with a battery; earliest is a wall time that can't lie ahead,
// such as the day the program was built.
func NewSystemClock(batteryClock bool, earliest time.Time, log *slog.Logger) Clock {
	return newSystemClock(batteryClock, earliest, log, kernelSynchronised)
}

func newSystemClock(batteryClock bool, earliest time.Time, log *slog.Logger, synchronised func() (bool, error)) *systemClock {
	return &systemClock{
		free: free{time.Now()}, log: log, synchronised: synchronised,
		trust: trust{batteryClock: batteryClock, builtAt: earliest},
	}
}

// Seen implements [Clock].
func (c *systemClock) Seen(wall time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if wall.After(c.trust.lastSaved) {
		c.trust.lastSaved = wall
	}
}

// Wall implements [Clock]. It is meant to be asked once a tick: what lies
// between two calls is how a jump is seen.
func (c *systemClock) Wall() control.Wall {
	c.mu.Lock()
	defer c.mu.Unlock()
	synchronised, err := c.synchronised()
	if err != nil && !c.failed {
		c.failed = true
		c.log.Warn("the kernel does not tell whether the clock is synchronised; it counts as not synchronised", "error", err)
	}
	wall := time.Now().Round(0)
	before := c.trust.trusted
	trusted, jump := c.trust.judge(c.Now(), wall, synchronised)
	if jump != 0 {
		c.log.Warn("the wall clock jumped; durations are not touched by it", "by", jump, "to", wall)
	}
	if trusted != before || !c.judged {
		says := "the clock is not set: schedules rest until it is"
		if trusted {
			says = "the clock is set"
		}
		c.log.Info(says, "shows", wall, "synchronised", synchronised)
	}
	c.judged = true
	return control.Wall{Time: wall, Trusted: trusted}
}

// kernelSynchronised asks the kernel whether somebody, such as a network time
// service, keeps the clock right. Source: adjtimex(2), STA_UNSYNC and
// TIME_ERROR. Reading needs no privilege.
func kernelSynchronised() (bool, error) {
	var t unix.Timex
	state, err := unix.Adjtimex(&t)
	if err != nil {
		return false, err
	}
	return state != unix.TIME_ERROR && t.Status&unix.STA_UNSYNC == 0, nil
}
