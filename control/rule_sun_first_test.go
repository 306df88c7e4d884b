package control

import (
	"strings"
	"testing"
	"time"
)

// says is what the rule makes of a ballot: the words, and whether it is a vote.
func (p *planHouse) says() (v Vote, cast bool) {
	b := &p.c.ballots[p.s.heater]
	b.clear()
	p.c.sunFirstRule(p.s)
	return *b.winner(), b.n > 0
}

// TestWhatTheSunFirstRuleSays: in every state of its plan, with the figures.
func TestWhatTheSunFirstRuleSays(t *testing.T) {
	for _, c := range []struct {
		name    string
		arrange func(*planHouse)
		says    Words
		figures [3]float64
	}{
		{"it must heat", func(*planHouse) {}, SaysSunFirstHeats, [3]float64{30, 4, 2}},
		{"hot enough to stop, and planned anew", func(p *planHouse) { p.s.tankTop.Value = 60 }, SaysSunFirstEnough, [3]float64{}},
		{"hot enough to stop, and to start now", func(p *planHouse) { p.s.tankTop.Value, p.m.Heat, p.m.StartIn = 60, false, 5*time.Minute }, SaysSunFirstEnough, [3]float64{4, 2}},
		{"hot enough to stop, and to start later", func(p *planHouse) { p.s.tankTop.Value, p.m.Heat = 60, false }, SaysSunFirstWaits, [3]float64{2, 4, 7*60 + 25}},
		{"a tenth of a kelvin before that", func(p *planHouse) { p.s.tankTop.Value = 59.9 }, SaysSunFirstHeats, [3]float64{59.9, 4, 2}},
		{"no start in sight", func(p *planHouse) { p.m.Heat, p.m.Starts = false, false }, SaysSunFirstEnough, [3]float64{4, 2}},
		{"waiting for the sun", func(p *planHouse) { p.m.Heat = false }, SaysSunFirstWaits, [3]float64{2, 4, 7*60 + 25}},
		{"waiting for a little sun", func(p *planHouse) { p.m.Heat, p.m.SunKWh = false, 0.25 }, SaysSunFirstWaits, [3]float64{0.25, 4, 7*60 + 25}},
		{"waiting for no sun worth the word", func(p *planHouse) { p.m.Heat, p.m.SunKWh = false, 0.2 }, SaysSunFirstLater, [3]float64{4, 7*60 + 25}},
		{"a plan that is overdue", func(p *planHouse) { p.m.Heat, p.m.PlanFor = false, 2*time.Hour }, SaysSunFirstWaits, [3]float64{2, 4, 6 * 60}},
		{"a start after midnight", func(p *planHouse) { p.m.Heat, p.c.minute = false, 23*60+50 }, SaysSunFirstWaits, [3]float64{2, 4, 75}},
		{"a start in the afternoon", func(p *planHouse) { p.m.Heat, p.c.minute = false, 14*60 }, SaysSunFirstWaits, [3]float64{2, 4, 15*60 + 25}},
		{"nine days learned", func(p *planHouse) { p.m.Draws.Days = [dayKinds]float64{7, 2} }, SaysSunFirstLearns, [3]float64{9, 10}},
		{"not planned", func(p *planHouse) { p.m.Planned = false }, SaysSunFirstBlind, [3]float64{30}},
		{"tank top lost", func(p *planHouse) { *p.s.tankTop = Judged{} }, SaysNobodyAsks, [3]float64{}},
		{"switched off", func(p *planHouse) { p.s.learns = false }, SaysNobodyAsks, [3]float64{}},
		{"half a second of boost left", func(p *planHouse) { p.s.mem.BoostLeft = time.Second / 2 }, SaysNobodyAsks, [3]float64{}},
		{"half a second of holiday left", func(p *planHouse) { p.c.st.HolidayLeft = time.Second / 2 }, SaysNobodyAsks, [3]float64{}},
	} {
		p := newPlanHouse(t)
		p.m.Planned, p.m.Heat, p.m.Starts = true, true, true
		p.m.StartIn, p.m.PlanFor, p.m.SunKWh, p.m.WantedKWh = 90*time.Minute, 5*time.Minute, 2, 4
		c.arrange(p)
		v, cast := p.says()
		if v.Reason.Words != c.says || [3]float64(v.Reason.Values[:3]) != c.figures {
			t.Errorf("%s: %q", c.name, v.Reason)
		}
		if cast != (c.says == SaysSunFirstHeats) || cast && (v.Level != 1 || v.Rank != Economy) {
			t.Errorf("%s: cast %v, level %g, rank %v", c.name, cast, v.Level, v.Rank)
		}
	}
}

