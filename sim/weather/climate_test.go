package weather

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunstoker/physics"
)

// longRun is what generated weather comes to in the mean of nine years.
type longRun struct {
	levelKWhM2    float64     // light on the level in a year
	southKWhM2    float64     // on 45 degrees south
	southWM2      [13]float64 // the same, mean of each month
	airC          float64
	daytimeC      [13]float64 // air while the sun is up, mean of each month
	daylightHours [13]float64
}

func runLong(t *testing.T, place Place) (l longRun) {
	t.Helper()
	const years, step = 9, 47 * time.Minute
	w := generate(t, place, UsualClimate(place), SeedsFrom(1), years*365+2)
	south := Field{Plane: physics.Plane{TiltDeg: 45, AzimuthDeg: 180}, Albedo: 0.2}
	var samples [13]float64
	for at := time.Date(2025, 1, 1, 0, 7, 0, 0, time.UTC); at.Year() < 2025+years; at = at.Add(step) {
		s, sun, m := w.At(at), place.sunAt(at), at.Month()
		onSouth := south.On(s.Irradiance, sun, at.YearDay()).IrradianceWM2
		l.levelKWhM2 += s.GlobalHorizontalWM2 * step.Hours() / 1000 / years
		l.southKWhM2 += onSouth * step.Hours() / 1000 / years
		l.southWM2[m] += onSouth
		samples[m]++
		samples[0]++
		l.airC += s.AirC
		if sun.ElevationDeg > 0 {
			l.daytimeC[m] += s.AirC
			l.daylightHours[m]++
		}
	}
	l.airC /= samples[0]
	for m := 1; m <= 12; m++ {
		l.southWM2[m] /= samples[m]
		l.daytimeC[m] /= l.daylightHours[m]
	}
	return l
}

