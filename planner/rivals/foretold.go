package rivals

import (
	"time"

	"sunstoker/control"
	"sunstoker/sim/weather"
)

// foretoldHours are told at each midnight, as a usual service does: two days.
const foretoldHours = 48

// lookEvery is how often the weather is looked at within an hour for its mean.
const lookEvery = 5 * time.Minute

// exactLight is the forecast of the light that nobody has: the mean of each hour on
// level ground as it will come.
func exactLight(w weather.Source, made time.Time) *control.LightForecast {
	l := &control.LightForecast{Made: made, From: made.Truncate(time.Hour)}
	for hour := range l.WM2 {
		l.WM2[hour] = notForetold
		if hour >= foretoldHours {
			continue
		}
		begin, sum := l.From.Add(time.Duration(hour)*time.Hour), 0.0
		for at := lookEvery / 2; at < time.Hour; at += lookEvery {
			sum += w.At(begin.Add(at).UTC()).GlobalHorizontalWM2
		}
		l.WM2[hour] = sum / float64(time.Hour/lookEvery)
	}
	return l
}

// notForetold is light of which nothing is said.
const notForetold = -1
