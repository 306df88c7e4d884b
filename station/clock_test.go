package station

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"golang.org/x/sys/unix"
)

var built = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)

func TestTrustInTheWallClock(t *testing.T) {
	type look struct {
		now    time.Duration
		wall   time.Time
		synced bool
		trust  bool
		jump   time.Duration
	}
	y1970 := time.Unix(20, 0)
	good := built.AddDate(0, 2, 0)
	for _, c := range []struct {
		name    string
		battery bool
		saved   time.Time
		looks   []look
	}{
		{"a board wakes in 1970 and the network sets it right", false, time.Time{}, []look{
			{0, y1970, false, false, 0},
			{time.Minute, y1970.Add(time.Minute), false, false, 0},
			{2 * time.Minute, good, true, true, good.Sub(y1970) - 2*time.Minute},
			{3 * time.Minute, good.Add(time.Minute), true, true, 0},
		}},
		{"without a battery and unsynchronised, a likely time proves nothing", false, time.Time{}, []look{
			{0, good, false, false, 0},
		}},
		{"once synchronised it runs on evenly without its network", false, time.Time{}, []look{
			{0, good, true, true, 0},
			{time.Hour, good.Add(time.Hour), false, true, 0},
			{2 * time.Hour, good.Add(2*time.Hour + 5*time.Second), false, true, 0},
		}},
		{"until somebody sets it by hand", false, time.Time{}, []look{
			{0, good, true, true, 0},
			{time.Hour, good.Add(2 * time.Hour), false, false, time.Hour},
			{2 * time.Hour, good.Add(3 * time.Hour), true, true, 0},
		}},
		{"a jump back", false, time.Time{}, []look{
			{0, good, true, true, 0},
			{time.Hour, good, false, false, -time.Hour},
		}},
		{"a battery keeps the time", true, good.Add(-time.Hour), []look{
			{0, good, false, true, 0},
		}},
		{"an empty battery", true, time.Time{}, []look{
			{0, y1970, false, false, 0},
		}},
		{"a weak battery that lost two hours", true, good, []look{
			{0, good.Add(-2 * time.Hour), false, false, 0},
			{time.Hour, good.Add(time.Hour), true, true, 2 * time.Hour},
		}},
		{"a synchronised clock stands above a stamp from a wrong day", false, good.AddDate(40, 0, 0), []look{
			{0, good, true, true, 0},
		}},
		{"before the program was built, whatever the kernel says", true, time.Time{}, []look{
			{0, built.Add(-time.Second), true, false, 0},
			{2 * time.Second, built.Add(time.Second), true, true, 0},
		}},
	} {
		tr := trust{batteryClock: c.battery, builtAt: built, lastSaved: c.saved}
		for i, l := range c.looks {
			trusted, jump := tr.judge(l.now, l.wall, l.synced)
			if trusted != l.trust || jump != l.jump {
				t.Errorf("%s: look %d gives trust %v and jump %v, not %v and %v", c.name, i, trusted, jump, l.trust, l.jump)
			}
		}
	}
}

func TestSystemClock(t *testing.T) {
	synctest.Test(t, func(t *testing.T) { // real time stands still in here until all wait
		var log bytes.Buffer
		synced := false
		c := newSystemClock(false, time.Now().Add(-time.Hour), slog.New(slog.NewTextHandler(&log, nil)),
			func() (bool, error) { return synced, nil })
		if w := c.Wall(); w.Trusted || !w.Time.Equal(time.Now()) {
			t.Errorf("unsynchronised: %+v", w)
		}
		if err := c.Join("test", TickTurn).Wait(t.Context(), 3*time.Second); err != nil || c.Now() < 3*time.Second || c.Now() > 3*time.Second+time.Millisecond {
			t.Errorf("a wait until 3 s ended at %v: %v", c.Now(), err)
		}
		synced = true
		if !c.Wall().Trusted {
			t.Error("synchronised and not trusted")
		}
		if strings.Contains(log.String(), "jumped") || strings.Count(log.String(), "the clock is not set") != 1 || strings.Count(log.String(), "the clock is set") != 1 {
			t.Errorf("log: %s", log.String())
		}
		ended, cancel := context.WithCancel(t.Context())
		cancel()
		if err := c.Wait(ended, time.Hour); !errors.Is(err, context.Canceled) {
			t.Errorf("a wait of an ended context gives %v", err)
		}
	})
}

func TestSystemClockWithoutTheKernelsWord(t *testing.T) {
	var log bytes.Buffer
	c := newSystemClock(true, built, slog.New(slog.NewTextHandler(&log, nil)), func() (bool, error) { return false, unix.EPERM })
	c.Seen(built.Add(time.Hour))
	for range 3 {
		if !c.Wall().Trusted {
			t.Fatal("the battery's word should do")
		}
	}
	if n := strings.Count(log.String(), "does not tell"); n != 1 {
		t.Errorf("told %d times in the log", n)
	}
}

func TestFastClock(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c, err := NewFastClock(360, noon)
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(t.Context())
		seen := 0
		m := c.Join("test", TickTurn)
		go func() {
			defer m.Leave()
			for at := time.Duration(0); m.Wait(ctx, at) == nil; at += time.Second {
				if m.Now() != at {
					t.Errorf("woken at %v, not %v", m.Now(), at)
				}
				if at == 30*time.Minute {
					time.Sleep(80 * time.Millisecond) // a busy machine: half a minute of this clock
				}
				seen++
			}
		}()
		go c.run(ctx)
		time.Sleep(10 * time.Second) // of the bubble's time, which passes at once
		stop()
		synctest.Wait()
		if now := c.Now(); now < time.Hour-10*time.Second || now > time.Hour {
			t.Errorf("10 s at 360 times real time came to %v", now)
		}
		if seen < 3590 || seen > 3601 {
			t.Errorf("woken %d times in an hour", seen)
		}
		if wall := c.Wall(); !wall.Trusted || !wall.Time.Equal(noon.Add(c.Now())) {
			t.Errorf("wall clock at %v: %+v", c.Now(), wall)
		}
	})
	for _, speed := range []float64{0, -1, 1001} {
		if _, err := NewFastClock(speed, noon); err == nil {
			t.Errorf("a speed of %g is taken", speed)
		}
	}
}
