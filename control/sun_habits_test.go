package control

import (
	"math"
	"testing"
	"time"

	"sunstoker/physics"
)

// knownSun is a plant that has made 2 kWh of each kWh/m², and 3 on the day before.
func knownSun() SunHabits {
	return SunHabits{
		Days: 100, Ratio: 2, Last: 3, Low: [2]float64{0.5, 0.4}, High: [2]float64{1.5, 1.75},
		Day: aMonday, Known: true,
	}
}

// TestSunForecast: what is foreseen is the mean with three tenths of the last
// day's departure from it; the rest of today goes by the last hours, as far as
// they had light.
func TestSunForecast(t *testing.T) {
	h := knownSun()
	near(t, "before the sun is up", h.today(), 2+0.3*(3-2))
	h.LatelyClear, h.LatelySun = 1, 4.7
	near(t, "after a kWh/m² that brought 4.7", h.today(), (2.3+4.7)/2)
	h.LatelyClear, h.LatelySun = 3, 1.5
	near(t, "after 3 kWh/m² that brought 1.5", h.today(), (2.3+1.5)/4)

	near(t, "tomorrow before the sun is up", h.tomorrow(), 2.3)
	h.Clear, h.Sun = 0.3, 3
	near(t, "tomorrow, after too little light", h.tomorrow(), 2.3)
	h.Clear, h.Sun = 0.4, 1.6
	near(t, "tomorrow, after a morning that was better", h.tomorrow(), 2+0.3*(4-2))
	h.Clear, h.Sun = 0.31, 0
	near(t, "tomorrow, after a dull morning", h.tomorrow(), 2-0.3*2)
}

// TestTheLastHoursFade: in three hours to the e-th part.
func TestTheLastHoursFade(t *testing.T) {
	h := knownSun()
	h.follow(1, 5, 4, aMonday, false, time.Hour)
	near(t, "light of an hour", h.LatelyClear, 1)
	near(t, "heat of an hour", h.LatelySun, 4)
	h.follow(0, 5, 4, aMonday, false, 3*time.Hour)
	near(t, "light three hours later", h.LatelyClear, math.Exp(-1))
	near(t, "heat three hours later", h.LatelySun, 4*math.Exp(-1))
	near(t, "light of the day", h.Clear, 1)
	h.follow(0, 5, 1, aMonday, false, time.Hour)
	near(t, "heat of the day, by a book that began anew", h.Sun, 4)
}

// TestTodayIsForeseenAtItsThird: what the rest of the day is to bring is held
// against what came from when a third of its light has passed.
func TestTodayIsForeseenAtItsThird(t *testing.T) {
	h := knownSun()
	h.follow(0.75, 3, 1, aMonday, false, time.Hour)
	near(t, "foreseen before", h.Foreseen[restOfToday], 0)
	h.follow(0.25, 3, 2, aMonday, false, time.Hour)
	near(t, "foreseen at the third", h.Foreseen[restOfToday], h.today()*2)
	near(t, "had come before", h.Before, 2)
	was := h.Foreseen
	h.follow(1, 3, 5, aMonday, false, time.Hour)
	if h.Foreseen != was || h.Before != 2 {
		t.Errorf("foreseen anew: %v, %g", h.Foreseen, h.Before)
	}

	h = knownSun()
	h.follow(4, 3, 1, aMonday, false, time.Hour)
	near(t, "foreseen when all light has passed", h.Foreseen[restOfToday], 0)
}

