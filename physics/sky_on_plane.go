package physics

import "math"

// Irradiance is the light at a place on the level ground, all in W/m2.
type Irradiance struct {
	// GlobalHorizontalWM2 is all light on a level plane.
	GlobalHorizontalWM2 float64
	// BeamNormalWM2 is the beam on a plane that faces the sun.
	BeamNormalWM2 float64
	// DiffuseHorizontalWM2 is the light of the sky on a level plane.
	DiffuseHorizontalWM2 float64
}

// PlaneIrradiance is the light on a tilted plane by its origin, all in W/m2 and
// never negative. Apply an incidence-angle modifier to each part.
type PlaneIrradiance struct {
	BeamWM2, SkyWM2, GroundWM2 float64
}

// TotalWM2 is the sum of the three parts.
func (p PlaneIrradiance) TotalWM2() float64 { return p.BeamWM2 + p.SkyWM2 + p.GroundWM2 }

// SkyModel names a way of spreading diffuse light over the sky.
type SkyModel int

// The sky models. Source of all three: Duffie and Beckman, sections 2.15 and
// 2.16.
const (
	// SkyIsotropic takes the sky as evenly bright (Liu and Jordan 1963). It is
	// low for planes that face the sun.
	SkyIsotropic SkyModel = iota
	// SkyHayDavies adds the bright ring around the sun (Hay and Davies 1980).
	SkyHayDavies
	// SkyReindl adds the bright horizon too (Reindl, Beckman and Duffie 1990,
	// called HDKR). It is the one for simulations.
	SkyReindl
)

// String names the model.
func (m SkyModel) String() string {
	switch m {
	case SkyHayDavies:
		return "Hay-Davies"
	case SkyReindl:
		return "Reindl"
	}
	return "isotropic"
}

// smallestCosZenith keeps the beam ratio finite when the sun is at the
// horizon: the cosine of 89 degrees.
const smallestCosZenith = 0.01745

// On is the light on a plane with the sun where it stands.
// extraterrestrialNormalWM2 is the irradiance outside the air in W/m2 (see
// ExtraterrestrialNormalWM2), used by the two richer models; albedo is the
// ground's reflectance, clamped to 0..1 (0.2 for ordinary ground, common
// practice, no source). Negative or NaN irradiance counts as none. With the
// sun below the horizon there is no beam. Ground light is isotropic:
// GHI albedo (1 - cos tilt)/2.
func (p Plane) On(light Irradiance, sun SunPosition, extraterrestrialNormalWM2, albedo float64, model SkyModel) PlaneIrradiance {
	global := notNegative(light.GlobalHorizontalWM2)
	beam := notNegative(light.BeamNormalWM2)
	diffuse := notNegative(light.DiffuseHorizontalWM2)
	if sun.ZenithDeg >= 90 {
		beam = 0
	}
	cosTilt := cosDeg(p.TiltDeg)
	cosIncidence := math.Max(p.CosIncidence(sun.ZenithDeg, sun.AzimuthDeg), 0)
	return PlaneIrradiance{
		BeamWM2:   beam * cosIncidence,
		SkyWM2:    diffuse * p.skyShare(model, cosTilt, cosIncidence, sun.ZenithDeg, global, beam, extraterrestrialNormalWM2),
		GroundWM2: global * clamp(albedo, 0, 1) * (1 - cosTilt) / 2,
	}
}

// skyShare is diffuse light on the plane by that on the level.
func (p Plane) skyShare(model SkyModel, cosTilt, cosIncidence, zenithDeg, global, beam, extraterrestrial float64) float64 {
	even := (1 + cosTilt) / 2
	if model == SkyIsotropic || extraterrestrial <= 0 || beam <= 0 {
		return even
	}
	cosZenith := cosDeg(zenithDeg)
	clearness := clamp(beam/extraterrestrial, 0, 1)
	ring := cosIncidence / math.Max(cosZenith, smallestCosZenith)
	if model == SkyHayDavies {
		return clearness*ring + (1-clearness)*even
	}
	brightening := 1.0
	if global > 0 {
		half := sinDeg(p.TiltDeg / 2)
		brightening += math.Sqrt(clamp(beam*math.Max(cosZenith, 0)/global, 0, 1)) * half * half * half
	}
	return clearness*ring + (1-clearness)*even*brightening
}

func notNegative(x float64) float64 {
	if x > 0 {
		return x
	}
	return 0
}
