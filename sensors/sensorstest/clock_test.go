package sensorstest

import (
	"context"
	"errors"
	"testing"
	"time"
)

func TestClockWakesWhoIsDue(t *testing.T) {
	clock := &Clock{}
	ended := make(chan error, 1)
	go func() { ended <- clock.Wait(t.Context(), 2*time.Second) }()
	until, err := clock.AwaitWait(t.Context())
	if err != nil || until != 2*time.Second {
		t.Fatalf("waiting until %v, %v", until, err)
	}
	clock.Advance(2*time.Second - 1)
	if _, err := clock.AwaitWait(t.Context()); err != nil || len(ended) != 0 {
		t.Fatal("woken too early")
	}
	clock.Advance(1)
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if err := clock.Wait(t.Context(), clock.Now()); err != nil {
		t.Errorf("an instant that has come: %v", err)
	}
}

func TestClockLetsGoWithTheContext(t *testing.T) {
	clock := &Clock{}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- clock.Wait(ctx, time.Hour) }()
	if _, err := clock.AwaitWait(t.Context()); err != nil {
		t.Fatal(err)
	}
	stop()
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if err := clock.Wait(ctx, 0); !errors.Is(err, context.Canceled) {
		t.Errorf("after the end: %v", err)
	}
	if _, err := clock.AwaitWait(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("somebody still waits: %v", err)
	}
}
