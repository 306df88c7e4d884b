package control

import (
	"testing"
	"time"
)

// deadLoop is a desk with a hot collector over a tank that never gains.
func deadLoop(t *testing.T, changes ...change) *desk {
	t.Helper()
	d := newDesk(t, changes...)
	d.set(20, 95, 40, 30)
	d.settled()
	return d
}

// until runs until the pump is on or off, and gives how long that took.
func (d *desk) until(on bool, atMost time.Duration) time.Duration {
	d.t.Helper()
	for took := time.Duration(0); took < atMost; took += time.Second {
		if d.out.Decisions[outPump].On() == on {
			return took
		}
		d.run(time.Second)
	}
	d.t.Fatalf("after %v the pump is still on %v", atMost, !on)
	return 0
}

// TestPumpThatMovesNoHeatIsTriedSeldom: three short rests, then long ones; no try
// is longer than it must be to tell, and the tries never end.
func TestPumpThatMovesNoHeatIsTriedSeldom(t *testing.T) {
	d := deadLoop(t)
	const look = 2 * slowPeriod // what is seen once a minute comes so late
	for try := range 6 {
		ran := d.until(false, time.Hour)
		if ran > deadRun+look {
			t.Errorf("try %d lasts %v", try+1, ran)
		}
		want := effortShortRest
		if try >= effortStarts {
			want = effortLongRest
		}
		d.expect(outPump, false, SaysLoopFruitless)
		if rested := d.until(true, 5*time.Hour); rested < want-look || rested > want+look {
			t.Errorf("after try %d the pump rests for %v, not %v", try+1, rested, want)
		}
		d.expect(outPump, true, SaysLoopGains)
	}
}

// TestRestOfADeadLoopEnds: the first gain forgets all tries in vain, so that the
// next fault has its short rests again.
func TestRestOfADeadLoopEnds(t *testing.T) {
	d := deadLoop(t)
	for range effortStarts + 1 {
		d.until(false, time.Hour)
		d.until(true, 5*time.Hour)
	}
	for gained := range 8 {
		d.set(20, 60, 40+float64(gained), 30+float64(gained))
		d.run(2 * time.Minute)
	}
	d.expect(outPump, true, SaysLoopGains)
	if m := &d.c.systems[0].mem.Signs.Loop; m.Vain != 0 || m.Pause != 0 {
		t.Errorf("after a gain %d runs in vain are remembered, with %v of rest", m.Vain, m.Pause)
	}
	d.set(20, 95, 47, 37)
	d.until(false, time.Hour)
	if rested := d.until(true, 5*time.Hour); rested > effortShortRest+2*slowPeriod {
		t.Errorf("after a repair the first rest is %v", rested)
	}
}

// TestRestOfADeadLoopOutlastsARestart: else a board that starts again and again
// would run a dry pump all day.
func TestRestOfADeadLoopOutlastsARestart(t *testing.T) {
	d := deadLoop(t)
	for range effortStarts {
		d.until(false, time.Hour)
		d.until(true, 5*time.Hour)
	}
	d.until(false, time.Hour)
	saved, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	again := deadLoop(t)
	if err := again.c.RestoreState(saved); err != nil {
		t.Fatal(err)
	}
	again.c.Restarted()
	again.run(3 * time.Hour)
	again.expect(outPump, false, SaysLoopFruitless)
	again.until(true, 2*time.Hour)
}

// TestRestOfADeadLoopYields: to a person at the pump, and to frost, be it seen or
// only feared; a loop of water that stands still in frost is lost.
func TestRestOfADeadLoopYields(t *testing.T) {
	dead := func() *desk {
		d := deadLoop(t, waterFilled)
		for range effortStarts {
			d.until(false, time.Hour)
			d.until(true, 5*time.Hour)
		}
		d.until(false, time.Hour)
		d.run(3 * time.Minute)
		d.expect(outPump, false, SaysLoopFruitless)
		return d
	}
	d := dead()
	if err := d.c.Override(outPump, 1, 20*time.Minute); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outPump, true, SaysOverride)
	d.run(21 * time.Minute)
	d.expect(outPump, false, SaysLoopFruitless)

	d = dead()
	d.wall = winter
	d.set(2, 3, 40, 30)
	d.run(2 * time.Minute)
	d.expect(outPump, true, SaysFrostCirculation)

	d = dead()
	d.wall = winter
	d.set(8, 12, 40, 30) // so that no steam is feared
	d.run(10 * time.Minute)
	d.fail(atCollector)
	d.fail(atOutdoor)
	watched := false
	for range 120 {
		d.run(time.Minute)
		watched = watched || d.out.Decisions[outPump].On() && d.out.Decisions[outPump].Reason.Words == SaysFrostWatchBlind
	}
	if !watched {
		t.Error("nothing can see the frost, and the pump rests for the sake of a dead loop")
	}
}
