package control

import (
	"time"
)

const dayHours = 24

// The day is learned by quarters of an hour: what comes at the same minute of each day
// is then not awaited again in the rest of its hour.
const (
	slotMinutes = 15
	slotHours   = slotMinutes / 60.0
	daySlots    = dayMinutes / slotMinutes
)

// Kinds of days that households tell apart.
const (
	workingDay = iota
	freeDay    // Saturday and Sunday
	dayKinds
)

// DrawHabits is when and how much heat the household takes out of the tank, as
// the energy book has it.
type DrawHabits struct {
	Slots    [dayKinds][daySlots]float64 `json:"quarters"`         // kWh of each quarter of an hour, in the mean
	Days     [dayKinds]float64           `json:"days_by_quarters"` // learned of each kind
	BurstKWh float64                     `json:"draw_size"`        // variance of a quarter's heat by its mean: the size of single draws
	Away     float64                     `json:"away"`             // days in a row on which nobody drew
	Today    [daySlots]float64           `json:"today_quarters"`   // kWh so far
	Covered  [daySlots]float64           `json:"covered_quarters"` // parts of them that were seen
	Day      int64                       `json:"day_s"`            // local day since 1970 that Today belongs to
	BookKWh  float64                     `json:"book"`             // in the energy book, at the last look
	Known    bool                        `json:"known"`            // the last two are known
}

const (
	habitDays   = 10   // learned before anything is decided by them
	habitFades  = 30.0 // days in which what was learned fades
	habitCovers = 0.75 // of a quarter of an hour that must have been seen to be learned
	habitTrust  = 4    // days of one kind that weigh as much as all of the other
	usualBurst  = 1.5  // kWh, a shower or a small bath; common practice, no source
	mostBurst   = 10   // kWh
	burstDays   = 4    // of a kind, before the size of draws is learned
	awayShare   = 0.15 // of a usual day that is still a day without people
	awayBelieve = 21   // days after which the house is taken to have become empty
	leastDayKWh = 0.1  // mean from which the size of draws can be told
	mostSlotKWh = 1000 // bounds what a broken book can teach
)

// kindOfDay tells a local day since 1970; the first of them was a Thursday.
func kindOfDay(day int64) int {
	if _, weekday := floorDiv(day+4, 7); weekday == 0 || weekday == 6 {
		return freeDay
	}
	return workingDay
}

// days is how many days were learned.
func (h *DrawHabits) days() float64 { return h.Days[workingDay] + h.Days[freeDay] }

// learned tells whether the habits may be decided by.
func (h *DrawHabits) learned() bool { return h.days() >= habitDays }

// follow counts what was drawn in a span that ends at a minute of a local day. A
// day that the clock jumps over, or back to, is not learned.
func (h *DrawHabits) follow(bookKWh float64, day int64, minute int, span time.Duration) {
	if h.Day != day || !h.Known {
		if h.Known && day == h.Day+1 {
			h.closeDay()
		}
		h.Today, h.Covered, h.Day = [daySlots]float64{}, [daySlots]float64{}, day
	}
	if h.Known {
		minutes := spanMinutes(minute, span)
		for at := minute + 1 - minutes; at <= minute; at++ {
			slot := at / slotMinutes
			h.Today[slot] += min(mostSlotKWh, max(0, bookKWh-h.BookKWh)) / float64(minutes)
			h.Covered[slot] = min(2, h.Covered[slot]+span.Hours()/slotHours/float64(minutes))
		}
	}
	h.BookKWh, h.Known = bookKWh, true
}

// spanMinutes is in how many minutes of its day a span lies that ends in one of them.
func spanMinutes(minute int, span time.Duration) int {
	return max(1, min(minute+1, int(span.Minutes())))
}

// closeDay learns from a day that is over, unless nobody was at home.
func (h *DrawHabits) closeDay() {
	kind := kindOfDay(h.Day)
	if h.wasAway(kind) {
		return
	}
	weight := max(1/(h.Days[kind]+1), 1/habitFades)
	squares, means := 0.0, 0.0
	for i, kWh := range h.Today {
		if h.Covered[i] < habitCovers {
			continue
		}
		kWh /= max(1, h.Covered[i]) // the hour that comes twice in autumn
		mean := h.mean(kind, i)
		squares, means = squares+(kWh-mean)*(kWh-mean), means+mean
		h.Slots[kind][i] += weight * (kWh - h.Slots[kind][i])
	}
	h.Days[kind] = min(h.Days[kind]+1, 10000)
	if means > leastDayKWh && h.Days[kind] >= burstDays {
		h.BurstKWh = h.burst() + (min(mostBurst, squares/means)-h.burst())/min(h.days(), habitFades)
	}
}

// wasAway tells whether a day is not to be learned: too little of it was seen,
// or nobody was at home. A house that stays empty is believed in the end.
func (h *DrawHabits) wasAway(kind int) bool {
	drawn, usual, seen := 0.0, 0.0, 0
	for i, kWh := range h.Today {
		if h.Covered[i] >= habitCovers {
			drawn, usual, seen = drawn+kWh, usual+h.mean(kind, i), seen+1
		}
	}
	if seen < daySlots/2 {
		return true
	}
	if drawn >= awayShare*usual {
		h.Away = 0
		return false
	}
	h.Away = min(h.Away+1, 10000)
	return h.Away < awayBelieve
}

// burst is the variance of a quarter's heat by its mean, kWh. Draws that know nothing
// of each other give it the same for any length of time.
func (h *DrawHabits) burst() float64 {
	if h.BurstKWh == 0 {
		return usualBurst
	}
	return h.BurstKWh
}

// mean is the heat of a quarter of an hour of a kind of day, kWh. What little is known of one
// kind is filled up with the other.
func (h *DrawHabits) mean(kind, slot int) float64 {
	own, other := h.Days[kind], h.Days[1-kind]
	weight := 1.0
	if other > 0 {
		weight = own / (own + habitTrust)
	}
	return weight*h.Slots[kind][slot] + (1-weight)*h.Slots[1-kind][slot]
}

// within is the mean heat, kWh, drawn in so many minutes from a minute of a local
// day on, which may lie in a later day.
func (h *DrawHabits) within(day int64, minute, minutes int) (kWh float64) {
	for minutes > 0 {
		later := minute / dayMinutes
		part := min(minutes, slotMinutes-minute%slotMinutes)
		kWh += float64(part) / slotMinutes * h.mean(kindOfDay(day+int64(later)), minute%dayMinutes/slotMinutes)
		minute, minutes = minute+part, minutes-part
	}
	return kWh
}
