package weather

import (
	"math"
	"strings"
	"testing"
	"time"

	"sunstoker/physics"
)

func generate(t testing.TB, place Place, climate Climate, seeds Seeds, days int) *Generated {
	t.Helper()
	w, err := Generate(place, climate, seeds, time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC), days)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestGeneratedWeatherIsPossible(t *testing.T) {
	for _, place := range []Place{torino, {LatitudeDeg: -33, LongitudeDeg: 151}, {LatitudeDeg: 69, LongitudeDeg: 19}, {LongitudeDeg: -78, AltitudeM: 2800}} {
		w := generate(t, place, UsualClimate(place), SeedsFrom(3), 365)
		sum, warmHalf, coldHalf := 0.0, 0.0, 0.0
		for at := time.Date(2025, 1, 1, 0, 3, 0, 0, time.UTC); at.Year() == 2025; at = at.Add(13 * time.Minute) {
			s := w.At(at)
			if s != w.At(at) {
				t.Fatalf("%v: two answers", at)
			}
			if s.GlobalHorizontalWM2 < 0 || s.GlobalHorizontalWM2 > 1300 || s.BeamNormalWM2 < 0 || s.BeamNormalWM2 > 1150 ||
				s.DiffuseHorizontalWM2 < 0 || s.WindMS < 0 || s.SkyDropK < 0 || math.IsNaN(s.AirC) {
				t.Fatalf("%v at %v: %+v", at, place, s)
			}
			sum += s.GlobalHorizontalWM2 * 13 / 60000
			if m := at.Month(); m >= 5 && m <= 9 {
				warmHalf += s.AirC
			} else if m <= 2 || m >= 11 {
				coldHalf += s.AirC
			}
		}
		if sum < 500 || sum > 2400 {
			t.Errorf("%v: %g kWh/m2 a year", place, sum)
		}
		if place.LatitudeDeg > 20 && warmHalf < coldHalf || place.LatitudeDeg < -20 && warmHalf > coldHalf {
			t.Errorf("%v: summer in the wrong half of the year", place)
		}
	}
}

func TestEachSubjectHasItsOwnSeed(t *testing.T) {
	seeds := SeedsFrom(1)
	climate := UsualClimate(torino)
	climate.ClearShare, climate.PartShare, climate.SummerShare = 0, 1, 0
	other := seeds
	other.Clouds++
	a, b := generate(t, torino, climate, seeds, 30), generate(t, torino, climate, other, 30)
	differ := 0
	for at := time.Date(2025, 1, 5, 10, 0, 0, 0, time.UTC); at.Hour() < 14; at = at.Add(time.Minute) {
		x, y := a.At(at), b.At(at)
		if x.AirC != y.AirC || x.WindMS != y.WindMS {
			t.Fatal("another cloud seed changed air or wind")
		}
		if x.Irradiance != y.Irradiance {
			differ++
		}
	}
	if differ < 100 {
		t.Errorf("another cloud seed changed the light of only %d minutes in 240", differ)
	}
}

func TestDaysComeInTheirShares(t *testing.T) {
	climate := UsualClimate(torino)
	climate.ClearShare, climate.PartShare, climate.SummerShare, climate.Persistence = 0.5, 0.2, 0, 0.6
	w := generate(t, torino, climate, SeedsFrom(5), MaxGeneratedDays)
	var counts [3]float64
	stays := 0.0
	for i, d := range w.days {
		counts[d.class] += 1.0 / MaxGeneratedDays
		if i > 0 && d.class == w.days[i-1].class {
			stays += 1.0 / MaxGeneratedDays
		}
	}
	near(t, "clear days", counts[dayClear], 0.5, 0.05)
	near(t, "part days", counts[dayPart], 0.2, 0.05)
	near(t, "days like the last", stays, 0.6+0.4*(0.25+0.04+0.09), 0.03)
}

