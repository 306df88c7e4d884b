package control

import (
	"fmt"
	"math"
	"testing"
	"time"

	"sunstoker/physics"
)

// believed is a forecast with a record: 2 kWh of each kWh/m² that it foretold, and
// half the miss of the plant's own.
func believed() ToldSun {
	return ToldSun{
		Days: 100, Sun: 6, Light: 3, Judged: [2]float64{100, 100},
		OwnMiss: [2]float64{4, 9}, ToldMiss: [2]float64{1, 3}, Low: [2]float64{0.7, 0.6},
	}
}

// TestTrustGoesByTheRecord: by the inverse of the squared errors, and not at all
// before five days.
func TestTrustGoesByTheRecord(t *testing.T) {
	told := believed()
	near(t, "rest of today", told.trust(restOfToday), 0.8)
	near(t, "all tomorrow", told.trust(allTomorrow), 0.75)
	for name, spoil := range map[string]func(*ToldSun){
		"four days judged":      func(t *ToldSun) { t.Judged = [2]float64{4, 4} },
		"no day foretold":       func(t *ToldSun) { t.Days = 0 },
		"not a whole day":       func(t *ToldSun) { t.Days = 0.9 },
		"hardly light foretold": func(t *ToldSun) { t.Light = 0.049 },
		"neither has missed":    func(t *ToldSun) { t.OwnMiss, t.ToldMiss = [2]float64{}, [2]float64{} },
		"its own never misses":  func(t *ToldSun) { t.OwnMiss = [2]float64{} },
	} {
		told := believed()
		spoil(&told)
		near(t, name, told.trust(restOfToday), 0)
	}
	told = believed()
	told.Judged, told.Days, told.Light = [2]float64{5, 5}, 1, 0.05
	near(t, "after just enough", told.trust(restOfToday), 0.8)
	told.OwnMiss, told.ToldMiss = [2]float64{0.4, 0}, [2]float64{0.1, 0}
	near(t, "small misses", told.trust(restOfToday), 0.8)
	told.ToldMiss = [2]float64{}
	near(t, "one that never misses", told.trust(restOfToday), 1)
	told.Sun, told.Light = 100, 1
	if ratio, _ := told.ratio(); ratio != mostEdge {
		t.Errorf("a ratio of %g", ratio)
	}
}

// day lets a day pass, on which own kWh were foreseen, light was foretold and kWh
// came; a third of it had come when the rest was foreseen.
func (t *ToldSun) day(own, light, came float64, covered, spoilt bool) {
	begin := SunHabits{Known: true, Day: aMonday, Foreseen: [2]float64{allTomorrow: own}}
	t.follow(&SunHabits{Known: true, Day: aMonday - 1}, &begin, light, covered)
	third := begin
	third.Foreseen[restOfToday], third.Before = own*2/3, came/3
	t.follow(&begin, &third, light*2/3, covered)
	end := third
	end.Clear, end.Sun, end.Spoilt = 3, came, spoilt
	t.follow(&third, &end, 0, covered) // nothing is foreseen twice
	t.follow(&end, &SunHabits{Known: true, Day: aMonday + 1}, light, covered)
}

// TestForecastsAreJudgedByWhatCame, worked by hand: the forecast foretells
// 3 kWh/m², which have been 6 kWh so far; 7 kWh come, and 4 were foreseen by the
// plant's own days.
func TestForecastsAreJudgedByWhatCame(t *testing.T) {
	told := believed()
	told.day(4, 3, 7, true, false)
	near(t, "own miss of the day", told.OwnMiss[allTomorrow], 9+(9-9.0)/15)
	near(t, "foretold miss of the day", told.ToldMiss[allTomorrow], 3+(1-3.0)/15)
	near(t, "own miss of its rest", told.OwnMiss[restOfToday], 4+(4-4.0)/15)
	near(t, "foretold miss of its rest", told.ToldMiss[restOfToday], 1+(4.0/9-1)/15)
	near(t, "heat", told.Sun, 6+1.0/15)
	near(t, "light", told.Light, 3)
	near(t, "low edge of the day", told.Low[allTomorrow], 0.604)
	near(t, "low edge of its rest", told.Low[restOfToday], 0.704)
	if told.Days != 101 || told.Judged != [2]float64{101, 101} {
		t.Errorf("%g days, judged %v", told.Days, told.Judged)
	}
	near(t, "foretold for the day after", told.Now[allTomorrow], 3)

	told = believed()
	told.day(4, 3, 1, true, false) // mixed 4 + 0.75*2 kWh, of which 3.3 were sure
	near(t, "low edge after a bad day", told.Low[allTomorrow], 0.564)

	for name, c := range map[string]struct {
		own             float64
		covered, spoilt bool
	}{"a full tank": {4, true, true}, "not foretold": {4, false, false}} {
		told := believed()
		told.day(c.own, 3, 7, c.covered, c.spoilt)
		want := believed()
		want.Now[allTomorrow], want.Covered[allTomorrow] = 3, c.covered
		if told != want {
			t.Errorf("%s: learned %+v", name, told)
		}
	}
	told = believed()
	told.day(4, 3, 90000, true, false)
	near(t, "heat from nowhere", told.Sun, 6+(20000-6.0)/15)
	near(t, "own miss by it", told.OwnMiss[allTomorrow], 9+(90000-9.0)/15)
	told = believed()
	told.day(0.19, 3, 7, true, false)
	near(t, "a day without own forecast is not judged", told.Judged[allTomorrow], 100)
	near(t, "and still tells of the foretold light", told.Days, 101)
}

// TestTheFirstDaysOfAForecast: the first tells what its light is worth, the second
// is judged by that.
func TestTheFirstDaysOfAForecast(t *testing.T) {
	var told ToldSun
	told.day(4, 2, 6, true, false)
	if ratio, known := told.ratio(); !known || ratio != 3 || told.Judged != [2]float64{} || told.Low != [2]float64{} {
		t.Errorf("after a day: ratio %g, %v; %+v", ratio, known, told)
	}
	told.day(4, 1, 4, true, false)
	near(t, "foretold miss of the second", told.ToldMiss[allTomorrow], 1)
	near(t, "own miss of the second", told.OwnMiss[allTomorrow], 0)
	near(t, "low edge, from the plant's own", told.Low[allTomorrow], usualLow+edgeStep*edgeShare)
	near(t, "mean heat", told.Sun, 5)
	near(t, "mean light", told.Light, 1.5)
}

// TestAForecastIsNotJudgedWhenTheClockJumps, nor a day that was seen in part.
func TestAForecastIsNotJudgedWhenTheClockJumps(t *testing.T) {
	for name, was := range map[string]SunHabits{
		"unknown":     {Day: aMonday, Clear: 3, Sun: 7},
		"two days on": {Known: true, Day: aMonday - 1, Clear: 3, Sun: 7},
		"back":        {Known: true, Day: aMonday + 2, Clear: 3, Sun: 7},
		"dark":        {Known: true, Day: aMonday, Clear: 0.29, Sun: 7},
	} {
		told := believed()
		told.Now, told.Covered = [2]float64{2, 3}, [2]bool{true, true}
		was.Foreseen = [2]float64{3, 4}
		told.follow(&was, &SunHabits{Known: true, Day: aMonday + 1}, 0, false)
		if told != believed() {
			t.Errorf("%s: %+v", name, told)
		}
	}
}

// TestWhatIsJustEnoughIsJudged: a day with as much clear light, and as much foreseen
// by the plant's own forecast, as a day must have.
func TestWhatIsJustEnoughIsJudged(t *testing.T) {
	for _, c := range []struct {
		clear, own float64
		days       float64
		judged     float64
	}{{leastClear, 4, 101, 101}, {0.999 * leastClear, 4, 100, 100}, {3, leastSunKWh, 101, 101}, {3, 0.999 * leastSunKWh, 101, 100}} {
		told := believed()
		told.Now, told.Covered = [2]float64{2, 3}, [2]bool{true, true}
		was := SunHabits{Known: true, Day: aMonday, Clear: c.clear, Sun: 7, Foreseen: [2]float64{c.own, c.own}}
		told.follow(&was, &SunHabits{Known: true, Day: aMonday + 1}, 0, false)
		if told.Days != c.days || told.Judged != [2]float64{c.judged, c.judged} {
			t.Errorf("clear light %g, own %g kWh: %g days, judged %v", c.clear, c.own, told.Days, told.Judged)
		}
	}
}

