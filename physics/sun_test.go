package physics_test

import (
	"math"
	"testing"
	"time"

	"sunstoker/physics"
)

// The algorithm leaves out small disturbances and nutation terms: a few
// seconds of arc, documented as 0.005 degrees.
const sunToleranceDeg = 0.005

func TestSunAgainstReferenceWorkedExample(t *testing.T) {
	var example struct {
		Input struct {
			Time      time.Time `json:"time_utc"`
			Latitude  float64   `json:"latitude_deg"`
			Longitude float64   `json:"longitude_deg"`
			Pressure  float64   `json:"pressure_hPa"`
			AirC      float64   `json:"temperature_degC"`
			Slope     float64   `json:"surface_slope_deg"`
			Facing    float64   `json:"surface_azimuth_deg_from_south_west_positive"`
		}
		Output struct {
			JulianDay   float64 `json:"julian_day"`
			Distance    float64 `json:"earth_sun_distance_au"`
			Declination float64 `json:"declination_deg"`
			HourAngle   float64 `json:"hour_angle_deg"`
			TrueUp      float64 `json:"elevation_without_refraction_deg"`
			Refraction  float64 `json:"refraction_deg"`
			Elevation   float64 `json:"elevation_deg"`
			Azimuth     float64 `json:"azimuth_from_north_eastward_deg"`
		}
		Further struct {
			Incidence float64 `json:"incidence_angle_deg"`
		} `json:"further_output"`
	}
	readJSON(t, "spa_worked_example.json", &example)
	in, out := example.Input, example.Output
	sun := physics.SunAt(in.Time, in.Latitude, in.Longitude)
	within(t, "Julian date", physics.JulianDate(in.Time), out.JulianDay, 1e-6)
	within(t, "distance", sun.DistanceAU, out.Distance, 5e-5)
	within(t, "declination", sun.DeclinationDeg, out.Declination, sunToleranceDeg)
	within(t, "hour angle", sun.HourAngleDeg, out.HourAngle, sunToleranceDeg)
	within(t, "true elevation", sun.ElevationDeg, out.TrueUp, sunToleranceDeg)
	within(t, "azimuth", sun.AzimuthDeg, out.Azimuth, sunToleranceDeg)
	within(t, "refraction", physics.RefractionDeg(out.TrueUp, 100*in.Pressure, in.AirC), out.Refraction, 2e-5)
	within(t, "apparent elevation", sun.ApparentElevationDeg(100*in.Pressure, in.AirC), out.Elevation, sunToleranceDeg)
	plane := physics.Plane{TiltDeg: in.Slope, AzimuthDeg: 180 + in.Facing}
	within(t, "incidence", plane.IncidenceDeg(90-out.Elevation, out.Azimuth), example.Further.Incidence, 0.001)
	within(t, "incidence from the instant", plane.Incidence(sun), example.Further.Incidence, 0.03) // without refraction
}

func TestSunRiseAndSetOfTheWorkedExample(t *testing.T) {
	// Reda and Andreas give 06:12:43 and 17:20:19 at UTC-7, from memory,
	// confirmed with pvlib. Their day is the one of universal time, 17 October:
	// its sunset, 00:20:19 UTC, ends the 16th of the place.
	sunrise := physics.SunDayOn(2003, time.October, 17, 39.742476, -105.1786).Sunrise
	nearTime(t, "sunrise", sunrise, time.Date(2003, 10, 17, 13, 12, 43, 0, time.UTC), 3*time.Second)
	sunset := physics.SunDayOn(2003, time.October, 16, 39.742476, -105.1786).Sunset
	nearTime(t, "sunset", sunset, time.Date(2003, 10, 17, 0, 20, 19, 0, time.UTC), 3*time.Second)
}

