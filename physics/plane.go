package physics

import "math"

// Plane is the orientation of a collector field or another flat surface.
type Plane struct {
	// TiltDeg is 0 for level, 90 for upright.
	TiltDeg float64
	// AzimuthDeg is where the plane faces, from north, clockwise; south is 180.
	AzimuthDeg float64
}

// Validate returns an error that names the angle out of range.
func (p Plane) Validate() error {
	return firstError(
		checkRange("tilt of the plane", p.TiltDeg, 0, 90, "degrees"),
		checkRange("azimuth of the plane", p.AzimuthDeg, 0, 360, "degrees from north, clockwise"),
	)
}

// CosIncidence is the cosine of the angle between the plane's normal and the
// direction given by zenith and azimuth in degrees; negative when the light
// comes from behind.
//
// Source: Duffie and Beckman, eq. 1.6.3. Exact for all angles.
func (p Plane) CosIncidence(zenithDeg, azimuthDeg float64) float64 {
	sinTilt, cosTilt := math.Sincos(p.TiltDeg * radPerDeg)
	sinZenith, cosZenith := math.Sincos(zenithDeg * radPerDeg)
	return clamp(cosTilt*cosZenith+sinTilt*sinZenith*cosDeg(azimuthDeg-p.AzimuthDeg), -1, 1)
}

// IncidenceDeg is the angle of incidence in degrees, 0 to 180.
func (p Plane) IncidenceDeg(zenithDeg, azimuthDeg float64) float64 {
	return acosDeg(p.CosIncidence(zenithDeg, azimuthDeg))
}

// Incidence is IncidenceDeg for a position of the sun.
func (p Plane) Incidence(sun SunPosition) float64 {
	return p.IncidenceDeg(sun.ZenithDeg, sun.AzimuthDeg)
}
