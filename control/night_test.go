package control

import (
	"testing"
	"time"

	"sunstoker/physics"
)

// Places far in the north and south, on days when the sun does not rise or does
// not set.
const (
	arcticDeg     = 70
	antarcticDeg  = -70
	northCapeDeg  = 25.8  // longitude; its clocks are an hour or two ahead of the sun's
	datelineDeg   = 179.5 // whose noon is midnight in UTC
	newYorkDeg    = -74
	temperateDeg  = 45
	nordicDeg     = 62 // where midsummer's night does not get dark
	equatorialDeg = 0
)

func midwinter(hour int) time.Time { return time.Date(2026, 12, 21, hour, 5, 0, 0, time.UTC) }
func midsummer(hour int) time.Time { return time.Date(2026, 6, 21, hour, 5, 0, 0, time.UTC) }

// TestTheNightFollowsTheSun: the hours of the dark are counted round a day and held
// against the almanac's day, whose sunrise and sunset are worked out in another
// way (physics.SunDayOn is held against an ephemeris).
func TestTheNightFollowsTheSun(t *testing.T) {
	for _, tc := range []struct {
		name        string
		at          func(hour int) time.Time
		lat, long   float64
		least, most int // dark hours of 24
	}{
		{"polar night", midwinter, arcticDeg, northCapeDeg, 18, 23},
		{"midnight sun", midsummer, arcticDeg, northCapeDeg, 0, 0},
		{"polar night in the south", midsummer, antarcticDeg, newYorkDeg, 18, 23},
		{"midnight sun in the south", midwinter, antarcticDeg, newYorkDeg, 0, 0},
		{"white night", midsummer, nordicDeg, northCapeDeg, 0, 0},
		{"long northern night", midwinter, nordicDeg, northCapeDeg, 15, 18},
		{"short night", midsummer, temperateDeg, newYorkDeg, 6, 8},
		{"long night", midwinter, temperateDeg, datelineDeg, 13, 15},
		{"the equator", midsummer, equatorialDeg, datelineDeg, 10, 12},
	} {
		dark := 0
		for hour := range 24 {
			at := tc.at(hour)
			sky := skyAt(at, tc.lat, tc.long)
			if sky.dark {
				dark++
			}
			if sky.longDark && !sky.dark {
				t.Errorf("%s: long dark and not dark at %v", tc.name, at)
			}
			for back := -1; back <= 1; back++ { // days of almanac and UTC differ
				on := at.AddDate(0, 0, back)
				day := physics.SunDayOn(on.Year(), on.Month(), on.Day(), tc.lat, tc.long)
				if sky.dark && at.After(day.Sunrise) && at.Before(day.Sunset) {
					t.Errorf("%s: dark at %v, with the sun up from %v to %v", tc.name, at, day.Sunrise, day.Sunset)
				}
			}
		}
		if dark < tc.least || dark > tc.most {
			t.Errorf("%s: dark in %d hours of 24, want %d to %d", tc.name, dark, tc.least, tc.most)
		}
	}
}

// TestWarmRoofIsDoubtedInThePolarNight: a collector that says 8 °C at noon in air
// of -12 °C is not believed while the sun stays down, nor taken for a liar in
// the midnight sun, whatever the clock says.
func TestWarmRoofIsDoubtedInThePolarNight(t *testing.T) {
	for _, tc := range []struct {
		name    string
		from    time.Time
		lat     float64
		doubted bool
	}{
		{"afternoon in the polar night", midwinter(13), arcticDeg, true},
		{"midnight sun", midsummer(21), arcticDeg, false},
		{"afternoon in winter", midwinter(11), temperateDeg, false},
		{"evening in winter", midwinter(16), temperateDeg, true},
		{"night in summer", midsummer(20), temperateDeg, true},
	} {
		d := newDesk(t, waterFilled, func(p *Plan) { p.LatitudeDeg = tc.lat })
		d.wall = Wall{Time: tc.from, Trusted: true}
		for i := range 3 * 360 {
			d.set(-12, 8-0.0625*float64(i%2), 50, 40)
			d.run(10 * time.Second)
		}
		if got := d.c.st.Systems[0].FrostTooWarm; got != tc.doubted {
			t.Errorf("%s: doubted %v, want %v", tc.name, got, tc.doubted)
		}
	}
}