// TestHeaterStopEndsAPlan: as hot as the heater heats, a tank is left until the next
// plan, which begins nothing for less than a kelvin.
func TestHeaterStopEndsAPlan(t *testing.T) {
	for restC, heats := range map[float64]bool{59.3: false, 58.9: true} {
		p := newPlanHouse(t, sure(99.9))
		p.draws(6, 0.17)
		p.m.Draws.BurstKWh = 10 // so that more is to be kept ready than there can be
		p.water(10, 10, 10, 10, 10, 60)
		p.m.Planned, p.m.Heat, p.m.Starts, p.s.tankTop.Value = true, true, true, 60
		if v, cast := p.says(); cast || v.Reason.Words != SaysSunFirstEnough {
			t.Errorf("at heater_stop: %q", v.Reason)
		}
		p.s.tankTop.Value = 59.9
		if v, cast := p.says(); cast {
			t.Errorf("a tenth of a kelvin below it: %q", v.Reason)
		}
		p.s.tankTop.Value, p.m.PlanFor = 60, time.Minute
		if p.says(); p.m.PlanFor != time.Minute {
			t.Error("a tank that rests at heater_stop is planned for at each step")
		}
		p.water(10, 10, 10, 10, 10, restC)
		p.s.tankTop.Value = restC
		p.c.planAnew(p.s)
		if _, cast := p.says(); cast != heats {
			t.Errorf("at %g °C it heats again: %v, %s", restC, cast, p.plan())
		}
		p.m.Heat = true
		p.c.planAnew(p.s)
		if _, cast := p.says(); !cast {
			t.Errorf("at %g °C a heater that heats does not go on: %s", restC, p.plan())
		}
	}
}

// TestSunFirstOfTanksInSeries: the last tank's heater makes the water hot, and the
// others' have no plan to follow.
func TestSunFirstOfTanksInSeries(t *testing.T) {
	c, err := New(testPlan(2, inSeries, sure(99), func(p *Plan) { eachSystem(p, func(s *System) { s.TankL = 200 }) }))
	if err != nil {
		t.Fatal(err)
	}
	for i := range c.out.Readings {
		c.out.Readings[i] = Judged{Value: 30, Quality: Good}
	}
	for i, want := range []Words{SaysNobodyAsks, SaysSunFirstBlind} {
		p := &planHouse{c, &c.systems[i], &c.systems[i].mem.SunFirst}
		if v, _ := p.says(); v.Reason.Words != want {
			t.Errorf("tank %d: %q", i+1, v.Reason)
		}
	}
}

// TestWhatSunFirstTakes: a surety, a heater and a tank whose sizes are known, and
// both tank readings; and ten days, and a plan, before it decides.
func TestWhatSunFirstTakes(t *testing.T) {
	for name, c := range map[string]struct {
		arrange func(*planHouse)
		want    bool
	}{
		"all":                          {func(*planHouse) {}, true},
		"the least surety":             {func(p *planHouse) { p.s.set.SuretyPercent = 1 }, true},
		"no surety":                    {func(p *planHouse) { p.s.set.SuretyPercent = 0 }, false},
		"the smallest heater":          {func(p *planHouse) { p.s.plan.HeaterW = 1 }, true},
		"a heater of 0 W":              {func(p *planHouse) { p.s.plan.HeaterW = 0 }, false},
		"the smallest tank":            {func(p *planHouse) { p.s.plan.TankL = 1 }, true},
		"a tank of 0 l":                {func(p *planHouse) { p.s.plan.TankL = 0 }, false},
		"no heater":                    {func(p *planHouse) { p.s.heater = none }, false},
		"a heater that is wired first": {func(p *planHouse) { p.s.heater = 0 }, true},
		"no tank top":                  {func(p *planHouse) { p.s.topProbe = nil }, false},
		"no tank bottom":               {func(p *planHouse) { p.s.bottomProbe = nil }, false},
	} {
		p := newPlanHouse(t)
		c.arrange(p)
		if got := p.s.learnsOf(); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
	for _, learns := range []bool{false, true} {
		for _, planned := range []bool{false, true} {
			for _, days := range []float64{9, 10} {
				p := newPlanHouse(t)
				p.s.learns, p.m.Planned, p.m.Draws.Days = learns, planned, [dayKinds]float64{days, 0}
				if want := learns && planned && days == 10; p.s.sunLeads() != want {
					t.Errorf("it learns: %v, has planned: %v, after %g days: leads %v", learns, planned, days, !want)
				}
			}
		}
	}
}

// TestWhenSunFirstPlans: every five minutes, at once when the tank top has fallen by
// 3 K or nothing is planned, and never on values that only stand in.
func TestWhenSunFirstPlans(t *testing.T) {
	for name, c := range map[string]struct {
		arrange func(*planHouse)
		plans   bool
	}{
		"five minutes after the last":   {func(p *planHouse) { p.m.PlanFor = 4 * time.Minute }, true},
		"a second before that":          {func(p *planHouse) { p.m.PlanFor = 4*time.Minute - time.Second }, false},
		"half an hour after":            {func(p *planHouse) { p.m.PlanFor = 29 * time.Minute }, true},
		"soon after":                    {func(*planHouse) {}, false},
		"fallen by 3 K":                 {func(p *planHouse) { p.m.PlanTopC = 33 }, true},
		"fallen by less":                {func(p *planHouse) { p.m.PlanTopC = 32.9 }, false},
		"risen by 3 K":                  {func(p *planHouse) { p.m.PlanTopC = 27 }, false},
		"nothing planned":               {func(p *planHouse) { p.m.Planned = false }, true},
		"a tank top that stands in":     {func(p *planHouse) { p.m.PlanFor, p.s.tankTop.HeldOver = time.Hour, true }, false},
		"a tank bottom that stands in":  {func(p *planHouse) { p.m.PlanFor, p.s.tankBottom.HeldOver = time.Hour, true }, false},
		"nothing planned, and stood in": {func(p *planHouse) { p.m.Planned, p.s.tankTop.HeldOver = false, true }, false},
	} {
		p := newPlanHouse(t)
		p.m.Planned, p.m.PlanTopC, p.m.WantedKWh = true, 30, 77
		c.arrange(p)
		p.c.followHabits(p.s, time.Minute)
		if planned := p.m.WantedKWh != 77; planned != c.plans {
			t.Errorf("%s: planned %v", name, planned)
		}
		if c.plans && (p.m.PlanFor != 0 || p.m.PlanTopC != 30 || !p.m.Planned) {
			t.Errorf("%s: %v since the plan, at %g °C", name, p.m.PlanFor, p.m.PlanTopC)
		}
	}
}

// TestWhatSunFirstLearnsFrom: the energy book in kWh, the light of this hour, and
// what makes a day of sun no measure of it.
func TestWhatSunFirstLearnsFrom(t *testing.T) {
	look := func(arrange func(*planHouse)) *SunFirst {
		p := newPlanHouse(t)
		p.s.mem.Energy = Energy{SunJ: 7.2e6, DrawnJ: 3.6e6, MeterJ: 18e6}
		p.draws(6, 3)
		p.sun(6, 7, 0.6)
		p.sun(7, 8, 5)
		p.m.PlanFor, p.m.Planned = 29*time.Minute, true
		p.m.Tank.Known, p.m.Draws.Known, p.m.Draws.Day = true, true, aMonday
		p.m.Tank.TopC, p.m.Tank.MeterKWh, p.s.tankBottom.Value = 30, 5, 20
		arrange(p)
		p.c.followHabits(p.s, time.Minute)
		return p.m
	}
	m := look(func(*planHouse) {})
	near(t, "draws", m.Draws.Today[24], 1)
	near(t, "seen", m.Draws.Covered[24], 1.0/slotMinutes)
	near(t, "sun", m.Sun.Sun, 2)
	near(t, "light of half an hour", m.Sun.Clear, 0.3)
	near(t, "meter", m.Tank.MeterKWh, 5)
	near(t, "likely drawn in the minute", m.Tank.UnseenKWh, 3.0/60)
	if m.Sun.Spoilt {
		t.Error("a day like any other is no measure of the sun")
	}
	for name, arrange := range map[string]func(*planHouse){
		"full tank":                 func(p *planHouse) { p.s.mem.TankFull = true },
		"steam":                     func(p *planHouse) { p.s.mem.Steaming = true },
		"half a second of holiday":  func(p *planHouse) { p.c.st.HolidayLeft = time.Second / 2 },
		"service state":             func(p *planHouse) { p.c.st.Servicing = true },
		"a plant that only watches": func(p *planHouse) { p.c.plan.ObserveOnly = true },
	} {
		if m := look(arrange); !m.Sun.Spoilt {
			t.Errorf("%s: the day counts", name)
		}
	}
}

// TestSunFirstDropsWhatItCannotFollow: without either tank reading or the time it
// plans anew when all are back, and what it has learned stays.
func TestSunFirstDropsWhatItCannotFollow(t *testing.T) {
	for name, arrange := range map[string]func(*planHouse){
		"tank top":    func(p *planHouse) { *p.s.tankTop = Judged{} },
		"tank bottom": func(p *planHouse) { *p.s.tankBottom = Judged{} },
		"clock":       func(p *planHouse) { p.c.clockSet = false },
		"its setting": func(p *planHouse) { p.s.learns = false },
	} {
		p := newPlanHouse(t)
		p.m.Tank.Known, p.m.Draws.Known, p.m.Planned, p.m.Heat, p.m.PlanFor = true, true, true, true, time.Minute
		ratio, days := p.m.Sun.Ratio, p.m.Draws.Days
		arrange(p)
		p.c.followHabits(p.s, time.Minute)
		m := p.m
		if m.Tank.Known || m.Draws.Known || m.Sun.Known || m.Planned || m.Heat || m.PlanFor != 0 {
			t.Errorf("%s lost, and it keeps %+v", name, *m)
		}
		if m.Sun.Ratio != ratio || m.Draws.Days != days {
			t.Errorf("%s lost, and what was learned with it", name)
		}
	}
}

// TestSunFirstSwitchedOffForMonths: what was drawn meanwhile is not taken for the
// draws of the hour in which it is on again, nor its sun, and no old plan counts.
func TestSunFirstSwitchedOffForMonths(t *testing.T) {
	p := newPlanHouse(t)
	p.c.followHabits(p.s, time.Minute)
	off, on := *p.s.set, *p.s.set
	off.SuretyPercent = 0
	use := func(set Settings) {
		t.Helper()
		if err := p.c.NewSettings(p.c.plan.Settings, []Settings{set}); err != nil {
			t.Fatal(err)
		}
		p.s = &p.c.systems[0]
	}
	use(off)
	for range 90 {
		p.c.dayOf++
		p.s.mem.Energy.DrawnJ += 5 * jPerKWh
		p.s.mem.Energy.SunJ += 6 * jPerKWh
		p.c.followHabits(p.s, time.Minute)
	}
	use(on)
	if p.s.sunLeads() {
		t.Error("the plan of three months ago decides")
	}
	for range 11 {
		p.c.followHabits(p.s, time.Minute)
	}
	near(t, "drawn in this quarter", p.m.Draws.Today[24], 0)
	near(t, "sun of this day", p.m.Sun.Sun, 0)
	if !p.s.sunLeads() {
		t.Error("on again, and it plans nothing")
	}
}

// TestSavedPictureOfATank: its borders are those of any water in a tank.
func TestSavedPictureOfATank(t *testing.T) {
	for v, ok := range map[float64]bool{-100: true, -101: false, -80: true, 300: true, 301: false, 250: true} {
		for layer := range pictureLayers {
			var m SunFirst
			m.Tank.Layers[layer] = v
			err := m.check("roof")
			if (err == nil) != ok || err != nil && !strings.Contains(err.Error(), "roof") {
				t.Errorf("%g °C in layer %d: %v", v, layer, err)
			}
		}
	}
}

// TestOutlookOfAPlan: what is told of it, its spans from now on.
func TestOutlookOfAPlan(t *testing.T) {
	p := newPlanHouse(t)
	p.m.Planned, p.m.Starts, p.m.SunKWh, p.m.WantedKWh = true, true, 2, 4
	p.m.StartIn, p.m.PlanFor, p.m.Draws.Days = time.Hour, 10*time.Minute, [dayKinds]float64{6, 3.5}
	want := Outlook{
		LearnedDays: 9, SunKWh: 2, SunLow: 0.5, SunSpan: 12 * time.Hour, WantedKWh: 4, WantSpan: 18 * time.Hour,
		Starts: true, StartIn: 50 * time.Minute,
	}
	if o, ok := p.c.OutlookOf(0); !ok || o != want {
		t.Errorf("%+v, %v", o, ok)
	}
	p.m.PlanFor, p.m.Draws.Days[freeDay] = 2*time.Hour, 4
	want.StartIn, want.LearnedDays, want.Decides = 0, 10, true
	if o, ok := p.c.OutlookOf(0); !ok || o != want {
		t.Errorf("when it must start: %+v, %v", o, ok)
	}
	p.m.ToldShare, p.m.Told.Low[restOfToday] = 0.4, 0.7
	want.ToldShare, want.SunLow = 0.4, 0.7
	if o, ok := p.c.OutlookOf(0); !ok || o != want {
		t.Errorf("with a forecast of others for a part: %+v, %v", o, ok)
	}
	p.m.Planned = false
	if o, ok := p.c.OutlookOf(0); ok {
		t.Errorf("nothing planned: %+v", o)
	}
	p.m.Planned, p.s.learns = true, false
	if o, ok := p.c.OutlookOf(0); ok {
		t.Errorf("switched off: %+v", o)
	}
}