func TestSunAgainstEphemeris(t *testing.T) {
	for _, row := range readTable(t, "positions_ephem.csv") {
		sun := physics.SunAt(row.time("time_utc"), row.number("latitude_deg"), row.number("longitude_deg"))
		row.near("altitude_true_deg", sun.ElevationDeg, sunToleranceDeg)
		// An azimuth near the zenith is worth only its share of a circle in the sky.
		turn := math.Remainder(sun.AzimuthDeg-row.number("azimuth_from_north_deg"), 360)
		within(t, row.where+" azimuth times cos altitude", turn*math.Cos(sun.ElevationDeg*math.Pi/180), 0, sunToleranceDeg)
		if row.text("altitude_apparent_deg_1010hPa_15C") == "" {
			continue
		}
		// Refraction formulas differ by thousandths of a degree, more when low.
		tolerance := 0.01
		if sun.ElevationDeg < 10 {
			tolerance = 0.02
		}
		row.near("altitude_apparent_deg_1010hPa_15C", sun.ApparentElevationDeg(101000, 15), tolerance)
	}
}

// Many places and years: the largest error must stay within what SunAt states,
// and the usual one so small that no term of the series can be missing.
func TestSunAgainstEphemerisAtRandom(t *testing.T) {
	rows, squares := readTable(t, "positions_random_ephem.csv"), 0.0
	for _, row := range rows {
		sun := physics.SunAt(row.time("time_utc"), row.number("latitude_deg"), row.number("longitude_deg"))
		up := sun.ElevationDeg - row.number("altitude_true_deg")
		across := math.Remainder(sun.AzimuthDeg-row.number("azimuth_from_north_deg"), 360) * math.Cos(sun.ElevationDeg*math.Pi/180)
		within(t, row.where, math.Hypot(up, across), 0, sunToleranceDeg)
		squares += up*up + across*across
	}
	within(t, "root mean square", math.Sqrt(squares/float64(len(rows))), 0, 0.0014)
}

func TestRefractionExample(t *testing.T) {
	// Meeus, Astronomical Algorithms, example 16.a, from memory: at a true
	// altitude of 0.5541 degrees the air lifts by 24.618 minutes of arc, at 10
	// degC and 1010 hPa.
	within(t, "minutes of arc", 60*physics.RefractionDeg(0.5541, 101000, 10), 24.618, 0.02)
	within(t, "below the horizon", physics.RefractionDeg(-2, 101000, 10), 0, 0)
}

func TestSunDayAgainstEphemeris(t *testing.T) {
	for _, row := range readTable(t, "rise_set_ephem.csv") {
		date, err := time.Parse(time.DateOnly, row.text("local_date"))
		if err != nil {
			t.Fatal(err)
		}
		day := physics.SunDayOn(date.Year(), date.Month(), date.Day(), row.number("latitude_deg"), row.number("longitude_deg"))
		nearTime(t, row.where+" noon", day.Noon, row.time("solar_noon_utc"), 2*time.Second)
		row.near("altitude_at_noon_true_deg", day.NoonElevationDeg, sunToleranceDeg)
		switch row.text("sunrise_utc") {
		case "AlwaysUp":
			wantKind(t, row.where, day, physics.SunAlwaysUp)
		case "NeverUp":
			wantKind(t, row.where, day, physics.SunNeverUp)
		default:
			wantKind(t, row.where, day, physics.SunRisesAndSets)
			// 5 s in time is 0.02 degrees of turning; at 60 degrees the sun rises slowly.
			nearTime(t, row.where+" sunrise", day.Sunrise, row.time("sunrise_utc"), 5*time.Second)
			nearTime(t, row.where+" sunset", day.Sunset, row.time("sunset_utc"), 5*time.Second)
		}
	}
}

func wantKind(t *testing.T, where string, day physics.SunDay, want physics.SunDayKind) {
	t.Helper()
	if day.Kind != want {
		t.Errorf("%s: %v, want %v", where, day.Kind, want)
	}
	if want != physics.SunRisesAndSets && !(day.Sunrise.IsZero() && day.Sunset.IsZero()) {
		t.Errorf("%s: %v, but sunrise %v and sunset %v are set", where, day.Kind, day.Sunrise, day.Sunset)
	}
}

func nearTime(t *testing.T, what string, got, want time.Time, tolerance time.Duration) {
	t.Helper()
	if difference := got.Sub(want); difference.Abs() > tolerance {
		t.Errorf("%s: got %v, want %v within %v (off by %v)", what, got, want, tolerance, difference)
	}
}
