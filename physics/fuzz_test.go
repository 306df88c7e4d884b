package physics_test

import (
	"math"
	"testing"
	"time"

	"sunstoker/physics"
)

// Anything at all may come in; what comes out is a finite number or an error.

func FuzzSunAt(f *testing.F) {
	f.Add(int64(0), 0.0, 0.0)
	f.Add(int64(1<<40), 90.0, 180.0)
	f.Add(int64(-1<<50), -1e300, 1e300)
	f.Fuzz(func(t *testing.T, unix int64, latitude, longitude float64) {
		if notFinite(latitude) || notFinite(longitude) {
			t.Skip()
		}
		sun := physics.SunAt(time.Unix(unix, 0), latitude, longitude)
		for _, value := range []float64{sun.ElevationDeg, sun.ZenithDeg, sun.AzimuthDeg, sun.DeclinationDeg, sun.HourAngleDeg, sun.DistanceAU} {
			if notFinite(value) {
				t.Fatalf("%+v", sun)
			}
		}
	})
}

func FuzzGlycol(f *testing.F) {
	f.Add(0.4, 20.0, 3e5)
	f.Add(0.6, -1e300, 0.0)
	f.Add(math.NaN(), 1e300, -1.0)
	f.Fuzz(func(t *testing.T, massFraction, tempC, pressurePa float64) {
		fluid, err := physics.PropyleneGlycol(massFraction)
		if err != nil {
			if massFraction >= 0 && massFraction <= 0.6 {
				t.Fatal(err)
			}
			return
		}
		if notFinite(tempC) || notFinite(pressurePa) {
			t.Skip()
		}
		for _, value := range []float64{fluid.DensityKgM3(tempC), fluid.SpecificHeatJKgK(tempC), fluid.ViscosityPaS(tempC),
			fluid.ConductivityWmK(tempC), fluid.BoilingPointC(pressurePa)} {
			if notFinite(value) || !(value > 0 || value == fluid.BoilingPointC(pressurePa)) {
				t.Fatalf("%v at %g degC and %g Pa gives %g", fluid, tempC, pressurePa, value)
			}
		}
	})
}

func FuzzLightOnPlane(f *testing.F) {
	f.Add(800.0, 30.0, 180.0, 40.0, 180.0, 1367.0)
	f.Add(1e300, 89.99, -400.0, 1e9, 7.0, 0.0)
	f.Fuzz(func(t *testing.T, global, zenith, azimuth, tilt, facing, outside float64) {
		for _, value := range []float64{global, zenith, azimuth, tilt, facing, outside} {
			if notFinite(value) || math.Abs(value) > 1e12 {
				t.Skip()
			}
		}
		light := physics.SplitGlobal(global, zenith, outside)
		plane := physics.Plane{TiltDeg: tilt, AzimuthDeg: facing}
		sun := physics.SunPosition{ZenithDeg: zenith, AzimuthDeg: azimuth}
		if got := plane.On(light, sun, outside, 0.2, physics.SkyReindl).TotalWM2(); notFinite(got) || got < 0 {
			t.Fatalf("%g W/m2 on the plane", got)
		}
	})
}

func notFinite(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }
