package control

import (
	"math"
	"time"

	"sunstoker/physics"
)

// SunHabits is what the plant makes of its sun, and so how it foresees it
// without anybody's help: the heat that came into the tank by the light that a
// clear sky would have sent, beyond what warms the collector. That ratio holds
// the weather as well as the plant. Tomorrow's is the mean, with what is left of
// today's departure from it; today's is put right by the last hours.
type SunHabits struct {
	Days  float64    `json:"days"`  // learned
	Ratio float64    `json:"ratio"` // kWh by kWh/m² of clear light, in the mean
	Last  float64    `json:"last"`  // of the day before
	Low   [2]float64 `json:"low"`   // part of what is foreseen, for the rest of today and for tomorrow, that nine days of ten have
	High  [2]float64 `json:"high"`  // and one of ten

	Clear       float64    `json:"clear"` // kWh/m² today
	Sun         float64    `json:"sun"`   // kWh today
	LatelyClear float64    `json:"lately_clear"`
	LatelySun   float64    `json:"lately_sun"` // the same two in the last hours
	Foreseen    [2]float64 `json:"foreseen"`   // kWh of today: as its second third began, and the day before
	Before      float64    `json:"before"`     // kWh that had come by the former
	Spoilt      bool       `json:"spoilt"`     // the tank was full, the pump not allowed
	Day         int64      `json:"day_s"`
	BookKWh     float64    `json:"book"` // in the energy book, at the last look
	Known       bool       `json:"known"`
}

const (
	// warmingWM2 is the light that only keeps a collector as warm as a tank: a
	// loss of 4 W/(m² K) at 40 K over an efficiency of 0.8. Common practice, no
	// source.
	warmingWM2 = 200
	// sunPersists is what is left of a day's departure from the mean on the next
	// day: about 0.3 of clearness (Graham, Hollands and Brunger 1988, from memory).
	sunPersists = 0.3
	sunFades    = 20.0 // days in which what was learned fades
	latelyFades = 3.0  // hours in which the last hours fade
	latelyTrust = 1.0  // kWh/m² of clear light that tell as much as all days before
	// leastClear is a day's clear light, kWh/m², that can tell anything.
	leastClear = 0.3
	// edgeShare of the days lie below the low edge, and as many above the high one.
	edgeShare = 0.1
	// edgeStep is how fast the edges follow.
	edgeStep = 0.04
	// usualLow and usualHigh are the edges of a plant that nothing is known of.
	usualLow, usualHigh = 0.3, 2
	mostEdge            = 10
)

// The leads of a forecast.
const (
	restOfToday = iota
	allTomorrow
)

// lightOfDay works out what a clear sky would send in each hour of a local day.
func (c *Controller) lightOfDay(local time.Time) {
	for i := range c.systems {
		s := &c.systems[i]
		if !s.learns {
			continue
		}
		for hour := range dayHours {
			at := time.Date(local.Year(), local.Month(), local.Day(), hour, 30, 0, 0, local.Location())
			sun := physics.SunAt(at, c.plan.LatitudeDeg, c.plan.LongitudeDeg)
			s.clearKW[hour] = max(0, clearOnPlaneWM2(sun, s.plan.Plane)-warmingWM2) / 1000
		}
		s.clearDayKWh = sum(s.clearKW[:])
	}
}

// follow counts light and heat of a span, on a day that has so much clear light
// in all.
func (h *SunHabits) follow(clearKW, clearDayKWh, bookKWh float64, day int64, spoilt bool, span time.Duration) {
	if !h.Known || day < h.Day || day > h.Day+1 {
		h.newDay(day)
		h.BookKWh, h.Known, h.Spoilt = bookKWh, true, true
		return
	}
	if day > h.Day {
		h.closeDay()
		h.newDay(day)
		h.Foreseen[allTomorrow] = h.tomorrow() * clearDayKWh
	}
	clear, sun := clearKW*span.Hours(), max(0, bookKWh-h.BookKWh)
	h.BookKWh = bookKWh
	h.Clear, h.Sun = h.Clear+clear, h.Sun+sun
	fade := math.Exp(-span.Hours() / latelyFades)
	h.LatelyClear, h.LatelySun = fade*h.LatelyClear+clear, fade*h.LatelySun+sun
	h.Spoilt = h.Spoilt || spoilt
	if h.Foreseen[restOfToday] == 0 && h.Clear >= clearDayKWh/3 {
		h.Foreseen[restOfToday], h.Before = h.today()*max(0, clearDayKWh-h.Clear), h.Sun
	}
}

func (h *SunHabits) newDay(day int64) {
	h.Clear, h.Sun, h.LatelyClear, h.LatelySun, h.Before = 0, 0, 0, 0, 0
	h.Foreseen, h.Spoilt, h.Day = [2]float64{}, false, day
}

// closeDay learns from a day that is over. A full tank hides what the sun could
// have brought, so that such a day teaches only that it was more than foreseen.
func (h *SunHabits) closeDay() {
	if h.Clear < leastClear {
		return
	}
	ratio := min(mostEdge, h.Sun/h.Clear)
	if h.Spoilt && ratio <= h.Last {
		return
	}
	h.judge(restOfToday, h.Sun-h.Before)
	h.judge(allTomorrow, h.Sun)
	h.Ratio += max(1/(h.Days+1), 1/sunFades) * (ratio - h.Ratio)
	h.Last = ratio
	h.Days = min(h.Days+1, 10000)
}

// judge moves the edges of a forecast towards where a tenth of the days lies
// beyond each: a step away for a day within, nine steps back for one beyond.
func (h *SunHabits) judge(lead int, cameKWh float64) {
	h.Low, h.High = h.edges()
	foreseen := h.Foreseen[lead]
	if foreseen < leastSunKWh {
		return
	}
	h.Low[lead] = lowEdge(h.Low[lead], cameKWh, foreseen)
	h.High[lead] = min(mostEdge, max(1, h.High[lead]+2*edgeMove(cameKWh/foreseen > h.High[lead])))
}

// lowEdge is a low edge after a day more.
func lowEdge(edge, cameKWh, foreseenKWh float64) float64 {
	return min(1, max(0, edge-edgeMove(cameKWh < edge*foreseenKWh)))
}

// edgeMove is how far a day moves an edge away from the middle.
func edgeMove(beyond bool) float64 {
	if beyond {
		return edgeStep * (1 - edgeShare)
	}
	return -edgeStep * edgeShare
}

// edges are the low and high parts of what is foreseen.
func (h *SunHabits) edges() (low, high [2]float64) {
	if h.High[0] == 0 {
		return [2]float64{usualLow, usualLow}, [2]float64{usualHigh, usualHigh}
	}
	return h.Low, h.High
}

// today is the ratio that the rest of the day will likely have.
func (h *SunHabits) today() float64 {
	before := h.Ratio + sunPersists*(h.Last-h.Ratio)
	return (latelyTrust*before + h.LatelySun) / (latelyTrust + h.LatelyClear)
}

// tomorrow is the ratio that the day after will likely have.
func (h *SunHabits) tomorrow() float64 {
	today := h.Last
	if h.Clear > leastClear {
		today = h.Sun / h.Clear
	}
	return max(0, h.Ratio+sunPersists*(today-h.Ratio))
}
