package planner

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/physics"
	"sunstoker/sim/weather"
)

// TestSunshineOfTheSiteFile: made-up weather has the light that the file names.
func TestSunshineOfTheSiteFile(t *testing.T) {
	s := exampleSite(t, "house-with-winter")
	for _, asked := range []float64{1000, 1500} {
		s.YearLightKWhM2 = asked
		w, err := ChooseWeather("", "", s, newYear, 1)
		if err != nil {
			t.Fatal(err)
		}
		if want := text("%.0f kWh/m² on level ground", asked); !strings.Contains(w.Words, want) {
			t.Errorf("want %q in %q", want, w.Words)
		}
		const step = 20 * time.Minute
		got := 0.0
		for at := newYear; at.Year() == newYear.Year(); at = at.Add(step) {
			got += w.Source.At(at.UTC()).GlobalHorizontalWM2 * step.Hours() / 1000
		}
		// The span is a little longer than the year, by days that may be bright.
		if got < 0.98*asked || got > 1.02*asked {
			t.Errorf("%.0f kWh/m², the file names %.0f", got, asked)
		}
	}
	s.YearLightKWhM2 = 2900
	if _, err := ChooseWeather("", "", s, newYear, 1); err == nil || !strings.Contains(err.Error(), `sunshine = "2900 kWh/m²" in the site file`) {
		t.Errorf("more light than there is: %v", err)
	}
}

// TestStampOfAWeatherFile: what a person says of the times reaches the reader.
func TestStampOfAWeatherFile(t *testing.T) {
	s := exampleSite(t, "house-with-winter")
	path := filepath.Join(t.TempDir(), "year.csv")
	if err := os.WriteFile(path, []byte(hourlyFile(s.LatitudeDeg, s.LongitudeDeg)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, stamp := range []string{"", "start"} {
		if w, err := ChooseWeather(path, stamp, s, newYear, 1); err != nil || w.Remark != "" {
			t.Errorf("%q: %v, %s", stamp, err, w.Remark)
		}
	}
	// Half an hour off is much where the sky is always clear.
	for stamp, want := range map[string]string{"middle": "read 0.5 h later", "end": "read 1 h later"} {
		if _, err := ChooseWeather(path, stamp, s, newYear, 1); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: want %q, got %v", stamp, want, err)
		}
	}
	if _, err := ChooseWeather(path, "noon", s, newYear, 1); err == nil || !strings.Contains(err.Error(), `"start", "middle" or "end"`) {
		t.Errorf("a stamp that is none: %v", err)
	}
}

// TestRemarkNamesTheFlag: what can be done about times that are half an hour off
// is said; of a file whose times are right nothing is.
func TestRemarkNamesTheFlag(t *testing.T) {
	s := exampleSite(t, "house-with-winter")
	place := weather.Greensboro().Place()
	s.LatitudeDeg, s.LongitudeDeg, s.AltitudeM = place.LatitudeDeg, place.LongitudeDeg, place.AltitudeM
	const file = "../sim/weather/typical/greensboro_36N_80W_typical_year.csv.gz"
	for stamp, wants := range map[string]string{"start": "", "middle": "--stamp start, middle or end"} {
		w, err := ChooseWeather(file, stamp, s, newYear, 1)
		if err != nil || (w.Remark == "") != (wants == "") || !strings.Contains(w.Remark, wants) {
			t.Errorf("%s: %q, error %v", stamp, w.Remark, err)
		}
	}
}

// hourlyFile is a cloudless year in our own columns, printed at the start of each
// hour; an invention for this test.
func hourlyFile(latitudeDeg, longitudeDeg float64) string {
	var b strings.Builder
	b.WriteString("time_utc,ghi_W_m2,dni_W_m2,dhi_W_m2,air_temperature_degC,wind_speed_m_s\n")
	for at := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2001; at = at.Add(time.Hour) {
		sine := 0.0 // mean of the hour, the sun's height being positive
		const parts = 12
		for part := range parts {
			middle := at.Add(time.Hour * time.Duration(2*part+1) / (2 * parts))
			sine += max(0, sineOfSun(middle, latitudeDeg, longitudeDeg)) / parts
		}
		beam := 0.0
		if sine > 0.05 {
			beam = 700
		}
		b.WriteString(at.Format(time.RFC3339) + text(",%.2f,%.2f,%.2f,10,1\n", beam*sine+60*sine, beam, 60*sine))
	}
	return b.String()
}

func sineOfSun(at time.Time, latitudeDeg, longitudeDeg float64) float64 {
	return math.Sin(physics.SunAt(at, latitudeDeg, longitudeDeg).ElevationDeg * math.Pi / 180)
}
