package plant

// Surroundings is what the outside does to a plant during one step. All values
// must be finite; a NaN would stay in the plant.
type Surroundings struct {
	// AbsorbableWM2 is the irradiance on the collector plane after the
	// incidence-angle modifier in W/m2.
	AbsorbableWM2 float64
	AirC          float64 // outdoor air in degC
	// SkyDropK is how much colder than the air the sky is in K.
	SkyDropK float64
	RoomC    float64 // air around the tank in degC
	ColdC    float64 // water from the main in degC
}

// nightDropK is how much colder than the air the collector's surroundings
// seem. It fades out with daylight, since the published coefficients already
// hold the loss to a day's sky.
func (s *Surroundings) nightDropK(share float64) float64 {
	const daylightWM2 = 200
	if s.AbsorbableWM2 >= daylightWM2 {
		return 0
	}
	return share * s.SkyDropK * (1 - s.AbsorbableWM2*(1.0/daylightWM2))
}
