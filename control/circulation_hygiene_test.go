package control

import (
	"testing"
	"time"
)

// heldUp is a desk whose tank has just been held hot to the end of a heat-up that
// was due, with a cold ring.
func heldUp(t *testing.T, changes ...change) *desk {
	t.Helper()
	d := ringDesk(t, noon, append([]change{tempered, func(p *Plan) {
		p.Systems[0].Settings.CirculationWindows = nil
	}}, changes...)...)
	d.c.st.Systems[0].HygieneSince, d.c.st.Systems[0].LineSince = 8*24*time.Hour, 8*24*time.Hour
	d.set(20, 20, 61, 50)
	d.flicker(62 * time.Minute)
	return d
}

// TestOnlyHotTimeOfThePipesCounts: the return must have been at 50 °C, the least
// that WHO's Legionella and the prevention of legionellosis (2007) asks of it, for
// as long as is set.
func TestOnlyHotTimeOfThePipesCounts(t *testing.T) {
	d := heldUp(t)
	m := &d.c.st.Systems[0]
	d.expect(outRing, true, SaysCirculationHygiene)
	d.readings[atReturn].Value = 49.9
	d.run(20 * time.Minute)
	if m.LineLeft < 29*time.Minute {
		t.Errorf("a return of 49.9 °C counts: %v left", m.LineLeft)
	}
	d.readings[atReturn].Value = 50
	d.run(29 * time.Minute)
	d.expect(outRing, true, SaysCirculationHygiene)
	if m.LineSince < 7*24*time.Hour {
		t.Error("it is claimed before its end")
	}
	d.run(2 * time.Minute)
	d.expect(outRing, false, SaysCirculationWarm)
	if m.LineSince > time.Hour || m.LineTry != 0 {
		t.Errorf("it was done, and counts as %v old", m.LineSince)
	}
}

// TestPipesThatStayCold: given up after an hour, tried again the next day, and told.
func TestPipesThatStayCold(t *testing.T) {
	d := heldUp(t, func(p *Plan) { p.Systems[0].Settings.CirculationDaily = 0 })
	m := &d.c.st.Systems[0]
	for day := range 3 {
		d.expect(outRing, true, SaysCirculationHygiene)
		d.run(lineMost - 2*time.Minute)
		d.expect(outRing, true, SaysCirculationHygiene)
		d.run(3 * time.Minute)
		d.expect(outRing, false, SaysCirculationSpent)
		if m.LineSince < 8*24*time.Hour {
			t.Fatalf("day %d: claimed, and never hot", day)
		}
		d.run(22 * time.Hour)
		d.expect(outRing, false, SaysCirculationSpent)
		d.run(59 * time.Minute)
	}
	m.LineSince = 18*24*time.Hour - 2*time.Minute
	d.run(time.Minute)
	d.expectFinding(FoundPipesOverdue, false)
	d.run(2 * time.Hour)
	d.expectFinding(FoundPipesOverdue, true)
	d.readings[atReturn].Value = 52
	d.run(24 * time.Hour)
	d.expectFinding(FoundPipesOverdue, false)
}

// TestPipesWhoseReturnIsLost: what can't be read proves nothing; where there is no
// probe at all, the run itself counts.
func TestPipesWhoseReturnIsLost(t *testing.T) {
	d := heldUp(t)
	d.readings[atReturn].Value = 55
	d.run(time.Minute)
	d.fail(atReturn)
	d.run(time.Minute)
	left := d.c.st.Systems[0].LineLeft
	d.run(10 * time.Minute)
	if got := d.c.st.Systems[0].LineLeft; got != left {
		t.Errorf("a lost return counts: %v, then %v left", left, got)
	}
	c, err := New(testPlan(1, tempered, ring, func(p *Plan) {
		p.Systems[0].Settings.CirculationWindows = nil
		p.Probes = p.Probes[:atReturn]
	}))
	if err != nil {
		t.Fatal(err)
	}
	d = &desk{t: t, c: c, wall: noon, readings: make([]Reading, len(c.plan.Probes))}
	c.st.Systems[0].HygieneSince, c.st.Systems[0].LineSince = 8*24*time.Hour, 8*24*time.Hour
	d.set(20, 20, 61, 50)
	d.flicker(62 * time.Minute)
	d.expect(outRing, true, SaysCirculationHygiene)
	d.run(31 * time.Minute)
	d.expect(outRing, false, SaysCirculationOutside)
	if c.st.Systems[0].LineSince > time.Hour {
		t.Error("the run does not count")
	}
}

// TestPipesThatAreNoPart: nothing is run, nothing is told.
func TestPipesThatAreNoPart(t *testing.T) {
	for name, without := range map[string]change{
		"set so":     func(p *Plan) { p.Systems[0].Settings.CirculationHygiene = 0 },
		"no hygiene": func(p *Plan) { p.Systems[0].Settings.HygieneInterval = 0 },
	} {
		d := heldUp(t, without)
		if d.expect(outRing, false, SaysCirculationOutside); t.Failed() {
			t.Error(name)
		}
		d.c.st.Systems[0].LineSince = 100 * 24 * time.Hour
		d.run(2 * time.Hour)
		d.expectFinding(FoundPipesOverdue, false)
	}
}

