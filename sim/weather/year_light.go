package weather

import (
	"fmt"
	"math"
	"time"
)

const (
	daysPerYear = 365.25
	// leastYearDays is the shortest span whose light can be called a year's.
	leastYearDays = 360
	// yearLightClose is how near the light must come to what was asked, as a share.
	yearLightClose = 0.001
)

// meetYearLight returns by which share of the days the seasons must be better
// than the climate says, for the light of the span to be that asked for; zero
// when nothing is asked.
func (w *Generated) meetYearLight(lots []float64) (better float64, err error) {
	asked := w.climate.YearLightKWhM2
	if math.IsNaN(asked) {
		return 0, nil
	}
	if len(lots) < leastYearDays {
		return 0, fmt.Errorf("weather: a year's light is asked of %d days; give %d or more", len(lots), leastYearDays)
	}
	days := w.lightOfDays(len(lots))
	yearWith := func(better float64) (kWhM2 float64) {
		for i, lot := range lots {
			kWhM2 += days[i][w.classOf(lot, i, better)]
		}
		return kWhM2 * daysPerYear / float64(len(lots))
	}
	worst, best := -2.0, 2.0 // all days overcast, all clear
	if least, most := yearWith(worst), yearWith(best); !(asked >= least && asked <= most) {
		return 0, fmt.Errorf("weather: a year's light of %g kWh/m2 on the level is asked for; at this place give a value from %.0f (always overcast) to %.0f (always clear)", asked, least, most)
	}
	for range 40 {
		better = (worst + best) / 2
		got := yearWith(better)
		if math.Abs(got-asked) < yearLightClose*asked {
			break
		}
		if got < asked {
			worst = better
		} else {
			best = better
		}
	}
	return better, nil
}

// lightOfDays is the light on the level of each day, were it of each class, in
// kWh/m2, by its hours.
func (w *Generated) lightOfDays(n int) [][dayClasses]float64 {
	days := make([][dayClasses]float64, n)
	start := time.Unix(w.first*86400-int64(w.place.LongitudeDeg*240), 0).UTC()
	for i := range days {
		for hour := range 24 {
			utc := start.Add(time.Duration(24*i+hour)*time.Hour + 30*time.Minute)
			sun := w.place.sunAt(utc)
			second := solarSecond(utc, w.place.LongitudeDeg)
			for class := range days[i] {
				light := coveredLight(utc, sun, w.place, w.climate.Turbidity, w.coverOf(dayClass(class), second), w.climate.MeanAirC)
				days[i][class] += light.GlobalHorizontalWM2 / 1000
			}
		}
	}
	return days
}
