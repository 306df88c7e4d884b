package planner

import (
	"math"
	"time"

	"sunstoker/physics"
	"sunstoker/sim/weather"
)

// week is seven days worth a closer look.
type week struct {
	Title string // what makes it worth it
	Start time.Time
	Why   string // in figures
}

// dayWeather is what a day's weather amounts to.
type dayWeather struct {
	lightKWhM2   float64 // on the level
	outsideKWhM2 float64 // on the level, had there been no air
	coldestC     float64
}

// chooseWeeks looks through the weather for the sunniest, the dullest and the
// coldest week. Dull is meant for the season: by the share of the light outside
// the air that came through. Days are of the zone.
func chooseWeeks(w weather.Source, start time.Time, days int, zone *time.Location) []week {
	first := start.In(zone)
	sky := make([]dayWeather, days)
	for d := range sky {
		sky[d] = lookAtDay(w, first.AddDate(0, 0, d))
	}
	if days < 7 {
		return nil
	}
	type sums struct{ light, share, cold float64 }
	var best [3]int
	at := make([]sums, days-6)
	for d := range at {
		var light, outside, cold float64
		for _, s := range sky[d : d+7] {
			light, outside, cold = light+s.lightKWhM2, outside+s.outsideKWhM2, cold+s.coldestC/7
		}
		at[d] = sums{light, light / math.Max(outside, 1e-9), cold}
		if at[d].light > at[best[0]].light {
			best[0] = d
		}
		if at[d].share < at[best[1]].share {
			best[1] = d
		}
		if at[d].cold < at[best[2]].cold {
			best[2] = d
		}
	}
	cold := "A frosty week"
	if at[best[2]].cold >= 0 {
		cold = "The coldest week"
	}
	coldest := sky[best[2]].coldestC
	for _, s := range sky[best[2] : best[2]+7] {
		coldest = min(coldest, s.coldestC)
	}
	day := func(i int) time.Time { return first.AddDate(0, 0, best[i]) }
	return []week{
		{"A sunny week", day(0), text("%.1f kWh/m² of light a day on the level, more than in any other week", at[best[0]].light/7)},
		{"A cloudy week", day(1), text("only %.0f %% of the light outside the air came through, less than in any other week", 100*at[best[1]].share)},
		{cold, day(2), text("nights down to %.1f °C, the coldest week of the year", coldest)},
	}
}

func lookAtDay(w weather.Source, from time.Time) dayWeather {
	const every = time.Hour
	place := w.Place()
	out := dayWeather{coldestC: math.Inf(1)}
	end := from.AddDate(0, 0, 1)
	for at := from.UTC().Add(every / 2); at.Before(end); at = at.Add(every) {
		s := w.At(at)
		out.lightKWhM2 += s.GlobalHorizontalWM2 / 1000
		sun := physics.SunAt(at, place.LatitudeDeg, place.LongitudeDeg)
		if sine := math.Sin(sun.ElevationDeg * math.Pi / 180); sine > 0 {
			out.outsideKWhM2 += physics.ExtraterrestrialNormalWM2(float64(at.YearDay())) * sine / 1000
		}
		out.coldestC = min(out.coldestC, s.AirC)
	}
	return out
}
