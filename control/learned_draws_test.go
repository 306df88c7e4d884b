package control

import (
	"fmt"
	"math"
	"testing"
	"time"
)

// aMonday is the local day since 1970 on which these tests begin.
const aMonday = 20514

// The first quarters of some hours.
const (
	seven = 7 * 60 / slotMinutes
	eight = 8 * 60 / slotMinutes
	nine  = 9 * 60 / slotMinutes
)

// atHour spreads heat evenly over an hour of a kind of day, kWh.
func (h *DrawHabits) atHour(kind, hour int, kWh float64) {
	for slot := hour * 60 / slotMinutes; slot < (hour+1)*60/slotMinutes; slot++ {
		h.Slots[kind][slot] = kWh * slotHours
	}
}

// drawnHour is heat drawn in the first quarter of one hour of a day, kWh.
type drawnHour struct {
	hour int
	kWh  float64
}

// drawDay lets a day pass of which the first quarters were seen, each for so long.
func drawDay(h *DrawHabits, day int64, slotsSeen int, each time.Duration, draws ...drawnHour) {
	book := h.BookKWh
	for slot := range slotsSeen {
		for _, d := range draws {
			if d.hour*60 == slot*slotMinutes {
				book += d.kWh
			}
		}
		for range 6 {
			h.follow(book, day, slotMinutes*(slot+1)-1, each/6)
		}
	}
}

// usualDraws are habits of a house that draws so much at seven on working days.
func usualDraws(kWh, days float64) (h DrawHabits) {
	h.Slots[workingDay][seven], h.Days[workingDay] = kWh, days
	h.Day, h.Known = aMonday, true
	return h
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*max(1, math.Abs(want))) { // what is no number is near to nothing
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// TestDrawHabitsFade: the mean of all days for a month, and after that a memory
// that fades by a thirtieth a day: of 2 kWh, ten days of 5 kWh leave (29/30)^10.
func TestDrawHabitsFade(t *testing.T) {
	h := DrawHabits{Day: aMonday, Known: true}
	week := int64(0) // a working day of each
	learn := func(kWh float64) {
		h.Day = aMonday + 7*week
		drawDay(&h, h.Day, daySlots, slotMinutes*time.Minute, drawnHour{7, kWh})
		h.follow(h.BookKWh, h.Day+1, 0, time.Minute)
		week++
	}
	for _, kWh := range []float64{1, 6, 5} {
		learn(kWh)
	}
	near(t, "mean of three days", h.Slots[workingDay][seven], 4)
	for range 3 {
		learn(0.8)
	}
	near(t, "mean of six days", h.Slots[workingDay][seven], 2.4)
	h = usualDraws(2, 29)
	for range 10 {
		learn(5)
	}
	near(t, "after a month", h.Slots[workingDay][seven], 5-3*math.Pow(29.0/30, 10))
	near(t, "days", h.Days[workingDay], 39)
}

func TestDrawHabitsDecideFromTheTenthDayOn(t *testing.T) {
	for _, c := range []struct {
		working, free float64
		want          bool
	}{{7, 2, false}, {7, 2.99, false}, {7, 3, true}, {0, 10, true}, {10, 0, true}} {
		h := DrawHabits{Days: [dayKinds]float64{c.working, c.free}}
		if h.learned() != c.want {
			t.Errorf("after %g working days and %g free ones: %v", c.working, c.free, h.learned())
		}
	}
}

// TestDrawHabitsLearnWholeDaysAlone: days that the clock jumps over, and days of
// which too little was seen.
func TestDrawHabitsLearnWholeDaysAlone(t *testing.T) {
	const quarter = slotMinutes * time.Minute
	for name, c := range map[string]struct {
		slots int
		each  time.Duration
		next  int64 // the day that is seen after it
		want  float64
	}{
		"a day":                             {daySlots, quarter, 1, 1},
		"the first half of a day":           {daySlots / 2, quarter, 1, 1},
		"less than half a day":              {daySlots/2 - 1, quarter, 1, 0},
		"three quarters of every slot":      {daySlots, quarter * 3 / 4, 1, 1},
		"not quite three quarters":          {daySlots, quarter*3/4 - time.Second, 1, 0},
		"a day, and the clock leaps ahead":  {daySlots, quarter, 2, 0},
		"a day, and the clock goes back":    {daySlots, quarter, -1, 0},
		"a day, and the clock was put back": {daySlots, quarter, 0, 0},
	} {
		h := DrawHabits{Day: aMonday, Known: true}
		drawDay(&h, aMonday, c.slots, c.each, drawnHour{7, 2})
		h.follow(h.BookKWh, aMonday+c.next, 0, time.Minute)
		near(t, name+": days", h.Days[workingDay], c.want)
		near(t, name+": kWh at seven", h.Slots[workingDay][seven], 2*c.want)
		if c.next != 0 && h.Today != [daySlots]float64{} {
			t.Errorf("%s: the next day has already %v", name, h.Today)
		}
	}

	h := DrawHabits{Day: aMonday, Known: true}
	drawDay(&h, aMonday, daySlots, slotMinutes*time.Minute, drawnHour{7, 2})
	h.Known = false // a probe was lost before midnight
	h.follow(h.BookKWh+50, aMonday+1, 0, time.Minute)
	if h.days() != 0 || h.Today != [daySlots]float64{} || h.Covered != [daySlots]float64{} {
		t.Errorf("a day whose end nobody saw has left %+v", h)
	}
}

// TestDrawHabitsLeaveUnseenQuarters: of a day that was seen in part the other quarters
// keep what was learned.
func TestDrawHabitsLeaveUnseenQuarters(t *testing.T) {
	h := usualDraws(2, 1)
	const hidden = 81
	h.Slots[workingDay][hidden] = 3
	for slot := range daySlots {
		seen := slotMinutes * time.Minute
		if slot == hidden {
			seen = 11 * time.Minute
		}
		h.follow(map[bool]float64{true: 4}[slot >= seven], aMonday, slotMinutes*(slot+1)-1, seen)
	}
	h.follow(4, aMonday+1, 0, time.Minute)
	near(t, "a quarter that was seen", h.Slots[workingDay][seven], 3)
	near(t, "one that was not", h.Slots[workingDay][hidden], 3)
}

// TestDrawsOfLongLooks: what was drawn in a look of many minutes is spread over the
// quarters that it covers, as far as they lie in the day that it ends in.
func TestDrawsOfLongLooks(t *testing.T) {
	for _, c := range []struct {
		minute int
		span   time.Duration
		want   map[int]float64 // kWh by quarter, of 6 kWh
	}{
		{7*60 + 59, time.Hour, map[int]float64{28: 1.5, 29: 1.5, 30: 1.5, 31: 1.5}},
		{7*60 + 4, 30 * time.Minute, map[int]float64{26: 2, 27: 3, 28: 1}},
		{7*60 + 4, time.Second, map[int]float64{28: 6}},
		{7*60 + 4, 90 * time.Second, map[int]float64{28: 6}},
		{19, time.Hour, map[int]float64{0: 4.5, 1: 1.5}},
	} {
		h := DrawHabits{Day: aMonday, Known: true}
		h.follow(6, aMonday, c.minute, c.span)
		for slot, kWh := range h.Today {
			near(t, fmt.Sprintf("%v until %s, quarter %d", c.span, clock(c.minute), slot), kWh, c.want[slot])
			near(t, fmt.Sprintf("%v until %s, seen of quarter %d", c.span, clock(c.minute), slot), h.Covered[slot], min(2, c.want[slot]/6*c.span.Hours()/slotHours))
		}
	}
}

// TestTheHourThatComesTwice, in autumn, teaches the mean of both.
func TestTheHourThatComesTwice(t *testing.T) {
	h := DrawHabits{Day: aMonday, Known: true}
	for slot := range daySlots {
		h.follow(h.BookKWh+0.5, aMonday, slotMinutes*(slot+1)-1, slotMinutes*time.Minute)
		if slot == 11 {
			for again := 8; again < 12; again++ {
				h.follow(h.BookKWh+0.5, aMonday, slotMinutes*(again+1)-1, slotMinutes*time.Minute)
			}
		}
	}
	h.follow(h.BookKWh, aMonday+1, 0, time.Minute)
	for _, slot := range []int{7, 8, 11, 12} {
		near(t, fmt.Sprintf("quarter %d", slot), h.Slots[workingDay][slot], 0.5)
	}
}

// TestDrawHabitsOutliveABrokenBook: heat that no house draws in a look is bounded,
// and a book that begins anew draws nothing.
func TestDrawHabitsOutliveABrokenBook(t *testing.T) {
	h := DrawHabits{Day: aMonday, Known: true}
	h.follow(5000, aMonday, 7*60, time.Minute)
	near(t, "5 MWh in a minute", h.Today[seven], 1000)
	h.follow(0, aMonday, 8*60, time.Minute)
	near(t, "a book that begins anew", h.Today[eight], 0)
	h.follow(2, aMonday, 9*60, time.Minute)
	near(t, "and goes on", h.Today[nine], 2)
}

// TestDaysWithoutPeople: a day of less than 15 % of the usual teaches nothing, and
// after three weeks of such days the house is taken to be empty.
func TestDaysWithoutPeople(t *testing.T) {
	for drawn, away := range map[float64]float64{1.5: 0, 1.49: 1, 0: 1, 10: 0} {
		h := usualDraws(10, 100)
		drawDay(&h, aMonday, daySlots, slotMinutes*time.Minute, drawnHour{7, drawn})
		h.follow(h.BookKWh, aMonday+1, 0, time.Minute)
		near(t, "days away", h.Away, away)
		near(t, "days learned", h.Days[workingDay], 101-away)
	}
	h := usualDraws(10, 100)
	for day := range int64(21) {
		near(t, "before the house is empty", h.Slots[workingDay][seven], 10)
		h.Day = aMonday + 7*day
		drawDay(&h, h.Day, daySlots, slotMinutes*time.Minute)
		h.follow(h.BookKWh, h.Day+1, 0, time.Minute)
	}
	near(t, "after three weeks", h.Slots[workingDay][seven], 10*29.0/30)
}

// TestSizeOfDraws: people who draw s kWh at a time, so and so often by chance, draw
// in any time with a variance of s times the mean (a compound Poisson process; any
// textbook of probability, from memory): that ratio is the size that is learned.
// A quarter of an hour of 1 kWh in the mean that has brought 3 kWh says 4.
func TestSizeOfDraws(t *testing.T) {
	for _, c := range []struct {
		name                    string
		mean, days, drawn, want float64
	}{
		{"a quarter that surprised", 1, 100, 3, 1.5 + (4-1.5)/30},
		{"a quarter as foreseen", 1, 100, 1, 1.5 - 1.5/30},
		{"a quarter beyond all bounds", 1, 100, 21, 1.5 + (10-1.5)/30},
		{"on the third day", 1, 2, 3, 1.5},
		{"on the fourth day", 1, 3, 3, 1.5 + (4-1.5)/4},
		{"of a house that hardly draws", 0.1, 100, 0.4, 1.5},
		{"of one that draws little", 0.125, 100, 0.625, 1.5 + (2-1.5)/30},
	} {
		h := usualDraws(c.mean, c.days)
		drawDay(&h, aMonday, daySlots, slotMinutes*time.Minute, drawnHour{7, c.drawn})
		h.follow(h.BookKWh, aMonday+1, 0, time.Minute)
		near(t, c.name, h.burst(), c.want)
	}
	known := DrawHabits{BurstKWh: 1}
	near(t, "what was learned", known.burst(), 1)

	var h DrawHabits
	random := uint64(3)
	const size, chance = 0.8, 0.25 // in each of six parts of the first quarter of every hour
	for day := range int64(400) {
		h.Day, h.Known = aMonday+7*day, true
		var draws []drawnHour
		for hour := range dayHours {
			for range 6 {
				random = random*6364136223846793005 + 1442695040888963407
				if float64(random>>11)/(1<<53) < chance {
					draws = append(draws, drawnHour{hour, size})
				}
			}
		}
		drawDay(&h, h.Day, daySlots, slotMinutes*time.Minute, draws...)
		h.follow(h.BookKWh, h.Day+1, 0, time.Minute)
	}
	// Of six chances each, the variance is size² n p (1-p), and the figure that
	// fades moves about as much as a month of days allows.
	if want := size * (1 - chance); math.Abs(h.burst()-want) > 0.12 {
		t.Errorf("draws of %g kWh are taken for %.3f, want %.3f", size, h.burst(), want)
	}
}

// TestFewDaysLeanOnTheOthers: four days of a kind weigh as much as all of the
// other, and a kind that nothing is known of is the other.
func TestFewDaysLeanOnTheOthers(t *testing.T) {
	for _, c := range []struct{ free, working, want float64 }{
		{4, 0, 6}, {4, 1, 4}, {0, 10, 2}, {12, 10, 5}, {1, 10, 2.8},
	} {
		var h DrawHabits
		h.Days = [dayKinds]float64{workingDay: c.working, freeDay: c.free}
		h.Slots[freeDay][seven], h.Slots[workingDay][seven] = 6, 2
		if c.working == 0 {
			h.Slots[workingDay][seven] = 0
		}
		near(t, "free days", h.mean(freeDay, seven), c.want)
	}
}