// TestADayOfSunIsLearned: as the mean of all days for three weeks, and then by a
// twentieth a day.
func TestADayOfSunIsLearned(t *testing.T) {
	for _, c := range []struct {
		name             string
		days, clear, sun float64
		spoilt, learned  bool
		want             float64 // ratio
	}{
		{"the first", 0, 3, 12, false, true, 4},
		{"the fourth", 3, 3, 12, false, true, 2.5},
		{"the twentieth", 19, 3, 12, false, true, 2 + 2.0/20},
		{"the hundredth", 99, 3, 12, false, true, 2 + 2.0/20},
		{"without light enough", 99, 0.29, 1.16, false, false, 2},
		{"with just enough", 99, 0.3, 1.2, false, true, 2 + 2.0/20},
		{"heat from nowhere", 99, 1, 50, false, true, 2 + 8.0/20},
		{"a full tank, and less than the day before", 99, 3, 8, true, false, 2},
		{"a full tank, and as much", 99, 3, 9, true, false, 2},
		{"a full tank, and more all the same", 99, 3, 12, true, true, 2 + 2.0/20},
	} {
		h := knownSun()
		h.Days, h.Clear, h.Sun, h.Spoilt = c.days, c.clear, c.sun, c.spoilt
		h.follow(0, 5, 0, aMonday+1, false, 10*time.Minute)
		near(t, c.name+": ratio", h.Ratio, c.want)
		if (h.Days > c.days) != c.learned {
			t.Errorf("%s: %g days", c.name, h.Days)
		}
		if h.Clear != 0 || h.Sun != 0 || h.LatelySun != 0 || h.Spoilt || h.Foreseen[restOfToday] != 0 {
			t.Errorf("%s: the new day begins with %+v", c.name, h)
		}
		near(t, c.name+": foreseen for the new day", h.Foreseen[allTomorrow], 5*h.tomorrow())
	}
}

// TestDaysThatTheClockLosesAreNotLearned: nor what is left of the day on which it
// was set.
func TestDaysThatTheClockLosesAreNotLearned(t *testing.T) {
	for name, c := range map[string]struct {
		day   int64
		known bool
	}{
		"back": {aMonday - 1, true}, "two days on": {aMonday + 2, true}, "unknown": {aMonday, false}, "unknown, a day on": {aMonday + 1, false},
	} {
		h := knownSun()
		h.Clear, h.Sun, h.Known = 3, 12, c.known
		h.follow(1, 5, 20, c.day, false, time.Hour)
		if h.Days != 100 || h.Clear != 0 || h.Sun != 0 || !h.Spoilt || !h.Known || h.Day != c.day || h.BookKWh != 20 {
			t.Errorf("%s: %+v", name, h)
		}
		h.follow(1, 5, 22, c.day, false, time.Hour)
		near(t, name+": heat since then", h.Sun, 2)
	}
	h := knownSun()
	h.follow(1, 5, 1, aMonday, true, time.Hour)
	h.follow(1, 5, 2, aMonday, false, time.Hour)
	if !h.Spoilt {
		t.Error("an hour with a full tank is forgotten")
	}
}

