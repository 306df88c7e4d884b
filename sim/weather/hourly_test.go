package weather

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"math"
	"os"
	"testing"
	"time"

	"sunstoker/physics"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6g, want %.6g within %g", what, got, want, tolerance)
	}
}

func unpack(t testing.TB, packed []byte) []byte {
	t.Helper()
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if _, err := b.ReadFrom(r); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func rowsOf(t testing.TB, packed []byte) []Row {
	t.Helper()
	rows, err := readCSVRows(bytes.NewReader(unpack(t, packed)), "built in")
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// typicalYear is a built-in file with its sums in typical/provenance.json,
// which names the origin of both.
type typicalYear struct {
	Annual     float64   `json:"annual_ghi_kWh_m2"`
	AnnualBeam float64   `json:"annual_dni_kWh_m2"`
	AnnualSky  float64   `json:"annual_dhi_kWh_m2"`
	MeanAirC   float64   `json:"mean_air_degC"`
	MinAirC    float64   `json:"min_air_degC"`
	MaxAirC    float64   `json:"max_air_degC"`
	MeanWindMS float64   `json:"mean_wind_m_s"`
	MonthAirC  []float64 `json:"monthly_mean_air_degC_by_utc_month"`
	MonthLight []float64 `json:"monthly_ghi_kWh_m2_by_utc_month"`

	packed []byte
	year   *Hourly
}

func typicalYears(t *testing.T) []typicalYear {
	t.Helper()
	text, err := os.ReadFile("typical/provenance.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct{ Files []typicalYear }
	if err := json.Unmarshal(text, &f); err != nil || len(f.Files) != 2 {
		t.Fatalf("%d files, error %v", len(f.Files), err)
	}
	f.Files[0].packed, f.Files[0].year = northItalyFile, NorthItaly()
	f.Files[1].packed, f.Files[1].year = greensboroFile, Greensboro()
	return f.Files
}

func TestFileSumsMatchTheirProvenance(t *testing.T) {
	for _, f := range typicalYears(t) {
		var global, beam, sky, air, wind float64
		lowest, highest := math.Inf(1), math.Inf(-1)
		for _, r := range rowsOf(t, f.packed) {
			global += r.GlobalHorizontalWM2 / 1000
			beam += r.BeamNormalWM2 / 1000
			sky += r.DiffuseHorizontalWM2 / 1000
			air += r.AirC / hoursPerYear
			wind += r.WindMS / hoursPerYear
			lowest, highest = math.Min(lowest, r.AirC), math.Max(highest, r.AirC)
		}
		near(t, "global kWh/m2", global, f.Annual, 0.01)
		near(t, "beam kWh/m2", beam, f.AnnualBeam, 0.01)
		near(t, "diffuse kWh/m2", sky, f.AnnualSky, 0.01)
		near(t, "mean air", air, f.MeanAirC, 0.001)
		near(t, "mean wind", wind, f.MeanWindMS, 0.001)
		near(t, "coldest air", lowest, f.MinAirC, 0)
		near(t, "warmest air", highest, f.MaxAirC, 0)
	}
}

// outsideMeanWM2 is the mean light outside the air of an hour of the nominal
// year, on the level, by the textbook's hourly integral (Duffie and Beckman, eq.
// 1.10.4) at the declination of the hour's middle.
func outsideMeanWM2(w *Hourly, hour int) float64 {
	middle := time.Date(nominalYear, 1, 1, hour, 30, 0, 0, time.UTC).Add(w.stamps.HourStart)
	sun := w.place.sunAt(middle)
	// An hour across midnight would wrap; the sun is down there in both years.
	return physics.ExtraterrestrialHourlyJM2(float64(middle.YearDay()), w.place.LatitudeDeg, sun.DeclinationDeg,
		sun.HourAngleDeg-7.5, sun.HourAngleDeg+7.5) / 3600
}

// The interpolated year keeps the energy of each hour and the sums published
// with the files, month by month, in any calendar year.
func TestInterpolationKeepsEachHoursEnergy(t *testing.T) {
	for _, f := range typicalYears(t) {
		rows := rowsOf(t, f.packed)
		start := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC)
		var beam, sky, air float64
		var monthLight, monthAir, monthMinutes [13]float64
		for i, r := range rows {
			mean := 0.0
			for minute := range 60 {
				printed := start.Add(time.Duration(i)*time.Hour + time.Duration(minute)*time.Minute + 30*time.Second)
				s := f.year.At(printed.Add(f.year.stamps.HourStart))
				mean += s.GlobalHorizontalWM2 / 60
				beam += s.BeamNormalWM2 / 60000
				sky += s.DiffuseHorizontalWM2 / 60000
				month := printed.Month()
				monthLight[month] += s.GlobalHorizontalWM2 / 60000
				atStamp := f.year.At(printed.Add(f.year.stamps.AirAt)).AirC
				air += atStamp / 60 / hoursPerYear
				monthAir[month] += atStamp
				monthMinutes[month]++
			}
			want := math.Min(r.GlobalHorizontalWM2, outsideMeanWM2(f.year, i))
			if math.Abs(mean-want) > 0.05+5e-4*want {
				t.Fatalf("hour %d: mean %g, the file has %g", i, mean, r.GlobalHorizontalWM2)
			}
		}
		near(t, "beam kWh/m2", beam, f.AnnualBeam, 0.015*f.AnnualBeam)
		near(t, "diffuse kWh/m2", sky, f.AnnualSky, 0.005*f.AnnualSky)
		near(t, "mean air", air, f.MeanAirC, 0.001)
		for m := 1; m <= 12; m++ {
			// Twilight, while the sun is down, is left out: up to 0.06 % of a month.
			near(t, "light of a month", monthLight[m], f.MonthLight[m-1], 7e-4*f.MonthLight[m-1])
			near(t, "air of a month", monthAir[m]/monthMinutes[m], f.MonthAirC[m-1], 0.05)
		}
	}
}

// The file's own beam agrees with the one worked out of global and diffuse and
// the sun's height in the hour: within a few W/m2 when the stamps are read right
// (typical/provenance.json: half an hour off gives 14 to 31 W/m2 on the level).
func TestStampsAreReadRight(t *testing.T) {
	for _, f := range typicalYears(t) {
		rms := func(shift time.Duration) float64 {
			stamps := f.year.stamps
			stamps.HourStart += shift
			rows := rowsOf(t, f.packed)
			w, err := NewHourly(f.year.place, stamps, rows)
			if err != nil {
				t.Fatal(err)
			}
			square, n := 0.0, 0.0
			for i, r := range rows {
				if sine := w.hours[i].sun.meanSine(); sine > 0.1736 && w.hours[i].beamNormalWM2 > 0 {
					d := (w.hours[i].beamNormalWM2 - r.BeamNormalWM2) * sine
					square, n = square+d*d, n+1
				}
			}
			return math.Sqrt(square / n)
		}
		right := rms(0)
		if right > 5 {
			t.Errorf("beam differs by %.1f W/m2 rms", right)
		}
		for _, shift := range []time.Duration{-30 * time.Minute, 30 * time.Minute} {
			if wrong := rms(shift); wrong < 2*right || wrong < 8 {
				t.Errorf("%v off: %.1f W/m2 rms, no worse than the %.1f of the right stamp", shift, wrong, right)
			}
		}
		t.Logf("beam on the level differs by %.2f W/m2 rms", right)
	}
}

// Beam, sky and global fit together at every instant, and the beam is never
// brighter than the sun.
func TestLightIsConsistent(t *testing.T) {
	w := NorthItaly()
	for at := time.Date(2024, 1, 1, 0, 2, 30, 0, time.UTC); at.Year() == 2024; at = at.Add(7 * time.Minute) {
		s := w.At(at)
		if s.BeamNormalWM2 < 0 || s.BeamNormalWM2 > 1412 || s.DiffuseHorizontalWM2 < 0 ||
			s.GlobalHorizontalWM2 < s.DiffuseHorizontalWM2 || s.SkyDropK < 0 || s.SkyDropK > 30 {
			t.Fatalf("%v: %+v", at, s)
		}
	}
}

func TestLeapDayRepeatsTheDayBefore(t *testing.T) {
	w := Greensboro()
	noon := func(year int, month time.Month, day int) Sample {
		return w.At(time.Date(year, month, day, 17, 20, 0, 0, time.UTC))
	}
	if noon(2024, 2, 29) != noon(2024, 2, 28) {
		t.Error("29 February differs from 28 February")
	}
	for _, day := range [][2]int{{2, 28}, {3, 1}, {12, 31}, {1, 1}} {
		if noon(2024, time.Month(day[0]), day[1]) != noon(2023, time.Month(day[0]), day[1]) {
			t.Errorf("month %d day %d differs between a leap year and another", day[0], day[1])
		}
	}
}

// Around the turn of the year the wave closes without a gap.
func TestYearWraps(t *testing.T) {
	for _, w := range []*Hourly{NorthItaly(), Greensboro()} {
		before := w.At(time.Date(2022, 12, 31, 23, 59, 59, 0, time.UTC))
		after := w.At(time.Date(2023, 1, 1, 0, 0, 1, 0, time.UTC))
		near(t, "air over new year", after.AirC, before.AirC, 0.01)
	}
}

// A midnight sun must not be cut where the hour angle wraps: over the 24 hours
// of a polar summer day the mean sine is sin(latitude) sin(declination).
func TestMeanSineUnderTheMidnightSun(t *testing.T) {
	place := Place{LatitudeDeg: 75, LongitudeDeg: 3}
	start := time.Date(2001, 6, 21, 0, 0, 0, 0, time.UTC)
	sum := 0.0
	for hour := range 24 {
		sum += hourSunAt(start.Add(time.Duration(hour)*time.Hour), place).meanSine() / 24
	}
	near(t, "mean sine of the day", sum, math.Sin(75*math.Pi/180)*math.Sin(23.436*math.Pi/180), 1e-4)
	if got := hourSunAt(start.AddDate(0, 6, 0), place).meanSine(); got != 0 {
		t.Errorf("polar night has mean sine %g", got)
	}
}