// TestTheLowestHours: 15 degrees are an hour of the sun's way (any textbook of
// astronomy, from memory), so that they last for an hour on both sides of midnight.
func TestTheLowestHours(t *testing.T) {
	midnight := time.Date(2026, 6, 21, 0, 2, 0, 0, time.UTC) // the sun's, at Greenwich: the equation of time is 2 min
	for minutes, want := range map[int]bool{-90: false, -63: false, -57: true, 0: true, 57: true, 63: false, 90: false, 720: false} {
		if got := skyAt(midnight.Add(time.Duration(minutes)*time.Minute), 70, 0).lowest; got != want {
			t.Errorf("%d minutes from the sun's midnight it is at its lowest: %v", minutes, got)
		}
	}
}

// TestExerciseInTheMidnightSun comes once in its interval, in the sun's lowest hour.
func TestExerciseInTheMidnightSun(t *testing.T) {
	d := newDesk(t, eager, func(p *Plan) { p.LatitudeDeg, p.LongitudeDeg = arcticDeg, northCapeDeg })
	d.wall = Wall{Time: midsummer(12), Trusted: true}
	d.set(20, 20, 50, 40)
	runs, was := 0, false
	for range 8 * 24 * 360 {
		d.out = d.c.Step(10*time.Second, d.wall, d.readings)
		d.wall.Time = d.wall.Time.Add(10 * time.Second)
		on := d.out.Decisions[outPump].On()
		if on && !was {
			runs++
			sunHour := float64(d.wall.Time.Hour()) + float64(d.wall.Time.Minute())/60 + northCapeDeg/15
			if sunHour > 24 {
				sunHour -= 24
			}
			if sunHour > 1.3 && sunHour < 22.7 { // an hour, and the sun's clock is off by minutes
				t.Errorf("turned over at %.1f h of the sun's time", sunHour)
			}
		}
		was = on
	}
	if runs != 2 {
		t.Errorf("%d runs in 8 days, want one in 3 days each", runs)
	}
}

// TestNoNightWithoutAClock: a board whose clock is not set calls nothing dark, and
// knows the night at once when it is set, or jumps.
func TestNoNightWithoutAClock(t *testing.T) {
	d := newDesk(t)
	d.wall = Wall{Time: midwinter(1)}
	d.run(time.Second)
	if d.c.sky != (sky{}) {
		t.Errorf("with no clock the sky is %+v", d.c.sky)
	}
	d.wall.Trusted = true
	d.run(time.Second)
	if !d.c.sky.dark || !d.c.sky.longDark {
		t.Error("it is night, and the clock has just been set")
	}
	d.wall.Time = midwinter(12)
	d.run(time.Second)
	if d.c.sky.dark {
		t.Error("the clock has jumped to noon, and it is still night")
	}
	d.wall.Trusted = false
	d.run(time.Second)
	if d.c.sky.known {
		t.Error("the clock is not trusted any more, and the sun still is")
	}
}

// TestTheLongDarkComesTwoHoursLater: at the equator on the day of equinox the sun
// sinks by 15° an hour, and is 6° below the horizon 24 min after it has gone down.
func TestTheLongDarkComesTwoHoursLater(t *testing.T) {
	day := physics.SunDayOn(2026, time.March, 20, equatorialDeg, 0)
	// Refraction and the sun's radius hold sunset back by 0.83°, which are 3 min.
	civil := day.Sunset.Add(-200 * time.Second).Add(24 * time.Minute)
	for _, tc := range []struct {
		after          time.Duration
		dark, longDark bool
	}{
		{-2 * time.Minute, false, false},
		{2 * time.Minute, true, false},
		{time.Hour + 2*time.Minute, true, false},
		{2*time.Hour - 10*time.Minute, true, false}, // at 3° two hours before
		{2*time.Hour - 2*time.Minute, true, false},
		{2*time.Hour + 2*time.Minute, true, true},
	} {
		if s := skyAt(civil.Add(tc.after), equatorialDeg, 0); s.dark != tc.dark || s.longDark != tc.longDark {
			t.Errorf("%v after the end of twilight: dark %v, long dark %v", tc.after, s.dark, s.longDark)
		}
	}
}
