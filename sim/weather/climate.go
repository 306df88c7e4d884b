package weather

import "math"

// Climate is what the generated weather varies about. UsualClimate gives one
// for a place.
type Climate struct {
	MeanAirC     float64 // mean of the year in degC, -30 to 35
	SeasonSwingK float64 // warmest less coldest month in K, 0 to 60
	DaySwingK    float64 // warmest less coldest hour of a clear day in K, 0 to 30
	ClearShare   float64 // share of clear days
	PartShare    float64 // share of days with passing clouds; the rest is overcast
	Persistence  float64 // how likely a day is simply like the last one, 0 to below 1
	WindMS       float64 // mean wind in m/s, 0 to 20
	Turbidity    float64 // Linke turbidity of the clear sky, 1 to 10
	// ColdestNightC is the coldest temperature of the whole span in degC, NaN
	// to let it fall as it may.
	ColdestNightC float64
}

// UsualClimate is an invented climate for a place: mean 27 - 0.0075 latitude^2
// degC less 6.5 K a km, seasons growing with latitude. It serves demos and
// tests; nobody has measured it.
func UsualClimate(place Place) Climate {
	latitude := math.Abs(place.LatitudeDeg)
	return Climate{
		MeanAirC:      math.Max(-30, 27-0.0075*latitude*latitude-0.0065*place.AltitudeM),
		SeasonSwingK:  math.Min(40, 0.42*latitude),
		DaySwingK:     10,
		ClearShare:    0.35,
		PartShare:     0.35,
		Persistence:   0.4,
		WindMS:        2.5,
		Turbidity:     usualTurbidity,
		ColdestNightC: math.NaN(),
	}
}

// Validate returns an error that names the figure out of range.
func (c Climate) Validate() error {
	return checkAll(
		quantity{"climate's mean air temperature", c.MeanAirC, -30, 35, "degC"},
		quantity{"climate's swing of the seasons", c.SeasonSwingK, 0, 60, "K"},
		quantity{"climate's swing of a clear day", c.DaySwingK, 0, 30, "K"},
		quantity{"climate's share of clear days", c.ClearShare, 0, 1, ""},
		quantity{"climate's share of days with passing clouds", c.PartShare, 0, 1 - c.ClearShare + 1e-9, ""},
		quantity{"climate's persistence of a day's weather", c.Persistence, 0, 0.99, ""},
		quantity{"climate's mean wind", c.WindMS, 0, 20, "m/s"},
		quantity{"climate's Linke turbidity", c.Turbidity, 1, 10, ""},
	)
}