// TestEdgesOfTheForecast: a tenth of the days is to lie beyond each edge, so that a
// day beyond moves it nine times as far as one within moves it back (Robbins and
// Monro 1951, from memory).
func TestEdgesOfTheForecast(t *testing.T) {
	for _, c := range []struct {
		name                      string
		low, high, foreseen, came float64
		wantLow, wantHigh         float64
	}{
		{"within", 0.5, 1.5, 10, 10, 0.504, 1.492},
		{"less than the low edge", 0.5, 1.5, 10, 4, 0.464, 1.492},
		{"just the low edge", 0.5, 1.5, 10, 5, 0.504, 1.492},
		{"just the high edge", 0.5, 1.5, 10, 15, 0.504, 1.492},
		{"more than the high edge", 0.5, 1.5, 10, 16, 0.504, 1.572},
		{"nothing, below which none lies", 0.02, 1.5, 10, 0, 0, 1.492},
		{"all, which the low edge may not pass", 0.998, 1.5, 10, 10, 1, 1.492},
		{"all, below which the high edge may not come", 0.5, 1.004, 10, 10, 0.504, 1},
		{"far more than any", 0.5, 9.99, 10, 200, 0.504, 10},
		{"near the most, and within", 0.5, 9, 10, 10, 0.504, 8.992},
		{"too little foreseen to tell", 0.5, 1.5, 0.19, 0, 0.5, 1.5},
		{"just enough foreseen to tell", 0.5, 1.5, 0.2, 0, 0.464, 1.492},
		{"a little more than that", 0.5, 1.5, 0.25, 0, 0.464, 1.492},
		{"of a plant that nothing is known of", 0, 0, 10, 10, 0.304, 1.992},
		{"of one whose high edge is as low as can be", 0.5, 1, 10, 10, 0.504, 1},
	} {
		for lead := range 2 {
			h := knownSun()
			h.Low, h.High = [2]float64{c.low, c.low}, [2]float64{c.high, c.high}
			h.Foreseen[lead] = c.foreseen
			h.judge(lead, c.came)
			near(t, c.name+": low edge", h.Low[lead], c.wantLow)
			near(t, c.name+": high edge", h.High[lead], c.wantHigh)
			if c.high > 0 && (h.Low[1-lead] != c.low || h.High[1-lead] != c.high) {
				t.Errorf("%s: the other lead has moved: %+v", c.name, h)
			}
		}
	}
	low, high := new(SunHabits).edges()
	if low != [2]float64{0.3, 0.3} || high != [2]float64{2, 2} {
		t.Errorf("of an unknown plant nine days of ten are to have %g, and one %g", low, high)
	}
	h := knownSun()
	h.High[0] = 1
	if low, high := h.edges(); low != h.Low || high != h.High {
		t.Errorf("what was learned is forgotten: %g, %g", low, high)
	}
}

// TestTheRestOfADayIsHeldAgainstItsForecast: what had come before does not count.
func TestTheRestOfADayIsHeldAgainstItsForecast(t *testing.T) {
	h := knownSun()
	h.Foreseen, h.Before, h.Clear, h.Sun = [2]float64{6, 6}, 4, 3, 6
	h.closeDay()
	near(t, "low edge of the rest: 2 kWh of 6 are below", h.Low[restOfToday], 0.464)
	near(t, "low edge of the day: 6 kWh of 6 are not", h.Low[allTomorrow], 0.404)
	near(t, "the day before", h.Last, 2)
}

// TestClearLightGoesByTheClock: in the middle of April the sun is due south at
// noon (equation of time: from memory), so that hours as far before noon as after
// it have the same light; on a day on which the clocks change every hour has the
// light of the next day's same hour.
func TestClearLightGoesByTheClock(t *testing.T) {
	light := func(zone *time.Location, year int, month time.Month, day int, longitude float64) ([dayHours]float64, float64) {
		d := newDesk(t, sure(99), func(p *Plan) {
			p.Systems[0].TankL, p.LongitudeDeg, p.Systems[0].Plane = 200, longitude, physics.Plane{TiltDeg: 30}
			p.Zone = zone
		})
		s := &d.c.systems[0]
		d.c.lightOfDay(time.Date(year, month, day, 5, 17, 0, 0, zone))
		return s.clearKW, s.clearDayKWh
	}
	april, whole := light(time.UTC, 2026, time.April, 15, 0)
	total := 0.0
	for hour, kW := range april {
		if other := april[23-hour]; math.Abs(kW-other) > 0.004 {
			t.Errorf("%d o'clock has %.3f kW/m², %d o'clock %.3f", hour, kW, 23-hour, other)
		}
		total += kW
	}
	near(t, "light of the day", whole, total)

	rome, err := time.LoadLocation("Europe/Rome")
	if err != nil {
		t.Fatal(err)
	}
	for _, day := range []struct {
		month time.Month
		day   int
	}{{time.March, 29}, {time.October, 25}} {
		change, _ := light(rome, 2026, day.month, day.day, 12)
		next, _ := light(rome, 2026, day.month, day.day+1, 12)
		for hour := range change {
			if math.Abs(change[hour]-next[hour]) > 0.01 {
				t.Errorf("%v %d, %d o'clock: %.3f kW/m², a day later %.3f", day.month, day.day, hour, change[hour], next[hour])
			}
		}
	}
}