// Clouds pass within minutes on part days: the beam goes from full to nearly
// none and back many times a day.
func TestCloudsPassWithinMinutes(t *testing.T) {
	climate := UsualClimate(torino)
	climate.ClearShare, climate.PartShare, climate.SummerShare = 0, 1, 0
	w := generate(t, torino, climate, SeedsFrom(2), 10)
	passes, covered, hidden := 0, 0, false
	for minute := range 10 * 1440 {
		cover := w.cover(solarSecond(time.Date(2025, 1, 1, 0, minute, 0, 0, time.UTC), 8))
		if now := cover > 0.5; now != hidden {
			hidden = now
			passes++
		}
		if hidden {
			covered++
		}
	}
	if perDay := float64(passes) / 20; perDay < 20 || perDay > 300 {
		t.Errorf("%g clouds a day", perDay)
	}
	near(t, "share of covered minutes", float64(covered)/14400, 0.5, 0.15)
}

func TestColdestNightAsAsked(t *testing.T) {
	for _, asked := range []float64{-25, -8, 0} {
		climate := UsualClimate(torino)
		climate.ColdestNightC = asked
		w := generate(t, torino, climate, SeedsFrom(9), 365)
		coldest := math.Inf(1)
		for minute := 0; minute < 365*1440; minute += 10 {
			coldest = math.Min(coldest, w.At(time.Date(2025, 1, 1, 0, minute, 0, 0, time.UTC)).AirC)
		}
		near(t, "coldest night", coldest, asked, 0.3)
	}
	climate := UsualClimate(torino)
	climate.ColdestNightC = 30
	if _, err := Generate(torino, climate, Seeds{}, time.Unix(0, 0), 10); err == nil || !strings.Contains(err.Error(), "coldest night") {
		t.Errorf("a coldest night of 30 degC: %v", err)
	}
}

func TestScriptedDay(t *testing.T) {
	w, err := NewScripted(torino, []Moment{
		{At: 12 * time.Hour, Cover: 1, AirC: 20},
		{At: 6 * time.Hour, AirC: 10},
		{At: 18 * time.Hour, AirC: 10, WindMS: 4},
	})
	if err != nil {
		t.Fatal(err)
	}
	solar := func(hour float64) Sample { // 8 degrees east is 32 minutes early
		return w.At(time.Date(2025, 6, 21, 0, 0, 0, 0, time.UTC).Add(time.Duration((hour - 8.0/15) * float64(time.Hour))))
	}
	near(t, "air at nine", solar(9).AirC, 15, 1e-6)
	near(t, "air at midnight", solar(24).AirC, 10, 1e-6)
	near(t, "wind at midnight", solar(24).WindMS, 2, 1e-6)
	near(t, "beam under a full cover", solar(12).BeamNormalWM2, 0, 1e-9)
	near(t, "sky under a full cover", solar(12).SkyDropK, 0, 1e-9)
	if s := solar(6.5); s.BeamNormalWM2 < 100 || s.SkyDropK < 10 {
		t.Errorf("clear morning: %+v", s)
	}
	// Source: 1 - 0.75 cover^3.4, Kasten and Czeplak (1980), from memory.
	noon := time.Date(2025, 6, 21, 11, 28, 0, 0, time.UTC)
	clear := coveredLight(noon, torino.sunAt(noon), torino, usualTurbidity, 0, 20)
	near(t, "global under a full cover", solar(12).GlobalHorizontalWM2, 0.25*clear.GlobalHorizontalWM2, 1)
}

func TestBadScriptsAndClimates(t *testing.T) {
	for _, c := range []struct {
		moments []Moment
		want    string
	}{
		{nil, "at least one"},
		{[]Moment{{At: 24 * time.Hour}}, "24"},
		{[]Moment{{}, {}}, "two moments"},
		{[]Moment{{Cover: 1.2}}, "cloud cover"},
		{[]Moment{{AirC: math.NaN()}}, "air temperature"},
	} {
		if _, err := NewScripted(torino, c.moments); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("want %q, got %v", c.want, err)
		}
	}
	climate := UsualClimate(torino)
	climate.ClearShare, climate.PartShare = 0.8, 0.4
	if _, err := Generate(torino, climate, Seeds{}, time.Unix(0, 0), 10); err == nil || !strings.Contains(err.Error(), "passing clouds") {
		t.Errorf("shares above 1: %v", err)
	}
	if _, err := Generate(Place{LatitudeDeg: 91}, climate, Seeds{}, time.Unix(0, 0), 10); err == nil {
		t.Error("a place beyond the pole was taken")
	}
}

