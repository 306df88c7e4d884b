package control

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunstoker/physics"
)

// TestAClaimedHeatUpKills: whatever the tank top does, and under any settings
// that are accepted, germs have fallen by five powers of ten in the stretch of
// readings that ends with the claim. Figures: the more cautious of Sanden et al.
// (1989) and a fit over several studies, see physics.CautiousDecimalReductionMinutes.
func TestAClaimedHeatUpKills(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := newDesk(t, eager, func(p *Plan) {
			p.Systems[0].Tempered = true
			s := &p.Systems[0].Settings
			s.HygieneInterval = 24 * time.Hour
			s.HygieneC = rapid.Float64Range(55, 65).Draw(rt, "temperature")
			s.HygieneHold = time.Duration(rapid.IntRange(600, 14400).Draw(rt, "hold")) * time.Second
			if len(s.Check()) > 0 {
				rt.Skip("refused")
			}
		})
		d.set(20, 20, 50, 40)
		d.settled()
		killed, since := 0.0, time.Duration(0)
		for range 60 {
			top := rapid.Float64Range(54, 66).Draw(rt, "top")
			for range rapid.IntRange(1, 120).Draw(rt, "half minutes") {
				d.set(20, 20, top, 40)
				d.out = d.c.Step(30*time.Second, d.wall, d.readings)
				j := &d.out.Readings[atTop]
				if !j.OK() || j.Value < d.c.plan.Systems[0].Settings.HygieneC {
					killed = 0
				} else {
					killed += physics.LogReduction(0.5, physics.CautiousDecimalReductionMinutes(j.Value))
				}
				is := d.c.st.Systems[0].HygieneSince
				if is < since && killed < hygieneLogs {
					rt.Fatalf("a heat-up is claimed after %.2f powers of ten", killed)
				}
				since = is
			}
		}
	})
}

// TestAStandInProvesNoHeatUp: a probe that gives every third value makes a
// heat-up three times as long, and one that gives none none.
func TestAStandInProvesNoHeatUp(t *testing.T) {
	d := newDesk(t, eager, func(p *Plan) { p.Systems[0].Tempered = true })
	d.set(20, 20, 61, 50)
	d.settled()
	d.c.st.Systems[0].HygieneSince, d.c.st.Systems[0].HygieneHold = 8*24*time.Hour, 0
	for i := range 2 * 3600 {
		d.set(20, 20, 61+float64(i%2)/16, 50)
		if i%3 != 0 {
			d.fail(atTop)
		}
		d.run(time.Second)
	}
	if m := &d.c.st.Systems[0]; m.HygieneSince == 0 || m.HygieneHold < 35*time.Minute {
		t.Errorf("after 2 h of every third value: hold %v, claimed: %v", m.HygieneHold, m.HygieneSince == 0)
	}
}

// TestNobodyVouchesForALongStep: a program that was stopped for an hour and goes on
// has not seen the tank meanwhile, so that the hour is no part of a heat-up.
func TestNobodyVouchesForALongStep(t *testing.T) {
	for step, breaks := range map[time.Duration]bool{
		90 * time.Second: false, 2 * time.Minute: false, 2*time.Minute + 1: true, time.Hour: true,
	} {
		d := newDesk(t, eager, tempered)
		d.set(20, 20, 61, 50)
		d.settled()
		m := &d.c.st.Systems[0]
		m.HygieneSince, m.HygieneHold, m.HygieneStill = 8*24*time.Hour, 10*time.Minute, 0
		d.readings[atTop].Value += lastDigit
		d.c.Step(step, d.wall, d.readings)
		want := 10*time.Minute + step
		if breaks {
			want = 0
		}
		if m.HygieneHold != want || m.HygieneSince < 8*24*time.Hour {
			t.Errorf("a step of %v: held for %v, want %v; %v since the last one", step, m.HygieneHold, want, m.HygieneSince)
		}
	}
}

// TestNobodyVouchesForPipesInALongStep: nor is it a part of the pipes' heat-up.
func TestNobodyVouchesForPipesInALongStep(t *testing.T) {
	for step, counts := range map[time.Duration]bool{
		90 * time.Second: true, 2 * time.Minute: true, 2*time.Minute + 1: false, time.Hour: false,
	} {
		p := newSignPlant(t)
		p.s.returnWired, p.s.mem.LineLeft = false, 30*time.Minute
		p.s.countLine(true, step)
		want := 30 * time.Minute
		if counts {
			want -= step
		}
		if p.s.mem.LineLeft != want || p.s.mem.LineMissed != 0 {
			t.Errorf("a step of %v: %v left and %v missed, want %v left", step, p.s.mem.LineLeft, p.s.mem.LineMissed, want)
		}
	}
}