// TestTheRestOfADayIsForetoldOnce: when the plant's own forecast first foresees it,
// however little.
func TestTheRestOfADayIsForetoldOnce(t *testing.T) {
	for _, c := range []struct {
		was, is float64
		want    float64
	}{{0, 0, 0}, {0, 0.5, 2}, {0, 4, 2}, {0.5, 4, 0}, {0.5, 0.5, 0}} {
		var told ToldSun
		was := SunHabits{Known: true, Day: aMonday, Foreseen: [2]float64{restOfToday: c.was}}
		is := SunHabits{Known: true, Day: aMonday, Foreseen: [2]float64{restOfToday: c.is}}
		told.follow(&was, &is, 2, true)
		if told.Now[restOfToday] != c.want || told.Covered[restOfToday] != (c.want > 0) {
			t.Errorf("foreseen %g, then %g: foretold %v, %v", c.was, c.is, told.Now, told.Covered)
		}
	}
}

// TestEachLeadHasItsTrust: the rest of today is mixed by what was missed of rests of
// days, tomorrow by what was missed of whole ones.
func TestEachLeadHasItsTrust(t *testing.T) {
	h := forecastDesk(t, lightAt(time.Date(2026, 6, 21, 12, 0, 0, 0, time.UTC), 500))
	s := &h.c.systems[0]
	s.mem.SunFirst.Told = believed()
	v := h.c.sightOf(s)
	near(t, "rest of today", v.trust[restOfToday], 0.8)
	near(t, "all tomorrow", v.trust[allTomorrow], 0.75)
	if v.told != 2 || v.mixLow != [2]float64{0.7, 0.6} {
		t.Errorf("%g kWh of a kWh/m², of which %v is sure", v.told, v.mixLow)
	}
}

// lightAt is a forecast made at a time that tells all its hours alike.
func lightAt(made time.Time, wm2 float64) *LightForecast {
	l := &LightForecast{Made: made, From: made.Truncate(time.Hour)}
	for i := range l.WM2 {
		l.WM2[i] = wm2
	}
	return l
}

// TestForetoldLightOnThePlane: on level collectors at the equator at noon of an
// equinox, light is light; what warms the collector is off it, the night is dark
// whatever is said, no figure passes 1.3 of a clear sky, and nonsense is nothing.
func TestForetoldLightOnThePlane(t *testing.T) {
	at := func(hour int) physics.SunPosition {
		return physics.SunAt(time.Date(2026, 3, 20, hour, 7, 0, 0, time.UTC), 0, 0)
	}
	clear := physics.ClearSkyHaurwitzWM2(90) // about 1037 W/m²
	for _, c := range []struct {
		name      string
		hour      int
		wm2, want float64
		plane     bool
	}{
		{"noon", 12, 700, 0.5, true}, {"noon, of level ground", 12, 700, 0.5, false},
		{"just what warms", 12, 200, 0, true}, {"less than warms", 12, 100, 0, true}, {"none", 12, 0, 0, true},
		{"midnight", 0, 700, 0, true}, {"nothing said", 12, -1, untold, true}, {"no figure", 12, math.NaN(), untold, true},
		{"too much", 12, 5000, (1.3*clear - 200) / 1000, true}, {"midnight, nothing said", 0, -1, 0, false},
	} {
		l := LightForecast{OnCollectors: c.plane}
		l.WM2[3] = c.wm2
		if got := l.beyondWarming(3, at(c.hour), physics.Plane{}); math.Abs(got-c.want) > 0.002 {
			t.Errorf("%s: %.4f kW/m², want %.4f", c.name, got, c.want)
		}
	}
	// A winter's sun of 21.5 degrees stands upright before a collector of 68.5: what
	// 300 W/m² on the level become there is more than twice as much.
	sun := physics.SunAt(time.Date(2026, 12, 21, 12, 0, 0, 0, time.UTC), 45, 0)
	south := physics.Plane{TiltDeg: 68.5, AzimuthDeg: 180}
	l := LightForecast{}
	l.WM2[0] = 300
	if got := l.beyondWarming(0, sun, south); got < 0.35 || got > 0.65 {
		t.Errorf("%.3f kW/m² on the tilted collector", got)
	}
	l.OnCollectors = true
	near(t, "as said for it", l.beyondWarming(0, sun, south), 0.1)
}