var southRoof = Field{
	Plane:     physics.Plane{TiltDeg: 45, AzimuthDeg: 180},
	Collector: physics.Collector{Eta0: 0.8, A1WM2K: 4, A2WM2K2: 0.01, AreaM2: 4, CapacityJM2K: 8000, B0: 0.1},
	Albedo:    0.2,
}

// A level plane without angle modifier sees the global light.
func TestLevelFieldSeesTheGlobalLight(t *testing.T) {
	level := southRoof
	level.Plane.TiltDeg, level.Collector.B0 = 0, 0
	w := NorthItaly()
	for hour := range 8760 {
		at := time.Date(2023, 1, 1, hour, 30, 0, 0, time.UTC)
		s := w.At(at)
		sun := physics.SunAt(at, 45, 8)
		got := level.On(s.Irradiance, sun, at.YearDay())
		if sun.ElevationDeg > 10 {
			near(t, "light on the level", got.IrradianceWM2, s.GlobalHorizontalWM2, 0.02*s.GlobalHorizontalWM2+1)
		}
		near(t, "absorbable light", got.AbsorbableWM2, got.IrradianceWM2, 1e-9)
	}
}

func TestTableIsTheSourceAtTheSlotsMiddle(t *testing.T) {
	w := NorthItaly()
	table := NewTable(w, []Field{southRoof, southRoof}, 5*time.Minute)
	for _, at := range []time.Time{
		time.Date(2024, 2, 29, 11, 59, 59, 0, time.UTC), time.Date(2023, 7, 1, 12, 0, 0, 0, time.UTC),
		time.Date(2023, 7, 1, 23, 58, 0, 0, time.UTC), time.Date(2023, 6, 30, 5, 0, 0, 0, time.UTC),
	} {
		slot, next := table.At(at)
		middle := at.Truncate(5 * time.Minute).Add(150 * time.Second)
		want := w.At(middle)
		if slot.Sample != want || !next.Equal(middle.Add(150*time.Second)) {
			t.Errorf("%v: %+v until %v, want %+v", at, slot.Sample, next, want)
		}
		if on := southRoof.On(want.Irradiance, physics.SunAt(middle, 45, 8), middle.YearDay()); slot.OnFields[1] != on {
			t.Errorf("%v: %+v on the field, want %+v", at, slot.OnFields[1], on)
		}
	}
	made := generate(t, torino, UsualClimate(torino), SeedsFrom(1), 365)
	at := time.Date(2025, 4, 3, 10, 0, 20, 0, time.UTC)
	if slot, _ := NewTable(made, nil, time.Minute).At(at); slot.Sample != made.At(at.Add(10*time.Second)) {
		t.Error("generated weather differs in the table")
	}
	at = time.Date(2023, 7, 1, 0, 0, 0, 0, time.UTC)
	if got := testing.AllocsPerRun(1000, func() { table.At(at); at = at.Add(time.Hour) }); got != 0 {
		t.Errorf("%g allocations", got)
	}
}

func BenchmarkTableYear(b *testing.B) {
	made := generate(b, torino, UsualClimate(torino), SeedsFrom(1), 365)
	for name, c := range map[string]struct {
		source Source
		slot   time.Duration
	}{"hourly 5 min": {NorthItaly(), 5 * time.Minute}, "generated 1 min": {made, time.Minute}} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				table := NewTable(c.source, []Field{southRoof}, c.slot)
				for day := range 365 {
					table.At(time.Date(2023, 1, 1+day, 0, 0, 0, 0, time.UTC))
				}
			}
		})
	}
}

func BenchmarkReadTypicalYear(b *testing.B) {
	for b.Loop() {
		NorthItaly()
	}
}