// TestAFrozenProbesClaimIsTakenBack: a tank top that stands still at a hot value
// claims a heat-up for as long as it is believed. Found frozen, it has proved
// nothing since it last moved: what was claimed in that time is due again, and
// what was claimed before stands.
func TestAFrozenProbesClaimIsTakenBack(t *testing.T) {
	const week = 7 * 24 * time.Hour
	for name, tc := range map[string]struct {
		changes    []change
		topC       float64
		since      time.Duration // since tank and pipes were heated, as the probe begins to stand still
		due, pipes bool          // afterwards
	}{
		"claimed while it stood still":     {[]change{ring, withoutProbe(CirculationReturn)}, 61, 0, true, true},
		"claimed a day before":             {[]change{ring, withoutProbe(CirculationReturn)}, 50, 24 * time.Hour, false, false},
		"pipes whose return is read":       {[]change{ring}, 61, 0, true, false},
		"pipes' return read, a day before": {[]change{ring}, 50, 24 * time.Hour, false, false},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, append(tc.changes, eager, tempered)...)
			d.set(20, 20, tc.topC, 40)
			d.settled()
			m := &d.c.st.Systems[0]
			m.HygieneSince, m.LineSince = tc.since, tc.since
			passes := func(hours int) {
				for i := range hours * 60 {
					d.readings[atCollector].Value = 20 + 8*math.Sin(float64(i)/100) + 0.06*float64(i%2)
					d.run(time.Minute)
				}
			}
			passes(13)
			if j := d.reading(atTop); j.Why.Words != SaysFrozenReading {
				t.Fatalf("the tank top is %s: %s", j.Quality, j.Why)
			}
			if due := m.HygieneSince >= week; due != tc.due {
				t.Errorf("%v since the last heat-up", m.HygieneSince)
			}
			if pipes := m.LineSince >= week; pipes != tc.pipes {
				t.Errorf("%v since the pipes were heated", m.LineSince)
			}
			passes(60)
			d.expectFinding(FoundHygieneOverdue, tc.due)
		})
	}
}

