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
// in the middle of a tick after SIGUSR1.
const (
	panicsOnSignal = "SUNSTOKER_HIL_PANICS"
	breaksNow      = "the clock of straw breaks"
)

// strawClock panics when the tick asks it for the time.
type strawClock struct {
	station.Clock
	breaks atomic.Bool
}

func (c *strawClock) Wall() control.Wall {
	if c.breaks.Load() {
		fmt.Fprintln(os.Stderr, breaksNow)
		panic("a clock of straw")
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
	signal.Notify(caught, syscall.SIGUSR1)
	go func() {
		<-caught
		clock.breaks.Store(true)
	}()
	st, err := station.Build(s, clock, station.BuildOptions{Version: "of a test", Log: log})
	if err == nil {
		err = st.Run(context.Background(), context.Background())
	}
	fmt.Fprintln(os.Stderr, err)
	return 1
}
