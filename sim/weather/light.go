package weather

import (
	"math"
	"time"

	"sunstoker/physics"
)

// coveredLight is the light at a place under a sky of which the share cover
// (0 to 1) hides the sun and weakens the rest: the beam loses the share, the
// global follows 1 - 0.75 cover^3.4, and diffuse is what remains. The Linke
// turbidity is that of physics.ClearSkyIneichen.
//
// Source: Kasten and Czeplak (1980) for the global (from memory); using it
// minute by minute with the cover before the sun is our own simplification.
func coveredLight(utc time.Time, sun physics.SunPosition, place Place, turbidity, cover, airC float64) physics.Irradiance {
	if sun.ElevationDeg < -1 {
		return physics.Irradiance{}
	}
	pressurePa := physics.AirPressurePa(place.AltitudeM)
	apparentZenith := 90 - sun.ApparentElevationDeg(pressurePa, airC)
	airMass := physics.AirMass(apparentZenith) * pressurePa / physics.StandardPressurePa
	clear := physics.ClearSkyIneichen(apparentZenith, airMass, turbidity, place.AltitudeM,
		physics.ExtraterrestrialNormalWM2(float64(utc.YearDay())))
	if clear.GlobalHorizontalWM2 == 0 {
		return clear
	}
	cover = math.Min(math.Max(cover, 0), 1)
	sine := math.Cos(apparentZenith * math.Pi / 180)
	light := physics.Irradiance{
		GlobalHorizontalWM2: clear.GlobalHorizontalWM2 * (1 - 0.75*math.Pow(cover, 3.4)),
		BeamNormalWM2:       clear.BeamNormalWM2 * (1 - cover),
	}
	light.DiffuseHorizontalWM2 = math.Max(0, light.GlobalHorizontalWM2-light.BeamNormalWM2*sine)
	return light
}

// clearestBeamWM2 is the beam under the clearest sky there can be, for a sine
// of the sun's elevation and the beam outside the air.
func clearestBeamWM2(place Place, sine, outsideWM2 float64) float64 {
	zenithDeg := math.Acos(sine) * 180 / math.Pi
	airMass := physics.AirMass(zenithDeg) * physics.AirPressurePa(place.AltitudeM) / physics.StandardPressurePa
	return physics.ClearSkyIneichen(zenithDeg, airMass, clearestTurbidity, place.AltitudeM, outsideWM2).BeamNormalWM2
}

// sunAt is the sun at the place.
func (p Place) sunAt(utc time.Time) physics.SunPosition {
	return physics.SunAt(utc, p.LatitudeDeg, p.LongitudeDeg)
}
