package physics

const (
	fahrenheitPerKelvin = 1.8
	freezingFahrenheit  = 32
)

// MainsWater is the yearly wave of the cold inlet at a place.
type MainsWater struct {
	// MeanAirC is the mean temperature of the air over the year, -5 to 30 degC.
	MeanAirC float64
	// AirSwingK is the warmest less the coldest monthly mean of the air, 0 to
	// 60 K.
	AirSwingK float64
	// Southern turns the wave by half a year.
	Southern bool
}

// Validate returns an error that names the figure out of range.
func (m MainsWater) Validate() error {
	return firstError(
		checkRange("mean air temperature of the year", m.MeanAirC, -5, 30, "degC"),
		checkRange("swing of the monthly air temperatures", m.AirSwingK, 0, 60, "K"),
	)
}

// TemperatureC is the temperature of the cold inlet in degC on a day of the
// year, 1 to 366 (any other number continues the wave). Never below 1 degC:
// water still flows. Figures outside the ranges of Validate are clamped to
// them.
//
// Source: Hendron et al. (2004), Burch and Christensen (2007), NREL, for the
// United States: offset and amplitude read in the abstract, the full formula
// from memory. Single networks differ by several kelvin.
func (m MainsWater) TemperatureC(dayOfYear float64) float64 {
	meanF := clamp(m.MeanAirC, -5, 30)*fahrenheitPerKelvin + freezingFahrenheit
	swingF := clamp(m.AirSwingK, 0, 60) * fahrenheitPerKelvin
	ratio := 0.4 + 0.01*(meanF-44)
	lagDays := 35 - (meanF - 44)
	phaseDeg := 0.986*(dayOfYear-15-lagDays) - 90
	if m.Southern {
		phaseDeg += 180
	}
	mainsF := meanF + 6 + ratio*swingF/2*sinDeg(phaseDeg)
	return max((mainsF-freezingFahrenheit)/fahrenheitPerKelvin, 1)
}
