package station

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

// Signals gives a context that ends with the first end signal (SIGTERM, or
// SIGINT from the keyboard) or with the parent, and one that ends with the
// second signal. Stop gives the signals back to their default action.
func Signals(parent context.Context) (first, second context.Context, stop func()) {
	caught := make(chan os.Signal, 2)
	signal.Notify(caught, syscall.SIGTERM, syscall.SIGINT)
	first, stopFirst := context.WithCancel(parent)
	second, stopSecond := context.WithCancel(context.WithoutCancel(parent))
	ended := make(chan struct{})
	go func() {
		for _, cancel := range []context.CancelFunc{stopFirst, stopSecond} {
			select {
			case <-caught:
				cancel()
			case <-ended:
				return
			}
		}
	}()
	return first, second, func() {
		signal.Stop(caught)
		close(ended)
		stopFirst()
		stopSecond()
	}
}
