package control

import (
	"fmt"
	"testing"
	"time"
	_ "time/tzdata" // the nights below are the same on every machine
)

// clockTell is how the heater's windows stand, by the words of its decision on
// a tank that is warm enough.
func clockTell(d *desk) string {
	switch d.out.Decisions[outHeater].Reason.Words {
	case SaysHeaterOutsideWindows:
		return "outside"
	case SaysHeaterClock:
		return "no clock"
	case SaysHeaterWarm:
		return "inside"
	}
	return d.out.Decisions[outHeater].Reason.String()
}

// zoned gives a desk with a warm tank in a zone, whose heater has the windows.
func zoned(t *testing.T, zone, windows string) *desk {
	t.Helper()
	place, err := time.LoadLocation(zone)
	if err != nil {
		t.Fatal(err)
	}
	w, err := ParseWindows(windows)
	if err != nil {
		t.Fatal(err)
	}
	d := newDesk(t, func(p *Plan) {
		p.Zone = place
		p.Systems[0].Settings.HeaterWindows = w
	})
	d.set(20, 20, 50, 40)
	return d
}

// summerTimeNights: a window and how long it is open in the night in which a
// zone changes its clocks. The nights, from memory, are those of the rules in
// force: European Union, last Sundays of March and October at 01:00 UTC; United
// States, second Sunday of March and first of November at 02:00 local time;
// Lord Howe Island, first Sundays of October and April, by half an hour.
// How long the windows are open follows by hand.
var summerTimeNights = []struct {
	zone, windows string
	from          string // UTC, before the change; eight hours are looked at
	open          time.Duration
}{
	{"Europe/Berlin", "02:15 to 02:45", "2026-10-24T22:00:00Z", time.Hour}, // the hour comes twice
	{"Europe/Berlin", "02:15 to 02:45", "2026-03-28T23:00:00Z", 0},         // and is left out
	{"Europe/Berlin", "01:00 to 03:30", "2026-10-24T22:00:00Z", 3*time.Hour + 30*time.Minute},
	{"Europe/Berlin", "01:00 to 03:30", "2026-03-28T23:00:00Z", time.Hour + 30*time.Minute},
	{"Europe/Berlin", "23:00 to 05:00", "2026-10-24T22:00:00Z", 6 * time.Hour}, // 24:00 to 05:00
	{"Europe/Berlin", "23:00 to 05:00", "2026-03-28T23:00:00Z", 4 * time.Hour},
	{"America/New_York", "01:15 to 01:45", "2026-11-01T03:00:00Z", time.Hour},
	{"America/New_York", "02:15 to 02:45", "2026-03-08T04:00:00Z", 0},
	{"America/New_York", "00:30 to 03:30", "2026-11-01T03:00:00Z", 4 * time.Hour},
	{"America/New_York", "00:30 to 03:30", "2026-03-08T04:00:00Z", 2 * time.Hour},
	{"Australia/Lord_Howe", "01:35 to 01:55", "2026-04-04T12:00:00Z", 40 * time.Minute}, // half an hour twice
	{"Australia/Lord_Howe", "02:05 to 02:25", "2026-10-03T12:00:00Z", 0},
	{"Australia/Lord_Howe", "01:00 to 03:00", "2026-04-04T12:00:00Z", 2*time.Hour + 30*time.Minute},
	{"Australia/Lord_Howe", "01:00 to 03:00", "2026-10-03T12:00:00Z", time.Hour + 30*time.Minute},
	{"Asia/Kolkata", "02:15 to 02:45", "2026-10-24T18:00:00Z", 30 * time.Minute}, // half-hour zone without a change
}

// TestProofNightsThatChangeTheClocks: in the nights in which civil time jumps,
// windows are open as long as civil time says, to the second.
func TestProofNightsThatChangeTheClocks(t *testing.T) {
	for i, n := range summerTimeNights {
		if testing.Short() && i%4 != 0 {
			continue
		}
		t.Run(n.zone+" "+n.windows+" "+n.from[:10], func(t *testing.T) {
			from, err := time.Parse(time.RFC3339, n.from)
			if err != nil {
				t.Fatal(err)
			}
			d := zoned(t, n.zone, n.windows)
			d.wall = Wall{Time: from.Add(-5 * time.Minute), Trusted: true}
			d.run(5 * time.Minute)
			open := time.Duration(0)
			for range int(8 * time.Hour / time.Second) {
				d.run(time.Second)
				switch tell := clockTell(d); tell {
				case "inside":
					open += time.Second
				case "outside":
				default:
					t.Fatalf("at %v: %s", d.wall.Time, tell)
				}
			}
			if open != n.open {
				t.Errorf("open for %v, not %v", open, n.open)
			}
		})
	}
	t.Logf("proof: windows in nights that change the clocks = %d nights", len(summerTimeNights))
}

// clockJump is a change of the wall clock that no time has passed for.
type clockJump struct {
	name  string
	apply func(time.Time) Wall
}

var clockJumps = []clockJump{
	{"ten years back", func(t time.Time) Wall { return Wall{t.AddDate(-10, 0, 0), true} }},
	{"ten years and seven hours back", func(t time.Time) Wall { return Wall{t.AddDate(-10, 0, 0).Add(-7 * time.Hour), true} }},
	{"an hour on", func(t time.Time) Wall { return Wall{t.Add(time.Hour), true} }},
	{"an hour back", func(t time.Time) Wall { return Wall{t.Add(-time.Hour), true} }},
	{"a day on", func(t time.Time) Wall { return Wall{t.Add(day), true} }},
	{"to 1970, not trusted", func(time.Time) Wall { return Wall{time.Unix(20, 0), false} }},
	{"to 1970, trusted", func(time.Time) Wall { return Wall{time.Unix(20, 0), true} }},
	{"trust lost", func(t time.Time) Wall { return Wall{t, false} }},
}

