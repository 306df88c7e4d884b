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
	// SummerShare is the share of days by which the middle of the warm season has
	// more clear ones, and fewer overcast ones, than the year, -0.5 to 0.5; the cold
	// season has fewer by as much.
	SummerShare float64
	Persistence float64 // how likely a day is simply like the last one, 0 to below 1
	WindMS      float64 // mean wind in m/s, 0 to 20
	Turbidity   float64 // Linke turbidity of the clear sky, 1 to 10
	// ColdestNightC is the coldest temperature of the whole span in degC, NaN
	// to let it fall as it may.
	ColdestNightC float64
	// YearLightKWhM2 is the global light on the level in a year, in kWh/m2, NaN to
	// let it fall as it may.
	YearLightKWhM2 float64
}

// usualSky is how clear the sky is at a latitude: the mean over the year of a
// scale on which all days clear are 1, all overcast 0, and passing clouds half of
// it, and by how much the middle of the warm season is above that.
//
// The rows of 38 and 48.6 degrees are those of Athens and Strasbourg, by the
// reference climates of regulation EU 812/2013, Annex VII; the others from memory
// of yearly sums: about 1650 kWh/m2 near the equator, 2000 in the dry belts, 1000
// at 60 degrees. Places of one latitude differ by a fifth and more.
var usualSky = []struct{ latitudeDeg, clearness, summer float64 }{
	{0, 0.40, 0},
	{15, 0.56, 0},
	{25, 0.70, 0.05},
	{38, 0.58, 0.30},
	{48.6, 0.41, 0.17},
	{52, 0.36, 0.15},
	{60, 0.46, 0.12},
	{90, 0.46, 0.12},
}

// skyAt is usualSky between its rows.
func skyAt(latitudeDeg float64) (clearness, summer float64) {
	rows := usualSky
	for len(rows) > 2 && latitudeDeg > rows[1].latitudeDeg {
		rows = rows[1:]
	}
	into := (latitudeDeg - rows[0].latitudeDeg) / (rows[1].latitudeDeg - rows[0].latitudeDeg)
	return rows[0].clearness + into*(rows[1].clearness-rows[0].clearness), rows[0].summer + into*(rows[1].summer-rows[0].summer)
}

// UsualClimate is what can be said of a climate by latitude and altitude alone:
// mean air 27 - 0.0068 latitude^2 degC less 4.3 K a km (places where people live
// high up lie on warm plateaus and slopes; free air loses 6.5 K), seasons growing
// with latitude, a sky by usualSky. Sea, mountains and monsoons are not known;
// single places are off by 4 K and by a fifth of the light.
func UsualClimate(place Place) Climate {
	const partShare = 0.35
	latitude := math.Abs(place.LatitudeDeg)
	clearness, summer := skyAt(latitude)
	return Climate{
		MeanAirC:       math.Max(-30, 27-0.0068*latitude*latitude-0.0043*place.AltitudeM),
		SeasonSwingK:   math.Min(40, 0.42*latitude),
		DaySwingK:      10,
		ClearShare:     clearness - partShare/2,
		PartShare:      partShare,
		SummerShare:    summer,
		Persistence:    0.4,
		WindMS:         2.5,
		Turbidity:      usualTurbidity,
		ColdestNightC:  math.NaN(),
		YearLightKWhM2: math.NaN(),
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
		quantity{"climate's share of days that summer has better", c.SummerShare, -0.5, 0.5, ""},
		quantity{"climate's persistence of a day's weather", c.Persistence, 0, 0.99, ""},
		quantity{"climate's mean wind", c.WindMS, 0, 20, "m/s"},
		quantity{"climate's Linke turbidity", c.Turbidity, 1, 10, ""},
	)
}
