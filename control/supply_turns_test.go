package control

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// heated steps once in ten seconds and gives how long each system's heater was on.
func (d *desk) heated(length time.Duration) []time.Duration {
	on := make([]time.Duration, len(d.c.plan.Systems))
	const step = 10 * time.Second
	for i := range int(length / step) {
		d.waver(i)
		d.out = d.c.Step(step, d.wall, d.readings)
		for i := range on {
			if d.out.Decisions[d.c.systems[i].heater].On() {
				on[i] += step
			}
		}
	}
	return on
}

// TestTheLeastEffortComesFirst: seconds of heating count, not kelvins; of a small
// tank, or by a strong heater, more of them are had for less.
func TestTheLeastEffortComesFirst(t *testing.T) {
	for name, tc := range map[string]struct {
		change       change
		roof, annexe float64
		first        int
	}{
		"fuller":                   {func(*Plan) {}, 40, 41, outAnnexeHeater},
		"of unknown volume":        {func(p *Plan) { p.Systems[0].TankL = 150 }, 40, 41, outHeater},
		"smaller":                  {func(p *Plan) { p.Systems[0].TankL, p.Systems[1].TankL = 100, 300 }, 40, 44, outHeater},
		"smaller, and much colder": {func(p *Plan) { p.Systems[0].TankL, p.Systems[1].TankL = 100, 150 }, 38, 44, outAnnexeHeater},
		"stronger":                 {func(p *Plan) { p.Systems[0].HeaterW = 3000 }, 40, 41, outHeater},
	} {
		d := shared(t, 3000, tc.change)
		d.tops(tc.roof, tc.annexe)
		d.settled()
		if !d.out.Decisions[tc.first].On() {
			t.Errorf("%s: output %d does not come first", name, tc.first)
		}
	}
}

// TestWhoWaitsForLongHasATurn: a tank that draws keep at 44 °C would be done soonest
// for ever; the other one waits for two hours, has one, and so on.
func TestWhoWaitsForLongHasATurn(t *testing.T) {
	d := shared(t, 3000)
	d.tops(44, 20)
	d.wall = Wall{Time: time.Date(2026, 7, 1, 17, 0, 0, 0, time.UTC), Trusted: true}
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
	if on := d.heated(2*time.Hour - 5*time.Minute); on[1] != 0 {
		t.Errorf("the colder tank waits, and was heated for %v", on[1])
	}
	on := d.heated(time.Hour + 10*time.Minute)
	if on[1] < 58*time.Minute || on[1] > time.Hour {
		t.Errorf("its turn lasts %v, want an hour", on[1])
	}
	if on = d.heated(110 * time.Minute); on[1] != 0 {
		t.Errorf("its next turn comes too soon, after %v", on[0])
	}
	d.tops(44, 53) // it wants nothing any more
	d.heated(time.Minute)
	if m := &d.c.st.Systems[1]; m.SupplyWait != 0 || m.SupplyTurn {
		t.Errorf("it wants nothing, and has waited for %v", m.SupplyWait)
	}
}

// TestAHeatUpWithoutEndLeavesNobodyCold: a thermostat that opens at 56 °C keeps a
// hygiene heat-up going for ever; the other tank is heated all the same.
func TestAHeatUpWithoutEndLeavesNobodyCold(t *testing.T) {
	d := shared(t, 3000, tempered)
	d.tops(56, 25)
	d.settled()
	d.c.st.Systems[0].HygieneSince = 8 * 24 * time.Hour
	d.wall.Time = d.wall.Time.Add(-time.Hour)
	on := d.heated(12 * time.Hour)
	if on[0] < 7*time.Hour || on[1] < 3*time.Hour {
		t.Errorf("in 12 h the heat-up had %v, comfort %v", on[0], on[1])
	}
}

// TestATurnDoesNotBreakAHold: who waits for a tank that is being held hot waits
// longer, by the hold, so that it need not begin anew; and not for ever.
func TestATurnDoesNotBreakAHold(t *testing.T) {
	d := shared(t, 3000, tempered, func(p *Plan) { p.Systems[0].Settings.HygieneHold = 3 * time.Hour })
	d.tops(58, 25)
	d.settled()
	d.c.st.Systems[0].HygieneSince = 8 * 24 * time.Hour
	d.wall.Time = d.wall.Time.Add(-time.Hour)
	d.heated(90 * time.Minute)
	d.tops(60.5, 25)
	if on := d.heated(179 * time.Minute); on[1] != 0 {
		t.Errorf("the hold was broken after %v by a turn of %v", on[0], on[1])
	}
	if on := d.heated(10 * time.Minute); on[1] < 5*time.Minute || d.c.HygieneSince(0) > 10*time.Minute {
		t.Errorf("the hold has ended, the heat-up is %v old, and the other tank was heated for %v", d.c.HygieneSince(0), on[1])
	}
}

// TestCheapPowerHasNoTurnBeforeComfort: a long wait makes cheap heat no need.
func TestCheapPowerHasNoTurnBeforeComfort(t *testing.T) {
	d := shared(t, 3000, func(p *Plan) {
		p.Systems[1].Settings.OffPeakWindows = Windows{{0, dayMinutes}}
		p.Systems[0].Settings.HeaterWindows = Windows{{0, dayMinutes}}
	})
	d.tops(44, 50)
	d.settled()
	if on := d.heated(5 * time.Hour); on[1] != 0 {
		t.Errorf("cheap heat had a turn of %v before comfort", on[1])
	}
}

