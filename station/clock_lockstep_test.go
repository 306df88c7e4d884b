package station

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"sunstoker/control"
)

// every lets a member note its instants, one a period, until the context ends.
func every(ctx context.Context, c *Lockstep, name string, turn Turn, period time.Duration, e *events) {
	m := c.Join(name, turn)
	go func() {
		defer m.Leave()
		for at := time.Duration(0); m.Wait(ctx, at) == nil; at += period {
			e.add("%s at %v", name, m.Now())
		}
	}()
}

func TestLockstepRunsEverythingInOrder(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	c, e := NewLockstep(), &events{}
	every(ctx, c, "tick", TickTurn, time.Second, e)
	every(ctx, c, "bus", BusTurn, 2*time.Second, e)
	for _, to := range []time.Duration{0, 0, 1500 * time.Millisecond, 4 * time.Second} {
		if without, err := c.Advance(ctx, to, control.Wall{Time: noon.Add(to)}); err != nil || len(without) > 0 {
			t.Fatal(without, err)
		}
		e.add("ready at %v", c.Now())
	}
	want := []string{
		"bus at 0s", "tick at 0s", "ready at 0s", "ready at 0s",
		"tick at 1s", "ready at 1.5s",
		"bus at 2s", "tick at 2s", "tick at 3s", "bus at 4s", "tick at 4s", "ready at 4s",
	}
	if got := e.all(); !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestLockstepWallClock(t *testing.T) {
	ctx := context.Background()
	c := NewLockstep()
	if w := c.Wall(); !w.Time.Equal(time.Unix(0, 0)) || w.Trusted {
		t.Errorf("at the start: %+v", w)
	}
	m, seen := c.Join("m", TickTurn), make(chan time.Time, 1)
	go func() {
		_ = m.Wait(ctx, 2*time.Second)
		seen <- c.Wall().Time
		m.Leave()
	}()
	if _, err := c.Advance(ctx, 10*time.Second, control.Wall{Time: noon, Trusted: true}); err != nil {
		t.Fatal(err)
	}
	if got := <-seen; !got.Equal(noon.Add(-8 * time.Second)) {
		t.Errorf("on the way, 8 s before its end, the wall clock showed %v", got)
	}
	if w := c.Wall(); !w.Time.Equal(noon) || !w.Trusted {
		t.Errorf("at the end: %+v", w)
	}
	if _, err := c.Advance(ctx, 9*time.Second, control.Wall{Time: noon}); err == nil || c.Now() != 10*time.Second {
		t.Error("the clock goes back")
	}
}

func TestLockstepGivesUpOnWhoeverDoesNotComeBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) { // the patience passes at once in here
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		c, e := NewLockstep(), &events{}
		release := make(chan struct{})
		hung := c.Join("bus 1-wire", BusTurn)
		go func() {
			defer hung.Leave()
			<-release
			for at := 3 * time.Second; hung.Wait(ctx, at) == nil; at += time.Hour {
				e.add("bus at %v", c.Now())
			}
		}()
		every(ctx, c, "tick", TickTurn, time.Second, e)
		for at := range 3 {
			without, err := c.Advance(ctx, time.Duration(at)*time.Second, control.Wall{})
			if err != nil || !slices.Equal(without, []string{"bus 1-wire"}) {
				t.Fatalf("without %q, %v", without, err)
			}
		}
		close(release)
		synctest.Wait() // until it waits for its instant
		without, err := c.Advance(ctx, 4*time.Second, control.Wall{})
		if err != nil || len(without) > 0 {
			t.Errorf("it came back, but: without %q, %v", without, err)
		}
		want := []string{"tick at 0s", "tick at 1s", "tick at 2s", "bus at 3s", "tick at 3s", "tick at 4s"}
		if got := e.all(); !slices.Equal(got, want) {
			t.Errorf("got %q", got)
		}
	})
}

func TestLockstepWaitsForWorkUnderWay(t *testing.T) {
	c := NewLockstep()
	done := c.Busy("a save")
	ready := make(chan struct{})
	go func() {
		_, _ = c.Advance(context.Background(), time.Second, control.Wall{})
		close(ready)
	}()
	select {
	case <-ready:
		t.Fatal("ready while work was under way")
	default:
	}
	done()
	<-ready
}

func TestLockstepLines(t *testing.T) {
	c, e := NewLockstep(), &events{}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	every(ctx, c, "tick", TickTurn, time.Second, e)
	in := strings.Join([]string{
		"advance 1500ms 2026-01-05T06:00:00Z trusted",
		"",
		"advance 1s 2026-01-05T06:00:00Z trusted",
		"advance 2s 2026-01-05T06:00:01.5+01:00 untrusted",
		"advance soon 2026-01-05T06:00:00Z trusted",
		"advance -1s 2026-01-05T06:00:00Z trusted",
		"advance 3s yesterday trusted",
		"advance 3s 2026-01-05T06:00:00Z perhaps",
		"stop",
		"  advance   3s  2026-01-05T06:00:00Z trusted ",
	}, "\n")
	var out bytes.Buffer
	if err := c.Serve(ctx, strings.NewReader(in), &out); err != nil {
		t.Fatal(err)
	}
	want := `ready
ready
error: the clock stands at 1.5s and does not go back to 1s
ready
error: "soon" is no instant since the start; write "12s" or "1h30m"
error: "-1s" is no instant since the start; write "12s" or "1h30m"
error: "yesterday" is no wall clock time; write "2026-01-05T06:00:00Z"
error: the last word must be "trusted" or "untrusted"
error: "stop" is not understood; write "advance 12s 2026-01-05T06:00:00Z trusted"
ready
`
	if out.String() != want {
		t.Errorf("got\n%swant\n%s", out.String(), want)
	}
	if got := fmt.Sprint(e.all()); got != "[tick at 0s tick at 1s tick at 2s tick at 3s]" {
		t.Error(got)
	}
}

func TestLockstepLinesEndWithTheContext(t *testing.T) {
	c := NewLockstep()
	ctx, cancel := context.WithCancel(context.Background())
	in, feed := io.Pipe() // never ends by itself
	defer feed.Close()
	answer, out := io.Pipe()
	ended := make(chan error, 1)
	go func() { ended <- c.Serve(ctx, in, out) }()
	ready := make([]byte, 6)
	if _, err := io.ReadFull(answer, ready); err != nil || string(ready) != "ready\n" {
		t.Fatalf("%q, %v", ready, err)
	}
	cancel()
	if err := <-ended; err != context.Canceled {
		t.Error(err)
	}
}

func FuzzParseAdvance(f *testing.F) {
	f.Add("advance 12s 2026-01-05T06:00:00Z trusted")
	f.Add("advance 1h30m 1970-01-01T00:00:00+14:00 untrusted")
	f.Add("advance 9999999h 0000-01-01T00:00:00Z trusted x")
	f.Fuzz(func(t *testing.T, line string) {
		to, wall, err := parseAdvance(line)
		if err == nil && (to < 0 || wall.Time.IsZero() && !strings.Contains(line, "0001")) {
			t.Errorf("%q gives %v, %v", line, to, wall)
		}
	})
}
