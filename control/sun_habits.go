package control

import (
	"math"
	"time"

	"sunstoker/physics"
)

// SunHabits is what the plant makes of its sun: heat in the tank for the light
// that a clear sky would send beyond what the collector needs to get warm.
type SunHabits struct {
	Days     float64 `json:"days"`   // learned
	Ratio    float64 `json:"ratio"`  // kWh by kWh/m² of clear light, in the mean
	Last     float64 `json:"last"`   // of the day before
	Low      float64 `json:"low"`    // what comes by what was foreseen: the lowest tenth is below
	Clear    float64 `json:"clear"`  // kWh/m² today
	Sun      float64 `json:"sun"`    // kWh today
	Lately   float64 `json:"lately"` // the same two of the last hours
	SunLate  float64 `json:"sunlate"`
	Foreseen float64 `json:"foreseen"` // kWh for the rest of the day, at a third of its light
	Spoilt   bool    `json:"spoilt"`   // the tank was full, the pump not allowed
	Day      int64   `json:"day_s"`
	BookKWh  float64 `json:"book"` // in the energy book, at the last look
	Known    bool    `json:"known"`
}

const (
	warmingWM2  = 200  // light that a collector takes to get as warm as a tank; common practice, no source
	sunPersists = 0.35 // of a day's departure from the mean that is left the next day, from memory
	sunFades    = 20.0 // days in which what was learned fades
	latelyFades = 3.0  // hours likewise of the last hours
	latelyTrust = 1.0  // kWh/m² of clear light that tell as much as all days before
	cautiousSun = 0.1
	usualLow    = 0.3
	usualRatio  = 0.0
)

// usefulClear is the clear light on a plane, kW/m², beyond what warms the collector.
func (c *Controller) usefulClear(at time.Time, plane physics.Plane) float64 {
	sun := physics.SunAt(at, c.plan.LatitudeDeg, c.plan.LongitudeDeg)
	return max(0, clearOnPlaneWM2(sun, plane)-warmingWM2) / 1000
}

// follow counts light and heat of a span.
func (h *SunHabits) follow(usefulKW, bookKWh float64, day int64, spoilt bool, span time.Duration) {
	if !h.Known {
		h.BookKWh, h.Known, h.Day, h.Spoilt = bookKWh, true, day, true
		return
	}
	if day != h.Day {
		h.closeDay()
		h.Day = day
	}
	clear, sun := usefulKW*span.Hours(), bookKWh-h.BookKWh
	h.BookKWh = bookKWh
	h.Clear, h.Sun = h.Clear+clear, h.Sun+sun
	fade := math.Exp(-span.Hours() / latelyFades)
	h.Lately, h.SunLate = fade*h.Lately+clear, fade*h.SunLate+sun
	h.Spoilt = h.Spoilt || spoilt
}

func (h *SunHabits) closeDay() {
	if h.Clear > 0.3 {
		ratio := h.Sun / h.Clear
		if !h.Spoilt || ratio > h.Last {
			weight := max(1/(h.Days+1), 1/sunFades)
			h.Ratio += weight * (ratio - h.Ratio)
			h.Last = ratio
			h.Days++
		}
	}
	h.Clear, h.Sun, h.Lately, h.SunLate, h.Spoilt, h.Foreseen = 0, 0, 0, 0, false, 0
}

// today is the ratio that the rest of the day will likely have.
func (h *SunHabits) today() float64 {
	before := h.Ratio + sunPersists*(h.Last-h.Ratio)
	return (latelyTrust*before + h.SunLate) / (latelyTrust + h.Lately)
}

// tomorrow likewise.
func (h *SunHabits) tomorrow() float64 {
	return h.Ratio + sunPersists*(h.today()-h.Ratio)
}
