package dashboard

import (
	"time"

	"sunstoker/control"
	"sunstoker/physics"
)

// daylight tells whether the sun is up over the house, and at which civil time
// of the house it next rises when it is not; empty when it won't within two
// days. Nothing is known while the clock is not set.
func daylight(plan *control.Plan, wall control.Wall) (up knowledge, rises string) {
	if !wall.Trusted {
		return unknown, ""
	}
	now := wall.Time
	solar := now.UTC().Add(time.Duration(plan.LongitudeDeg / 15 * float64(time.Hour)))
	for days := range 3 {
		date := solar.AddDate(0, 0, days)
		sun := physics.SunDayOn(date.Year(), date.Month(), date.Day(), plan.LatitudeDeg, plan.LongitudeDeg)
		switch {
		case days == 0 && (sun.Kind == physics.SunAlwaysUp || now.After(sun.Sunrise) && now.Before(sun.Sunset)):
			return yes, ""
		case sun.Kind == physics.SunRisesAndSets && sun.Sunrise.After(now):
			return no, sun.Sunrise.In(zoneOf(plan)).Format("15:04")
		}
	}
	return no, ""
}
