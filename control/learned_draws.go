package control

import (
	"math"
	"time"
)

const dayHours = 24

// Kinds of days that households tell apart.
const (
	workingDay = iota
	freeDay    // Saturday and Sunday
	dayKinds
)

// DrawHabits is when and how much heat the household takes out of the tank, as
// the energy book has it: kWh of each hour, in the mean, by the kind of the day.
type DrawHabits struct {
	Hours    [dayKinds][dayHours]float64 `json:"hours"`   // kWh in the mean
	Days     [dayKinds]float64           `json:"days"`    // learned
	BurstKW  float64                     `json:"burst"`   // variance of an hour's heat by its mean, kWh: the size of single draws
	Away     float64                     `json:"away"`    // days in a row that nobody drew
	Today    [dayHours]float64           `json:"today"`   // kWh so far
	Covered  [dayHours]float64           `json:"covered"` // hours of it that were seen
	Day      int64                       `json:"day_s"`   // local day since 1970 that Today belongs to
	DrawnKWh float64                     `json:"drawn"`   // in the energy book, at the last look
	Known    bool                        `json:"known"`   // the last two are known
}

const (
	habitDays   = 10   // learned before anything is decided by them
	habitFades  = 30.0 // days in which what was learned fades
	habitCovers = 0.75 // of an hour that must have been seen to be learned
	usualBurst  = 1.5  // kWh, a shower or a small bath; common practice, no source
	awayShare   = 0.15 // of a usual day that is still a day without people
	awayBelieve = 21   // days after which the house is taken to have become empty
)

// kindOfDay tells a local day since 1970: the first of them was a Thursday.
func kindOfDay(day int64) int {
	_, weekday := floorDiv(day+4, 7) // 0 is Sunday
	if weekday == 0 || weekday == 6 {
		return freeDay
	}
	return workingDay
}

// learned tells whether the habits may be decided by.
func (h *DrawHabits) learned() bool { return h.Days[workingDay]+h.Days[freeDay] >= habitDays }

// follow counts what was drawn in a span that ends at a minute of a local day.
func (h *DrawHabits) follow(drawnKWh float64, day int64, minute int, span time.Duration) {
	if h.Day != day || !h.Known {
		if h.Known && day == h.Day+1 {
			h.closeDay()
		}
		h.Today, h.Covered = [dayHours]float64{}, [dayHours]float64{}
		h.Day = day
	}
	if h.Known {
		hour := minute / 60 % dayHours
		h.Today[hour] += drawnKWh - h.DrawnKWh
		h.Covered[hour] += span.Hours()
	}
	h.DrawnKWh, h.Known = drawnKWh, true
}

// closeDay learns from a day that is over, unless nobody was at home.
func (h *DrawHabits) closeDay() {
	kind := kindOfDay(h.Day)
	drawn, usual, seen := 0.0, 0.0, 0
	for i, kWh := range h.Today {
		if h.Covered[i] >= habitCovers {
			drawn, usual, seen = drawn+kWh, usual+h.mean(kind, i), seen+1
		}
	}
	if seen < dayHours/2 {
		return
	}
	if drawn < awayShare*usual {
		h.Away++
		if h.Away < awayBelieve {
			return
		}
	} else {
		h.Away = 0
	}
	weight := max(1/(h.Days[kind]+1), 1/habitFades)
	squares, means := 0.0, 0.0
	for i, kWh := range h.Today {
		if h.Covered[i] < habitCovers {
			continue
		}
		mean := h.mean(kind, i)
		squares, means = squares+(kWh-mean)*(kWh-mean), means+mean
		h.Hours[kind][i] += weight * (kWh - h.Hours[kind][i])
	}
	h.Days[kind]++
	if means > 0.1 && h.Days[kind] > 3 {
		h.BurstKW += 1 / habitFades * (min(10, squares/means) - h.burst())
	}
}

// burst is the variance of an hour's heat by its mean, kWh.
func (h *DrawHabits) burst() float64 {
	if h.BurstKW == 0 {
		h.BurstKW = usualBurst
	}
	return h.BurstKW
}

// mean is the heat of an hour of a kind of day, kWh. What little is known of one
// kind is filled up with the other.
func (h *DrawHabits) mean(kind, hour int) float64 {
	own, other := h.Days[kind], h.Days[1-kind]
	if own+other == 0 {
		return 0
	}
	const trust = 4 // days of its own kind that weigh as much as all of the other
	weight := own / (own + trust)
	if other == 0 {
		weight = 1
	}
	return weight*h.Hours[kind][hour] + (1-weight)*h.Hours[1-kind][hour]
}

// within is the mean heat, kWh, drawn in a span that begins at a minute of a
// local day.
func (h *DrawHabits) within(day int64, minute float64, span time.Duration) (kWh float64) {
	left := span.Hours()
	at := minute / 60
	for left > 1e-9 {
		if at >= dayHours {
			at -= dayHours
			day++
		}
		hour := math.Floor(at)
		part := min(left, hour+1-at)
		kWh += part * h.mean(kindOfDay(day), int(hour))
		at, left = at+part, left-part
	}
	return kWh
}

// careful is a heat, kWh, that is exceeded as rarely as so many deviations say,
// where the mean is given.
func (h *DrawHabits) careful(meanKWh, deviations float64) float64 {
	return meanKWh + deviations*math.Sqrt(meanKWh*h.burst())
}