// forecastDesk is a house by day, in its first minute with a forecast.
func forecastDesk(t *testing.T, l *LightForecast) *waterHouse {
	t.Helper()
	h := newWaterHouse(t, sure(99), func(p *Plan) { p.Systems[0].Plane = physics.Plane{} })
	h.wall.Time = time.Date(2026, 6, 21, 11, 59, 0, 0, time.UTC)
	h.minute()
	h.c.Foretell(l)
	h.minute()
	return h
}

// TestAForecastHasItsTime: not before it is spread, not when it is old, not when
// it was made long after now, not when the clock is not set, not beyond its hours.
func TestAForecastHasItsTime(t *testing.T) {
	noon := time.Date(2026, 6, 21, 12, 0, 0, 0, time.UTC)
	lastLook := noon.Add(50 * time.Second)
	for _, c := range []struct {
		made time.Time
		want bool
	}{
		{noon, true}, {lastLook.Add(-48 * time.Hour), true}, {lastLook.Add(-48*time.Hour - 1), false},
		{lastLook.Add(time.Hour), true}, {lastLook.Add(time.Hour + 1), false}, {noon.Add(-47 * time.Hour), true}, {noon.Add(-49 * time.Hour), false},
		{noon.Add(59 * time.Minute), true}, {noon.Add(62 * time.Minute), false},
	} {
		h := forecastDesk(t, lightAt(c.made, 500))
		if got := h.c.lightCounts(); got != c.want {
			t.Errorf("made %v from noon: counts %v", c.made.Sub(noon), got)
		}
	}
	h := forecastDesk(t, lightAt(noon, 500))
	h.c.Foretell(lightAt(noon, 600))
	if h.c.lightCounts() {
		t.Error("counts before it was spread")
	}
	h.minute()
	if kW, known := h.c.toldAt(&h.c.systems[0], 0); !known || math.Abs(kW-0.4) > 0.01 {
		t.Errorf("%.3f kW/m² now, %v", kW, known)
	}
	h.c.Foretell(&LightForecast{})
	h.minute()
	if h.c.lightCounts() {
		t.Error("counts after it was taken back")
	}
	h = forecastDesk(t, lightAt(noon, 500))
	h.wall.Trusted = false
	h.minute()
	if h.c.lightCounts() {
		t.Error("counts by a clock that is not set")
	}
	h = forecastDesk(t, lightAt(noon, 500))
	s := &h.c.systems[0]
	for ahead, want := range map[time.Duration]bool{-time.Hour: false, 0: true, (LightHours - 1) * time.Hour: true, LightHours * time.Hour: false} {
		if _, known := h.c.toldAt(s, ahead); known != want {
			t.Errorf("%v ahead: known %v", ahead, known)
		}
	}
	// From noon on, 0.3 kW/m² in each hour with more clear light than warms.
	if kWh, known := h.c.toldToday(s); !known || kWh < 1.4 || kWh > 2.4 {
		t.Errorf("%.3f kWh/m² to midnight, %v", kWh, known)
	}
	// Each hour has the light of its middle, the last one too: three o'clock of a
	// week later. Where the figures are higher than a clear sky sends, they show it.
	h = forecastDesk(t, lightAt(noon, 3000))
	for _, hour := range []int{0, 3, LightHours - 21} {
		sun := physics.SunAt(noon.Add(time.Duration(hour)*time.Hour+30*time.Minute), 45, 0)
		want := (mostOfClear*clearOnPlaneWM2(sun, physics.Plane{}) - warmingWM2) / 1000
		if kW, _ := h.c.toldAt(&h.c.systems[0], time.Duration(hour)*time.Hour); math.Abs(kW-want) > 1e-9 {
			t.Errorf("hour %d: %g kW/m², want %g", hour, kW, want)
		}
	}
	gap := lightAt(noon, 500)
	gap.WM2[3] = untold
	h = forecastDesk(t, gap)
	if _, known := h.c.toldToday(&h.c.systems[0]); known {
		t.Error("an afternoon with a gap is taken for known")
	}
}

