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
// 2.16. The model of Perez and others (1990) is left out: its table of 48
// coefficients, measured at a few places, betters a year's sum on a plane by a
// percent at most against Reindl (from memory), less than typical years differ.
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

// smallestCosZenith keeps the ring around the sun finite when the sun is at the
// horizon: the cosine of 89 degrees.
const smallestCosZenith = 0.01745

// On is the light on a plane with the sun where it stands.
// extraterrestrialNormalWM2 is the irradiance outside the air in W/m2 (see
// ExtraterrestrialNormalWM2); albedo is the ground's reflectance, clamped to
// 0..1 (0.2 for ordinary ground, common practice, no source). Negative or NaN
// irradiance counts as none. With the sun below the horizon there is no beam.
// Ground light is isotropic: GHI albedo (1 - cos tilt)/2.
//
// Source: Duffie and Beckman, sections 2.15 and 2.16. Against measured
// light on a plane that faces the equator the isotropic sky is some 5 % low over the
// year, the richer ones are within about 3 % (from memory); single hours scatter by
// 10 %.
//
// The quotient by the cosine of the zenith is clamped where light is given that
// cannot be: the beam counts for no more than outside the air, and so does the
// beam with the bright ring around the sun that the two richer models add; what
// the ring would have beyond it is spread over the sky. Light whose global is
// below that outside the air never meets this clamp. With the sun within 1 degree
// of the horizon the ring is that of 1 degree. Where
// extraterrestrialNormalWM2 is not above zero the beam is not clamped and the sky
// is isotropic.
func (p Plane) On(light Irradiance, sun SunPosition, extraterrestrialNormalWM2, albedo float64, model SkyModel) PlaneIrradiance {
	global := notNegative(light.GlobalHorizontalWM2)
	beam := notNegative(light.BeamNormalWM2)
	diffuse := notNegative(light.DiffuseHorizontalWM2)
	if sun.ZenithDeg >= 90 {
		beam = 0
	} else if extraterrestrialNormalWM2 > 0 {
		beam = math.Min(beam, extraterrestrialNormalWM2)
	}
	cosTilt := cosDeg(p.TiltDeg)
	cosIncidence := math.Max(p.CosIncidence(sun.ZenithDeg, sun.AzimuthDeg), 0)
	return PlaneIrradiance{
		BeamWM2:   beam * cosIncidence,
		SkyWM2:    p.skyWM2(model, cosTilt, cosIncidence, cosDeg(sun.ZenithDeg), global, beam, diffuse, extraterrestrialNormalWM2),
		GroundWM2: global * clamp(albedo, 0, 1) * (1 - cosTilt) / 2,
	}
}

// skyWM2 is the diffuse light on the plane.
func (p Plane) skyWM2(model SkyModel, cosTilt, cosIncidence, cosZenith, global, beam, diffuse, extraterrestrial float64) float64 {
	even := (1 + cosTilt) / 2
	if model == SkyIsotropic || !(extraterrestrial > 0) || beam <= 0 || cosZenith <= 0 {
		return diffuse * even
	}
	// The ring around the sun holds the share beam/extraterrestrial of the
	// diffuse light on the level; facing the sun it is by the cosine brighter.
	ring := math.Min(diffuse*beam/extraterrestrial/math.Max(cosZenith, smallestCosZenith), extraterrestrial-beam)
	brightening := 1.0
	if model == SkyReindl && global > 0 {
		half := sinDeg(p.TiltDeg / 2)
		brightening += math.Sqrt(clamp(beam*cosZenith/global, 0, 1)) * half * half * half
	}
	return ring*cosIncidence + (diffuse-ring*cosZenith)*even*brightening
}

func notNegative(x float64) float64 {
	if x > 0 {
		return x
	}
	return 0
}
