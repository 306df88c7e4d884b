package physics_test

import (
	"testing"
	"time"

	"sunstoker/physics"
)

func TestIncidenceAgainstTable(t *testing.T) {
	for _, row := range readTable(t, "incidence_angle.csv") {
		plane := physics.Plane{TiltDeg: row.number("surface_tilt_deg"), AzimuthDeg: row.number("surface_azimuth_deg")}
		zenith, azimuth := row.number("zenith_deg"), row.number("azimuth_deg")
		row.near("cosine", plane.CosIncidence(zenith, azimuth), 1e-9)
		// Near 0 degrees the arc cosine turns 1e-16 into 1e-8 rad.
		row.near("incidence_deg", plane.IncidenceDeg(zenith, azimuth), 2e-6)
	}
}

func TestTextbookGeometry(t *testing.T) {
	// Duffie and Beckman count azimuth from south, west positive: add 180.
	within(t, "example 1.5.1, equation of time", physics.EquationOfTimeMin(34), -13.5, 0.1)
	// 10:30 to 10:18:54 with the book's rounded steps.
	within(t, "example 1.5.1, solar time", physics.SolarTimeOffsetMin(34, -89.4, -90), -11.1, 0.1)
	within(t, "example 1.6.1, declination", physics.DeclinationCooperDeg(44), -14, 0.1)
	sun := physics.SunFromHourAngle(43, -14, -22.5)
	plane := physics.Plane{TiltDeg: 45, AzimuthDeg: 180 + 15}
	within(t, "example 1.6.1, cosine", plane.CosIncidence(sun.ZenithDeg, sun.AzimuthDeg), 0.817, 0.001)
	within(t, "example 1.6.1, incidence", plane.Incidence(sun), 35, 0.3) // book: 35
	// Example 1.8.1, from memory, follows from 1.6.1.
	within(t, "example 1.8.1, beam ratio", plane.BeamRatio(sun), 1.66, 0.01)
	// The book goes on with its rounded -14 degrees.
	sun = physics.SunFromHourAngle(43, physics.DeclinationCooperDeg(44), -37.5)
	within(t, "example 1.6.2a, zenith", sun.ZenithDeg, 66.5, 0.1)
	within(t, "example 1.6.2a, azimuth", sun.AzimuthDeg, 180-40, 0.15)
}

func TestMeanDays(t *testing.T) {
	for _, row := range readTable(t, "mean_days.csv") {
		month, err := time.Parse("January", row.text("month"))
		if err != nil {
			t.Fatal(err)
		}
		day, err := physics.MonthMeanDay(int(month.Month()))
		if err != nil {
			t.Fatal(err)
		}
		row.near("day_of_year", float64(day), 0)
		row.near("declination_deg", physics.DeclinationCooperDeg(float64(day)), 0.06)
	}
}