// foretold lets a house with a changing sun live on a forecast that is made anew at
// each midnight, by a function of the day; nil for none.
func foretold(t *testing.T, of func(day int) (wm2 float64), days int) (h *waterHouse, kWh, cold float64) {
	t.Helper()
	h = newWaterHouse(t, sure(99))
	h.sunKW = changingSun
	begin := 0.0
	var asked, missed float64
	for day := range days {
		if of != nil {
			l := lightAt(h.wall.Time, 0)
			l.OnCollectors = true
			for i := range l.WM2 {
				l.WM2[i] = of(day + i/24)
			}
			h.c.Foretell(l)
		}
		if day == 20 {
			begin, asked, missed = h.meterJ, h.askedKWh, h.coldKWh
		}
		h.days(1)
	}
	return h, (h.meterJ - begin) / jPerKWh, (h.coldKWh - missed) / (h.askedKWh - asked)
}

// changingSun is weather that yesterday says nothing of.
func changingSun(day int) float64 {
	return 1.2 * math.Mod(float64(day)*math.Phi, 1)
}

// TestAForecastIsBelievedAsFarAsItIsRight: one that knows the sun is believed, and
// what is foreseen by it comes true; one that tells the opposite is not, and costs
// nothing.
func TestAForecastIsBelievedAsFarAsItIsRight(t *testing.T) {
	const days = 50
	_, without, coldWithout := foretold(t, nil, days)
	knows, with, coldWith := foretold(t, func(day int) float64 { return 200 + 400*changingSun(day) }, days)
	lies, despite, coldDespite := foretold(t, func(day int) float64 { return 200 + 400*(1.2-changingSun(day)) }, days)
	t.Logf("heater without forecast %.1f kWh (%.2f %% cold), with %.1f (%.2f %%), with a false one %.1f (%.2f %%)",
		without, 100*coldWithout, with, 100*coldWith, despite, 100*coldDespite)
	good, bad := &knows.c.st.Systems[0].SunFirst.Told, &lies.c.st.Systems[0].SunFirst.Told
	t.Logf("trust in one that knows %.2f, in one that does not %.2f", good.trust(allTomorrow), bad.trust(allTomorrow))
	if trust := good.trust(allTomorrow); trust < 0.9 {
		t.Errorf("one that knows all is believed by %.2f", trust)
	}
	if trust := bad.trust(allTomorrow); trust > 0.35 {
		t.Errorf("one that tells the opposite is believed by %.2f", trust)
	}
	if good.Low[allTomorrow] < bad.Low[allTomorrow]+0.1 {
		t.Errorf("the low edge of one that knows stands at %.2f, of one that does not at %.2f", good.Low[allTomorrow], bad.Low[allTomorrow])
	}
	if with > 0.98*without || coldWith > 0.01 { // which is what 99 % allows
		t.Errorf("with a good forecast %.1f kWh and %.2f %% cold", with, 100*coldWith)
	}
	if despite > 1.03*without || coldDespite > coldWithout+0.002 {
		t.Errorf("with a false forecast %.1f kWh and %.2f %% cold", despite, 100*coldDespite)
	}
}

// TestItSaysByWhichForecast, as the outlook does.
func TestItSaysByWhichForecast(t *testing.T) {
	p := newPlanHouse(t)
	for _, c := range []struct {
		share        float64
		heat, starts bool
		says         Words
	}{
		{0.51, false, true, SaysToldSunWaits}, {0.5, false, true, SaysSunFirstWaits},
		{0.51, true, true, SaysToldSunHeats}, {0.51, false, false, SaysToldSunEnough},
	} {
		p.m.Planned, p.m.ToldShare, p.m.Heat, p.m.Starts, p.m.SunKWh = true, c.share, c.heat, c.starts, 2
		if v, _ := p.says(); v.Reason.Words != c.says {
			t.Errorf("by %g of the foretold: %q", c.share, v.Reason)
		}
	}
}