// TestNobodyWaitsForEver: three tanks that are never warm enough, under a supply
// for one of them, whatever they want it for: each is heated some of every day.
func TestNobodyWaitsForEver(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c, err := New(testPlan(3, tempered, func(p *Plan) {
			p.SupplyW = 3000
			for i := range p.Systems {
				s := &p.Systems[i]
				s.TankL = rapid.Float64Range(80, 800).Draw(rt, "litres")
				s.HeaterW = rapid.Float64Range(1600, 3000).Draw(rt, "watts")
				s.Settings.HeaterWindows = Windows{{0, dayMinutes}}
				s.Settings.HygieneWindows = Windows{{0, dayMinutes}}
				s.Settings.HygieneHold = rapid.SampledFrom([]time.Duration{time.Hour, 4 * time.Hour}).Draw(rt, "hold")
			}
		}))
		if err != nil {
			rt.Fatal(err)
		}
		d := &desk{t: t, c: c, wall: evening, readings: make([]Reading, len(c.plan.Probes))}
		for i, pr := range c.plan.Probes {
			d.readings[i].Value = 20
			if pr.Place == TankTop {
				d.readings[i].Value = rapid.Float64Range(15, 44).Draw(rt, "top")
			}
		}
		d.heated(10 * time.Minute)
		for i := range c.st.Systems {
			if rapid.Bool().Draw(rt, "hygiene") {
				c.st.Systems[i].HygieneSince = 8 * 24 * time.Hour
			}
			c.systems[i].heatBudget = 1000 * time.Hour // no heater is given up
		}
		for i, on := range d.heated(24 * time.Hour) {
			if on < 2*time.Hour {
				rt.Errorf("system %d was heated for %v in a day", i+1, on)
			}
		}
	})
}

// TestOrderOfClaims: each reason to come first, alone and against the next ones.
func TestOrderOfClaims(t *testing.T) {
	claim := func(rank Rank, turn, has bool, wait time.Duration, effortS float64) *heaterClaim {
		return &heaterClaim{rank: rank, effortS: effortS, system: &system{mem: &SystemState{SupplyTurn: turn, HasSupply: has, SupplyWait: wait}}}
	}
	for name, tc := range map[string]struct{ first, second *heaterClaim }{
		"by rank":                       {claim(Hygiene, false, false, 0, 9), claim(Comfort, false, true, 0, 1)},
		"by effort":                     {claim(Comfort, false, false, 0, 1), claim(Comfort, false, false, 0, 2)},
		"a long wait":                   {claim(Comfort, true, false, 5, 2), claim(Comfort, false, true, 9, 1)},
		"a long wait beside a heat-up":  {claim(Comfort, true, false, 5, 2), claim(Hygiene, false, true, 9, 1)},
		"a person, whoever waits":       {claim(Person, false, false, 0, 9), claim(Comfort, true, true, 9, 1)},
		"comfort, whoever waits for it": {claim(Comfort, false, false, 0, 9), claim(Economy, true, true, 9, 1)},
		"a turn that has begun":         {claim(Comfort, true, true, 5, 9), claim(Comfort, true, false, 9, 1)},
		"the longer wait":               {claim(Comfort, true, false, 9, 9), claim(Comfort, true, false, 5, 1)},
	} {
		if !tc.first.before(tc.second) || tc.second.before(tc.first) {
			t.Errorf("%s: the order is turned round", name)
		}
	}
	a, b := claim(Comfort, true, false, 5, 1), claim(Comfort, true, false, 5, 1)
	if a.before(b) || b.before(a) {
		t.Error("of two equal claims one comes before the other")
	}
}

// TestATankThatFreezesHasFarToGo: it is heated to its own end, not to comfort.
func TestATankThatFreezesHasFarToGo(t *testing.T) {
	d := shared(t, 3000)
	d.tops(3, 5)
	d.settled()
	s := &d.c.systems[0]
	if got, want := s.effortS(Protect, false), (tankFrostEndC-3.0)*usualTankL*waterJLK/2000; got != want {
		t.Errorf("%g s to the end of tank frost, want %g s", got, want)
	}
}

// TestAHoldThatIsDueIsWaitedFor: from the very end of its interval on, and two days sooner
// where the sun is waited for.
func TestAHoldThatIsDueIsWaitedFor(t *testing.T) {
	d := shared(t, 3000)
	interval, hold := d.c.systems[0].set.HygieneInterval, d.c.systems[0].set.HygieneHold
	other := &d.c.st.Systems[1]
	for _, tc := range []struct{ held, since, want time.Duration }{
		{0, interval, supplyPatience}, {1, interval - 1, supplyPatience}, {1, interval, supplyPatience + hold},
	} {
		other.HygieneHold, other.HygieneSince = tc.held, tc.since
		if got := d.c.claims[0].patience(d.c.claims); got != tc.want {
			t.Errorf("%+v: patience of %v", tc, got)
		}
	}
	sunny := &d.c.systems[1]
	sunny.learns, other.SunFirst.Planned, other.SunFirst.Draws.Days[workingDay] = true, true, habitDays
	for since, want := range map[time.Duration]time.Duration{interval - 48*time.Hour - 1: supplyPatience, interval - 48*time.Hour: supplyPatience + hold} {
		if other.HygieneSince = since; d.c.claims[0].patience(d.c.claims) != want {
			t.Errorf("where the sun is waited for, %v after the last one: patience of %v", since, d.c.claims[0].patience(d.c.claims))
		}
	}
}