// Source: the reference climates of regulation EU 812/2013, Annex VII, Tables 4
// and 5 (read; testdata/eu_reference_climates.csv): average is Strasbourg,
// warmer is Athens. Their sky is the generator's own, so the year must agree; the
// seasons are one wave, which leaves single months off by a fifth or 15 W/m2. The
// air is known by latitude and height alone, and the regulation's is that of the
// day.
func TestUsualClimateFollowsTheReferenceClimates(t *testing.T) {
	f, err := os.Open("testdata/eu_reference_climates.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for climate, place := range map[string]Place{
		"average": {LatitudeDeg: 48.58, LongitudeDeg: 7.75, AltitudeM: 150},
		"warmer":  {LatitudeDeg: 37.98, LongitudeDeg: 23.73, AltitudeM: 100},
	} {
		got, month := runLong(t, place), 0
		var year, air, gotAir float64
		for _, row := range rows[1:] {
			if row[0] != climate {
				continue
			}
			month++
			wantC, err := strconv.ParseFloat(row[2], 64)
			if err != nil {
				t.Fatal(err)
			}
			want, err := strconv.ParseFloat(row[3], 64)
			if err != nil {
				t.Fatal(err)
			}
			near(t, climate+", light in "+row[1]+" in W/m2", got.southWM2[month], want, math.Max(15, 0.22*want))
			near(t, climate+", day's air in "+row[1], got.daytimeC[month], wantC, 5)
			days := float64(time.Date(2025, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day())
			year += want * days * 24 / 1000
			air += wantC / 12
			gotAir += got.daytimeC[month] / 12
		}
		if month != 12 {
			t.Fatalf("%s: %d months", climate, month)
		}
		near(t, climate+", year in kWh/m2", got.southKWhM2, year, 0.04*year)
		near(t, climate+", day's air over the year", gotAir, air, 2)
		t.Logf("%s: %.0f kWh/m2 a year on 45 degrees south, the regulation has %.0f", climate, got.southKWhM2, year)
	}
}

// Sources: the built-in years (typical/provenance.json, read), and round figures
// of public solar maps (from memory). The generator knows latitude and height
// only: the east of America is colder and cloudier than Europe in its latitude,
// and places of one latitude differ by a seventh.
func TestUsualSunOfOtherPlaces(t *testing.T) {
	for name, c := range map[string]struct {
		place      Place
		levelKWhM2 float64
	}{
		"north Italy": {torino, 1436},
		"Greensboro":  {greensboro, 1566},
		"Helsinki":    {Place{60.2, 24.9, 20}, 980},
		"London":      {Place{51.5, 0, 20}, 1010},
		"Cairo":       {Place{30.0, 31.2, 50}, 2000},
		"Singapore":   {Place{1.3, 103.8, 20}, 1630},
		"Nairobi":     {Place{-1.3, 36.8, 1700}, 1950},
		"El Alto":     {Place{-16.5, -68.2, 4060}, 2150},
		"Sydney":      {Place{-33.9, 151.2, 20}, 1650},
	} {
		got := runLong(t, c.place)
		near(t, name+", light on the level in kWh/m2", got.levelKWhM2, c.levelKWhM2, 0.15*c.levelKWhM2)
		t.Logf("%s: %.0f kWh/m2, the source has %.0f", name, got.levelKWhM2, c.levelKWhM2)
	}
}

// Source: yearly means of published climate normals, all from memory. Latitude
// and height leave some 4 K open: sea, slopes and dryness are not known.
func TestUsualAirOfHighPlaces(t *testing.T) {
	for name, c := range map[string]struct {
		latitudeDeg, altitudeM, meanC float64
	}{
		"Quito":       {-0.2, 2850, 14.5},
		"El Alto":     {-16.5, 4060, 7.5},
		"Cusco":       {-13.5, 3400, 12},
		"Addis Ababa": {9.0, 2360, 16.5},
		"Mexico City": {19.4, 2240, 17},
		"Lhasa":       {29.7, 3650, 8.5},
		"Davos":       {46.8, 1590, 4},
		"Athens":      {38.0, 100, 18.5},
		"Strasbourg":  {48.6, 150, 11},
		"Singapore":   {1.3, 20, 27.5},
	} {
		got := UsualClimate(Place{LatitudeDeg: c.latitudeDeg, AltitudeM: c.altitudeM}).MeanAirC
		near(t, name+", mean air", got, c.meanC, 4)
	}
}

// Thin air lets more light through, and never more than there is outside: a
// cloudless year at 4000 m stays below nine tenths of it.
func TestClearYearOnAHeightIsPossible(t *testing.T) {
	place := Place{LatitudeDeg: -16.5, LongitudeDeg: -68.2, AltitudeM: 4060}
	climate := UsualClimate(place)
	climate.ClearShare, climate.PartShare, climate.SummerShare = 1, 0, 0
	w := generate(t, place, climate, SeedsFrom(1), 365)
	var got, outside float64
	for at := time.Date(2025, 1, 1, 0, 10, 0, 0, time.UTC); at.Year() == 2025; at = at.Add(20 * time.Minute) {
		got += w.At(at).GlobalHorizontalWM2
		outside += physics.ExtraterrestrialNormalWM2(float64(at.YearDay())) * math.Max(0, math.Sin(place.sunAt(at).ElevationDeg*math.Pi/180))
	}
	if share := got / outside; share < 0.75 || share > 0.9 {
		t.Errorf("%.3f of the light outside the air", share)
	}
}

// yearOfLight is the light on the level of a generated year, minute by minute
// in steps.
func yearOfLight(w *Generated, step time.Duration) (kWhM2 float64) {
	for at := time.Date(2025, 1, 1, 0, 1, 0, 0, time.UTC); at.Year() == 2025; at = at.Add(step) {
		kWhM2 += w.At(at).GlobalHorizontalWM2 * step.Hours() / 1000
	}
	return kWhM2
}

func TestYearsLightAsAsked(t *testing.T) {
	for _, c := range []struct {
		place Place
		asked []float64
	}{
		{torino, []float64{900, 1300, 1436, 1700}},
		{Place{LatitudeDeg: -33, LongitudeDeg: 151}, []float64{1650}},
		{Place{LatitudeDeg: 62, LongitudeDeg: 10}, []float64{800, 1000}},
	} {
		for seed, asked := range c.asked {
			climate := UsualClimate(c.place)
			climate.YearLightKWhM2 = asked
			w := generate(t, c.place, climate, SeedsFrom(uint64(seed)), 365)
			// By whole days and by hours in place of minutes: within 1 %.
			near(t, "light of the year in kWh/m2", yearOfLight(w, 7*time.Minute), asked, 0.01*asked)
		}
	}
	climate := UsualClimate(torino)
	climate.YearLightKWhM2 = 2500
	if _, err := Generate(torino, climate, Seeds{}, time.Unix(0, 0), 365); err == nil || !strings.Contains(err.Error(), "(always clear)") {
		t.Errorf("more light than ever: %v", err)
	}
	climate.YearLightKWhM2 = 1400
	if _, err := Generate(torino, climate, Seeds{}, time.Unix(0, 0), 30); err == nil || !strings.Contains(err.Error(), "give 360 or more") {
		t.Errorf("a year's light of a month: %v", err)
	}
}

// Summer is clearer than winter where the climate says so, in both hemispheres.
func TestSummerIsClearer(t *testing.T) {
	for _, latitude := range []float64{38, -38} {
		place := Place{LatitudeDeg: latitude}
		w := generate(t, place, UsualClimate(place), SeedsFrom(4), 3650)
		var clear [13]float64
		for i, d := range w.days {
			if d.class == dayClear {
				clear[time.Unix((w.first+int64(i))*86400, 0).UTC().Month()]++
			}
		}
		if july, january := clear[7], clear[1]; (july > 2*january) != (latitude > 0) || (january > 2*july) != (latitude < 0) {
			t.Errorf("latitude %g: %g clear days in ten Julys, %g in ten Januaries", latitude, july, january)
		}
	}
}