// TestForesightOfBoth: 0.4 kW/m² are foretold for an hour in which a clear sky would
// send 0.6; the plant makes 2 kWh of either kWh/m².
func TestForesightOfBoth(t *testing.T) {
	v := sunSight{own: [2]float64{2, 1}, ownLow: [2]float64{0.5, 0.4}, trust: [2]float64{0.75, 0}, mixLow: [2]float64{0.8, 0.9}, told: 2}
	sun, sure, trust := v.at(restOfToday, 0.6, 0.4, true)
	near(t, "of both", sun, 0.9)
	near(t, "surely", sure, 0.72)
	near(t, "weight", trust, 0.75)
	sun, sure, trust = v.at(restOfToday, 0.6, 0.4, false)
	near(t, "where nothing is told", sun, 1.2)
	near(t, "surely there", sure, 0.6)
	near(t, "weight there", trust, 0)
	sun, sure, _ = v.at(allTomorrow, 0.6, 0.4, true)
	near(t, "where it is not believed", sun, 0.6)
	near(t, "surely there", sure, 0.24)
}

// TestTheRestOfTodayEndsAtMidnight: quarters of an hour from now on, each by its middle, with
// as many kW/m² as the hour's number.
func TestTheRestOfTodayEndsAtMidnight(t *testing.T) {
	p := newPlanHouse(t)
	midnight := time.Date(2026, 6, 21, 0, 0, 0, 0, time.UTC)
	p.c.light, p.c.clockSet = LightForecast{Made: midnight, From: midnight}, true
	for hour := range p.s.toldKW {
		p.s.toldKW[hour] = float64(hour)
	}
	for _, c := range []struct {
		minute int
		want   float64
	}{{23 * 60, 23}, {23*60 + 40, 5.75 + 6}, {23*60 + 50, 5.75}, {22 * 60, 45}, {22*60 + 50, 5.5 + 4*5.75}} {
		p.c.minute, p.c.wall = c.minute, midnight.Add(time.Duration(c.minute)*time.Minute)
		kWh, known := p.c.toldToday(p.s)
		near(t, "from "+clock(c.minute)+" on", kWh, c.want)
		if !known {
			t.Errorf("at %s it is not known", clock(c.minute))
		}
	}
}

// TestForetoldLightHasItsHours: 0.4 kW/m² are foretold from two to three in the
// afternoon, and what was foretold has always come, 2 kWh of each kWh/m².
func TestForetoldLightHasItsHours(t *testing.T) {
	p := newPlanHouse(t)
	midnight := time.Date(2026, 6, 22, 0, 0, 0, 0, time.UTC)
	p.c.light = LightForecast{Made: midnight, From: midnight}
	p.m.Told = believed()
	p.m.Told.ToldMiss = [2]float64{}
	p.s.toldKW = [LightHours]float64{14: 0.4}
	p.sun(0, dayHours, 0.6)
	for _, minute := range []int{6*60 + 20, 6*60 + 40} {
		p.c.minute, p.c.wall = minute, midnight.Add(time.Duration(minute)*time.Minute)
		o := p.c.foresee(p.s)
		for i, kWh := range o.sunKWh {
			want := 0.0
			if middle := float64(minute) + 15*float64(i) + 7.5; middle > 14*60 && middle < 15*60 {
				want = 0.2
			}
			near(t, fmt.Sprintf("quarter %d from %s on", i, clock(minute)), kWh, want)
		}
	}
}

// TestShareThatOthersForetold: of the next twelve hours, of which all send as much.
func TestShareThatOthersForetold(t *testing.T) {
	p := newPlanHouse(t)
	midnight := time.Date(2026, 6, 22, 0, 0, 0, 0, time.UTC)
	p.c.light = LightForecast{Made: midnight, From: midnight}
	p.c.wall = midnight.Add(6 * time.Hour) // as the house's clock says
	p.m.Told = believed()
	p.m.Told.ToldMiss = [2]float64{}
	p.sun(0, dayHours, 0.1)
	for from, want := range map[int]float64{6: 1, 12: 0.5, 17: 1.0 / 12, 18: 0, 24: 0} {
		for hour := range p.s.toldKW {
			p.s.toldKW[hour] = untold
			if hour >= from {
				p.s.toldKW[hour] = 0.4
			}
		}
		o := p.c.foresee(p.s)
		near(t, fmt.Sprintf("foretold from hour %d on", from), o.told, want)
	}
	p.sun(0, dayHours, 0)
	if o := p.c.foresee(p.s); o.told != 0 {
		t.Errorf("of no light at all: %g", o.told)
	}
}