// TestProofJumpsOfTheWallClock: in the step of a jump, and in that of the jump
// back, the windows stand as the new time says, and every duration goes on as
// if nothing had happened.
func TestProofJumpsOfTheWallClock(t *testing.T) {
	const zone = "Europe/Berlin"
	cases := 0
	for _, jump := range clockJumps {
		for hour := range 24 {
			if testing.Short() && hour%8 != 5 {
				continue
			}
			cases++
			t.Run(fmt.Sprintf("%s at %d:30", jump.name, hour), func(t *testing.T) {
				d, even := zoned(t, zone, "06:00 to 08:00, 17:00 to 21:00"), zoned(t, zone, "06:00 to 08:00, 17:00 to 21:00")
				start := time.Date(2026, 7, 1, hour, 30, 0, 0, d.c.plan.Zone)
				for _, each := range []*desk{d, even} {
					each.wall = Wall{start.Add(-5 * time.Minute), true}
					each.run(5 * time.Minute)
					if err := each.c.Override(outPump, 1, 20*time.Minute); err != nil {
						t.Fatal(err)
					}
				}
				for _, wall := range []Wall{jump.apply(start), {start, true}} {
					d.wall = wall
					even.wall = Wall{start, true}
					for range 12 * 60 {
						at := d.wall
						d.run(time.Second)
						even.run(time.Second)
						if got, want := clockTell(d), byHand(at, d.c.plan.Zone); got != want {
							t.Fatalf("at %v, trusted %v: %s, not %s", at.Time, at.Trusted, got, want)
						}
						sameDurations(t, d.c, even.c)
					}
				}
			})
		}
	}
	t.Logf("proof: jumps of the wall clock by hour of the day = %d jumps", cases)
}

// byHand is how the windows of the jumps stand by the civil clock.
func byHand(wall Wall, zone *time.Location) string {
	hour := wall.Time.In(zone).Hour()
	switch {
	case !wall.Trusted:
		return "no clock"
	case hour == 6, hour == 7, hour >= 17 && hour < 21:
		return "inside"
	}
	return "outside"
}

// sameDurations tells whether two controllers have counted the same time.
func sameDurations(t *testing.T, a, b *Controller) {
	t.Helper()
	if a.Service() != b.Service() || a.OverrideOf(outPump) != b.OverrideOf(outPump) ||
		a.Output(outPump) != b.Output(outPump) || a.Output(outHeater) != b.Output(outHeater) ||
		a.st.Systems[0].HygieneSince != b.st.Systems[0].HygieneSince {
		t.Fatalf("durations differ: %+v %+v %+v\n%+v %+v %+v", a.Service(), a.OverrideOf(outPump), a.Output(outPump),
			b.Service(), b.OverrideOf(outPump), b.Output(outPump))
	}
}

// heatUps steps a house once a minute for 60 days, with a tank that its heater
// warms and that cools by itself, and gives the service times at which heat-ups
// were held to their end. A jump happens at a time and is mended two days later.
func heatUps(t *testing.T, jump clockJump, at time.Duration) (done []time.Duration) {
	t.Helper()
	d := newDesk(t, tempered, func(p *Plan) { p.Systems[0].Settings.HeaterWindows = nil })
	const step = time.Minute
	start := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	topC, heldFor := 45.0, time.Duration(0)
	for now := time.Duration(0); now < 60*day; now += step {
		wall := Wall{start.Add(now), true}
		if now >= at && now < at+2*day {
			wall = jump.apply(start.Add(at))
			wall.Time = wall.Time.Add(now - at)
		}
		flicker := 0.1 * float64(now/step%2)
		for i, c := range []float64{20 + flicker, 20 + flicker, topC + flicker, 40 + flicker} {
			d.readings[i] = Reading{Value: c}
		}
		out := d.c.Step(step, wall, d.readings)
		if out.Decisions[outHeater].On() {
			topC += 0.5
		} else if topC > 45 {
			topC -= 0.02
		}
		if before := heldFor; topC >= 60 {
			heldFor += step
			if before < time.Hour && heldFor >= time.Hour {
				done = append(done, now)
			}
		} else {
			heldFor = 0
		}
	}
	return done
}

// TestProofNoHygieneTwiceOrSkipped: wherever in the interval the clock jumps,
// the hot hours of the tank lie at least the interval, and at most the interval
// and two days, apart: a day to wait for the window and one for a window that
// has moved.
func TestProofNoHygieneTwiceOrSkipped(t *testing.T) {
	const interval = 7 * day
	cases := 0
	for _, jump := range clockJumps {
		for _, at := range []time.Duration{
			2 * day, interval - time.Hour, interval + 4*time.Hour, // before it is due, just before, in its window
			interval + 4*time.Hour + 40*time.Minute, // under way
			interval + 5*time.Hour + 10*time.Minute, interval + 8*time.Hour,
		} {
			if testing.Short() && cases == 1 {
				return // it takes 60 days each
			}
			cases++
			t.Run(fmt.Sprintf("%s after %v", jump.name, at), func(t *testing.T) {
				done := heatUps(t, jump, at)
				if len(done) < 6 {
					t.Fatalf("only %d heat-ups in 60 days: %v", len(done), done)
				}
				last := time.Duration(0)
				for i, now := range done {
					gap := now - last
					if i > 0 && gap < interval || gap > interval+2*day+2*time.Hour {
						t.Errorf("heat-up %d comes %v after the one before: %v", i, gap, done)
					}
					last = now
				}
			})
		}
	}
	t.Logf("proof: jumps of the wall clock around a hygiene heat-up = %d jumps", cases)
}