// TestAStandInHeatsNoPipes: a tank top whose newest sample is bad lets the heating
// of the pipes go on, and does not begin it.
func TestAStandInHeatsNoPipes(t *testing.T) {
	d := heldUp(t)
	d.expect(outRing, true, SaysCirculationHygiene)
	d.fail(atTop)
	d.run(10 * time.Second)
	d.expect(outRing, true, SaysCirculationHygiene)
	d.set(20, 20, 61, 50)
	if err := d.c.Override(outRing, 0, time.Minute); err != nil {
		t.Fatal(err)
	}
	d.run(time.Minute)
	d.fail(atTop)
	d.run(10 * time.Second)
	d.expect(outRing, false, SaysCirculationBlind)
	d.set(20, 20, 61, 50)
	d.run(time.Minute)
	d.expect(outRing, true, SaysCirculationHygiene)
}

// TestWhenThePipesAreDue: once in half an interval, when the tank has been held
// hot, and after a vain try not before the next day.
func TestWhenThePipesAreDue(t *testing.T) {
	const week = 7 * 24 * time.Hour
	for name, tc := range map[string]struct {
		since, held, tried time.Duration
		part               time.Duration // that is set for the pipes
		left               time.Duration // of a heating that goes on
		want               bool
	}{
		"held, and half an interval old": {week / 2, time.Hour, 0, time.Hour, 0, true},
		"a second younger":               {week/2 - time.Second, time.Hour, 0, time.Hour, 0, false},
		"held a second less":             {week, time.Hour - time.Second, 0, time.Hour, 0, false},
		"tried a day ago":                {week, time.Hour, 24 * time.Hour, time.Hour, 0, true},
		"tried a second less ago":        {week, time.Hour, 24*time.Hour - time.Second, time.Hour, 0, false},
		"tried half a day ago":           {week, time.Hour, 13 * time.Hour, time.Hour, 0, false},
		"no part of the pipes":           {week, time.Hour, 0, 0, 0, false},
		"the least part":                 {week, time.Hour, 0, time.Second, 0, true},
		"being heated":                   {week, time.Hour, 0, time.Hour, time.Minute, false},
	} {
		p := newSignPlant(t)
		set := *p.s.set
		set.HygieneInterval, set.HygieneHold, set.CirculationHygiene = week, time.Hour, tc.part
		p.s.set = &set
		m := p.s.mem
		m.LineSince, m.HygieneHold, m.LineTry, m.LineLeft = tc.since-time.Second, tc.held, tc.tried, tc.left
		if tc.tried > 0 {
			m.LineTry -= time.Second
		}
		p.s.countLine(false, time.Second)
		if got := m.LineTry == time.Nanosecond; got != tc.want || got && m.LineLeft != tc.part {
			t.Errorf("%s: begins %v, with %v left; want %v", name, got, m.LineLeft, tc.want)
		}
	}
}

// TestWhatProvesHotPipes: a good reading of 50 °C or more, no value that stands in
// for one; and nothing is asked for where no probe is fitted.
func TestWhatProvesHotPipes(t *testing.T) {
	for name, tc := range map[string]struct {
		wired bool
		is    Judged
		want  bool
	}{
		"50 °C":          {true, Judged{Value: 50, Quality: Good}, true},
		"49.9 °C":        {true, Judged{Value: 49.9, Quality: Good}, false},
		"a stand-in":     {true, Judged{Value: 55, Quality: Good, HeldOver: true}, false},
		"a doubtful one": {true, Judged{Value: 55, Quality: Suspect}, false},
		"none fitted":    {false, Judged{}, true},
	} {
		p := newSignPlant(t)
		p.s.returnWired, p.s.circulationReturn = tc.wired, &tc.is
		if got := p.s.returnHot(); got != tc.want {
			t.Errorf("%s: hot %v, want %v", name, got, tc.want)
		}
	}
}

// TestWhenThePipesAreOverdue: twice the interval and two days, to the second; never
// where they are no part of it, or where there is no heat-up.
func TestWhenThePipesAreOverdue(t *testing.T) {
	const day = 24 * time.Hour
	for _, tc := range []struct {
		interval, part, since time.Duration
		want                  bool
	}{
		{7 * day, time.Hour, 16 * day, false},
		{7 * day, time.Hour, 16*day + time.Second, true},
		{7 * day, 0, 30 * day, false},
		{time.Second, time.Second, 2*day + 2*time.Second, false},
		{time.Second, time.Second, 2*day + 3*time.Second, true},
		{0, time.Hour, 30 * day, false},
	} {
		p := newSignPlant(t)
		set := *p.s.set
		set.HygieneInterval, set.CirculationHygiene = tc.interval, tc.part
		p.s.set, p.s.mem.LineSince = &set, tc.since
		if got := p.s.lineOverdue(); got != tc.want {
			t.Errorf("every %v, %v of it for the pipes, last %v ago: overdue %v", tc.interval, tc.part, tc.since, got)
		}
	}
}

// TestOverduePipesOfTheFirstOutput: whichever output the circulation is, its pipes
// are told of.
func TestOverduePipesOfTheFirstOutput(t *testing.T) {
	d := ringDesk(t, noon, func(p *Plan) { p.Outputs, p.Systems[0].Settings.CirculationWindows = nil, nil })
	if d.c.systems[0].circulation != 0 {
		t.Fatal("the circulation is not the first output")
	}
	d.c.st.Systems[0].LineSince = 100 * 24 * time.Hour
	d.by(120, func(int) { d.set(20, 20, 50, 40) })
	d.expectFinding(FoundPipesOverdue, true)
}
