//go:build hil

package hil

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"os/signal"
	"sync/atomic"
	"syscall"
	"time"

	"sunstoker/control"
	"sunstoker/site"
	"sunstoker/station"
)

// panicsOnSignal, in the environment, lets this program be a daemon that panics
// in the middle of a tick after SIGUSR1, and hangs in one after SIGUSR2.
const (
	panicsOnSignal = "SUNSTOKER_HIL_PANICS"
	breaksNow      = "the clock of straw breaks"
	hangsNow       = "the clock of straw stands still"
)

// strawClock panics when the tick asks it for the time, or never answers.
type strawClock struct {
	station.Clock
	breaks, hangs atomic.Bool
}

func (c *strawClock) Wall() control.Wall {
	if c.breaks.Load() {
		fmt.Fprintln(os.Stderr, breaksNow)
		panic("a clock of straw")
	}
	if c.hangs.Load() {
		fmt.Fprintln(os.Stderr, hangsNow)
		select {}
	}
	return c.Clock.Wall()
}

func runPanicky(file string) int {
	log := slog.New(slog.NewTextHandler(os.Stderr, nil))
	s, err := site.Load(file)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	clock := &strawClock{Clock: station.NewSystemClock(true, time.Time{}, log)}
	caught := make(chan os.Signal, 1)
	signal.Notify(caught, syscall.SIGUSR1, syscall.SIGUSR2)
	go func() {
		which := <-caught
		clock.breaks.Store(which == syscall.SIGUSR1)
		clock.hangs.Store(which == syscall.SIGUSR2)
	}()
	st, err := station.Build(s, clock, station.BuildOptions{Version: "of a test", Log: log})
	if err == nil {
		err = st.Run(context.Background(), context.Background())
	}
	fmt.Fprintln(os.Stderr, err)
	return 1
}