// TestWhenAHeatUpMayBegin: due by the second, in its windows or at any time, not
// while everybody is away; and what has begun is carried through.
func TestWhenAHeatUpMayBegin(t *testing.T) {
	const noonMinute, windowMinute = 12 * 60, 14 * 60
	for name, tc := range map[string]struct {
		overS, holdS float64 // since it was due; held so far
		awayS        float64 // left of a holiday
		anytime      bool
		minute       int // of the day; -1 while the clock is not set
		want         bool
	}{
		"a second early":                  {overS: -1, anytime: true, minute: noonMinute},
		"to the second":                   {anytime: true, minute: noonMinute, want: true},
		"outside its windows":             {overS: 3600, minute: noonMinute},
		"inside of them":                  {overS: 3600, minute: windowMinute, want: true},
		"begun, outside of them":          {overS: 3600, holdS: 1, minute: noonMinute, want: true},
		"away for another second":         {overS: 3600, awayS: 1, minute: windowMinute},
		"begun before they left":          {overS: 3600, awayS: 1, holdS: 1, minute: windowMinute, want: true},
		"without a clock":                 {overS: 86399, minute: -1},
		"without a clock for a day":       {overS: 86400, minute: -1, want: true},
		"without a clock, begun":          {overS: 1, holdS: 1, minute: -1, want: true},
		"without a clock, at any time":    {overS: 1, anytime: true, minute: -1, want: true},
		"away, without a clock, for days": {overS: 1e6, awayS: 1e6, minute: -1},
	} {
		p := newSignPlant(t)
		p.c.clockSet, p.c.minute = tc.minute >= 0, tc.minute
		set := *p.s.set
		if tc.anytime {
			set.HygieneWindows = Windows{{0, dayMinutes}}
		}
		p.s.set = &set
		span := func(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
		p.s.mem.HygieneSince, p.s.mem.HygieneHold = set.HygieneInterval+span(tc.overS), span(tc.holdS)
		p.c.st.HolidayLeft = span(tc.awayS)
		if got := p.c.hygieneDue(p.s); got != tc.want {
			t.Errorf("%s: due %v, want %v", name, got, tc.want)
		}
	}
}

// TestWhatAFrozenProbeHasClaimed: a claim that is older than the time for which it
// has stood still stands; of the pipes too, and theirs always where their return
// is read.
func TestWhatAFrozenProbeHasClaimed(t *testing.T) {
	const still = 12 * time.Hour
	for _, tc := range []struct {
		since time.Duration
		wired bool
		tank  bool // is due again
		pipes bool
	}{
		{still - time.Second, false, true, true},
		{still, false, false, false},
		{still + time.Second, false, false, false},
		{still - time.Second, true, true, false},
		{still, true, false, false},
	} {
		p := newSignPlant(t)
		p.s.returnWired = tc.wired
		m := p.s.mem
		m.HygieneSince, m.LineSince = tc.since, tc.since
		p.s.takeClaimBack(still)
		due := func(since time.Duration) bool { return since >= p.s.set.HygieneInterval }
		if due(m.HygieneSince) != tc.tank || due(m.LineSince) != tc.pipes {
			t.Errorf("claimed %v ago, return wired %v: %v and %v old now", tc.since, tc.wired, m.HygieneSince, m.LineSince)
		}
	}
}

// TestAStuckTopsClaimIsTakenBack: a tank top that flickers by its last digit, and
// does not follow its tank for days, has proved nothing since it last moved, and
// claims nothing more until it moves.
func TestAStuckTopsClaimIsTakenBack(t *testing.T) {
	d := newDesk(t, eager, tempered)
	m := &d.c.st.Systems[0]
	turn := func(topC float64, length time.Duration) {
		for i := range int(length / (30 * time.Second)) {
			bottomC := 30 + 8*math.Sin(float64(i)/300)
			d.set(20+float64(i%40)/10, 25+float64(i%60)/10, topC+0.0625*float64(i%2), bottomC)
			d.out = d.c.Step(30*time.Second, d.wall, d.readings)
			d.wall.Time = d.wall.Time.Add(30 * time.Second)
		}
	}
	turn(50, 10*time.Hour)
	turn(62, 10*time.Hour)
	if m.HygieneSince > time.Hour {
		t.Fatalf("the heat-up of a hot tank is %v old", m.HygieneSince)
	}
	turn(62, 2*stuckWindow)
	d.expectFinding(FoundTankTopStuck, true)
	if m.HygieneSince < d.c.systems[0].set.HygieneInterval {
		t.Errorf("claimed %v ago by a probe that is stuck", m.HygieneSince)
	}
	turn(60, time.Hour)
	turn(62, 2*time.Hour)
	if m.HygieneSince > time.Hour {
		t.Errorf("a probe that moves again claims nothing: %v", m.HygieneSince)
	}
}

// TestClaimsOfBeforeAStuckTopStand: only the time since it last moved is in doubt.
func TestClaimsOfBeforeAStuckTopStand(t *testing.T) {
	for since, taken := range map[time.Duration]bool{80*time.Hour - time.Minute: true, 80*time.Hour + 2*time.Minute: false} {
		p := newSignPlant(t)
		m := &p.s.mem.Signs.Pocket
		m.WindowFor, m.TopStillFor = stuckWindow, 80*time.Hour
		m.TopLow, m.TopHigh, m.BottomLow, m.BottomHigh = 50, 50, 20, 40
		p.s.mem.HygieneSince = since
		p.c.lookForStuckTop(p.s, &glance{span: time.Minute})
		if got := p.s.mem.HygieneSince >= p.s.set.HygieneInterval; got != taken || !m.TopStuck {
			t.Errorf("claimed %v ago: taken back %v; stuck %v", since, got, m.TopStuck)
		}
	}
}

// TestWhatStandsStillIsNoHeatUp: a hold counts up to when the top's reading last
// moved. A tank that rests between two digits for some hours is claimed when it
// moves again; a probe that hangs at 61 °C claims nothing, and what was proven
// before it hung grows old.
func TestWhatStandsStillIsNoHeatUp(t *testing.T) {
	d := newDesk(t, eager, tempered)
	d.set(20, 20, 61, 50)
	d.settled()
	m := &d.c.st.Systems[0]
	m.HygieneSince = 8 * 24 * time.Hour
	d.run(3 * time.Hour)
	if m.HygieneSince < 8*24*time.Hour {
		t.Fatalf("claimed %v ago by a reading that has not moved", m.HygieneSince)
	}
	d.readings[atTop].Value += lastDigit
	d.run(time.Second)
	if m.HygieneSince != 0 {
		t.Fatalf("hot for three hours, as its last digit tells, and %v old", m.HygieneSince)
	}
	d.run(50 * time.Minute)
	if m.HygieneSince != 50*time.Minute {
		t.Errorf("nothing was proven for 50 min, and it is %v old", m.HygieneSince)
	}
	d.readings[atTop].Value = 59.9
	d.run(time.Second)
	if m.HygieneHold != 0 || m.HygieneStill != 0 {
		t.Errorf("a tank that is too cold is held for %v and %v", m.HygieneHold, m.HygieneStill)
	}
}

// TestAHoldCountsUpToTheLastMove: it begins at once, also where the last one ended to
// the digit, and then with each move of the reading up to there.
func TestAHoldCountsUpToTheLastMove(t *testing.T) {
	m := SystemState{HygieneTopC: 60}
	for i, c := range []struct {
		topC        float64
		hold, still time.Duration
	}{{60, 10, 0}, {60, 10, 10}, {60, 10, 20}, {60.1, 40, 0}, {60.1, 40, 10}, {60, 60, 0}} {
		m.holdHygiene(c.topC, 10*time.Second)
		if m.HygieneHold != c.hold*time.Second || m.HygieneStill != c.still*time.Second {
			t.Errorf("look %d, at %g °C: held for %v, still for %v, want %v and %v", i, c.topC, m.HygieneHold, m.HygieneStill, c.hold*time.Second, c.still*time.Second)
		}
	}
}
