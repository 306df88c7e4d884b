package control

import (
	"testing"
	"time"
)

const day = 24 * time.Hour

// afterOutage gives a controller that went on from another one's state.
func afterOutage(t *testing.T, before *desk, changes ...change) *desk {
	t.Helper()
	saved, err := before.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	d := newDesk(t, changes...)
	if err := d.c.RestoreState(saved); err != nil {
		t.Fatal(err)
	}
	d.c.Restarted()
	return d
}

func TestALongOutageMakesTheHeatUpDue(t *testing.T) {
	d := afterOutage(t, newDesk(t, tempered).settled(), tempered)
	d.wall.Time = noon.Time.Add(2 * time.Hour) // inside the hygiene windows
	d.settled()
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	d.c.WasAway(10 * day)
	d.run(10 * time.Minute)
	d.expect(outHeater, true, SaysHygiene)
}

func TestAHeatUpSinceTheStartIsNotAged(t *testing.T) {
	d := afterOutage(t, newDesk(t, tempered).settled(), tempered)
	d.set(20, 20, 65, 60) // the sun has done it
	d.flicker(2 * time.Hour)
	age := d.c.st.Systems[0].HygieneSince
	if age > time.Hour {
		t.Fatalf("the heat-up was not counted: %v", age)
	}
	d.c.WasAway(10 * day)
	if got := d.c.st.Systems[0].HygieneSince; got != age {
		t.Errorf("a clock that was set late makes a heat-up of today %v old", got)
	}
}

func TestAnOutageAgesThePumpAndNoMinimumTime(t *testing.T) {
	before := newDesk(t)
	before.set(20, 60, 50, 30)
	before.settled()
	before.expect(outPump, true, SaysLoopGains)
	d := afterOutage(t, before)
	d.wall = winter
	d.c.WasAway(4 * day)
	d.run(time.Minute)
	d.set(20, 60, 50, 30)
	d.run(time.Second)
	d.expect(outPump, false, SaysMinimumRest)
	if idle := d.c.Output(outPump).Idle; idle < 4*day {
		t.Errorf("the pump has stood for 4 days and counts %v", idle)
	}
	d.set(20, 20, 50, 30)
	d.run(5 * time.Minute)
	if d.c.Output(outPump).Idle > time.Hour {
		t.Error("the pump was not turned over")
	}
}

func TestAnOutageShortensAHolidayOfBefore(t *testing.T) {
	before := newDesk(t).settled()
	if err := before.c.Holiday(14 * day); err != nil {
		t.Fatal(err)
	}
	d := afterOutage(t, before)
	d.c.WasAway(10 * day)
	if left := d.c.HolidayLeft(); left != 4*day {
		t.Errorf("%v left of 14 days after 10", left)
	}
	d = afterOutage(t, before)
	if err := d.c.Holiday(2 * day); err != nil {
		t.Fatal(err)
	}
	d.c.WasAway(10 * day)
	if left := d.c.HolidayLeft(); left != 2*day {
		t.Errorf("a holiday asked for since the start has %v left of 2 days", left)
	}
}

func TestAbsurdAbsences(t *testing.T) {
	for away, want := range map[time.Duration]time.Duration{
		-10 * 365 * day: 0, -time.Second: 0, 0: 0, time.Hour: time.Hour, 200 * 365 * day: LongestAway,
	} {
		d := newDesk(t).settled()
		was := d.c.st.Systems[0].HygieneSince
		d.c.WasAway(away)
		if got := d.c.st.Systems[0].HygieneSince - was; got != want {
			t.Errorf("away for %v ages by %v, not %v", away, got, want)
		}
		if _, err := d.c.SaveState(); err != nil {
			t.Fatal(err)
		}
	}
}

// TestAWrongClockAtEveryStart: a board that is told at each of 200 starts that it was
// away for a year leaves a memory that the next one takes up.
func TestAWrongClockAtEveryStart(t *testing.T) {
	d := newDesk(t, ring).settled()
	for range 200 {
		d.c.Restarted()
		d.c.WasAway(LongestAway)
	}
	data, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	if err := newDesk(t, ring).c.RestoreState(data); err != nil {
		t.Error(err)
	}
	m := &d.c.st.Systems[0]
	for what, age := range map[string]time.Duration{"tank": m.HygieneSince, "pipes": m.LineSince, "pump": d.c.Output(outPump).Idle} {
		if age < 40*LongestAway {
			t.Errorf("%s: an age of %v after 200 years", what, age)
		}
	}
}

// TestCountsThatNothingEnds: starts that die within the minute, and looks at the
// pressure of a polar night of ten weeks, leave a memory that the next start takes up.
func TestCountsThatNothingEnds(t *testing.T) {
	d := deskWith(t, LoopPressure)
	for range 150_000 {
		d.c.Restarted()
	}
	s := &d.c.systems[0]
	night := glance{span: time.Minute, dark: true, pumpRest: driftRest}
	for range 70 * 24 * 60 {
		d.c.lookAtPressureTrend(s, &night, 2)
	}
	if m := &s.mem.Signs.Pressure; m.Looks != nightLooks || m.SumBar != 2*nightLooks {
		t.Errorf("%d looks of %g bar in all, want those of one day", m.Looks, m.SumBar)
	}
	if d.c.st.House.Starts != 1000 {
		t.Errorf("%g starts are counted", d.c.st.House.Starts)
	}
	data, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	if err := d.c.RestoreState(data); err != nil {
		t.Error(err)
	}
}

func TestLostMemoryIsToldAndAHeatUpIsDue(t *testing.T) {
	d := newDesk(t, tempered)
	d.c.MemoryLost()
	d.c.Tell(Board{MemoryLost: "both files are torn"})
	d.wall.Time = noon.Time.Add(2 * time.Hour)
	d.run(10 * time.Minute)
	d.expect(outHeater, true, SaysHygiene)
	d.expectFinding(FoundMemoryLost, true)
	d.expectFinding(FoundHygieneOverdue, false)
	d.c.Tell(Board{})
	d.run(2 * time.Minute)
	d.expectFinding(FoundMemoryLost, false)
}

func TestAStateOfAnAgelessPlantIsRefused(t *testing.T) {
	d := newDesk(t)
	if err := d.c.RestoreState([]byte(`{"version":1,"service_ns":9000000000000000000}`)); err == nil {
		t.Error("a service time of 285 years was taken up; counting on would overflow")
	}
}
